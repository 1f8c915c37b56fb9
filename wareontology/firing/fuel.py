"""Fuel a plan needs, from the heat of its load and ground: a range, not a recipe."""

import numpy as np

from wareontology.firing.courses import load_j_m3_k, load_radius_m
from wareontology.firing.gases import Drawn
from wareontology.firing.plan import Plan
from wareontology.redox.arrays import Floats, floats
from wareontology.redox.constants import Constants


def needed_kg(plan: Plan, table: Constants, drawn: Drawn) -> Floats:
    """Fuel to bring load and ground to the top heat and the pots dry, kg a member.

    Their heat over the share of the fuel's that stays. The ground counts to the depth heat goes in the
    time of the fire: 2 k dT sqrt(t / (pi a)) for each m2 of it.

    >>> from wareontology.firing.draws import Draws
    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.uncertain import draw, tables
    >>> plan = example("covered-pit")
    >>> found = needed_kg(plan, tables(), draw(plan, tables(), Draws(tables(), 5, 20, 1)))
    >>> bool(5 < np.median(found) < 200)
    True
    """
    rise = plan.number("fire", "top_c") - plan.number("site", "air_c")
    radius, height = load_radius_m(plan), plan.number("load", "height_m")
    area = np.pi * radius**2
    seconds = 60 * (plan.number("fire", "heat_min") / 2 + plan.number("fire", "soak_min"))
    diffusivity = drawn["ground_w_m_k"] / drawn["ground_j_m3_k"]
    into_ground = 2 * drawn["ground_w_m_k"] * rise * np.sqrt(seconds / (np.pi * diffusivity))
    into_load = load_j_m3_k(plan, table, drawn) * area * height * rise
    joules = into_load + into_ground * (area + 2 * np.pi * radius * height)
    return floats(joules / (drawn["heat_share"] * drawn["fuel_mj_kg"] * 1e6))
