"""Solids of given shape as cells: a plane wall, a cylinder, a sphere, and a load of pots under a cover in the
ground."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wareontology.firing.conduction import Solid
from wareontology.redox.arrays import Floats, floats, within

_LOAD_OUT, _LOAD_UP, _GROUND_OUT, _GROUND_DOWN, _COVER_UP = 6, 8, 10, 10, 5
_REACH_M = 1.5
"""How far the ground reaches beyond the load: more than three times the way heat goes in four days."""
_HELD = 1e9
"""What a held body's heat capacity, and its conductivity, is multiplied by."""
_WIDER = 1.5
"""How much wider each cell of the ground is than the one nearer the load: the nearest is 13 mm."""


@dataclass(frozen=True, slots=True)
class Bed:
    """A solid with its cells told apart: which are load and cover, and where the load's top, middle and
    bottom are.

    burning: the same ground while the fire burns, with no cover, and the load held at whatever it starts at.
    """

    solid: Solid
    burning: Solid
    load: Floats
    cover: Floats
    top: Floats
    middle: Floats
    bottom: Floats


@dataclass(frozen=True, slots=True)
class Pit:
    """A load under a cover, each number one a member or one for all. Lengths m, W/m/K, J/m3/K, W/m2/K, degC.

    side_w_m2_k: nought where the load lies in the ground; else the loss of a kiln's wall, wall_m thick, to
    the air. water_kg_m3: water in the cover.
    """

    radius_m: ArrayLike
    height_m: ArrayLike
    cover_depth_m: ArrayLike
    load_w_m_k: ArrayLike
    load_j_m3_k: ArrayLike
    cover_w_m_k: ArrayLike
    cover_j_m3_k: ArrayLike
    ground_w_m_k: ArrayLike
    ground_j_m3_k: ArrayLike
    surface_w_m2_k: ArrayLike
    air_c: ArrayLike = 20.0
    water_kg_m3: ArrayLike = 0.0
    latent_j_kg: float = 0.0
    wall_m: ArrayLike = 0.0
    boils_c: tuple[float, float] = (95.0, 105.0)


@dataclass(frozen=True, slots=True)
class Rings:
    """Rings about an axis, from their radii and heights, m: (edges, members) each.

    >>> import numpy as np
    >>> edges = np.array([[0.0], [1.0], [2.0]])
    >>> print((Rings(edges, edges).volume_m3 / np.pi).round(9).ravel())
    [1. 1. 3. 3.]
    """

    radii_m: Floats
    heights_m: Floats

    @property
    def volume_m3(self) -> Floats:
        return floats(self._above()[:, np.newaxis] * np.diff(self.heights_m, axis=0)[np.newaxis])

    def outward(self, conductivity: Floats) -> Floats:
        """Conductances outward, W/K; the outermost face is insulated."""
        return _conductance(self._side(), self._half_out(conductivity), conductivity, 0)

    def upward(self, conductivity: Floats) -> Floats:
        """Conductances upward, W/K; bottom and top are insulated."""
        count = self.heights_m.shape[0]
        face = np.repeat(self._above()[:, np.newaxis], count, axis=1)
        return _conductance(face, self._half_up(conductivity), conductivity, 1)

    def to_above(self, conductivity: Floats, surface: ArrayLike) -> Floats:
        """From the topmost cells to the air, W/K."""
        return _outer(self._above(), self._half_up(conductivity)[:, -1], conductivity[:, -1], surface)

    def to_side(self, conductivity: Floats, surface: ArrayLike) -> Floats:
        """From the outermost cells to the air, W/K."""
        return _outer(self._side()[-1], self._half_out(conductivity)[-1], conductivity[-1], surface)

    def _above(self) -> Floats:
        return floats(np.pi * np.diff(self.radii_m**2, axis=0))

    def _side(self) -> Floats:
        return floats(2 * np.pi * self.radii_m[:, np.newaxis] * np.diff(self.heights_m, axis=0)[np.newaxis])

    def _half_out(self, like: Floats) -> Floats:
        return floats(np.broadcast_to((np.diff(self.radii_m, axis=0) / 2)[:, np.newaxis], like.shape))

    def _half_up(self, like: Floats) -> Floats:
        return floats(np.broadcast_to((np.diff(self.heights_m, axis=0) / 2)[np.newaxis], like.shape))


