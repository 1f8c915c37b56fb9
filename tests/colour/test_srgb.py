"""sRGB to Lab, against colour-science and its own inverse."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.colour.srgb import lightness_to_light, linear_to_lab, to_linear

shares = st.floats(0, 1)


def test_against_colour_science() -> None:
    colour = pytest.importorskip("colour")
    coded = np.random.default_rng(1).uniform(0, 1, (200, 3))
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    theirs = colour.XYZ_to_Lab(colour.sRGB_to_XYZ(coded), white)
    # second route: colour-science 0.4.7, whose matrix has more places than the four of the standard
    np.testing.assert_allclose(linear_to_lab(to_linear(coded)), theirs, atol=0.05)


@given(shares)
def test_a_grey_has_no_colour(light: float) -> None:
    _, a, b = linear_to_lab([light, light, light])
    assert abs(a) < 1e-9
    assert abs(b) < 1e-9


@given(st.floats(0, 100))
def test_lightness_and_light_are_inverse(lightness: float) -> None:
    light = lightness_to_light(lightness)
    assert float(linear_to_lab([light] * 3)[0]) == pytest.approx(lightness, abs=1e-9)


@given(shares, shares)
def test_light_rises_with_what_is_coded(one: float, other: float) -> None:
    assert (to_linear(one) <= to_linear(other)) == (one <= other) or to_linear(one) == to_linear(other)
