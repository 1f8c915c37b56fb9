"""The log on the ensemble: what is drawn, the same bytes twice, a long log stays small."""

import numpy as np

from wareontology.firing.curves import Curves, curves
from wareontology.firing.log_read import from_rows, from_text, read
from wareontology.firing.plan import example
from wareontology.firing.simulate import simulate
from wareontology.paths import data
from wareontology.plots.firing_log import firing_log

LOG = read(data("demo", "firing_log.csv")).log


def drawn() -> Curves:
    return curves(simulate(example("covered-pit"), 100))


def test_it_says_what_it_shows_and_is_the_same_twice() -> None:
    one, two = (firing_log(LOG, drawn(), "Invented") for _ in range(2))
    assert one == two
    text = one.decode()
    words = (
        "Invented", "hours before covering", "hours from covering", "temperature, °C", "covered", "opened",
        "likely pessimistic", "20 readings of firing_log.csv", "75 °C either way",
    )  # fmt: skip
    for word in words:
        assert word in text, word


def test_a_log_without_a_plan_or_a_covering_is_drawn_alone() -> None:
    rows = [{"time": "0", "place": "fire", "temperature_c": "300"}, {"time": "9", "note": "rain"}]
    assert b"hours from the first row" in firing_log(from_rows(rows).log, None, "alone")
    assert firing_log(from_rows([]).log, None, "nothing")[:5] == b"<?xml"


def test_a_long_log_keeps_its_highest_and_stays_small() -> None:
    heat = 500 + 200 * np.sin(np.arange(100_000) / 500)
    lines = "\n".join(f"{at / 60:.3f},mid,{value:.2f}" for at, value in enumerate(heat))
    log = from_text("time,place,temperature_c\n" + lines).log
    assert len(firing_log(log, None, "long")) < 200_000


def test_png_is_a_picture_too() -> None:
    assert firing_log(LOG, None, "x", "png")[:8] == b"\x89PNG\r\n\x1a\n"
