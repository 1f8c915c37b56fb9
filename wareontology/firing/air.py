"""Oxygen at a pot under a cover: what comes through, what charcoal eats of it, and how long the charcoal
lasts.

Through the cover air comes by diffusion (redox.cover) and by leaks; both are one permeance P, m/s. Below
it lies a bed of charcoal of thickness d, closed beneath, in which oxygen is eaten at its first-order rate
and so falls off over a length s (redox.carbon.penetration_m):

    P n (x0 - xb) = n' xb D/s tanh(d/s),    x(h) = xb cosh((d - h)/s) / cosh(d/s),

x being oxygen's share of the gas and n, n' the gas, mol/m3, in the cover and in the bed.

Steady at each time: the lag of a cover is minutes (redox.cover.lag_s), its cooling hours. The bed burns
from its top down. Steam and tars, which keep oxygen off longer, are left out; so the answer leans to the
dark side.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from wareontology.redox import carbon, cover
from wareontology.redox.arrays import Floats, floats, within
from wareontology.redox.constants import Constants

_BED = "carbon-burnout"


@dataclass(frozen=True, slots=True)
class Bed:
    """Charcoal under a cover: mass kg, area m2, density of charcoal in the bed kg/m3, how much carbon an
    oxygen molecule takes (1 to CO2, 2 to CO), and its activation energy kJ/mol. One a member, or one for
    all."""

    charcoal_kg: ArrayLike
    area_m2: ArrayLike
    density_kg_m3: ArrayLike
    carbon_per_oxygen: ArrayLike = 1.0
    activation_kj_mol: ArrayLike | None = None


@dataclass(frozen=True, slots=True)
class Air:
    """Share of oxygen in the gas at each depth and time, (depths, times, members); charcoal left, kg, and
    oxygen that came through so far, mol, (times, members)."""

    oxygen_share: Floats
    charcoal_kg: Floats
    came_in_mol: Floats


def permeance_m_s(
    constants: Constants,
    depth_m: ArrayLike,
    temperature_c: ArrayLike,
    porosity: ArrayLike | None = None,
    air_filled: ArrayLike | None = None,
    open_share: ArrayLike = 0.0,
    draught_m_s: ArrayLike = 0.0,
) -> Floats:
    """What a cover lets through, m/s: effective diffusivity over depth, and its open share times the draught.

    Depth 1 mm to 2 m; open share of its area 0 to 1; draught 0 to 20 m/s (OutOfRange beyond).

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> cracked = permeance_m_s(table, 0.1, 126.85, open_share=1e-4, draught_m_s=1)
    >>> print(f"{permeance_m_s(table, 0.1, 126.85):.2e} {cracked:.2e}")
    1.17e-04 2.17e-04
    """
    depth = within("cover_depth_m", depth_m, 1e-3, 2, "depth of a cover")
    gaps = within("open_share", open_share, 0, 1, "a share of the cover's area")
    draught = within("draught_m_s", draught_m_s, 0, 20, "a draught")
    through = cover.effective_diffusivity_m2_s(constants, temperature_c, porosity, air_filled) / depth
    return floats(through + gaps * draught)


def stack_draught_m_s(
    constants: Constants, height_m: ArrayLike, hot_c: ArrayLike, air_c: float = 20.0
) -> Floats:
    """Speed of the draught through an opening under a hot column, m/s: sqrt(2 g H (Thot - Tair) / Tair),
    no losses.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(stack_draught_m_s(load(data("constants.csv")), 0.3, 500).round(1))
    3.1
    """
    height = within("height_m", height_m, 0, 20, "height of a hot column")
    excess = np.maximum(floats(hot_c) - air_c, 0)
    gravity = constants.value("standard-atmosphere", "gravity")
    return floats(np.sqrt(2 * gravity * height * excess / (air_c + 273.15)))


def under_cover(
    constants: Constants,
    time_s: ArrayLike,
    bed_c: ArrayLike,
    permeance: ArrayLike,
    bed: Bed,
    depths_m: ArrayLike,
    *,
    cover_c: ArrayLike = 126.85,
    outside_share: ArrayLike | None = None,
    altitude_m: float = 0.0,
) -> Air:
    """Oxygen at depths in a bed of charcoal under a cover that lets `permeance` (m/s) through, as it cools.

    time_s (times,); bed_c and permeance (times, members) or one for all; depths_m (depths, members) or
    (depths,), below the bed's top as it was laid, a depth beyond the bed counting as its bottom. cover_c: mean
    temperature of the cover. outside_share: oxygen above the cover, air if None. Where the charcoal is gone the
    gas is what is outside. Between two times the rate at the earlier holds, but no more burns than is there.

    >>> import numpy as np
    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> bed = Bed(0.5, 0.5, 50)
    >>> found = under_cover(table, [0, 3600, 7200], [[700.0], [500.0], [250.0]], 1.2e-4, bed, [0.02])
    >>> print(found.oxygen_share[0, :, 0].round(3), found.charcoal_kg[:, 0].round(3))
    [0.    0.    0.198] [0.5   0.483 0.467]
    """
    time = floats(time_s)
    members = np.broadcast_shapes(
        *(np.shape(one)[-1:] for one in (bed_c, permeance, cover_c, bed.charcoal_kg, bed.area_m2)), (1,)
    )[0]
    temperature, through, outside, above_c = (
        np.broadcast_to(floats(one), (time.size, members))
        for one in (bed_c, permeance, _outside(constants, outside_share), cover_c)
    )
    area, density, per_oxygen, mass = (
        np.broadcast_to(floats(one), members)
        for one in (bed.area_m2, bed.density_kg_m3, bed.carbon_per_oxygen, bed.charcoal_kg)
    )
    within("charcoal_kg", mass, 0, 1e4, "a mass of charcoal")
    depths = np.broadcast_to(
        floats(depths_m).reshape(np.shape(depths_m)[0], -1), (np.shape(depths_m)[0], members)
    )
    free, length = _diffusion(constants, temperature, density, bed.activation_kj_mol)
    share = constants.value("standard-atmosphere", "oxygen_share")
    gas = cover.oxygen_mol_m3(constants, above_c, altitude_m) / share  # in the cover, mol/m3
    thinner = (above_c + 273.15) / (temperature + 273.15)  # the bed's gas over the cover's
    left, came = [mass], [np.zeros(members)]
    shares = np.empty((depths.shape[0], time.size, members))
    whole = mass / (density * area)
    molar = constants.value("physical-constants", "M_carbon")
    for place in range(time.size):
        thick = left[-1] / (density * area)
        eaten = thinner[place] * free[place] / length[place] * np.tanh(thick / length[place])
        top = through[place] * outside[place] / (through[place] + eaten)
        below = np.clip(depths - (whole - thick), 0, thick)
        shares[:, place] = top * _profile(thick, below, length[place])
        if place + 1 < time.size:
            flux = through[place] * (outside[place] - top) * gas[place] * area
            taken = np.minimum(flux * (time[place + 1] - time[place]), left[-1] / (molar * per_oxygen))
            left.append(np.maximum(left[-1] - taken * molar * per_oxygen, 0))
            came.append(came[-1] + taken)
    return Air(shares, np.stack(left), np.stack(came))


def _outside(constants: Constants, share: ArrayLike | None) -> Floats:
    if share is None:
        return floats(constants.value("standard-atmosphere", "oxygen_share"))
    return within("outside_share", share, 0, 1, "a share of the gas by volume")


def _diffusion(
    constants: Constants, temperature: Floats, density: Floats, activation: ArrayLike | None
) -> tuple[Floats, Floats]:
    """Diffusivity in the bed and the length over which oxygen falls off there, at each time."""
    porosity = constants.value(_BED, "bed_porosity")
    power = constants.value("oxygen-diffusion", "air_filled_power") - constants.value(
        "oxygen-diffusion", "porosity_power"
    )
    diffusivity = porosity**power * cover.free_diffusivity_m2_s(constants, np.maximum(temperature, 0))
    usual = carbon.penetration_m(constants, temperature, activation)
    return floats(diffusivity), floats(usual * np.sqrt(constants.value(_BED, "bed_density") / density))


def _profile(thick: Floats, depth: Floats, length: Floats) -> Floats:
    """cosh((d - h)/s) / cosh(d/s), written so that neither overflows."""
    far, all_of_it = (thick - depth) / length, thick / length
    return floats(np.exp(far - all_of_it) * (1 + np.exp(-2 * far)) / (1 + np.exp(-2 * all_of_it)))