def _conductance(face: Floats, half: Floats, conductivity: Floats, axis: int) -> Floats:
    """Faces between cells in series of half cells; the two outer faces are left at nought."""
    face, resistance = np.moveaxis(face, axis, 0), np.moveaxis(half / conductivity, axis, 0)
    found = np.zeros(face.shape)
    found[1:-1] = face[1:-1] / (resistance[:-1] + resistance[1:])
    return np.moveaxis(found, 0, axis)


def _outer(face: Floats, half: Floats, conductivity: Floats, surface: ArrayLike) -> Floats:
    """Conductance from the middle of an outer cell to the surroundings; an infinite `surface` holds it
    there."""
    with np.errstate(divide="ignore"):
        return floats(face / (half / conductivity + 1 / floats(surface)))


def wall(
    half_m: float, w_m_k: float, j_m3_k: float, surface_w_m2_k: float, outside_c: float, cells: int = 40
) -> Solid:
    """A plane wall of 1 m2 from its insulated middle to the surface; a long half stands for a half-space.

    surface_w_m2_k: film, infinite for a held surface. Cells lie close together at the surface.

    >>> wall(0.1, 1, 1e6, 10, 20, 4).shape
    (1, 4, 1)
    """
    edges = half_m * (1 - np.linspace(1, 0, cells + 1) ** 2)
    return row(edges, 1, w_m_k, j_m3_k, surface_w_m2_k, outside_c)


def row(
    edges_m: ArrayLike, power: int, w_m_k: float, j_m3_k: float, surface_w_m2_k: float, outside_c: float
) -> Solid:
    """One row of cells from a middle outward: a wall (power 1, 1 m2), a long cylinder (2, 1 m), a sphere (3).

    edges_m rise from 0; the middle is insulated, the surface has a film, infinite for a held surface.

    >>> row([0, 0.1, 0.2], 3, 1, 1e6, 10, 20).shape
    (1, 2, 1)
    """
    edges = floats(edges_m)[:, np.newaxis]
    factor = {1: 1.0, 2: np.pi, 3: 4 * np.pi / 3}[power]
    volume = (factor * np.diff(edges**power, axis=0))[np.newaxis]
    face = power * factor * edges ** (power - 1)
    half = (np.diff(edges, axis=0) / 2)[np.newaxis]
    conductivity = np.full(volume.shape, w_m_k)
    upward = _conductance(face[np.newaxis], half, conductivity, 1)
    upward[:, -1] = _outer(face[-1], half[:, -1], conductivity[:, -1], surface_w_m2_k)
    outward = np.zeros((2, *volume.shape[1:]))
    return Solid(volume * j_m3_k, outward, upward, np.array([outside_c]))


def pit(given: Pit) -> Bed:
    """Cells for a load under a cover: load and cover evenly cut, ground in cells that widen with distance.

    Radius and height 0.02 to 5 m, cover 1 mm to 2 m (OutOfRange beyond). The ground's far ends are insulated.

    >>> one = Pit(0.4, 0.3, 0.1, 0.6, 5e5, 0.3, 1.2e6, 0.8, 1.6e6, 12)
    >>> pit(one).solid.shape
    (16, 23, 1)
    """
    values = _columns(given)
    radius, height, depth = (values[name] for name in ("radius_m", "height_m", "cover_depth_m"))
    within("radius_m", radius, 0.02, 5, "a load of pots")
    within("height_m", height, 0.02, 5, "a load of pots")
    within("cover_depth_m", depth, 1e-3, 2, "depth of a cover")
    kiln = values["wall_m"] > 0.0
    around = np.where(kiln, _even(_GROUND_OUT)[1:] * values["wall_m"], _widening(_GROUND_OUT) * _REACH_M)
    below = _widening(_GROUND_DOWN)[::-1] * -_REACH_M * np.ones_like(radius)
    outward = np.concatenate([_even(_LOAD_OUT) * radius, radius + around])
    upward = np.concatenate([below, _even(_LOAD_UP) * height, height + _even(_COVER_UP)[1:] * depth])
    return _filled(values, outward, upward, kiln, given)


