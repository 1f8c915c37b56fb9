"""Oxygen at a pot under a cover: what comes through, what charcoal eats of it, and how long the charcoal
lasts.

Through the cover air comes by diffusion (redox.cover) and by leaks; both are one permeance P, m/s. Below
it lie layers that hold charcoal, each with its own heat; the lowest is closed beneath. In a layer oxygen
is eaten at a first-order rate, so it falls off over a length s (redox.carbon.penetration_m). With G = n
D/s, t = tanh(d/s) and Y what a layer and all below it take in for each share of oxygen at its top,

    Y = G (Y' + G t) / (G + Y' t),    n0 P (x0 - x) = Y x  at the uppermost,

x oxygen's share of the gas, n the gas in mol/m3, d the layer's thickness, Y' that of the layer below.
Steady at each time: the lag of a cover is minutes (redox.cover.lag_s), its cooling hours. Steam and tars,
which keep oxygen off longer, are left out; so the answer leans to the dark side.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from wareontology.redox import carbon, cover
from wareontology.redox.arrays import Floats, floats, within
from wareontology.redox.constants import Constants

_BED = "carbon-burnout"
_LEAST_KG_M3 = 1e-9
"""What a layer without charcoal is reckoned as, so that its length stays a number."""


@dataclass(frozen=True, slots=True)
class Bed:
    """Layers that hold charcoal, uppermost first: kg and m of each, (layers, members) or (layers,).

    area_m2; carbon_per_oxygen: carbon an oxygen molecule takes (1 to CO2, 2 to CO); activation_kj_mol of the
    charcoal, the table's if None. One a member, or one for all.
    """

    charcoal_kg: ArrayLike
    thickness_m: ArrayLike
    area_m2: ArrayLike
    carbon_per_oxygen: ArrayLike = 1.0
    activation_kj_mol: ArrayLike | None = None


@dataclass(frozen=True, slots=True)
class Air:
    """Share of oxygen where it was watched, (watched, times, members); charcoal left in each layer, kg,
    (layers, members); oxygen that came in, mol, (members,)."""

    oxygen_share: Floats
    charcoal_left_kg: Floats
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
    layers_c: ArrayLike,
    permeance: ArrayLike,
    bed: Bed,
    watch: Sequence[tuple[int, ArrayLike]],
    *,
    cover_c: ArrayLike = 126.85,
    outside_share: ArrayLike | None = None,
    altitude_m: float = 0.0,
) -> Air:
    """Oxygen at places in a bed under a cover that lets `permeance` (m/s) through, as it cools.

    time_s (times,) or (times, members); layers_c (layers, times, members), up to 1100 degC; permeance (times,
    members) or one for all. watch: layer, and depth below its top, m, a depth beyond the layer counting as
    its bottom. cover_c: mean temperature of the cover. outside_share: oxygen above it, air if None. Where
    no charcoal is left the gas is what is outside. Between two times the rate at the earlier holds, but no
    more burns than there is, and a layer thins evenly.

    >>> import numpy as np
    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> bed = Bed([0.5], [0.02], 0.5)
    >>> cooling = np.array([700.0, 500, 250])[np.newaxis, :, np.newaxis]
    >>> found = under_cover(table, [0, 3600, 7200], cooling, 1.2e-4, bed, [(0, 0.02)])
    >>> print(found.oxygen_share[0, :, 0].round(3), found.charcoal_left_kg.round(3))
    [0.    0.    0.198] [[0.467]]
    """
    time, heat = floats(time_s), floats(layers_c)
    charcoal = _by_layer(bed.charcoal_kg)
    within("charcoal_kg", charcoal, 0, 1e4, "a mass of charcoal")
    depths = [depth for _, depth in watch]
    members = _members(heat, permeance, cover_c, bed.area_m2, charcoal, *depths)
    steps = (len(time), members)
    through, outside, above_c = (
        np.broadcast_to(floats(one), steps)
        for one in (permeance, _outside(constants, outside_share), cover_c)
    )
    area, per_oxygen = (np.broadcast_to(floats(one), members) for one in (bed.area_m2, bed.carbon_per_oxygen))
    layers = _Layers(constants, heat, _by_layer(bed.thickness_m), area, bed.activation_kj_mol, altitude_m)
    entry = _gas(constants, above_c, altitude_m) * through
    left = np.array(np.broadcast_to(charcoal, (charcoal.shape[0], members)))
    came, shares = np.zeros(members), np.empty((len(watch), *steps))
    molar = constants.value("physical-constants", "M_carbon") * per_oxygen
    for place in range(len(time)):
        top, below = layers.shares(place, left, entry[place], outside[place])
        shares[:, place] = [layers.at(top[layer], layer, floats(depth)) for layer, depth in watch]
        if place + 1 < len(time):
            eaten = (layers.takes[:-1] * top - layers.takes[1:] * below) * area
            taken = np.minimum(eaten * (time[place + 1] - time[place]), left / molar)
            left = np.maximum(left - taken * molar, 0)
            came += taken.sum(axis=0)
    return Air(shares, left, came)


class _Layers:
    """The layers at one time: what each takes, and how oxygen falls off in it."""

    def __init__(
        self, constants: Constants, heat: Floats, thickness: Floats, area: Floats,
        activation: ArrayLike | None, altitude_m: float,
    ) -> None:  # fmt: skip
        porosity = constants.value(_BED, "bed_porosity")
        power = constants.value("oxygen-diffusion", "air_filled_power") - constants.value(
            "oxygen-diffusion", "porosity_power"
        )
        free = cover.free_diffusivity_m2_s(constants, np.maximum(heat, 0))
        self._conducts = _gas(constants, heat, altitude_m) * porosity**power * free
        self._usual = carbon.penetration_m(constants, heat, activation)
        self._usual_kg_m3 = constants.value(_BED, "bed_density")
        self._thickness, self._area = np.maximum(thickness, 1e-6), area
        self.takes, self._length = np.empty(0), np.empty(0)
        self._ratio = np.empty(0)

    def shares(self, place: int, left: Floats, entry: Floats, outside: Floats) -> tuple[Floats, Floats]:
        """Oxygen at the top and at the bottom of every layer at a time, (layers, members)."""
        density = np.maximum(left / (self._thickness * self._area), _LEAST_KG_M3)
        self._length = self._usual[:, place] * np.sqrt(self._usual_kg_m3 / density)
        conducts = self._conducts[:, place] / self._length
        falls = np.tanh(self._thickness / self._length)
        count = left.shape[0]
        self.takes = np.zeros((count + 1, left.shape[1]))
        for layer in range(count - 1, -1, -1):
            here, below = conducts[layer], self.takes[layer + 1]
            self.takes[layer] = here * (below + here * falls[layer]) / (here + below * falls[layer])
        self._ratio = self.takes[1:] / conducts
        top, bottom = np.empty(left.shape), np.empty(left.shape)
        top[0] = entry * outside / (entry + self.takes[0])
        for layer in range(count):
            bottom[layer] = self.at(top[layer], layer, self._thickness[layer])
            if layer + 1 < count:
                top[layer + 1] = bottom[layer]
        return top, bottom

    def at(self, top: Floats, layer: int, depth: Floats) -> Floats:
        """Oxygen some way below a layer's top: [cosh a + r sinh a] / [cosh b + r sinh b], overflowing
        nowhere."""
        length, thick = self._length[layer], self._thickness[layer]
        whole = thick / length
        rest = np.maximum(thick - depth, 0) / length
        ratio = self._ratio[layer]
        above = (1 + ratio) + (1 - ratio) * np.exp(-2 * rest)
        under = (1 + ratio) + (1 - ratio) * np.exp(-2 * whole)
        return floats(top * np.exp(rest - whole) * above / under)


def _members(*values: ArrayLike) -> int:
    """How many members there are: the longest last axis."""
    return int(np.broadcast_shapes(*(np.shape(one)[-1:] for one in values), (1,))[0])


def _by_layer(values: ArrayLike) -> Floats:
    array = floats(values)
    return array.reshape(array.shape[0], -1)


def _gas(constants: Constants, temperature_c: ArrayLike, altitude_m: float) -> Floats:
    """All gas, mol/m3."""
    share = constants.value("standard-atmosphere", "oxygen_share")
    return floats(cover.oxygen_mol_m3(constants, temperature_c, altitude_m) / share)


def _outside(constants: Constants, share: ArrayLike | None) -> Floats:
    if share is None:
        return floats(constants.value("standard-atmosphere", "oxygen_share"))
    return within("outside_share", share, 0, 1, "a share of the gas by volume")
