"""What tests are expected to say of which of two techniques a sherd is."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology.technique import hypotheses as h
from wareontology.technique.tell_apart import _bits, tell_apart

SHARED = [("slip", None), ("paint", "black")]
LABELS = st.fixed_dictionaries(
    {},
    optional={
        "atmosphere": st.frozensets(st.sampled_from(h.ATMOSPHERE), min_size=1, max_size=2),
        "ending": st.frozensets(st.sampled_from(h.ENDING), min_size=1, max_size=2),
        "temperature": st.frozensets(st.sampled_from(h.TEMPERATURE), min_size=1, max_size=2),
        "materials:paint:black": st.frozensets(st.sampled_from(h.PAINT), min_size=1, max_size=2),
        "materials:slip": st.frozensets(st.sampled_from(h.SLIP), min_size=1, max_size=2),
        "materials:body": st.frozensets(st.sampled_from(h.BODY), min_size=1, max_size=2),
        "carbon:body": st.frozensets(st.sampled_from(h.CARBON), min_size=1, max_size=1),
        "applied:paint:black": st.frozensets(st.sampled_from(h.APPLIED), min_size=1, max_size=1),
    },
)


def bits(first: dict[str, frozenset[str]], second: dict[str, frozenset[str]]) -> dict[tuple[str, str], float]:
    return {(told.test, told.where): told.bits for told in tell_apart(first, second, SHARED)}


@settings(max_examples=12, deadline=None)
@given(LABELS, LABELS)
def test_bits_lie_between_nothing_and_one_and_do_not_depend_on_which_is_first(
    first: dict[str, frozenset[str]], second: dict[str, frozenset[str]]
) -> None:
    """Also labels that no fire can have together, such as oxidising and sealed, still get an answer."""
    there, back = bits(first, second), bits(second, first)
    assert all(0 <= value <= 1 for value in there.values())
    assert there.keys() == back.keys()
    assert all(there[key] == pytest.approx(back[key], abs=1e-9) for key in there)


@settings(max_examples=6, deadline=None)
@given(LABELS)
def test_nothing_tells_a_technique_from_itself(labels: dict[str, frozenset[str]]) -> None:
    assert tell_apart(labels, labels, SHARED) == ()


def test_a_manganese_black_and_an_iron_black_are_told_apart_by_what_they_hold() -> None:
    iron, manganese = ({"materials:paint:black": frozenset({name})} for name in ("iron", "manganese"))
    found = tell_apart(iron, manganese, SHARED)
    assert found[0].test == "pxrf"
    best = {one.seen: one for one in found[0].outcomes}
    assert best["Mn well above its ground"].second > 0.8 > 0.2 > best["Mn well above its ground"].first
    assert "X-rays" in found[0].caution
    assert found[0].needs_leave


def test_a_fire_is_told_by_the_colour_of_the_clay() -> None:
    """A red-firing body is red in air and grey where air was kept out; what is in the paint says less."""
    red = {"materials:body": frozenset({"red-firing"})}
    air = red | {"atmosphere": frozenset({"oxidising"}), "ending": frozenset({"in-air"})}
    kept = red | {"atmosphere": frozenset({"reducing"}), "ending": frozenset({"sealed"})}
    found = bits(air, kept)
    assert found["colour-body", "body, exterior"] > 0.4
    assert found["colour-body", "body, exterior"] > 2 * found.get(("pxrf", "paint:black, exterior"), 0.0)


def test_looking_destroys_nothing_and_what_destroys_says_so() -> None:
    iron, plant = ({"materials:paint:black": frozenset({name})} for name in ("iron", "organic"))
    by_test = {told.test: told for told in tell_apart(iron, plant, SHARED)}
    assert by_test["edge"].destroys == "nothing"
    assert not by_test["edge"].needs_leave
    assert "chip" in by_test["refire"].destroys
    assert by_test["refire"].needs_leave


def test_bits_of_outcomes_that_share_nothing_and_of_equal_ones() -> None:
    # second route: one bit where the outcome settles it, none where it says nothing, and by hand between
    assert _bits(np.array([1.0, 0.0]), np.array([0.0, 1.0])) == pytest.approx(1.0)
    assert _bits(np.array([0.3, 0.7]), np.array([0.3, 0.7])) == pytest.approx(0.0, abs=1e-12)
    # P(first outcome) = 3/4 leaves odds of 2 to 1, the second leaves none: 1 - 3/4 H(1/3) bits
    left = -(1 / 3) * math.log2(1 / 3) - (2 / 3) * math.log2(2 / 3)
    assert _bits(np.array([1.0, 0.0]), np.array([0.5, 0.5])) == pytest.approx(1 - 0.75 * left, abs=1e-12)
