"""A chip refired in air: one step at which the layer turns, one colour after it."""

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.technique.helpers_sherds import chance, factor, needed, odds, painted, row
from wareontology.sherd.record import Row
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.schema import REFIRE_STEPS, REFIRED
from wareontology.technique.likelihoods.shipped import shipped_tables
from wareontology.technique.network import Slot

Floats = NDArray[np.float64]
LINE = "paint:line"
BLACK = {"colour": "black"}
BARE_BUFF = {"refire_c": "800", "refire_colour": "red", "refire_ground_colour": "buff"}


def series(*steps: tuple[str, str], zones: tuple[str, ...] = ("interior",)) -> list[Row]:
    return [
        row(zone, "paint", "line", on="slip", refire_c=heat, refire_colour=colour)
        for zone in zones
        for heat, colour in steps
    ]


def refired_bits(*rows: Row) -> float:
    """Bits for iron against iron with manganese that a refiring gives."""
    likelihood = factor(painted(BLACK, *rows), LINE, "refiring")[0, 0]
    return float(np.log2(likelihood[h.PAINT.index("iron")] / likelihood[h.PAINT.index("iron-manganese")]))


def test_repeated_reds_of_a_refiring_do_not_multiply() -> None:
    """Three reds, by heat or by zone, say less than a bit more than the first; three witnesses would treble
    it."""
    once = refired_bits(*series(("700", "red")))
    by_heat = refired_bits(*series(("700", "red"), ("800", "red"), ("900", "red")))
    by_zone = refired_bits(*series(("700", "red"), zones=("interior", "exterior", "rim")))
    assert once > 3.0
    assert once <= by_heat < once + 1.0
    assert once <= by_zone < once + 1.0


def test_the_heat_at_which_a_series_turns_tells_more_than_its_end() -> None:
    """Sintered gloss reddens late, matt iron early (Maniatis et al. 1993): common practice for the size."""
    late = painted(BLACK, *series(("700", "black"), ("950", "red")))
    early = painted(BLACK, *series(("650", "red"), ("950", "red")))
    question = ("material paint:line", "gloss")
    assert odds(late, *question) > 3 * odds(early, *question)


def test_a_longer_soak_counts_as_more_heat() -> None:
    """Black after half an hour at 640 °C says less against iron than black after eight hours."""
    short, long = (
        painted(BLACK | {"refire_c": "640", "refire_minutes": minutes, "refire_colour": "black"})
        for minutes in ("30", "480")
    )
    assert odds(long, "family paint:line", "iron-family") < odds(short, "family paint:line", "iron-family")


def test_of_bare_ground_refired_twice_the_hottest_counts() -> None:
    def slip_of(*heats: tuple[str, str]) -> Floats:
        rows = [
            row("interior", "paint", "line", refire_c=heat, refire_ground_colour=ground)
            for heat, ground in heats
        ]
        return needed(painted(BLACK, *rows), LINE, "refiring")[Slot("unit", "slip")]

    assert slip_of(("800", "buff"), ("1000", "red")) == pytest.approx(slip_of(("1000", "red")))


def test_bare_ground_refired_beside_two_paints_counts_once() -> None:
    second = {"colour": "brown", "refire_c": "800", "refire_colour": "red"}
    one = painted(BLACK | BARE_BUFF, row("interior", "paint", "b", **second))
    both = painted(BLACK | BARE_BUFF, row("interior", "paint", "b", refire_ground_colour="buff", **second))
    assert chance(both, "material slip", "white-firing") == pytest.approx(
        chance(one, "material slip", "white-firing"), rel=0.3
    )


def test_a_paint_that_ends_like_its_ground_tells_the_changing_paints_nothing() -> None:
    like = painted(BLACK | BARE_BUFF | {"refire_ground_colour": "red"})
    likelihood = needed(like, LINE, "refiring")[Slot("unit", LINE)][0, 0]
    iron, organic, gloss, never = (
        likelihood[h.PAINT.index(name)] for name in ("iron", "organic", "gloss", "manganese")
    )
    assert iron == pytest.approx(organic)
    # a sealed gloss has not turned at 800 °C, so it does not end like a red ground (Maniatis et al. 1993)
    assert gloss < iron
    assert never < iron


def test_a_refired_chip_of_the_paints_ground_tells_the_ground() -> None:
    """Bare ground that refires cream is light-firing, however grey it was. Chuska and Tusayan wares: common
    practice for the size."""
    light = ("material slip", "light-firing or calcareous")
    seen = BLACK | {"refire_c": "800", "refire_ground_colour": "cream"}
    assert odds(painted(seen), *light) > 1.2 * odds(painted(BLACK), *light)


@pytest.mark.parametrize("repeats", [1, 2, 3])
def test_a_refiring_past_every_step_by_hand(repeats: int) -> None:
    """Second route, step by step from the tables. At 1100 °C a paint has turned, or never does:
    P(turns) · Σ over its colour then of P(colour) · P(red is written | colour)^k, and
    P(never) · P(red is written | still black)^k, for k zones."""
    tables = shipped_tables()
    zones = ("interior", "exterior", "rim")[:repeats]
    likelihood = factor(painted(BLACK, *series(("1100", "red"), zones=zones)), LINE, "refiring")[0, 0]
    written = [
        *(1 - 2 * tables.leak) * tables.array("observed_colour")[0, :, h.COLOURS.index("red")],
        *tables.array("refire_observed")[0, :, REFIRED.index("red")],
    ]
    for place in range(len(h.PAINT)):
        never = tables.array("refire_turns")[0, place, REFIRE_STEPS.index("never")]
        after = tables.array("refire_after")[0, place]
        turned = sum(p * seen**repeats for p, seen in zip(after, written, strict=True))
        expected = (1 - never) * turned + never * written[h.COLOURS.index("black")] ** repeats
        assert likelihood[place] == pytest.approx(expected), h.PAINT[place]
