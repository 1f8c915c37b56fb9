"""What oxygen pressure a gas holds: carbon monoxide and dioxide, hydrogen and steam, free oxygen, carbon,
altitude.

All equilibrium, log10 of oxygen fugacity in bar, ideal gas. Below about 600 degC a fire's gas is not at
equilibrium.
"""

import numpy as np
from numpy.typing import ArrayLike

from wareontology.redox.arrays import Floats, floats, within
from wareontology.redox.constants import Constants
from wareontology.redox.thermochemistry import gibbs_j_mol

_RATIO = "a ratio of volumes, above zero"
_SHARE = "a share of the gas by volume; with less than a millionth give CO/CO2 instead"


def log10_k_carbon_monoxide(constants: Constants, temperature_c: ArrayLike) -> Floats:
    """log10 K of CO + 1/2 O2 = CO2 (bar^-1/2), from NASA TM-4513; range and source as its rows.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(log10_k_carbon_monoxide(load(data("constants.csv")), [600, 800]).round(3))
    [12.362  9.21 ]
    """
    return _log10_k(constants, {"CO": -1, "O2": -0.5, "CO2": 1}, temperature_c)


def log10_k_steam(constants: Constants, temperature_c: ArrayLike) -> Floats:
    """log10 K of H2 + 1/2 O2 = H2O (bar^-1/2), from NASA TM-4513; range and source as its rows.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(log10_k_steam(load(data("constants.csv")), 800).round(3))
    9.175
    """
    return _log10_k(constants, {"H2": -1, "O2": -0.5, "H2O": 1}, temperature_c)


def log10_k_boudouard(constants: Constants, temperature_c: ArrayLike) -> Floats:
    """log10 K of C + CO2 = 2 CO (bar), from NASA TM-4513; range and source as its rows.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(log10_k_boudouard(load(data("constants.csv")), 800).round(2))
    0.85
    """
    return _log10_k(constants, {"C": -1, "CO2": -1, "CO": 2}, temperature_c)


def log10_oxygen_of_co_co2(constants: Constants, temperature_c: ArrayLike, co_co2: ArrayLike) -> Floats:
    """log10 fO2 (bar) of a gas with this CO/CO2: -2 (log10 K + log10 CO/CO2). Ratio 1e-9 to 1e6 (OutOfRange
    beyond).

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(log10_oxygen_of_co_co2(load(data("constants.csv")), 800, 1e-4).round(2))
    -10.42
    """
    return _oxygen_of("co_co2", co_co2, log10_k_carbon_monoxide(constants, temperature_c))


def log10_oxygen_of_h2_h2o(constants: Constants, temperature_c: ArrayLike, h2_h2o: ArrayLike) -> Floats:
    """log10 fO2 (bar) of a gas with this H2/H2O: -2 (log10 K + log10 H2/H2O). Ratio 1e-9 to 1e6 (OutOfRange
    beyond).

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(log10_oxygen_of_h2_h2o(load(data("constants.csv")), 800, 3.31e-5).round(2))
    -9.39
    """
    return _oxygen_of("h2_h2o", h2_h2o, log10_k_steam(constants, temperature_c))


def co_co2(constants: Constants, temperature_c: ArrayLike, log10_oxygen_bar: ArrayLike) -> Floats:
    """The CO/CO2 (by volume) of a gas at equilibrium with this oxygen fugacity: 10^-(log10 K + log10 fO2 /
    2).

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(f'{co_co2(load(data("constants.csv")), 800, -9.39):.2g}')
    3.1e-05
    """
    return _ratio_at(log10_oxygen_bar, log10_k_carbon_monoxide(constants, temperature_c))


def h2_h2o(constants: Constants, temperature_c: ArrayLike, log10_oxygen_bar: ArrayLike) -> Floats:
    """The H2/H2O (by volume) of a gas at equilibrium with this oxygen fugacity: 10^-(log10 K + log10 fO2 /
    2).

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(f'{h2_h2o(load(data("constants.csv")), 800, -9.39):.2g}')
    3.3e-05
    """
    return _ratio_at(log10_oxygen_bar, log10_k_steam(constants, temperature_c))


def log10_oxygen_of_share(oxygen_share: ArrayLike, pressure_bar: ArrayLike) -> Floats:
    """log10 of the pressure (bar) of free oxygen of this share by volume: log10 (share x pressure).

    OutOfRange for a share outside 1e-6 to 1.

    >>> print(log10_oxygen_of_share(0.2095, 1.01325).round(3))
    -0.673
    """
    share = within("oxygen", oxygen_share, 1e-6, 1, _SHARE)
    pressure = within("pressure_bar", pressure_bar, 0.05, 2, "air pressure on the ground")
    return np.asarray(np.log10(share * pressure), dtype=np.float64)


