"""From a plan and its draws to what happened at each place and surface: temperature and oxygen over time.

Three legs follow one another: the delay in open air, shut (or burning out), and opened. Times differ from
member to member, so a course carries the length of each of its steps.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np

from wareontology.firing import gases, heat
from wareontology.firing.beds import Pit
from wareontology.firing.gases import Drawn
from wareontology.firing.plan import Plan
from wareontology.firing.structures import things
from wareontology.redox import cooling, gas
from wareontology.redox.arrays import Floats, floats
from wareontology.redox.constants import Constants

PLACES: Final = heat.PLACES
HOTTEST_C: Final = 1080.0
"""As far as the rate laws reach, with room."""
ZONES: Final = ("outside", "inside")
LONGEST_H: Final = 120.0
_DELAY_STEPS, _OPEN_STEPS, _AIR_STEPS = 24, 24, 48
_HOTTEST_C: Final = 1190.0
_COLD_C: Final = 60.0


@dataclass(frozen=True, slots=True)
class Course:
    """What each place and surface went through.

    steps_s: (places, steps, members); temperature_c: (places, times, members); oxygen_share: (zones, places,
    times, members); charcoal_near: whether what reduces is there, the same shape. shut: times at which the
    load is shut or burning out. opened_h: hours from covering to opening, (members,), infinite where it is
    later than LONGEST_H. The clock begins when the fire is left or the pot pulled.
    """

    steps_s: Floats
    temperature_c: Floats
    oxygen_share: Floats
    charcoal_near: Floats
    peak_c: Floats
    at_cover_c: Floats
    shut: slice
    shut_time_s: Floats
    opened_h: Floats
    heat_misfit: float
    came_in_mol: Floats
    charcoal_burned_kg: Floats


def peaks_c(plan: Plan, drawn: Drawn) -> Floats:
    """Highest temperature of the top, mid and bottom, (3, members).

    The hottest place has the top heat as far as it was told right; the coldest is the spread of such a fire
    below, or, of a pot pulled by its own glow, the spread over one pot; which place is which is luck (the
    core is not always the coldest: Maggetti et al. 2011, abstract).

    >>> from wareontology.firing.draws import Draws
    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.uncertain import draw, tables
    >>> plan = example("covered-pit")
    >>> peaks_c(plan, draw(plan, tables(), Draws(tables(), 5, 20, 1))).shape
    (3, 100)
    """
    air_c = plan.number("site", "air_c")
    hottest = drawn.get("top_c", plan.number("fire", "top_c")) + drawn["top_error_k"]
    below = np.stack([np.zeros_like(hottest), drawn["u_middle"], np.ones_like(hottest)])
    orders = np.array([[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]])
    chosen = orders[np.minimum((drawn["u_order"] * 6).astype(int), 5)].T
    places = np.take_along_axis(below, chosen, axis=0)
    spread = drawn["within_pot_k" if plan.does("pulls") else "spread_k"]
    return floats(np.clip(hottest - spread * places, air_c + 50, HOTTEST_C))


def load_radius_m(plan: Plan) -> float:
    """Radius of the load; of a long one, that of a round one on as much ground."""
    length, width = plan.number("load", "length_m"), plan.number("load", "width_m")
    return float(np.sqrt(length * width / np.pi)) if length else plan.number("load", "radius_m")


def course(plan: Plan, table: Constants, drawn: Drawn) -> Course:
    """The whole course of every member.

    >>> from wareontology.firing.draws import Draws
    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.uncertain import draw, tables
    >>> plan = example("covered-pit")
    >>> found = course(plan, tables(), draw(plan, tables(), Draws(tables(), 2, 20, 1)))
    >>> bool(np.all(found.at_cover_c <= found.peak_c)), found.oxygen_share.shape[:2]
    (True, (2, 3))
    """
    pot = _Pot(plan, table)
    peak = peaks_c(plan, drawn)
    delay_s = plan.number("cover", "delay_s") * drawn["delay_ratio"]
    waiting_c, waiting_s = _waiting(plan, pot, peak, delay_s, drawn)
    at_cover = waiting_c[:, -1]
    shut_c, shut_s, opened_s, misfit = _shut(plan, table, pot, at_cover, drawn)
    shut_gas = gases.shut(plan, table, np.minimum(shut_c, HOTTEST_C), shut_s, drawn)
    waiting_gas = gases.waiting(plan, table, np.minimum(waiting_c, HOTTEST_C), drawn)
    open_c, open_s = _opened(pot, shut_c, shut_s, opened_s)
    steps = np.diff(shut_s, axis=0)
    left = np.clip(opened_s - shut_s[:-1], 0, steps)  # what is dug out takes no further part
    none = np.zeros((3, 1, peak.shape[1]))
    fresh = np.full((2, 3, _OPEN_STEPS, peak.shape[1]), gases.air_share(table))
    return Course(
        np.concatenate([waiting_s, none, np.broadcast_to(left, (3, *left.shape)), none, open_s], axis=1),
        np.concatenate([waiting_c, shut_c, open_c], axis=1),
        np.concatenate([waiting_gas.oxygen_share, shut_gas.oxygen_share, fresh], axis=2),
        np.concatenate([waiting_gas.charcoal_near, shut_gas.charcoal_near, np.zeros_like(fresh)], axis=2),
        peak, at_cover, slice(waiting_c.shape[1], waiting_c.shape[1] + shut_c.shape[1]), shut_s,
        floats(opened_s / 3600), misfit, shut_gas.came_in_mol, shut_gas.burned_kg,
    )  # fmt: skip


def load_j_m3_k(plan: Plan, table: Constants, drawn: Drawn) -> Floats:
    """Heat that warms the load by 1 K: its pots' clay, and what lies among them."""
    volume = np.pi * load_radius_m(plan) ** 2 * plan.number("load", "height_m")
    pots = plan.number("load", "pots") * _Pot(plan, table).pot_j_k / volume
    return floats(drawn["load_fill_j_m3_k"] + pots)