def _columns(given: Pit) -> dict[str, Floats]:
    names = [name for name in Pit.__slots__ if name not in ("latent_j_kg", "boils_c")]
    arrays = np.broadcast_arrays(*(np.atleast_1d(floats(getattr(given, name))) for name in names))
    return {name: floats(array) for name, array in zip(names, arrays, strict=True)}


def _even(cells: int) -> Floats:
    return floats(np.linspace(0, 1, cells + 1))[:, np.newaxis]


def _widening(cells: int) -> Floats:
    """Edges from just above 0 to 1, each cell wider than the one before."""
    lengths = _WIDER ** np.arange(cells)
    return floats(np.cumsum(lengths) / lengths.sum())[:, np.newaxis]


def _filled(
    values: dict[str, Floats], outward: Floats, upward: Floats, kiln: NDArray[np.bool_], given: Pit
) -> Bed:
    rings = Rings(outward, upward)
    volume = rings.volume_m3
    is_load = np.zeros(volume.shape)
    is_load[:_LOAD_OUT, _GROUND_DOWN : _GROUND_DOWN + _LOAD_UP] = 1
    is_cover = np.zeros(volume.shape)
    is_cover[:, _GROUND_DOWN + _LOAD_UP :] = 1

    def material(symbol: str) -> Floats:
        load, cover, ground = (values[f"{part}_{symbol}"] for part in ("load", "cover", "ground"))
        return floats(is_load * load + is_cover * cover + (1 - is_load - is_cover) * ground)

    conductivity, surface = material("w_m_k"), values["surface_w_m2_k"]
    out, up = rings.outward(conductivity), rings.upward(conductivity)
    up[:, -1] = rings.to_above(conductivity, surface)
    above = _GROUND_DOWN  # a kiln's wall stands in the air, its foundation in the ground
    side = rings.to_side(conductivity, surface)
    out[-1, above:] = np.where(kiln, side[above:], 0.0)
    latent = is_cover * volume * values["water_kg_m3"] * given.latent_j_kg
    solid = Solid(
        volume * material("j_m3_k"), out, up, values["air_c"].copy(),
        latent_j=latent if latent.any() else None, boils_c=given.boils_c,
    )  # fmt: skip
    thirds = np.zeros((3, *volume.shape))
    first, third = _GROUND_DOWN, _LOAD_UP // 4
    for place, start in enumerate((first + _LOAD_UP - third, first + 3 * third // 2, first)):
        thirds[place, : _LOAD_OUT * 2 // 3, start : start + third] = 1
    weights = [_share(one * volume) for one in thirds]
    return Bed(solid, _burning(solid, rings, conductivity, is_load, is_cover), is_load, is_cover, *weights)


def _burning(solid: Solid, rings: Rings, conductivity: Floats, load: Floats, cover: Floats) -> Solid:
    """Flames reach the ground's face, so a held load has no resistance of its own; the cover is not there
    yet."""
    open_to_fire = np.where(load > 0, conductivity * _HELD, conductivity)
    out, up = rings.outward(open_to_fire), rings.upward(open_to_fire)
    out[-1], covered = solid.outward_w_k[-1], cover > 0
    for faces in (out[1:], out[:-1], up[:, 1:], up[:, :-1]):
        faces[covered] = 0
    capacity = np.where(load > 0, solid.capacity_j_k * _HELD, solid.capacity_j_k)
    return Solid(capacity, out, up, solid.outside_c)


def _share(volume: Floats) -> Floats:
    return floats(volume / volume.sum(axis=(0, 1)))
