"""What counts as evidence, how often, and what says nothing."""

from collections.abc import Mapping

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.technique.helpers_networks import largest_difference, numbers
from tests.technique.helpers_sherds import chance, chances, chip, item, odds, painted, row, sherd
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case
from wareontology.technique.network import Slot

Floats = NDArray[np.float64]
LINE = "paint:line"
BLACK = {"colour": "black"}
REFIRED = {"refire_c": "800", "refire_colour": "red", "refire_ground_colour": "buff"}


def factor(found: Sherd, unit: str, trait: str) -> Floats:
    """The one factor of an item."""
    (array,) = needed(found, unit, trait).values()
    return array


def needed(found: Sherd, unit: str, trait: str) -> Mapping[Slot, Floats]:
    one = item(found, unit, trait)
    assert one is not None, f"no {trait} of {unit}"
    return one.factors


def answers_alike(one: Sherd, other: Sherd) -> bool:
    """Equal in every marginal, whatever the rows."""
    first, second = (numbers(Case.of(found).marginals) for found in (one, other))
    del first["evidence"], second["evidence"]
    return largest_difference(first, second) < 1e-12


# --- counted once ---


@pytest.mark.parametrize(
    ("trait", "cells"),
    [
        ("edge and relief", {"edge": "soft", "relief": "soaked-in"}),
        ("lustre and finish", {"lustre": "glossy", "finish": "polished", "sintered": "yes"}),
        ("white specks", {"white_specks": "yes"}),
        ("rubs off", {"rubs_off": "wet"}),
        ("applied", {"applied": "after-firing"}),
        ("streak", {"streak_on_paper": "yes"}),
        ("acid", {"acid": "fizz"}),
        ("pXRF", {"pxrf_mn": "300", "pxrf_mn_ground": "100"}),
        ("phases", {"phases": "jacobsite"}),
    ],
)
def test_a_trait_seen_alike_in_three_zones_counts_once(trait: str, cells: Mapping[str, str]) -> None:
    more = [row(zone, "paint", "line", on="slip", **cells) for zone in ("exterior", "rim")]
    once, thrice = (factor(painted(cells, *rows), LINE, trait) for rows in ((), more))
    assert thrice == pytest.approx(once, rel=1e-12)


def test_a_magnet_tried_in_three_zones_counts_once() -> None:
    """Where all zones went through one history their factors multiply to that of one zone."""
    more = [row(zone, "paint", "line", magnet="strong", on="slip") for zone in ("exterior", "rim")]
    once = factor(painted({"magnet": "strong"}), LINE, "magnet")
    thrice = needed(painted({"magnet": "strong"}, *more), LINE, "magnet")
    assert len(thrice) == 3
    assert np.prod([*thrice.values()], axis=0) == pytest.approx(once, rel=1e-12)


def test_zones_that_disagree_are_averaged_in_logs() -> None:
    """By hand: the root of the product of the two."""
    soft, sharp = (factor(painted({"edge": edge}), LINE, "edge and relief") for edge in ("soft", "sharp"))
    both = painted({"edge": "soft"}, row("rim", "paint", "line", edge="sharp", on="slip"))
    assert factor(both, LINE, "edge and relief") == pytest.approx(np.sqrt(soft * sharp))


@pytest.mark.xfail(
    raises=AssertionError,
    reason="a second zone that says the same in less detail halves what the first one said",
)
def test_a_zone_that_agrees_takes_nothing_away() -> None:
    full = {"edge": "soft", "relief": "soaked-in"}
    agreeing = row("rim", "paint", "line", edge="soft", on="slip")
    organic = ("material paint:line", "organic")
    assert odds(painted(full, agreeing), *organic) >= 0.99 * odds(painted(full), *organic)


def test_colour_and_chip_are_one_observation() -> None:
    """A chip outranks the word: the word beside it changes nothing."""
    brown = chip("7.5YR 3/2", brown=0.7, black=0.3)
    assert answers_alike(painted({"munsell": brown}), painted({"munsell": brown, "colour": "red"}))
    assert not answers_alike(painted({"munsell": brown}), painted({"colour": "red"}))


