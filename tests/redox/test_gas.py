"""Equilibrium gas: second routes, the trap of the carbon line, directions, and what is refused."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import OutOfRange
from wareontology.redox import buffers, gas
from wareontology.redox.constants import Constants

from .strategies import TABLE, altitudes_m

# Second route: trial calculation, computed apart.
LOG_K = {600: (12.362, 11.936), 700: (10.623, 10.416), 850: (8.598, 8.637), 1000: (7.054, 7.273)}

Call = Callable[[Constants], object]


@pytest.mark.parametrize("temperature_c", LOG_K)
def test_equilibrium_constants(constants: Constants, temperature_c: int) -> None:
    monoxide, steam = LOG_K[temperature_c]
    assert gas.log10_k_carbon_monoxide(constants, temperature_c) == pytest.approx(monoxide, abs=0.01)
    assert gas.log10_k_steam(constants, temperature_c) == pytest.approx(steam, abs=0.01)


@pytest.mark.parametrize(
    ("pressure_bar", "expected"),
    [  # second route: trial calculation (cantera), 300 to 1000 degC
        (1.0, {300: -36.01, 500: -26.75, 600: -23.80, 700: -21.66, 850: -19.68, 900: -19.21, 1000: -18.40}),
        (0.35, {300: -36.46, 500: -27.22, 600: -24.34, 700: -22.37, 800: -21.08, 1000: -19.31}),
    ],
)
def test_trap_carbon_and_its_gases_are_computed(
    constants: Constants, pressure_bar: float, expected: dict[float, float]
) -> None:
    """A published line for this lies 1 to 4 units off at 800 degC."""
    found = gas.log10_oxygen_over_carbon(constants, list(expected), pressure_bar)
    assert found == pytest.approx(list(expected.values()), abs=0.02)


def test_carbon_meets_wuestite_and_iron_at_the_known_shares_of_monoxide(constants: Constants) -> None:
    # trial calculation (computed): 40 % CO at 644 degC, 60 % at 695 degC, within 3 %
    assert gas.boudouard_monoxide_share(constants, [644, 695]) == pytest.approx([0.40, 0.60], abs=0.03)


@pytest.mark.parametrize(
    ("pair", "ratios"),
    [  # second route: trial calculation, CO/CO2 at 600, 700, 800, 850, 1000 degC
        ("hematite-magnetite", (1.14e-5, 2.01e-5, 3.06e-5, 3.67e-5, 5.8e-5)),
        ("magnetite-wuestite", (0.83, 0.53, 0.37, 0.32, 0.21)),
        ("hausmannite-manganosite", (1.7e-5, 3.7e-5, 0.7e-4, 0.9e-4, 1.9e-4)),
        ("cuprite-copper", (8e-7, 4e-6, 1.5e-5, 2.7e-5, 1.2e-4)),
        ("litharge-lead", (3.3e-5, 8.3e-5, 1.75e-4, 2.4e-4, 7e-4)),
    ],
)
def test_ratio_that_holds_each_pair(constants: Constants, pair: str, ratios: tuple[float, ...]) -> None:
    temperature = [600, 700, 800, 850, 1000]
    found = gas.co_co2(constants, temperature, buffers.log10_oxygen(constants, pair, temperature))
    assert np.log10(found) == pytest.approx(np.log10(ratios), abs=0.06)


def test_air_thins_with_height(constants: Constants) -> None:
    # ICAO standard atmosphere: 746.9 hPa at 2500 m, 540.2 hPa at 5000 m (memory)
    assert gas.air_pressure_bar(constants, [0, 2500, 5000]) == pytest.approx(
        [1.01325, 0.7469, 0.5402], abs=2e-4
    )
    assert 10 ** gas.log10_oxygen_of_air(constants, 2500) == pytest.approx(0.156, abs=0.001)


@given(st.floats(300, 1200), st.floats(-6, 3), st.floats(0.01, 3))
def test_more_monoxide_means_less_oxygen(temperature_c: float, exponent: float, step: float) -> None:
    lean, rich = gas.log10_oxygen_of_co_co2(TABLE, temperature_c, [10**exponent, 10 ** (exponent + step)])
    assert rich - lean == pytest.approx(-2 * step, abs=1e-9)


@given(st.floats(300, 1200), st.floats(-8, 4))
def test_ratio_and_oxygen_are_inverse(temperature_c: float, exponent: float) -> None:
    oxygen = gas.log10_oxygen_of_co_co2(TABLE, temperature_c, 10**exponent)
    assert np.log10(gas.co_co2(TABLE, temperature_c, oxygen)) == pytest.approx(exponent, abs=1e-9)
    steam = gas.log10_oxygen_of_h2_h2o(TABLE, temperature_c, 10**exponent)
    assert np.log10(gas.h2_h2o(TABLE, temperature_c, steam)) == pytest.approx(exponent, abs=1e-9)


@given(altitudes_m, st.floats(1, 900))
def test_higher_means_less_oxygen(altitude_m: float, step: float) -> None:
    low, high = gas.log10_oxygen_of_air(TABLE, [altitude_m, altitude_m + step])
    assert high < low


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda c: gas.log10_oxygen_of_co_co2(c, 800, -0.1), "co_co2: found -0.1.*ratio of volumes"),
        (lambda c: gas.log10_oxygen_of_co_co2(c, 800, 0), "co_co2: found 0"),
        (lambda c: gas.log10_oxygen_of_h2_h2o(c, 800, -1), "h2_h2o: found -1"),
        (lambda c: gas.log10_oxygen_of_share(-0.2, 1), "oxygen: found -0.2; would do: 1e-06 to 1"),
        (lambda c: gas.log10_oxygen_of_share(1.2, 1), "oxygen: found 1.2"),
        (lambda c: gas.log10_oxygen_of_co_co2(c, -300, 1e-4), "temperature_c: found -300"),
        (lambda c: gas.log10_oxygen_of_co_co2(c, 7000, 1e-4), "temperature_c: found 7000.*NASA TM-4513"),
        (lambda c: gas.air_pressure_bar(c, 20000), "altitude_m: found 20000; would do: -430 to 5500"),
    ],
)
def test_what_no_source_covers_is_refused(constants: Constants, call: Call, message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        call(constants)
