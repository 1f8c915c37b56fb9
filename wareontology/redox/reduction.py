"""Hematite going to magnetite in a reducing gas: followed by a rate nobody has measured for this, or flagged
complete.

The rate (0.01 /s at 600 degC, 80 kJ/mol, tenfold either way) is an assumption with no source. Say so with any
answer.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from wareontology.redox.arrays import Floats, floats, within
from wareontology.redox.constants import Constants
from wareontology.redox.rates import arrhenius, integral

_SET = "hematite-reduction"
FOLLOWED = "followed by a rate that is an assumption with no source"
ASSUMED_COMPLETE = "assumed complete"


@dataclass(frozen=True, slots=True)
class Reduction:
    """The share of oxidised iron still left at each time, and on what basis."""

    oxidised: Floats
    basis: str


def rate_per_s(
    constants: Constants,
    temperature_c: ArrayLike,
    rate_at_600_per_s: ArrayLike | None = None,
    activation_kj_mol: ArrayLike | None = None,
) -> Floats:
    """First-order rate of hematite to magnetite, 1/s, in a gas past the hematite-magnetite line; -40 to 1100
    degC.

    An assumption with no source.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(rate_per_s(load(data("constants.csv")), [400, 600, 800]).round(4))
    [0.0004 0.01   0.078 ]
    """
    limits = constants.one(_SET, "k_reference")
    reference = limits.value if rate_at_600_per_s is None else rate_at_600_per_s
    activation = constants.value(_SET, "E") if activation_kj_mol is None else activation_kj_mol
    return arrhenius(
        constants, temperature_c, reference, activation, constants.value(_SET, "T_reference"), limits
    )


def reduce(
    constants: Constants,
    time_s: ArrayLike,
    temperature_c: ArrayLike,
    *,
    reducing: ArrayLike = True,
    start_share: ArrayLike = 1.0,
    rate_at_600_per_s: ArrayLike | None = None,
    activation_kj_mol: ArrayLike | None = None,
) -> Reduction:
    """Oxidised share left at each time (last axis): exp(- integral of k dt) of the start, only while
    `reducing`.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> left = reduce(load(data("constants.csv")), [0, 100, 600], [600, 600, 600])
    >>> print(left.oxidised.round(3), left.basis)
    [1.    0.368 0.002] followed by a rate that is an assumption with no source
    """
    start = within("oxidised_share", start_share, 0, 1, "a share of the iron")
    reference = None if rate_at_600_per_s is None else floats(rate_at_600_per_s)[..., np.newaxis]
    activation = None if activation_kj_mol is None else floats(activation_kj_mol)[..., np.newaxis]
    rate = rate_per_s(constants, temperature_c, reference, activation) * floats(reducing)
    return Reduction(start[..., np.newaxis] * np.exp(-integral(time_s, rate)), FOLLOWED)


def assume_complete(time_s: ArrayLike) -> Reduction:
    """No oxidised iron left at any time, and flagged so: for a long reducing fire whose course is not known.

    >>> assume_complete([0, 60]).basis
    'assumed complete'
    """
    return Reduction(np.zeros(floats(time_s).shape), ASSUMED_COMPLETE)
