"""What the answer must show, one test a line, on the cases in tests/cases/shown.

Every threshold is a floor that was set before the numbers were known (common practice and judgement); it is
no published value. Where a line says "clearly" or "little", the test says what that was taken to mean.
"""

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from math import log2
from pathlib import Path
from typing import Any

import pytest

from wareontology.graph.vocabulary import scheme, white_firing_clay
from wareontology.sherd.record import Seen, Sherd
from wareontology.sherd.table import read
from wareontology.technique.answer import answer

Answer = Mapping[str, Any]

SHOWN = Path(__file__).parents[1] / "cases" / "shown"
PLATEAU = "colorado-plateau"


@cache
def sherds(file: str) -> Mapping[str, Sherd]:
    reading = read(SHOWN / f"{file}.csv")
    assert not reading.faults, reading.faults
    return {sherd.sherd: sherd for sherd in reading.sherds}


@cache
def shown(file: str, sherd: str) -> Answer:
    found: Answer = answer(sherds(file)[sherd])
    return found


def only(file: str) -> Answer:
    """The answer of a case that holds one sherd."""
    (sherd,) = sherds(file)
    return shown(file, sherd)


def top(odds: Mapping[str, float]) -> str:
    return max(odds, key=lambda value: odds[value])


def family(found: Answer, unit: str, name: str) -> float:
    return float(found["families"][unit][name])


def words(found: object) -> str:
    """All text in a part of an answer, in one line of small letters."""
    if isinstance(found, Mapping):
        return " ".join(words(part) for part in found.values())
    if isinstance(found, list | tuple):
        return " ".join(words(part) for part in found)
    return str(found).casefold()


def offered(tests: list[Mapping[str, Any]], *stems: str) -> list[str]:
    """The tests whose name holds one of these stems."""
    return [test["test"] for test in tests if any(stem in test["test"].casefold() for stem in stems)]


def log_odds_bits(p: float) -> float:
    return log2(p / (1.0 - p))


def white_firing_is_common() -> str:
    """First region of the tree where white-firing clay is common."""
    regions = scheme("region").notations()
    return next(region for region in regions if white_firing_clay(region).value == "common")


@cache
def plain_where_white_clay_is_common() -> Answer:
    sherd = sherds("plain_case")["plain"]
    region = white_firing_is_common()
    moved = replace(sherd, seen={**sherd.seen, "region": Seen("region", region, ((region, 1.0),))})
    found: Answer = answer(moved)
    return found


def test_plain_case_on_the_plateau_is_not_oxidising_and_iron() -> None:
    """Plain case, Colorado Plateau, interior, exterior and break looked at whole, no red anywhere:
    P(oxidising) ≤ 0.15, iron family the top paint."""
    found = only("plain_case")
    assert found["atmosphere"]["oxidising"] <= 0.15
    assert top(found["families"]["paint:line"]) == "iron-family"


def test_plain_case_without_a_region_is_less_sure_of_iron() -> None:
    """The same with no region given: less sure of iron."""
    there, nowhere = only("plain_case"), only("plain_case_no_region")
    assert family(nowhere, "paint:line", "iron-family") < family(there, "paint:line", "iron-family")


def test_plain_case_where_white_firing_clay_is_common_is_likelier_oxidising() -> None:
    """In a region where white-firing clay is common: P(oxidising) clearly higher than on the Plateau.

    Clearly: the odds are at least doubled.
    """
    there = only("plain_case")["atmosphere"]["oxidising"]
    common = plain_where_white_clay_is_common()["atmosphere"]["oxidising"]
    assert log_odds_bits(common) >= log_odds_bits(there) + 1.0


def test_plain_case_without_a_region_asks_for_refiring_or_pxrf_first() -> None:
    """With no region, refiring a chip or pXRF is the first or second next test."""
    tests = only("plain_case_no_region")["next_tests"]
    assert offered(tests[:2], "refir", "xrf"), tests


@pytest.mark.parametrize("sherd", ["plain-no-region-untouchable", "plain-untouchable"])
def test_without_permission_nothing_is_taken(sherd: str) -> None:
    """With `permission` none, neither a refiring nor a sample is offered."""
    tests = shown("plain_case_permission_none", sherd)["next_tests"]
    assert tests
    assert not offered(tests, "refir", "sampl", "slake", "acid", "xrf", "rub", "streak", "hardness")
    assert not [test for test in tests if test["needs_leave"]], "none allows looking and the magnet only"


def test_permission_none_is_what_keeps_the_refiring_back() -> None:
    """The same sherd with no word on permission is offered a refiring."""
    assert offered(only("plain_case_no_region")["next_tests"], "refir")


