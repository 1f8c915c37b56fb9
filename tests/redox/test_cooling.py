"""A bowl in still air: trial numbers, directions, and what is refused. The check rows are in
test_published_checks."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import OutOfRange
from wareontology.redox import cooling
from wareontology.redox.constants import Constants

from .strategies import TABLE, altitudes_m, walls_m

Call = Callable[[Constants], object]


def test_still_air_on_a_sphere(constants: Constants) -> None:
    # trial calculation: 8.0, 7.5, 6.9, 5.5 W/m2/K at 800, 500, 300, 100 degC on 18 cm
    found = cooling.convection_w_m2_k(constants, [800, 500, 300, 100], 0.18)
    assert found == pytest.approx([8.0, 7.5, 6.9, 5.5], abs=0.08)


def test_temperature_when_covered(constants: Constants) -> None:
    # trial calculation: pulled at 800, covered after 5 to 120 s
    found = cooling.after_delay_c(constants, 800, [0, 5, 15, 30, 45, 60, 75, 90, 120])
    assert found == pytest.approx([800, 752, 675, 590, 526, 476, 435, 401, 348], abs=3)


def test_curve_keeps_its_ends_and_adds_up(constants: Constants) -> None:
    times, temperatures = cooling.curve(constants, 800, 100)
    assert (temperatures[0], temperatures[-1], times[0]) == (800, 100, 0)
    two_parts = cooling.seconds_to(constants, 800, 400) + cooling.seconds_to(constants, 400, 100)
    assert times[-1] == pytest.approx(two_parts, rel=1e-8)


@given(walls_m, st.floats(150, 1000), st.floats(0.15, 0.95))
def test_halving_the_wall_halves_the_time(wall_m: float, start_c: float, part: float) -> None:
    end_c = 60 + part * (start_c - 60)
    whole, half = (
        cooling.seconds_to(TABLE, start_c, end_c, cooling.bowl(TABLE, wall_m=wall))
        for wall in (wall_m, wall_m / 2)
    )
    assert half == pytest.approx(whole / 2, rel=1e-9)


@given(walls_m, st.floats(300, 1000), st.floats(0, 100), st.floats(0, 100))
def test_a_longer_delay_never_leaves_more_heat(
    wall_m: float, start_c: float, one: float, other: float
) -> None:
    vessel = cooling.bowl(TABLE, wall_m=wall_m)
    limit = float(cooling.curve(TABLE, start_c, vessel=vessel)[0][-1])
    found = cooling.after_delay_c(TABLE, start_c, np.minimum(sorted((one, other)), limit), vessel)
    assert found[1] <= found[0]


@given(altitudes_m, st.floats(300, 1000))
def test_thin_air_cools_more_slowly(altitude_m: float, start_c: float) -> None:
    from wareontology.redox.gas import air_pressure_bar

    high, sea = (
        cooling.curve(TABLE, start_c, 100, pressure_bar=float(air_pressure_bar(TABLE, height)))[0][-1]
        for height in (altitude_m, 0.0)
    )
    assert high >= sea


@given(st.floats(0.8, 0.94), st.floats(300, 1000))
def test_a_blacker_pot_cools_faster(emissivity: float, start_c: float) -> None:
    vessel = cooling.bowl(TABLE)
    grey, black = (
        cooling.seconds_to(TABLE, start_c, 100, replace(vessel, emissivity=e))
        for e in (emissivity, emissivity + 0.05)
    )
    assert black < grey


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda c: cooling.curve(c, 800, 10), "end_c: found 10; would do: 20 to 800"),
        (lambda c: cooling.curve(c, 300, 400), "end_c: found 400"),
        (lambda c: cooling.curve(c, 1500, 100), "temperature_c: found 1500"),
        (lambda c: cooling.bowl(c, wall_m=-0.005), "wall_m: found -0.005"),
        (lambda c: cooling.after_delay_c(c, 800, -5), "delay_s: found -5"),
        (lambda c: cooling.after_delay_c(c, 800, 1e5), "delay_s: found 100000"),
        (lambda c: cooling.convection_w_m2_k(c, -300, 0.18), "surface_c: found -300"),
        (lambda c: cooling.lumped_seconds(1, 25, 300, 200), "start over end"),
    ],
)
def test_what_cannot_be_is_refused(constants: Constants, call: Call, message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        call(constants)
