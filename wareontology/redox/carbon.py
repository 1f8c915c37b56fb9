"""Carbon burning out of a paint, a wall or a charcoal bed: by its own rate where thin, by oxygen's way in
where thick."""

import numpy as np
from numpy.typing import ArrayLike

from wareontology.redox.arrays import Floats, floats, within
from wareontology.redox.constants import Constants
from wareontology.redox.cover import free_diffusivity_m2_s, oxygen_mol_m3
from wareontology.redox.rates import arrhenius, integral

_SET = "carbon-burnout"


def rate_per_s(
    constants: Constants, temperature_c: ArrayLike, activation_kj_mol: ArrayLike | None = None
) -> Floats:
    """First-order rate of carbon in air, 1/s, tuned so that a record at 10 K/min burns fastest at 750 K.

    k(Tp) = E b / (R Tp^2) (Kissinger's condition), k = k(Tp) exp[-(E/R)(1/T - 1/Tp)]. E 100 to 183 kJ/mol:
    183 for wood char (Branca and Di Blasi 2004), less is our guess for reactive char; peak and heating rate
    are assumed. -40 to 1100 degC.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> print((0.693 / rate_per_s(table, 500, [130, 183])).round(-1))
    [80. 40.]
    """
    limits = constants.one(_SET, "E")
    activation = floats(limits.value if activation_kj_mol is None else activation_kj_mol)
    peak_c = constants.value(_SET, "T_peak")
    gas_constant = constants.value("physical-constants", "R")
    heating = constants.value(_SET, "heating_rate") / 60
    at_peak = 1000 * activation * heating / (gas_constant * (peak_c + 273.15) ** 2)
    return arrhenius(constants, temperature_c, at_peak, activation, peak_c, limits)


def left(
    constants: Constants,
    time_s: ArrayLike,
    temperature_c: ArrayLike,
    activation_kj_mol: ArrayLike | None = None,
    oxygen_share: ArrayLike | None = None,
) -> Floats:
    """Share of carbon left at each time (last axis) of a history in air, oxygen reaching it freely.

    `oxygen_share`, if given, scales the rate by oxygen over that of air.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(left(load(data("constants.csv")), [0, 60, 600], [500, 500, 500]).round(2))
    [1.   0.6  0.01]
    """
    activation = None if activation_kj_mol is None else floats(activation_kj_mol)[..., np.newaxis]
    rate = rate_per_s(constants, temperature_c, activation)
    if oxygen_share is not None:
        share = within("oxygen_share", oxygen_share, 0, 1, "a share of the gas by volume")
        rate = rate * share / constants.value("standard-atmosphere", "oxygen_share")
    return np.asarray(np.exp(-integral(time_s, rate)), dtype=np.float64)


def diffusion_limited_s(
    constants: Constants,
    thickness_m: ArrayLike,
    temperature_c: ArrayLike,
    carbon_share: ArrayLike | None = None,
    diffusivity_ratio: ArrayLike | None = None,
    altitude_m: float = 0.0,
) -> Floats:
    """Seconds until oxygen coming in from one face has burnt the carbon of a layer: n L^2 / (2 De c).

    n: mol carbon per m3 of wall, c: mol oxygen per m3 of hot air, De: the fired clay's effective diffusivity
    (0.05 of the free one, 0.02 to 0.1: judged). Carbon to CO2; twice as quick if to CO. 0 to 1100 degC, 1e-6
    to 0.2 m.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(diffusion_limited_s(load(data("constants.csv")), [1e-3, 5e-3], 650).round(-1))
    [  80. 2020.]
    """
    thickness = within("thickness_m", thickness_m, 1e-6, 0.2, "thickness of a layer or wall")
    share = constants.value(_SET, "carbon_share") if carbon_share is None else carbon_share
    checked = within("carbon_share", share, 0, 1, "a share of the mass")
    ratio = (
        constants.value("oxygen-diffusion", "fired_clay_ratio")
        if diffusivity_ratio is None
        else diffusivity_ratio
    )
    carbon = checked * constants.value("bowl", "density") / constants.value("physical-constants", "M_carbon")
    supply = 2 * floats(ratio) * free_diffusivity_m2_s(constants, temperature_c)
    return np.asarray(
        carbon * thickness**2 / (supply * oxygen_mol_m3(constants, temperature_c, altitude_m)),
        dtype=np.float64,
    )


def penetration_m(
    constants: Constants, temperature_c: ArrayLike, activation_kj_mol: ArrayLike | None = None
) -> Floats:
    """How deep oxygen gets into a charcoal bed before it is used up: sqrt(De c / r), r in mol/m3/s in open
    air.

    De by Millington and Quirk for a bed of porosity 0.5 with 50 kg/m3 of charcoal (both judged). -40 to 1100
    degC.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print((100 * penetration_m(load(data("constants.csv")), [400, 300], 183)).round())
    [ 1. 19.]
    """
    porosity = constants.value(_SET, "bed_porosity")
    diffusivity = porosity ** (4 / 3) * free_diffusivity_m2_s(constants, temperature_c)
    carbon = constants.value(_SET, "bed_density") / constants.value("physical-constants", "M_carbon")
    used = carbon * rate_per_s(constants, temperature_c, activation_kj_mol)
    return np.asarray(np.sqrt(diffusivity * oxygen_mol_m3(constants, temperature_c) / used), dtype=np.float64)