@pytest.mark.parametrize(("sherd", "floor"), [("refired", 0.95), ("refired-no-region", 0.85)])
def test_refired_red_on_buff_ground_is_iron(sherd: str, floor: float) -> None:
    """Plus refired at 800 °C, paint red, bare ground refired beside it buff: iron family ≥ 0.95 on the
    Plateau, ≥ 0.85 with no region."""
    assert family(shown("plain_case_refired_red", sherd), "paint:line", "iron-family") >= floor


def test_black_and_red_on_cream_is_manganese_in_air() -> None:
    """Buff body, cream slip, sharp matte black and red paint: oxidising ≥ 0.85, manganese family ≥ 0.85."""
    found = only("black_and_red_on_cream")
    assert found["atmosphere"]["oxidising"] >= 0.85
    assert family(found, "paint:black", "manganese-family") >= 0.85


def test_soft_black_that_goes_on_refiring_is_organic() -> None:
    """Soft-edged soaked-in black that is gone at 750 °C, grey body, white slip: organic top ≥ 0.9, not
    oxidising ≥ 0.85."""
    found = only("soft_black_gone_on_refiring")
    assert top(found["materials"]["paint:line"]) == "organic"
    assert found["materials"]["paint:line"]["organic"] >= 0.9
    assert 1.0 - found["atmosphere"]["oxidising"] >= 0.85


@pytest.mark.parametrize("sherd", ["on-red-slip", "on-red-body"])
def test_glossy_raised_black_with_specks_is_glaze_or_undecided(sherd: str) -> None:
    """Glossy raised black with white specks on red: lead-copper glaze the top or undecided, pXRF the first
    or second next test."""
    found = shown("glossy_raised_black", sherd)
    verdict = found["verdict"]["paint:line"]
    assert top(found["materials"]["paint:line"]) == "lead-copper-glaze" or verdict["state"] == "undecided"
    assert offered(found["next_tests"][:2], "xrf"), found["next_tests"]


@pytest.mark.parametrize("sherd", ["lead-on-red-slip", "lead-on-red-body", "lead-on-white-slip"])
def test_lead_far_above_the_ground_is_glaze(sherd: str) -> None:
    """With lead far above the ground: glaze ≥ 0.9, on red and, with a grey body and no red anywhere, on
    white slip."""
    assert shown("glossy_raised_black_lead", sherd)["materials"]["paint:line"]["lead-copper-glaze"] >= 0.9


def test_white_slip_with_red_patches_is_not_called_reduced() -> None:
    """White slip, brown-black lines with red patches, dark grey body, region East Mediterranean:
    P(reducing) < 0.5."""
    assert only("white_slip_red_patches")["atmosphere"]["reducing"] < 0.5


def test_black_on_red_slip_is_manganese_in_air() -> None:
    """Red slip and sharp matte black paint: manganese family, oxidising."""
    for sherd in ("on-red-slip", "on-red-slip-no-region"):
        found = shown("one_workshop", sherd)
        assert top(found["families"]["paint:line"]) == "manganese-family", sherd
        assert top(found["atmosphere"]) == "oxidising", sherd


def test_the_same_black_on_white_slip_is_iron_out_of_air() -> None:
    """The same black on white slip on the Plateau: iron, not oxidising."""
    found = shown("one_workshop", "on-white-slip")
    assert top(found["families"]["paint:line"]) == "iron-family"
    assert found["atmosphere"]["oxidising"] < 0.5


def test_sintered_gloss_on_red_is_gloss_with_an_air_finish() -> None:
    """Glossy black, sintered under the lens, on a red body: gloss top, ending `air-finish`."""
    found = only("sintered_gloss_on_red")
    assert top(found["materials"]["paint:coat"]) == "gloss"
    assert top(found["ending"]) == "air-finish"


@pytest.mark.parametrize("sherd", ["coat", "bare-body"])
def test_black_polished_coat_is_reduced_or_smudged(sherd: str) -> None:
    """A coat that is black and polished inside and out with a dark core: reducing or smudged,
    oxidising-and-in-air < 0.1.

    The answer gives atmosphere and ending apart. Both at once are no likelier than the less likely of them.
    """
    found = shown("black_polished_coat", sherd)
    assert top(found["atmosphere"]) == "reducing" or top(found["ending"]) == "smudged"
    assert min(found["ending"]["in-air"], found["atmosphere"]["oxidising"]) < 0.1


def test_red_drips_outside_treble_the_odds_of_mouth_down() -> None:
    """P(mouth-down) at least three times what it is for the same paint black outside too."""
    red = shown("red_drips_outside", "red-outside")["ending"]["mouth-down"]
    black = shown("red_drips_outside", "black-outside")["ending"]["mouth-down"]
    assert red >= 3.0 * black


