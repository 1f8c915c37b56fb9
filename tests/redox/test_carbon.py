"""Carbon burning out: the trial's tables, and directions."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import OutOfRange
from wareontology.redox import carbon, cooling
from wareontology.redox.constants import Constants

from .strategies import TABLE, carbon_activations


@pytest.mark.parametrize(
    ("temperature_c", "half_life_s"),
    [  # model: trial calculation, E 130 and 183 kJ/mol
        (300, (9e4, 9e5)), (350, (1e4, 4e4)), (400, (1600, 3000)), (450, (320, 320)), (500, (80, 44)),
        (600, (8, 1.7)), (700, (1.2, 0.13)),
    ],
)  # fmt: skip
def test_half_life(constants: Constants, temperature_c: float, half_life_s: tuple[float, float]) -> None:
    found = np.log(2) / carbon.rate_per_s(constants, temperature_c, [130, 183])
    assert found == pytest.approx(half_life_s, rel=0.06)


@pytest.mark.parametrize(
    ("pulled_c", "left"), [(800, (0, 0)), (600, (0.40, 0.05)), (500, (0.90, 0.87)), (400, (0.99, 1.0))]
)
def test_carbon_left_on_a_pulled_bowl(
    constants: Constants, pulled_c: float, left: tuple[float, float]
) -> None:
    # model: trial calculation
    found = carbon.left(constants, *cooling.curve(constants, pulled_c, 30), [130, 183])
    assert found[:, -1] == pytest.approx(left, abs=0.03)


def test_record_burns_fastest_at_its_peak(constants: Constants) -> None:
    """Second route to Kissinger's condition: heat at 10 K/min and see where the burning is fastest."""
    temperature = np.linspace(200, 800, 6001)
    times = (temperature - 200) * 6
    for activation in (100, 130, 183):
        left = carbon.left(constants, times, temperature, activation)
        burning = left * carbon.rate_per_s(constants, temperature, activation)
        assert temperature[np.argmax(burning)] == pytest.approx(476.85, abs=0.2)


@pytest.mark.parametrize(("thickness_m", "seconds"), [(1e-3, 77), (5e-3, 32 * 60)])
def test_limited_by_oxygen(constants: Constants, thickness_m: float, seconds: float) -> None:
    # model: trial calculation, 2 % carbon, 650 degC
    assert carbon.diffusion_limited_s(constants, thickness_m, 650) == pytest.approx(seconds, rel=0.1)


def test_oxygen_gets_deeper_into_cooler_charcoal(constants: Constants) -> None:
    # model: trial calculation, 400, 350, 300, 250 degC, E 183: 1.2, 4.2, 19, 115 cm
    found = 100 * carbon.penetration_m(constants, [400, 350, 300, 250], 183)
    assert found == pytest.approx([1.2, 4.2, 19, 115], rel=0.06)


@given(st.floats(1e-5, 0.05), st.floats(1.01, 4), st.floats(400, 1000))
def test_time_goes_with_the_square_of_thickness(
    thickness_m: float, times: float, temperature_c: float
) -> None:
    thin, thick = carbon.diffusion_limited_s(TABLE, [thickness_m, thickness_m * times], temperature_c)
    assert thick / thin == pytest.approx(times**2)


@given(carbon_activations, st.floats(200, 900), st.floats(1, 150), st.floats(1, 1000))
def test_hotter_leaves_less(activation: float, temperature_c: float, step: float, seconds: float) -> None:
    cool, warm = (
        carbon.left(TABLE, [0, seconds], [t, t], activation)[-1]
        for t in (temperature_c, temperature_c + step)
    )
    assert warm <= cool


@given(carbon_activations, st.floats(200, 900))
def test_without_oxygen_nothing_burns(activation: float, temperature_c: float) -> None:
    found = carbon.left(TABLE, [0, 1e4], [temperature_c, temperature_c], activation, oxygen_share=[0, 0])
    assert found == pytest.approx([1, 1])


def test_impossible_layers_are_refused(constants: Constants) -> None:
    with pytest.raises(OutOfRange, match=r"thickness_m: found -0.001"):
        carbon.diffusion_limited_s(constants, -1e-3, 650)
    with pytest.raises(OutOfRange, match=r"carbon_share: found 1.5"):
        carbon.diffusion_limited_s(constants, 1e-3, 650, carbon_share=1.5)
    with pytest.raises(OutOfRange, match=r"oxygen_share: found -0.2"):
        carbon.left(constants, [0, 1], [500, 500], oxygen_share=-0.2)