class _Pot:
    """How the plan's pot cools in still air, whole or with its mouth shut: one curve each, read at any
    heat."""

    def __init__(self, plan: Plan, table: Constants) -> None:
        from dataclasses import replace

        self.air_c = min(plan.number("site", "air_c"), _COLD_C - 10)
        bowl = cooling.bowl(
            table,
            wall_m=plan.number("load", "wall_mm") / 1000,
            diameter_m=plan.number("load", "pot_diameter_m"),
        )
        pressure = float(gas.air_pressure_bar(table, plan.number("site", "altitude_m")))
        shut = replace(bowl, inside_share=0.0)
        self.whole, self.mouth_shut = (
            cooling.curve(table, _HOTTEST_C, self.air_c + 2, one, self.air_c, pressure)
            for one in (bowl, shut)
        )
        clay = bowl.density_kg_m3 * (bowl.heat_capacity_j_kg_k + 300 * bowl.heat_capacity_slope) * bowl.wall_m
        self.pot_j_k = clay * np.pi * bowl.diameter_m**2 / 2  # a half sphere
        self.load_j_m3_k = 4 * clay / bowl.diameter_m  # the same over the cylinder it stands in

    def after(self, start_c: Floats, seconds: Floats, *, mouth_shut: bool = False) -> Floats:
        """Temperature some time after it was at `start_c`."""
        time, temperature = self.mouth_shut if mouth_shut else self.whole
        begun = np.interp(-start_c, -temperature, time)
        return floats(np.interp(begun + seconds, time, temperature))

    def seconds_to(self, start_c: Floats, end_c: float) -> Floats:
        """Seconds from one temperature down to another."""
        time, temperature = self.whole
        there = np.interp(-end_c, -temperature, time)
        return floats(np.maximum(there - np.interp(-start_c, -temperature, time), 0))


def _waiting(plan: Plan, pot: _Pot, peak: Floats, delay_s: Floats, drawn: Drawn) -> tuple[Floats, Floats]:
    """Temperatures, (3, times, members), and steps, from the end of the fire to covered."""
    share = np.linspace(0, 1, _DELAY_STEPS + 1)[:, np.newaxis] ** 2  # short steps while it is hot
    pulled = np.stack([pot.after(one, share * delay_s) for one in peak])
    if plan.does("pulls"):
        cooled = pulled
    else:
        top = drawn["heap_share"]
        shares = np.stack([top, top * drawn["middle_share"], top * drawn["middle_share"] ** 2])
        cooled = peak[:, np.newaxis] - shares[:, np.newaxis] * (peak[:, np.newaxis] - pulled)
    steps = np.diff(share, axis=0) * delay_s
    return cooled, np.broadcast_to(steps, (3, *steps.shape))


