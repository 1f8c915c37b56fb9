"""Oxygen through a cover of earth, ash or dung: how much, how soon, and how long charcoal under it holds
out."""

import numpy as np
from numpy.typing import ArrayLike

from wareontology.redox.arrays import Floats, floats, kelvin, within
from wareontology.redox.constants import Constants
from wareontology.redox.gas import air_pressure_bar

_SET = "oxygen-diffusion"


def free_diffusivity_m2_s(constants: Constants, temperature_c: ArrayLike) -> Floats:
    """Diffusivity of oxygen in nitrogen at 1 atm, m2/s: D298 (T / 298.15)^n; -40 to 1100 degC.

    2.064e-5 and n = 1.705 fit cantera's gri30 at 298, 1073 and 1173 K within 1 %.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(f'{free_diffusivity_m2_s(load(data("constants.csv")), 800):.3g}')
    0.000183
    """
    source = constants.one(_SET, "exponent")
    temperature = kelvin(temperature_c, -40, 1100, source.source)
    return np.asarray(
        constants.value(_SET, "D_298") * (temperature / 298.15) ** source.value, dtype=np.float64
    )


def effective_diffusivity_m2_s(
    constants: Constants,
    temperature_c: ArrayLike,
    porosity: ArrayLike | None = None,
    air_filled: ArrayLike | None = None,
) -> Floats:
    """Diffusivity of oxygen through porous earth, m2/s: free one x a^(10/3) / p^2 (Millington and Quirk
    1961).

    p: all pores, a: those filled with air (all of them in dry earth). Both above 0 and up to 1, a no more
    than p.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(f'{effective_diffusivity_m2_s(load(data("constants.csv")), 126.85, 0.45):.3g}')
    1.17e-05
    """
    pores = within(
        "porosity",
        constants.value(_SET, "porosity") if porosity is None else porosity,
        1e-3,
        1,
        "a share of volume",
    )
    source = "a share of volume no larger than the porosity"
    filled = within(
        "air_filled", pores if air_filled is None else air_filled, 0, float(np.max(pores)), source
    )
    ratio = filled ** constants.value(_SET, "air_filled_power") / pores ** constants.value(
        _SET, "porosity_power"
    )
    return np.asarray(ratio * free_diffusivity_m2_s(constants, temperature_c), dtype=np.float64)


def oxygen_mol_m3(constants: Constants, temperature_c: ArrayLike, altitude_m: float = 0.0) -> Floats:
    """Oxygen in open air heated to a temperature, mol/m3: share x pressure / (R T).

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(oxygen_mol_m3(load(data("constants.csv")), 126.85).round(2))
    6.38
    """
    temperature = kelvin(temperature_c, -273.0, 2000, "an ideal gas")
    pressure_pa = 1e5 * air_pressure_bar(constants, altitude_m)
    share = constants.value("standard-atmosphere", "oxygen_share")
    return np.asarray(
        share * pressure_pa / (constants.value("physical-constants", "R") * temperature), dtype=np.float64
    )


def oxygen_flux_mol_m2_s(
    constants: Constants,
    depth_m: ArrayLike,
    temperature_c: ArrayLike,
    porosity: ArrayLike | None = None,
    air_filled: ArrayLike | None = None,
    altitude_m: float = 0.0,
) -> Floats:
    """Oxygen that diffuses through a cover when all of it is eaten below, mol/m2/s: De c / L (Fick). 1 mm to
    2 m.

    A crack or a thin spot lets in far more than this.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(f'{oxygen_flux_mol_m2_s(load(data("constants.csv")), 0.1, 126.85):.3g}')
    0.00075
    """
    depth = within("cover_depth_m", depth_m, 1e-3, 2, "depth of a cover")
    diffusivity = effective_diffusivity_m2_s(constants, temperature_c, porosity, air_filled)
    return np.asarray(
        diffusivity * oxygen_mol_m3(constants, temperature_c, altitude_m) / depth, dtype=np.float64
    )


def lag_s(depth_m: ArrayLike, diffusivity_m2_s: ArrayLike) -> Floats:
    """Seconds until the flux through a cover is steady: L^2 / (6 D), the time lag of a slab.

    >>> print(lag_s(0.1, 1.188e-5).round())
    140.0
    """
    depth = within("cover_depth_m", depth_m, 1e-3, 2, "depth of a cover")
    return np.asarray(depth**2 / (6 * floats(diffusivity_m2_s)), dtype=np.float64)


def contraction_air_mol(
    constants: Constants,
    void_m3: ArrayLike,
    hot_c: ArrayLike,
    cold_c: ArrayLike,
    pressure_bar: ArrayLike = 1.01325,
) -> Floats:
    """Air drawn into a void as its gas cools, mol: P V / R x (1/Tcold - 1/Thot). Nought if it does not cool.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(contraction_air_mol(load(data("constants.csv")), 0.05, 800, 100).round(3))
    1.065
    """
    hot, cold = (kelvin(value, -200, 2000, "an ideal gas") for value in (hot_c, cold_c))
    void = within("void_m3", void_m3, 0, 1e4, "a volume")
    pressure_pa = 1e5 * floats(pressure_bar)
    drawn = pressure_pa * void / constants.value("physical-constants", "R") * (1 / cold - 1 / hot)
    return np.asarray(np.maximum(drawn, 0), dtype=np.float64)


def charcoal_reserve_h(
    constants: Constants,
    charcoal_kg: ArrayLike,
    area_m2: ArrayLike,
    flux_mol_m2_s: ArrayLike,
    to_monoxide: bool = False,
) -> Floats:
    """Hours until charcoal under a cover is eaten by the oxygen that comes through: carbon / (flux x area).

    One carbon an oxygen molecule (to CO2), two if it goes to CO. Charcoal is taken as carbon.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(charcoal_reserve_h(load(data("constants.csv")), [0, 0.5], 0.5, 7.57e-4).round())
    [ 0. 31.]
    """
    charcoal = within("charcoal_kg", charcoal_kg, 0, 1e4, "a mass of charcoal")
    area = within("area_m2", area_m2, 1e-3, 1e3, "an area of cover")
    carbon = charcoal / constants.value("physical-constants", "M_carbon")
    eaten = floats(flux_mol_m2_s) * area * (2 if to_monoxide else 1)
    return np.asarray(carbon / eaten / 3600, dtype=np.float64)