def test_red_drips_outside_say_where_the_air_was() -> None:
    """`air` says sealed inside, open or leaked outside; the ending is mouth-down or sealed with a leaky
    cover."""
    found = shown("red_drips_outside", "red-outside")
    assert top(found["air"]["interior"]) == "sealed"
    assert found["air"]["exterior"]["open"] + found["air"]["exterior"]["leaked"] > 0.5
    assert top(found["ending"]) in {"mouth-down", "sealed"}


def test_red_drips_outside_say_what_would_tell_the_endings_apart() -> None:
    """The answer says what would tell them apart: the margins in the break, the rim, or how the pot stood."""
    found = shown("red_drips_outside", "red-outside")
    said = words([found["verdict"]["ending"], found["next_tests"], found["not_looked"]])
    assert any(sign in said for sign in ("margin", "rim", "stacking", "fuel")), said


def test_colour_over_a_broken_edge_says_nothing_of_the_firing() -> None:
    """The colour runs over the broken edge: the firing is not concluded from it."""
    runs_over = shown("colour_over_broken_edge", "runs-over")
    edge_only = shown("colour_over_broken_edge", "nothing-but-the-edge")
    stops = shown("colour_over_broken_edge", "stops-at-the-edge")
    for question in ("atmosphere", "ending", "temperature"):
        assert runs_over[question] == pytest.approx(edge_only[question], abs=0.02), question
    assert runs_over["verdict"]["atmosphere"]["state"] == "undecided"
    # the same black does count where it stops at the edge, so that this test can fail
    assert abs(stops["atmosphere"]["oxidising"] - runs_over["atmosphere"]["oxidising"]) > 0.05


def test_colour_over_a_broken_edge_says_why() -> None:
    """... and the answer says why."""
    found = shown("colour_over_broken_edge", "runs-over")
    said = [words(finding) for finding in found["findings"]] + [words(rule) for rule in found["not_applied"]]
    assert any("edge" in line or "break" in line for line in said), said
    clear = shown("colour_over_broken_edge", "stops-at-the-edge")
    rules = {finding["rule"] for finding in found["findings"]}
    assert rules - {finding["rule"] for finding in clear["findings"]}


def test_nothing_but_white_slip_is_undecided() -> None:
    """Nothing but "white slip": undecided, told what to look at next."""
    found = only("only_white_slip")
    decided = [question for question, verdict in found["verdict"].items() if verdict["state"] == "decided"]
    assert not decided
    assert found["next_tests"]
    assert "outside" in words(found["not_looked"])


def test_a_blank_exterior_is_never_no_red_outside() -> None:
    """A blank exterior is never read as "no red outside"."""
    for found in (only("only_white_slip"), shown("plain_case_blank_exterior", "exterior-not-looked-at")):
        said = words([finding["because"] for finding in found["findings"]])
        assert "no red" not in said, said
    blank = shown("plain_case_blank_exterior", "exterior-not-looked-at")
    whole = shown("plain_case_blank_exterior", "seen-whole")
    assert any("exterior not looked at" in words(rule["why"]) for rule in blank["not_applied"])
    # looking and finding no red is evidence against air; not looking is none
    assert whole["atmosphere"]["oxidising"] < blank["atmosphere"]["oxidising"]


def test_black_in_four_zones_is_not_four_witnesses() -> None:
    """Black in one zone or in four: the paint's odds move little.

    Little: the odds of no family as much as double or halve.
    """
    one = shown("black_in_one_zone_or_four", "one-zone")["families"]["paint:line"]
    four = shown("black_in_one_zone_or_four", "four-zones")["families"]["paint:line"]
    assert top(one) == top(four)
    for name in ("iron-family", "manganese-family", "organic"):
        assert abs(log_odds_bits(four[name]) - log_odds_bits(one[name])) < 1.0, name


@pytest.mark.xfail(
    strict=True,
    reason="2.66 bits, and an item is named above 3: in the judged tables manganese and a soft soaked-in "
    "edge are not rare enough together; no number was moved for this one case",
)
def test_soft_black_with_manganese_names_the_contradiction() -> None:
    """A soft soaked-in black with manganese far above its ground: the contradiction is named with its
    item."""
    conflict = only("soft_black_with_manganese")["conflict"]
    traits = [words(item["trait"]) for item in conflict["items"] if item["unit"] == "paint:line"]
    assert any("mn" in trait or "pxrf" in trait or "edge" in trait for trait in traits), conflict
    assert conflict["bits"] > 3.0  # the limit at which an item is in conflict