def log10_oxygen_of_pure_dioxide(
    constants: Constants, temperature_c: ArrayLike, pressure_bar: float = 1.0
) -> Floats:
    """log10 fO2 (bar) of pure CO2 that falls apart by itself: 2 fO2^(3/2) = pCO2 / K, with little of it gone.

    Holds while the share fallen apart is small (below 1400 degC less than 1 in 1000).

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(log10_oxygen_of_pure_dioxide(load(data("constants.csv")), 800).round(2))
    -6.34
    """
    log10_k = log10_k_carbon_monoxide(constants, temperature_c)
    return np.asarray((np.log10(pressure_bar / 2) - log10_k) / 1.5, dtype=np.float64)


def boudouard_monoxide_share(
    constants: Constants, temperature_c: ArrayLike, pressure_bar: float = 1.0
) -> Floats:
    """Share of CO in the CO and CO2 that stand over carbon; `pressure_bar` is that of the two together.

    x^2 P / (1 - x) = K of C + CO2 = 2 CO. Air-blown charcoal holds about 0.35 bar of the two.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(boudouard_monoxide_share(load(data("constants.csv")), 669).round(2))
    0.5
    """
    ratio = 10 ** log10_k_boudouard(constants, temperature_c) / pressure_bar
    return np.asarray(2 / (1 + np.sqrt(1 + 4 / ratio)), dtype=np.float64)


def log10_oxygen_over_carbon(
    constants: Constants, temperature_c: ArrayLike, pressure_bar: float = 1.0
) -> Floats:
    """log10 fO2 (bar) of CO and CO2 over carbon: the lowest a charcoal fire can reach. Computed, never a
    fitted line.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(log10_oxygen_over_carbon(load(data("constants.csv")), 800).round(2))
    -20.23
    """
    ratio = 10 ** log10_k_boudouard(constants, temperature_c) / pressure_bar
    dioxide = 4 / (
        ratio * (1 + np.sqrt(1 + 4 / ratio)) ** 2
    )  # share of CO2: x^2 / K, kept exact where CO2 is scarce
    monoxide = boudouard_monoxide_share(constants, temperature_c, pressure_bar)
    log10_k = log10_k_carbon_monoxide(constants, temperature_c)
    return np.asarray(-2 * (log10_k + np.log10(monoxide / dioxide)), dtype=np.float64)


def water_gas_shift_log10_k(constants: Constants, temperature_c: ArrayLike) -> Floats:
    """log10 K of CO + H2O = CO2 + H2: the difference of the two oxygen constants.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(water_gas_shift_log10_k(load(data("constants.csv")), 800).round(3))
    0.034
    """
    return log10_k_carbon_monoxide(constants, temperature_c) - log10_k_steam(constants, temperature_c)


def air_pressure_bar(constants: Constants, altitude_m: ArrayLike) -> Floats:
    """Air pressure (bar) at an altitude: P0 (1 - L h / T0)^(g M / (R L)), the standard atmosphere, -430 to
    5500 m.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(air_pressure_bar(load(data("constants.csv")), [0, 2500]).round(4))
    [1.0132 0.7468]
    """
    limit = constants.one("standard-atmosphere", "altitude")
    height = within("altitude_m", altitude_m, *limit.span(), limit.source)
    pressure, warm, lapse, gravity, molar, gas_constant = (
        constants.value("standard-atmosphere", symbol)
        for symbol in (
            "pressure_sea_level", "temperature_sea_level", "lapse_rate", "gravity",
            "molar_mass", "R_atmosphere",
        )
    )  # fmt: skip
    power = gravity * molar / (gas_constant * lapse)
    return np.asarray(pressure / 1e5 * (1 - lapse * height / warm) ** power, dtype=np.float64)


def log10_oxygen_of_air(constants: Constants, altitude_m: ArrayLike = 0.0) -> Floats:
    """log10 of the oxygen pressure (bar) of open air at an altitude.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(log10_oxygen_of_air(load(data("constants.csv")), 2500).round(2))
    -0.81
    """
    share = constants.value("standard-atmosphere", "oxygen_share")
    return log10_oxygen_of_share(share, air_pressure_bar(constants, altitude_m))


def _oxygen_of(name: str, ratio: ArrayLike, log10_k: Floats) -> Floats:
    """log10 fO2 (bar) of a gas and what it burns to, in this ratio, at the K of that burning."""
    return -2 * (log10_k + np.log10(within(name, ratio, 1e-9, 1e6, _RATIO)))


def _ratio_at(log10_oxygen_bar: ArrayLike, log10_k: Floats) -> Floats:
    """The ratio of such a gas at this oxygen fugacity."""
    return np.asarray(10 ** -(log10_k + floats(log10_oxygen_bar) / 2), dtype=np.float64)


def _log10_k(constants: Constants, moles: dict[str, float], temperature_c: ArrayLike) -> Floats:
    temperature = floats(temperature_c) + 273.15  # gibbs_j_mol refuses what lies outside its data
    energy = sum(number * gibbs_j_mol(constants, species, temperature_c) for species, number in moles.items())
    gas_constant = constants.value("physical-constants", "R")
    return np.asarray(-energy / (gas_constant * temperature * np.log(10)), dtype=np.float64)
