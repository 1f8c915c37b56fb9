"""By the fire: what is next, what is off; nothing moves without an entry."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.firing.by_the_fire import by_the_fire, quickest_k_min
from wareontology.firing.curves import curves
from wareontology.firing.log import Log
from wareontology.firing.log_columns import events
from wareontology.firing.log_read import from_rows, read
from wareontology.firing.plan import example, examples
from wareontology.firing.simulate import simulate
from wareontology.firing.steps import steps
from wareontology.paths import data

PIT = example("covered-pit")
PULLED = example("pull-and-cover")


def log(*rows: str) -> Log:
    """Rows as "minutes column=value, column=value"."""
    told = []
    for row in rows:
        minutes, _, cells = row.partition(" ")
        told.append({"time": minutes, **dict(cell.split("=") for cell in cells.split(", "))})
    found = from_rows(told)
    assert found.faults == ()
    return found.log


@pytest.mark.parametrize("name", examples())
def test_each_event_leads_to_the_next_step_to_the_end(name: str) -> None:
    plan = example(name)
    rows: list[str] = []
    for place, step in enumerate(steps(plan)):
        now = by_the_fire(plan, log(*rows), 60.0 * place) if rows else None
        if now is not None:
            assert now.step == step
            assert now.ends
            rows.append(f"{place} event={now.ends}")
        else:
            rows.append("0 event=built")
    last = by_the_fire(plan, log(*rows), 1e5)
    assert (last.step, last.next, last.ends) == (None, None, "")


def test_the_invented_log_is_at_its_end_with_nothing_off() -> None:
    found = by_the_fire(PIT, read(data("demo", "firing_log.csv")).log, 27 * 3600)
    assert found.step is None
    assert found.off == ()


def test_a_warm_pot_without_a_word_is_taken_as_lit() -> None:
    found = by_the_fire(PIT, log("0 place=mid, temperature_c=90"), 600)
    assert found.step is not None
    assert found.step.title == "Preheat"
    assert found.since_min == 10


@pytest.mark.parametrize(
    ("plan", "rows", "now_min", "said"),
    [
        (PIT, ["0 event=lit"], 100, "Preheat has taken 100 min"),
        (PIT, ["0 event=lit", "20 place=top, temperature_c=400"], 20, "Already 400 °C while warming"),
        (PIT, ["0 event=preheated", "1 place=mid, temperature_c=200", "7 place=mid, temperature_c=500"], 8,
         "Heating by 50 °C a minute"),
        (PIT, ["0 event=preheated", "30 event=top", "31 place=mid, temperature_c=600"], 32,
         "600 °C, 800 °C was meant: feed"),
        (PIT, ["0 event=preheated", "30 place=top, temperature_c=950"], 31, "let it fall"),
        (PIT, ["0 event=covered", "5 event=smoke"], 9, "Smoke from the cover"),
        (PIT, ["0 event=lit", "5 event=rain"], 9, "Rain: hot pots burst"),
        (PULLED, ["0 event=pulled", "3 event=mouth-down"], 4, "180 s from the fire to shut, 15 s were meant"),
        (PIT, ["0 event=covered", "60 place=mid, temperature_c=500", "61 event=opened"], 62,
         "Opened at about 500 °C"),
    ],
)  # fmt: skip
def test_what_is_off_is_said(plan: object, rows: list[str], now_min: float, said: str) -> None:
    found = by_the_fire(plan, log(*rows), 60 * now_min)  # type: ignore[arg-type]
    assert any(said in one for one in found.off), found.off


def test_a_crack_that_was_closed_is_off_no_longer() -> None:
    rows = ["0 event=covered", "5 event=smoke", "6 event=crack-closed"]
    assert by_the_fire(PIT, log(*rows), 500).off == ()


def test_a_reading_outside_the_simulated_firings_is_said() -> None:
    drawn = curves(simulate(PIT, 100))
    cold = log("0 event=covered", "30 place=mid, temperature_c=150")
    found = by_the_fire(PIT, cold, 1800, drawn)
    assert any("cooler than nine in ten" in one for one in found.off)
    glow = log("0 event=covered", "2 place=mid, glow=dark red")
    assert by_the_fire(PIT, glow, 130, drawn).off == ()


def test_the_rate_is_over_five_minutes_or_more() -> None:
    assert quickest_k_min(log("0 place=mid, temperature_c=20", "1 place=mid, temperature_c=90")) is None
    rate = quickest_k_min(log("0 place=mid, temperature_c=20", "10 place=mid, temperature_c=220"))
    assert rate == pytest.approx(20.0)  # by hand: 200 °C in 10 min


@given(st.lists(st.sampled_from(sorted(events())), max_size=8), st.floats(0, 1e5))
def test_any_order_of_events_is_borne(said: list[str], now_s: float) -> None:
    rows = [f"{at} event={event}" for at, event in enumerate(said)]
    found = by_the_fire(PIT, log(*rows), now_s)
    assert (found.step is None) == ("opened" in said)
    assert len(set(found.off)) == len(found.off)