def test_a_range_is_shared_out() -> None:
    """By hand: the mean of the likelihoods of its two words, and a chip by its shares."""
    slot = Slot("colour", "slip", "interior")

    def slip(cell: str | Seen) -> Floats:
        column = "colour" if isinstance(cell, str) else cell.column
        cells = {column: cell}
        return needed(sherd(row("interior", "slip", None, **cells)), "slip", "colour")[slot]

    cream, buff = slip("cream"), slip("buff")
    assert slip("cream/buff") == pytest.approx((cream + buff) / 2)
    weighed = slip(chip("10YR 8/3", cream=0.7, buff=0.3))
    assert weighed == pytest.approx(0.7 * cream + 0.3 * buff)


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
    """Three reds, by heat or by zone, say less than a bit more than one; three witnesses would treble it."""
    once = refired_bits(*series(("800", "red")))
    by_heat = refired_bits(*series(("700", "red"), ("800", "red"), ("900", "red")))
    by_zone = refired_bits(*series(("800", "red"), zones=("interior", "exterior", "rim")))
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


@pytest.mark.xfail(
    raises=AssertionError, reason="rows of a series are put in order as text: 1000 comes before 800"
)
def test_of_bare_ground_refired_twice_the_hottest_counts() -> None:
    def slip_of(*heats: tuple[str, str]) -> Floats:
        rows = [
            row("interior", "paint", "line", refire_c=heat, refire_ground_colour=ground)
            for heat, ground in heats
        ]
        return needed(painted(BLACK, *rows), LINE, "refiring")[Slot("unit", "slip")]

    assert slip_of(("800", "buff"), ("1000", "red")) == pytest.approx(slip_of(("1000", "red")))


@pytest.mark.xfail(
    raises=AssertionError,
    reason="the bare ground beside each of two refired paints is counted as two observations",
)
def test_bare_ground_refired_beside_two_paints_counts_once() -> None:
    second = {"colour": "brown", "refire_c": "800", "refire_colour": "red"}
    one = painted(BLACK | REFIRED, row("interior", "paint", "b", **second))
    both = painted(BLACK | REFIRED, row("interior", "paint", "b", refire_ground_colour="buff", **second))
    assert chance(both, "material slip", "white-firing") == pytest.approx(
        chance(one, "material slip", "white-firing"), rel=0.3
    )


# --- what says nothing ---


def test_a_paint_that_ends_like_its_ground_tells_the_changing_paints_nothing() -> None:
    like = painted(BLACK | REFIRED | {"refire_ground_colour": "red"})
    likelihood = needed(like, LINE, "refiring")[Slot("unit", LINE)][0, 0]
    iron, organic, gloss, never = (
        likelihood[h.PAINT.index(name)] for name in ("iron", "organic", "gloss", "manganese")
    )
    assert iron == pytest.approx(organic)
    assert iron == pytest.approx(gloss)
    assert never < iron


def test_a_magnet_that_pulls_no_more_than_on_bare_ground_says_nothing() -> None:
    for ground in ("weak", "strong"):
        assert item(painted({"magnet": "weak", "magnet_ground": ground}), LINE, "magnet") is None
    assert item(painted({"magnet": "strong", "magnet_ground": "weak"}), LINE, "magnet") is not None
    assert item(painted({"magnet": "none", "magnet_ground": "none"}), LINE, "magnet") is not None


@pytest.mark.parametrize(
    "cells",
    [
        {"pxrf_mn": "300"},
        {"pxrf_mn_ground": "100"},
        {"pxrf_mn": "<12", "pxrf_mn_ground": "<12"},
        {"phases": "none"},
        {"refire_c": "800"},
    ],
)
def test_half_a_test_says_nothing(cells: Mapping[str, str]) -> None:
    assert answers_alike(painted(BLACK), painted({**BLACK, **cells}))


def test_fire_clouds_silence_dark_patches() -> None:
    """Clouds were counted for the structure; a red patch is no cloud."""
    for clouds in ("few", "most"):
        assert item(painted({"patches": "black"}, fire_clouds=clouds), LINE, "patches") is None
        assert item(painted({"patches": "grey"}, fire_clouds=clouds), LINE, "patches") is None
        assert item(painted({"patches": "red"}, fire_clouds=clouds), LINE, "patches") is not None
    assert item(painted({"patches": "black"}, fire_clouds="none"), LINE, "patches") is not None
    assert item(painted({"patches": "black"}), LINE, "patches") is not None


def test_blank_patches_are_none_only_where_the_zone_was_seen_whole() -> None:
    seen = factor(painted(BLACK | {"patches": "none"}), LINE, "patches")
    assert factor(painted(BLACK, looked="interior"), LINE, "patches") == pytest.approx(seen)
    assert item(painted(BLACK), LINE, "patches") is None
    assert item(painted(BLACK, looked="exterior break"), LINE, "patches") is None


