"""What counts as evidence, how often, and what says nothing."""

from collections.abc import Mapping

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.technique.helpers_networks import largest_difference, numbers
from tests.technique.helpers_sherds import chances, chip, factor, item, needed, odds, painted, row, sherd
from wareontology.sherd.record import Seen, Sherd
from wareontology.technique.case import Case
from wareontology.technique.network import Slot

Floats = NDArray[np.float64]
LINE = "paint:line"
BLACK = {"colour": "black"}


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


# --- what says nothing ---


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


def test_what_happened_to_the_break_flattens_its_colour() -> None:
    clean, burnt = (
        sherd(row("break", "body", colour="grey", **cells))
        for cells in ({}, {"after_firing": "burnt-after-breakage"})
    )
    before = chances(sherd(), "whole atmosphere")["oxidising"]
    moved = abs(chances(burnt, "whole atmosphere")["oxidising"] - before)
    assert moved < 0.5 * abs(chances(clean, "whole atmosphere")["oxidising"] - before)
