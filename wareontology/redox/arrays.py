"""Small helpers every law here uses: arrays in, a clear refusal for what lies outside the data."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wareontology.errors import OutOfRange

Floats = NDArray[np.float64]
ABSOLUTE_ZERO_C = -273.15


def floats(values: ArrayLike) -> Floats:
    """The values as an array of floats.

    >>> floats(3).shape
    ()
    """
    return np.asarray(values, dtype=np.float64)


def within(quantity: str, values: ArrayLike, low: float, high: float, source: str) -> Floats:
    """The values as floats, if all lie from low to high; else OutOfRange for the first that does not.

    >>> within("oxygen_share", [0.1, -0.2], 0, 1, "a share of the gas by volume")
    Traceback (most recent call last):
    wareontology.errors.OutOfRange: oxygen_share: found -0.2; would do: 0 to 1 (a share of the gas by volume)
    """
    checked = floats(values)
    outside = ~((checked >= low) & (checked <= high))  # written so that nan counts as outside
    if np.any(outside):
        raise OutOfRange(quantity, float(checked[outside].flat[0]), low, high, source)
    return checked


def kelvin(temperature_c: ArrayLike, low_c: float, high_c: float, source: str) -> Floats:
    """Temperatures in kelvin, if all lie in the range the source covers; else OutOfRange.

    >>> float(kelvin(26.85, 0, 1000, "an example").round(6))
    300.0
    >>> kelvin(-300, 0, 1000, "an example")
    Traceback (most recent call last):
    wareontology.errors.OutOfRange: temperature_c: found -300; would do: 0 to 1000 (an example)
    """
    return (
        within("temperature_c", temperature_c, max(low_c, ABSOLUTE_ZERO_C), high_c, source) - ABSOLUTE_ZERO_C
    )


def crossing(
    difference: Callable[[float], float], low: float, high: float, halvings: int = 60
) -> float | None:
    """Where a function that changes sign once between low and high is zero; None if it does not change sign.

    >>> crossing(lambda x: x * x - 2, 0, 2).__round__(9)
    1.414213562
    """
    at_low = difference(low)
    if at_low * difference(high) > 0:
        return None
    for _ in range(halvings):
        middle = (low + high) / 2
        if difference(middle) * at_low > 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2