def _shut(
    plan: Plan, table: Constants, pot: _Pot, at_cover: Floats, drawn: Drawn
) -> tuple[Floats, Floats, Floats, float]:
    """Temperatures (3, times, members), times (times, members), seconds to opening, and the misfit of
    heat."""
    members = at_cover.shape[1]
    below = plan.number("open", "below_c")
    air_c = plan.number("site", "air_c")
    covered = plan.word("cover", "material") != "none" and plan.procedure != "leave"
    if covered:
        found = heat.covered(_pit(plan, table, pot, drawn), at_cover, _warmed_h(plan), LONGEST_H)
        time = np.broadcast_to(found.time_s[:, np.newaxis], (found.time_s.size, members))
        temperature, misfit = found.places_c, found.heat_misfit
    elif plan.procedure == "leave":
        tau_s = 3600 * drawn["kiln_h" if has_wall(plan) else "ash_bed_h"]
        time = np.concatenate([[0.0], np.geomspace(1e-3, 8, _AIR_STEPS)])[:, np.newaxis] * tau_s
        temperature = air_c + (at_cover[:, np.newaxis] - air_c) * np.exp(-time / tau_s)
        misfit = 0.0
    else:  # mouth-down in the open
        longest = pot.seconds_to(floats(_HOTTEST_C), pot.air_c + 5) * 2
        time = np.concatenate([[0.0], np.geomspace(2, longest, _AIR_STEPS)])[:, np.newaxis] * np.ones(members)
        temperature = np.stack([pot.after(one, time, mouth_shut=True) for one in at_cover])
        misfit = 0.0
    hours = (
        heat.hours_to(time[:, 0], temperature[1], below) if covered else _own_hours(time, temperature, below)
    )
    return temperature, floats(time), hours * 3600, misfit


def _own_hours(time: Floats, temperature: Floats, below_c: float) -> Floats:
    """Hours until all places are down to a temperature, each member by its own clock."""
    hottest = temperature.max(axis=0)
    found = [
        np.interp(-below_c, -hottest[:, member], time[:, member], right=np.inf)
        for member in range(time.shape[1])
    ]
    return floats(found) / 3600


def has_wall(plan: Plan) -> bool:
    return things("structure")[plan.structure].usual("wall_thickness_m") > 0


def _warmed_h(plan: Plan) -> float:
    """The ground is taken as warmed by half the heating and the soak at covering heat; a pulled pot's is
    cold."""
    if plan.does("pulls"):
        return 0.0
    return min((plan.number("fire", "heat_min") / 2 + plan.number("fire", "soak_min")) / 60, 48.0)


def _pit(plan: Plan, table: Constants, pot: _Pot, drawn: Drawn) -> Pit:
    pulled = plan.does("pulls")
    width = plan.number("load", "pot_diameter_m")
    surface = drawn["surface_w_m2_k"] + drawn["wind_w_m2_k"] * plan.number("site", "wind_m_s")
    return Pit(
        radius_m=width / 2 if pulled else load_radius_m(plan),
        height_m=width / 2 if pulled else plan.number("load", "height_m"),
        cover_depth_m=gases.cover_depth_m(plan, drawn),
        load_w_m_k=drawn["load_w_m_k"],
        load_j_m3_k=pot.load_j_m3_k if pulled else load_j_m3_k(plan, table, drawn),
        cover_w_m_k=drawn["cover_w_m_k"], cover_j_m3_k=drawn["cover_j_m3_k"],
        ground_w_m_k=drawn["ground_w_m_k"], ground_j_m3_k=drawn["ground_j_m3_k"],
        surface_w_m2_k=surface, air_c=plan.number("site", "air_c"),
        water_kg_m3=drawn["cover_water_kg_m3"], latent_j_kg=table.value("water", "latent"),
        wall_m=0.0 if pulled else things("structure")[plan.structure].usual("wall_thickness_m"),
        boils_c=(table.value("water", "boils_from"), table.value("water", "boils_to")),
    )  # fmt: skip


def _opened(pot: _Pot, shut_c: Floats, time_s: Floats, opened_s: Floats) -> tuple[Floats, Floats]:
    """Cooling in open air from the heat at which it was opened, (3, times, members), and its steps."""
    members = shut_c.shape[2]
    start = np.empty((3, members))
    for member in range(members):
        when = min(float(opened_s[member]), float(time_s[-1, member]))
        for place in range(3):
            start[place, member] = np.interp(when, time_s[:, member], shut_c[place, :, member])
    end = np.minimum(start, _COLD_C)
    share = np.linspace(0, 1, _OPEN_STEPS)
    temperature = end[:, np.newaxis] + (start - end)[:, np.newaxis] * (1 - share[:, np.newaxis]) ** 2
    time, curve = pot.whole
    at = np.interp(-temperature, -curve, time)
    return floats(temperature), floats(np.maximum(np.diff(at, axis=1), 0))
