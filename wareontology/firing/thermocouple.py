"""Thermocouples of type K: emf to temperature and back, by the reference function of ITS-90."""

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike

from wareontology.data_rows import rows
from wareontology.errors import OutOfRange
from wareontology.redox.arrays import Floats, floats

LOWEST_C: Final = -200.0
"""Below it the emf hardly changes with heat, and no fire is."""
HIGHEST_C: Final = 1372.0
COLD_C: Final = (-40.0, 85.0)
"""Where a cold end by a fire can be; beyond it the two readings were probably mixed up."""
SOURCE: Final = "NIST ITS-90, type K"
_ROUNDED_MV: Final = 0.0001
"""The table of the standard is printed to this: its ends are taken as printed."""
_TURNS: Final = 3
_MINUS, _PLUS = 0, 1


@dataclass(frozen=True, slots=True)
class _Piece:
    """One range of the function: a polynomial, powers rising, and a bell: height, rate, centre."""

    powers: Floats
    bell: tuple[float, float, float]

    def emf(self, temperature: Floats) -> Floats:
        height, rate, centre = self.bell
        curve = np.polynomial.polynomial.polyval(temperature, self.powers)
        return floats(curve + height * np.exp(rate * (temperature - centre) ** 2))

    def slope(self, temperature: Floats) -> Floats:
        height, rate, centre = self.bell
        away = temperature - centre
        curve = np.polynomial.polynomial.polyval(temperature, np.polynomial.polynomial.polyder(self.powers))
        return floats(curve + 2 * height * rate * away * np.exp(rate * away**2))


def emf_mv(temperature_c: ArrayLike) -> Floats:
    """emf of a type K thermocouple with its cold end at 0 °C, mV. -200 to 1372 °C, OutOfRange beyond.

    Source: data/thermocouple_k.csv.

    >>> print(emf_mv([0, 800, 1000]).round(4))
    [ 0.     33.2754 41.2756]
    """
    wanted = floats(temperature_c)
    _hold("temperature_c", wanted, LOWEST_C, HIGHEST_C, SOURCE)
    return _pieced(wanted, "emf")


def temperature_c(emf_mv_read: ArrayLike, cold_junction_c: ArrayLike) -> Floats:
    """Temperature of the hot end, °C, from the emf read (mV) and the temperature of the cold end (°C).

    The emf of the cold end is added to that read before it is turned to heat; to add degrees would be wrong.
    OutOfRange for a cold end that no cold end is, or a sum beyond the function.

    >>> round(float(temperature_c(35.0, 25.0)), 3)
    866.999
    """
    cold = floats(cold_junction_c)
    _hold("cold_junction_c", cold, *COLD_C, "where the wires end, beside a fire")
    whole = floats(floats(emf_mv_read) + emf_mv(cold))
    grid, values = _table()
    low, high = float(values[0]) - _ROUNDED_MV, float(values[-1]) + _ROUNDED_MV
    _hold("emf_mv, cold junction added", whole, low, high, SOURCE)
    found = floats(np.interp(whole, values, grid))
    for _ in range(_TURNS):
        step = (_pieced(found, "emf") - whole) / _pieced(found, "slope")
        found = floats(np.clip(found - step, LOWEST_C, HIGHEST_C))
    return found


def _pieced(temperature: Floats, what: str) -> Floats:
    pieces = _pieces()
    below, above = (getattr(pieces[side], what) for side in (_MINUS, _PLUS))
    cold, hot = np.minimum(temperature, 0), np.maximum(temperature, 0)
    return floats(np.where(temperature < 0, below(cold), above(hot)))


def _hold(quantity: str, values: Floats, low: float, high: float, source: str) -> None:
    wrong = ~((values >= low) & (values <= high))
    if np.any(wrong):
        raise OutOfRange(quantity, float(np.atleast_1d(values)[np.atleast_1d(wrong)][0]), low, high, source)


@cache
def _table() -> tuple[Floats, Floats]:
    """A temperature each kelvin and its emf, to start the search from; the emf rises all the way."""
    grid = np.linspace(LOWEST_C, HIGHEST_C, int(HIGHEST_C - LOWEST_C) + 1)
    return floats(grid), _pieced(floats(grid), "emf")


@cache
def _pieces() -> tuple[_Piece, _Piece]:
    table = rows("thermocouple_k.csv")
    below, above = (
        {row["term"]: float(row["value"]) for row in table if float(row["high_c"]) == high}
        for high in (0.0, HIGHEST_C)
    )
    return _piece(below), _piece(above)


def _piece(terms: dict[str, float]) -> _Piece:
    powers = np.zeros(1 + max(int(term) for term in terms if term.isdecimal()))
    for term, value in terms.items():
        if term.isdecimal():
            powers[int(term)] = value
    return _Piece(
        floats(powers), (terms.get("height", 0.0), terms.get("rate", 0.0), terms.get("centre", 0.0))
    )
