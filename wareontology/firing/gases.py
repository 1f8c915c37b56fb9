"""The gas at every place and surface: during the delay, and shut in or burning out, from firing.air.

Above the pots lies the charcoal that was put on; among them, in three layers with the heat of top, mid and
bottom, the coals the fire left; where it is left to burn out they have sunk to the bottom. Top pots lie as
deep in the upper charcoal as the plan says.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from wareontology.firing import air
from wareontology.firing.plan import Plan
from wareontology.firing.structures import things
from wareontology.redox.arrays import Floats, floats
from wareontology.redox.constants import Constants

Drawn = dict[str, Floats]
_EATEN: Final = 0.98
"""Where oxygen is below this share of what is outside, charcoal or smoke is near."""
_TUB: Final = 2.0
"""Ground of a hollow or tub over that of the pot buried in it."""


@dataclass(frozen=True, slots=True)
class Gas:
    """Oxygen, and whether what reduces is near, (zones, places, times, members): outside, then inside.
    Charcoal burned, kg, and oxygen come in, mol, (members,)."""

    oxygen_share: Floats
    charcoal_near: Floats
    burned_kg: Floats
    came_in_mol: Floats


def air_share(table: Constants) -> float:
    """Oxygen in open air."""
    return table.value("standard-atmosphere", "oxygen_share")


def cover_depth_m(plan: Plan, drawn: Drawn) -> Floats:
    """Depth of the cover as it was laid, where it is thinnest."""
    return floats(np.clip(plan.number("cover", "depth_m") * drawn["cover_as_laid"], 1e-3, 2))


def embers_kg(plan: Plan, drawn: Drawn) -> Floats:
    """Coals the fire left alive about the pots; none about a pulled pot."""
    left = plan.number("fuel", "mass_kg") * drawn["ember_share"] * drawn["embers_alive"]
    return floats(0 * left if plan.does("pulls") else left)


def put_in_kg(plan: Plan) -> float:
    """Charcoal put in, and what fresh fuel thrown in chars to."""
    fresh = plan.word("cover", "smoke_fuel")
    chars = things("fuel")[fresh].usual("ember_share") if fresh != "none" else 0.0
    return plan.number("cover", "charcoal_kg") + plan.number("cover", "smoke_fuel_kg") * chars


def shut(plan: Plan, table: Constants, places_c: Floats, time_s: Floats, drawn: Drawn) -> Gas:
    """The gas while shut in, or while the fire burns out: places_c (3, times, members), time_s (times,
    members)."""
    through, way_c = _through(plan, table, places_c[0], drawn)
    above = _above(plan, table, drawn)
    bed, layers_c, watch = _bed(plan, places_c, drawn, drawn["carbon_per_oxygen"])
    found = air.under_cover(
        table, time_s, layers_c, through, bed, watch, cover_c=way_c, outside_share=above,
        altitude_m=plan.number("site", "altitude_m"),
    )  # fmt: skip
    outside = inside = found.oxygen_share
    if plan.word("load", "mouth") == "down" and plan.number("cover", "charcoal_inside_kg") > 0:
        places = zip(places_c, outside, strict=True)
        inside = np.stack([_inside(plan, table, one, time_s, near, drawn) for one, near in places])
    oxygen = np.stack([outside, inside])
    begun = np.broadcast_to(floats(bed.charcoal_kg), found.charcoal_left_kg.shape)
    burned = (begun - found.charcoal_left_kg).sum(axis=0)
    return Gas(oxygen, floats(oxygen < _EATEN * above), burned, found.came_in_mol)


def waiting(plan: Plan, table: Constants, places_c: Floats, drawn: Drawn) -> Gas:
    """The gas during the delay: open air about a pulled pot, open coals about a heap. Too short to burn
    any."""
    fresh, (_, times, members) = air_share(table), places_c.shape
    none = np.zeros(members)
    if plan.does("pulls"):
        oxygen = np.full((2, 3, times, members), fresh)
        return Gas(oxygen, np.zeros_like(oxygen), none, none)
    bed, layers_c, watch = _bed(plan, places_c, drawn, floats(1.0))
    clock = np.linspace(0, 1, times)
    found = air.under_cover(
        table, clock, layers_c, drawn["open_coals_m_s"], bed, watch, cover_c=places_c[0],
        altitude_m=plan.number("site", "altitude_m"),
    )  # fmt: skip
    oxygen = np.stack([found.oxygen_share, found.oxygen_share])
    return Gas(oxygen, floats(oxygen < _EATEN * fresh), none, none)


def _bed(
    plan: Plan, places_c: Floats, drawn: Drawn, per_oxygen: Floats
) -> tuple[air.Bed, Floats, list[tuple[int, Floats]]]:
    """Layers of charcoal, their heat, and where the three places lie in them."""
    members = places_c.shape[2]
    buried = plan.procedure == "bury"
    area = plan.area_m2 * (_TUB if buried else 1.0)
    put_in = np.full(members, put_in_kg(plan))
    thick = put_in / (drawn["bed_kg_m3"] * area)
    activation = drawn["char_kj_mol"]
    if plan.does("pulls"):
        bed = air.Bed(put_in[np.newaxis], thick[np.newaxis], area, per_oxygen, activation)
        among = [thick * share for share in ((0.25, 0.5, 0.75) if buried else (1.0, 1.0, 1.0))]
        return bed, places_c.mean(axis=0, keepdims=True), [(0, depth) for depth in among]
    third = plan.number("load", "height_m") / 3
    coals = embers_kg(plan, drawn)
    shares = (0.0, 0.0, 1.0) if plan.procedure == "leave" else (1 / 3, 1 / 3, 1 / 3)
    kg = np.stack([put_in, *(share * coals for share in shares)])
    thick_m = np.stack([thick, *[np.full(members, third)] * 3])
    bed = air.Bed(kg, thick_m, area, per_oxygen, activation)
    layers_c = np.stack([places_c[0], *places_c])
    top = np.full(members, plan.number("cover", "depth_in_charcoal_m"))
    half = np.full(members, third / 2)
    return bed, layers_c, [(0, top), (2, half), (3, half)]


def _inside(
    plan: Plan, table: Constants, pot_c: Floats, time_s: Floats, outside: Floats, drawn: Drawn
) -> Floats:
    """Oxygen inside a pot shut over charcoal: it comes from outside through the rim."""
    mouth = np.pi * (plan.number("load", "pot_diameter_m") / 2) ** 2
    charcoal = plan.number("cover", "charcoal_inside_kg")
    thick = charcoal / (drawn["bed_kg_m3"] * mouth)
    bed = air.Bed(
        np.full((1, thick.size), charcoal),
        thick[np.newaxis],
        mouth,
        drawn["carbon_per_oxygen"],
        drawn["char_kj_mol"],
    )
    found = air.under_cover(
        table, time_s, pot_c[np.newaxis], drawn["rim_leak_m_s"], bed, [(0, 0.0)], cover_c=pot_c,
        outside_share=outside, altitude_m=plan.number("site", "altitude_m"),
    )  # fmt: skip
    return floats(found.oxygen_share[0])


def _through(plan: Plan, table: Constants, top_c: Floats, drawn: Drawn) -> tuple[Floats, Floats]:
    """What lets air in, m/s, at each time, and the mean temperature of the way in."""
    if plan.word("cover", "material") == "none" or plan.procedure == "leave":
        return drawn["open_coals_m_s"] + np.zeros_like(top_c), top_c
    air_c = plan.number("site", "air_c")
    mean_c = (top_c + air_c) / 2
    rise = plan.number("load", "height_m") + plan.number("cover", "depth_m")
    stack = air.stack_draught_m_s(table, rise, top_c, air_c)
    wind = plan.number("site", "wind_m_s") * drawn["wind_share"]
    porosity = drawn["cover_porosity"]
    filled = porosity * np.minimum(drawn["cover_air_filled"], 1)
    # Millington and Quirk's form for each member's earth, over that of one earth whose heat dependence is
    # taken
    reference = table.value("oxygen-diffusion", "porosity")
    form = _form(table, porosity, filled) / _form(table, floats(reference), floats(reference))
    diffuses = air.permeance_m_s(table, 1.0, mean_c, reference) * form / cover_depth_m(plan, drawn)
    return floats(diffuses + drawn["cover_gaps"] * np.minimum(stack + wind, 20)), mean_c


def _form(table: Constants, porosity: Floats, filled: Floats) -> Floats:
    up, down = (table.value("oxygen-diffusion", symbol) for symbol in ("air_filled_power", "porosity_power"))
    return floats(filled**up / porosity**down)


def _above(plan: Plan, table: Constants, drawn: Drawn) -> Floats:
    """Oxygen above the bed: air, or what there is in the hollow of a burnt-out fire."""
    fresh = air_share(table)
    if plan.procedure == "leave":
        return floats(np.minimum(drawn["ash_oxygen"], fresh))
    return np.full(drawn["ash_oxygen"].shape, fresh)