@pytest.mark.xfail(
    raises=AssertionError, reason="blank patches of the body are left blank though its zone was seen whole"
)
def test_blank_patches_of_a_body_seen_whole_are_none() -> None:
    assert item(sherd(row("interior", "body", colour="red"), looked="interior"), "body", "patches")


def test_a_blank_exterior_is_never_no_red_outside() -> None:
    """Seen only where both faces were looked at whole; a row that says nothing of the exterior is no look."""
    seen = ("sherd", "no red paint")
    for looked in ({}, {"looked": "interior"}, {"looked": "exterior"}, {"looked": "interior break"}):
        assert item(painted(BLACK, **looked), *seen) is None
    blank = row("exterior", "paint", "line", edge="sharp")
    assert item(painted(BLACK, blank), *seen) is None
    whole = {"looked": "interior exterior"}
    assert item(painted(BLACK, **whole), *seen) is not None
    assert item(painted(BLACK, row("exterior", "paint", "line", colour="red"), **whole), *seen) is None
    assert item(painted(BLACK | {"patches": "red"}, **whole), *seen) is None
    assert item(sherd(row("interior", "slip", colour="white"), **whole), *seen) is None  # no paint at all


@pytest.mark.xfail(
    raises=AssertionError, reason="any share of red in a chip, however small, counts as red paint"
)
def test_a_chip_that_is_hardly_red_is_no_red_paint() -> None:
    dark = chip("5YR 3/1", black=0.8, brown=0.18, red=0.02)
    assert item(painted({"munsell": dark}, looked="interior exterior"), "sherd", "no red paint")


# --- after the firing ---


def test_a_colour_that_runs_over_a_broken_edge_says_nothing_of_the_fire() -> None:
    over = {"crosses_break": "yes"}
    assert item(painted(BLACK | over | {"patches": "red"}), LINE, "colour") is None
    assert item(painted(BLACK | over | {"patches": "red"}), LINE, "patches") is None
    assert item(painted({**BLACK, **over}), "body", "broken edge") is None
    assert answers_alike(painted({**BLACK, **over}), painted({"colour": "red", **over}))
    assert item(painted({**BLACK, **over, "edge": "soft"}), LINE, "edge and relief") is not None
    assert item(painted({**BLACK, "crosses_break": "no"}), LINE, "colour") is not None


@pytest.mark.xfail(raises=AssertionError, reason="its colour still sets it against a paint of another colour")
def test_a_colour_that_runs_over_a_broken_edge_says_nothing_of_another_paint() -> None:
    def two(cells: Mapping[str, str]) -> Sherd:
        over = row("interior", "paint", "a", crosses_break="yes", edge="sharp", **cells)
        return sherd(over, row("interior", "paint", "b", colour="red"))

    assert answers_alike(two(BLACK), two({}))


@pytest.mark.parametrize("word", ["cooking-soot", "burnt-after-breakage", "burial-stain", "repainted"])
def test_what_happened_after_the_firing_flattens_its_zone(word: str) -> None:
    """By hand: share times the mean, the rest as it was. Other zones keep their say."""
    share = float(Case.of(sherd()).model.tables.scalar("after_firing", word)[0])
    slot = Slot("colour", LINE, "interior")
    clean = needed(painted(BLACK), LINE, "colour")[slot]
    dirty = needed(painted(BLACK | {"after_firing": word}), LINE, "colour")[slot]
    assert dirty == pytest.approx((1 - share) * clean + share * clean.mean())
    elsewhere = painted(BLACK, row("exterior", "body", after_firing=word))
    assert needed(elsewhere, LINE, "colour")[slot] == pytest.approx(clean)
    beside = painted(BLACK, row("interior", "body", after_firing=word))
    assert needed(beside, LINE, "colour")[slot] == pytest.approx(dirty)


@pytest.mark.xfail(
    raises=AssertionError, reason="the colour in the break is not flattened by what happened to the break"
)
def test_what_happened_to_the_break_flattens_its_colour() -> None:
    clean, burnt = (
        sherd(row("break", "body", colour="grey", **cells))
        for cells in ({}, {"after_firing": "burnt-after-breakage"})
    )
    before = chances(sherd(), "whole atmosphere")["oxidising"]
    moved = abs(chances(burnt, "whole atmosphere")["oxidising"] - before)
    assert moved < 0.5 * abs(chances(clean, "whole atmosphere")["oxidising"] - before)
