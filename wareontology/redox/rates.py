"""What the rate laws share: Arrhenius about a reference temperature, and the integral of a rate over a
history."""

import numpy as np
from numpy.typing import ArrayLike

from wareontology.errors import OutOfRange
from wareontology.redox.arrays import Floats, floats, kelvin
from wareontology.redox.constants import Constant, Constants


def arrhenius(
    constants: Constants,
    temperature_c: ArrayLike,
    reference: ArrayLike,
    activation_kj_mol: ArrayLike,
    reference_c: float,
    limits: Constant,
) -> Floats:
    """reference x exp[-(E / R_gas) (1/T - 1/Tref)], in the unit of `reference`; range and source are those of
    `limits`.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> print(arrhenius(table, 600, 0.01, 80, 600, table.one("hematite-reduction", "k_reference")))
    0.01
    """
    temperature = kelvin(temperature_c, *limits.temperatures_c(), f"{limits.name}: {limits.source}")
    exponent = 1000 * floats(activation_kj_mol) / constants.value("physical-constants", "R")
    factor = np.exp(-exponent * (1 / temperature - 1 / (reference_c + 273.15)))
    return np.asarray(floats(reference) * factor, dtype=np.float64)


def integral(time_s: ArrayLike, rate: ArrayLike) -> Floats:
    """Integral of a rate from the first time to each, along the last axis; the rate changes exponentially in
    between.

    That is exact for a rate whose logarithm is straight between the times, as an Arrhenius rate nearly is,
    and falls back on the mean where two rates are alike or one is nought. Times must not go back
    (OutOfRange).

    >>> import numpy as np
    >>> print(integral([0, 1, 2], np.exp([0.0, -3, -6])).round(4))
    [0.     0.3167 0.3325]
    """
    time, speed = floats(time_s), floats(rate)
    steps = np.diff(time, axis=-1)
    if np.any(steps < 0):
        raise OutOfRange(
            "time_s", float(steps.min()), 0, float("inf"), "a step of time that does not go back"
        )
    before, after = speed[..., :-1], speed[..., 1:]
    with np.errstate(divide="ignore", invalid="ignore"):
        curved = (after - before) / np.log(after / before)
    plain = (before + after) / 2
    unlike = (before > 0) & (after > 0) & (np.abs(after - before) > 1e-6 * plain)
    pieces = steps * np.where(unlike, curved, plain)
    start = np.zeros((*pieces.shape[:-1], 1))
    return np.concatenate([start, np.cumsum(pieces, axis=-1)], axis=-1)
