"""Gibbs energies of pure substances and what oxygen a reaction holds, from heat-capacity polynomials."""

import numpy as np
from numpy.typing import ArrayLike

from wareontology.redox.arrays import Floats, kelvin
from wareontology.redox.constants import Constants, Segment

_REFERENCE_K = 298.15
_JOULES = {"J": 1.0, "cal": 4.184}  # the thermochemical calorie, exact by definition


def gibbs_j_mol(constants: Constants, species: str, temperature_c: ArrayLike) -> Floats:
    """H(T) - T S(T) in J/mol, with the elements at 298.15 K as zero of H and S absolute.

    NASA form: H/RT = a1 + a2 T/2 + a3 T^2/3 + a4 T^3/4 + a5 T^4/5 + a6/T, S/R = a1 ln T + a2 T + a3 T^2/2 +
    a4 T^3/3 + a5 T^4/4 + a7. Otherwise H298, S298 and Cp = a + b T + c T^-2 + d T^-0.5 + e T^2. T in K.
    Source and range are those of the rows (OutOfRange beyond).

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> print((gibbs_j_mol(table, "CO2", 25) / 1000).round(1))
    -457.2
    """
    parts = constants.segments(species)
    low_c, high_c = parts[0].low_c, parts[-1].high_c
    temperature = kelvin(temperature_c, low_c, high_c, f"{species}: {parts[0].source}")
    gas_constant = constants.value("physical-constants", "R")
    total = np.full(temperature.shape, np.nan)
    for part in parts:
        inside = np.isnan(total) & (temperature <= part.high_c + 273.15 + 1e-9)
        energy = (
            _nasa(part, temperature, gas_constant) if "a6" in part.values else _polynomial(part, temperature)
        )
        total = np.where(inside, energy, total)
    return total


def log10_oxygen_of_reaction(constants: Constants, reaction: Segment, temperature_c: ArrayLike) -> Floats:
    """log10 fO2 (bar) at which a reaction that sets one mole of oxygen free stands still: -dG/(R T ln 10).

    The moles are the rows "moles SPECIES" of the reaction, negative for what is used up. Pure solids, 1 bar.
    OutOfRange outside the reaction's or any species' range.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> reaction = table.segments("litharge-lead", "nasa-tm4513")[0]
    >>> print(log10_oxygen_of_reaction(table, reaction, 800).round(2))
    -10.9
    """
    temperature = kelvin(temperature_c, reaction.low_c, reaction.high_c, reaction.source)
    change = np.zeros(temperature.shape)
    for symbol, moles in reaction.values.items():
        species = symbol.removeprefix("moles ")
        change = change + moles * gibbs_j_mol(constants, species, temperature_c)
    scale = constants.value("physical-constants", "R") * temperature * np.log(10)
    return np.asarray(-change / scale, dtype=np.float64)


def _joules(part: Segment, symbol: str) -> float:
    return _JOULES[part.units[symbol].split("/")[0]]


def _nasa(part: Segment, temperature: Floats, gas_constant: float) -> Floats:
    a1, a2, a3, a4, a5, a6, a7 = (part.values[f"a{number}"] for number in range(1, 8))
    t = temperature
    enthalpy = a1 * t + a2 * t**2 / 2 + a3 * t**3 / 3 + a4 * t**4 / 4 + a5 * t**5 / 5 + a6
    entropy = a1 * np.log(t) + a2 * t + a3 * t**2 / 2 + a4 * t**3 / 3 + a5 * t**4 / 4 + a7
    return np.asarray(gas_constant * (enthalpy - t * entropy), dtype=np.float64)


def _polynomial(part: Segment, temperature: Floats) -> Floats:
    t, t0, value = temperature, _REFERENCE_K, part.values
    a, b, c, d, e = (value.get(symbol, 0.0) for symbol in "abcde")
    heat = (
        a * (t - t0) + b * (t**2 - t0**2) / 2 - c * (1 / t - 1 / t0)
        + 2 * d * (np.sqrt(t) - np.sqrt(t0)) + e * (t**3 - t0**3) / 3
    )  # fmt: skip
    disorder = (
        a * np.log(t / t0) + b * (t - t0) - c * (t**-2 - t0**-2) / 2
        - 2 * d * (t**-0.5 - t0**-0.5) + e * (t**2 - t0**2) / 2
    )  # fmt: skip
    energy = value["H298"] + heat - t * (value["S298"] + disorder)
    return np.asarray(energy * _joules(part, "H298"), dtype=np.float64)
