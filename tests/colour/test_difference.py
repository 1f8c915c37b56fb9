"""CIEDE2000 against the published pairs."""

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from wareontology.colour.difference import ciede2000

PUBLISHED = Path(__file__).parents[1] / "published" / "ciede2000_sharma34.csv"

labs = st.tuples(st.floats(0, 100), st.floats(-120, 120), st.floats(-120, 120))


def pairs() -> NDArray[np.float64]:
    with PUBLISHED.open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        names = ("L1", "a1", "b1", "L2", "a2", "b2", "dE00")
        return np.array([[float(row[name]) for name in names] for row in rows])


def test_all_34_published_pairs() -> None:
    known = pairs()
    assert known.shape == (34, 7)
    # published: Sharma, Wu & Dalal 2005, Table 1, printed to four decimals
    np.testing.assert_allclose(ciede2000(known[:, :3], known[:, 3:6]), known[:, 6], rtol=0, atol=1e-4)


def test_one_pair_at_a_time_is_the_same_as_all_at_once() -> None:
    known = pairs()
    at_once = ciede2000(known[:, :3], known[:, 3:6])
    one_by_one = [float(ciede2000(row[:3], row[3:6])) for row in known]  # second route: no broadcasting
    np.testing.assert_allclose(one_by_one, at_once, rtol=0, atol=1e-12)


def test_one_colour_against_many() -> None:
    many = np.array([[50.0, 0, 0], [60.0, 5, 5], [20.0, -5, 30]])
    each = [float(ciede2000(many[0], other)) for other in many]
    np.testing.assert_allclose(ciede2000(many[0], many), each, rtol=0, atol=1e-12)


@settings(deadline=None)
@given(labs, labs)
def test_never_negative_and_the_same_both_ways(one: tuple[float, ...], other: tuple[float, ...]) -> None:
    there, back = float(ciede2000(one, other)), float(ciede2000(other, one))
    assert there >= 0
    # Just opposite hues are the formula's own break; exactly there rounding may pick either side of it.
    assert there == pytest.approx(back, abs=1e-9) or _opposite(one, other)


@settings(deadline=None)
@given(labs)
def test_a_colour_does_not_differ_from_itself(lab: tuple[float, ...]) -> None:
    assert float(ciede2000(lab, lab)) == 0


@settings(deadline=None)
@given(st.floats(0, 100), st.floats(0, 100))
def test_two_greys_differ_by_lightness_alone(low: float, high: float) -> None:
    # second route: with no chroma the formula is |dL| / S_L
    mean = (low + high) / 2
    s_l = 1 + 0.015 * (mean - 50) ** 2 / (20 + (mean - 50) ** 2) ** 0.5
    assert float(ciede2000((low, 0, 0), (high, 0, 0))) == pytest.approx(abs(high - low) / s_l, abs=1e-9)


@pytest.mark.parametrize("wrong", [5.0, [1.0, 2.0], [[1.0, 2.0, 3.0, 4.0]]])
def test_refuses_what_is_no_lab(wrong: object) -> None:
    with pytest.raises(ValueError, match="would do"):
        ciede2000(wrong, [50, 0, 0])  # type: ignore[arg-type]


def _opposite(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    hues = [math.degrees(math.atan2(b, a)) for _, a, b in (one, other)]
    return abs(abs(hues[0] - hues[1]) - 180) < 0.01
