"""A test of two traits of which one was seen is offered for the other."""

import pytest

from tests.technique.helpers_sherds import chip, painted, row, sherd
from wareontology.sherd.record import Sherd
from wareontology.technique.case import Case
from wareontology.technique.next_test import examinations, next_tests, plans


def outcomes(found: Sherd, test: str) -> list[int]:
    """How many outcomes each plan of a test has on a sherd."""
    return [len(plan.outcomes) for plan in plans(Case.of(found)) if plan.test.test == test]


@pytest.mark.parametrize(
    ("seen", "test", "left"),
    [
        ({}, "lustre", 8),  # 4 lustres, sintered or not
        ({"lustre": "glossy"}, "lustre", 2),
        ({"sintered": "yes"}, "lustre", 4),
        ({"edge": "sharp"}, "edge", 3),
        ({"pxrf_mn": "50", "pxrf_mn_ground": "40"}, "pxrf", 4),  # iron and lead, above or not
    ],
)
def test_it_is_offered_for_what_is_left(seen: dict[str, str], test: str, left: int) -> None:
    assert outcomes(painted({"colour": "black", **seen}), test) == [left]


@pytest.mark.parametrize(
    ("seen", "test"),
    [
        ({"lustre": "glossy", "sintered": "no"}, "lustre"),
        ({"edge": "sharp", "relief": "flat"}, "edge"),
        ({"refire_c": "900", "refire_colour": "red"}, "refire"),  # the chip is gone
    ],
)
def test_with_all_seen_it_is_not_offered(seen: dict[str, str], test: str) -> None:
    assert outcomes(painted({"colour": "black", **seen}), test) == []


def test_sintering_still_tells_where_only_the_gloss_was_seen() -> None:
    case = Case.of(painted({"colour": "black", "lustre": "glossy"}))
    offered = {found["test"]: found["gain_bits"] for found in next_tests(case, ("paint:line",))}
    assert offered["lustre"] > 0.005  # type: ignore[operator]


def test_a_chip_of_the_broken_edge_is_a_colour_seen() -> None:
    grey = sherd(row("break", "body", munsell=chip("N 5/", grey=1.0)))
    (test,) = (test for test in examinations() if test.test == "look-at-break")
    cores = len(dict(test.varies)["core"])
    assert outcomes(grey, "look-at-break") == [cores]


def test_a_colour_elsewhere_is_not_that_of_the_broken_edge() -> None:
    outside = sherd(row("exterior", "body", munsell=chip("10YR 6/1", grey=1.0)))
    assert outcomes(outside, "look-at-break") == [24]  # 4 cores, 6 colours
    gain = next_tests(Case.of(outside), ("body",))
    assert "look-at-break" in {found["test"] for found in gain}
