"""What a course makes of the paints and the slip: iron, organic and manganese paint, soot.

Iron: Jander's law up, a first-order rate down (redox.reoxidation, redox.reduction), step by step, as the
gas at each step has it. Carbon: first order in oxygen (redox.carbon). Manganese: what is stable in the
last gas it met while above the floor for verdicts, assumed complete. A phase is computed, the word for its
colour judged.
"""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.firing.courses import PLACES, Course
from wareontology.firing.gases import Drawn, cover_depth_m, embers_kg
from wareontology.firing.plan import Plan
from wareontology.firing.structures import things
from wareontology.redox import buffers, carbon, gas, reduction, reoxidation
from wareontology.redox.arrays import Floats, floats
from wareontology.redox.constants import Constants

_LAW_C: Final = (-40.0, 1090.0)
_LEAST_OXYGEN: Final = 1e-12
_SOAK_S: Final = 60.0


@dataclass(frozen=True, slots=True)
class Outcome:
    """Of every member, surface and place, (zones, places, members), unless said.

    oxidised, hot_oxidised: share of the iron paint's magnetite gone, at the end and when the fire ended;
    red: that went on to hematite; carbon_left: of an organic paint; soot_kg_m2; manganese: 0 black, 1
    brown, 2 green.
    """

    oxidised: Floats
    hot_oxidised: Floats
    red: Floats
    carbon_left: Floats
    soot_kg_m2: Floats
    smoked: Floats
    manganese: Floats
    under_fired: Floats

    def black(self, drawn: Drawn) -> Floats:
        """1 where the iron paint is still called black."""
        return floats(self.oxidised < drawn["black_below"])

    def turned_red(self, drawn: Drawn) -> Floats:
        """1 where it is called red: enough oxidised, and most of that gone on to hematite."""
        return floats((self.oxidised > drawn["red_above"]) & (self.red > 0.5))

    def kept(self, drawn: Drawn) -> Floats:
        """1 where the black stayed black and the white was not smoked."""
        return self.black(drawn) * (1 - self.smoked)


def outcome(plan: Plan, table: Constants, drawn: Drawn, passed: Course) -> Outcome:
    """What the course made of each place and surface.

    >>> from wareontology.firing.courses import course
    >>> from wareontology.firing.draws import Draws
    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.uncertain import draw, tables
    >>> plan = example("pull-and-cover")
    >>> drawn = draw(plan, tables(), Draws(tables(), 10, 20, 1))
    >>> found = outcome(plan, tables(), drawn, course(plan, tables(), drawn))
    >>> outside, inside = found.black(drawn).mean(axis=(1, 2))
    >>> bool(inside > outside)
    True
    """
    smoky = np.stack([drawn[f"u_gas_{place}"] < drawn["reducing_share"] for place in PLACES])
    hot = _at_the_end_of_the_fire(plan, table, drawn, passed.peak_c, smoky)
    oxidised, red = _iron(table, drawn, passed, np.stack([hot, hot]))
    rate = carbon.rate_per_s(table, np.clip(passed.temperature_c, *_LAW_C), _over(drawn["char_kj_mol"]))
    lost = _burned(table, passed, rate)
    burnt_in_fire = carbon.rate_per_s(table, np.clip(passed.peak_c, *_LAW_C), drawn["char_kj_mol"])
    kept = np.where(smoky, 1.0, np.exp(-burnt_in_fire * _held_s(plan)))
    soot = soot_laid_kg_m2(plan, drawn) * lost
    early = smoky & (passed.peak_c < drawn["soot_clear_c"])
    smoked = (soot > drawn["smoked_kg_m2"]) | early
    manganese = _manganese(plan, table, drawn, passed, smoky)
    under = under_fired_share(passed.peak_c, drawn["under_fired_c"])
    return Outcome(oxidised, np.stack([hot, hot]), red, kept * lost, soot, floats(smoked), manganese, under)


def under_fired_share(peak_c: Floats, under_c: Floats) -> Floats:
    """Share of the pots under-fired, a member: pots are taken as even between the coldest and the hottest
    place.

    >>> print(under_fired_share(np.array([[800.0], [700.0], [600.0]]), np.array([650.0])))
    [0.25]
    """
    cold, hot = peak_c.min(axis=0), peak_c.max(axis=0)
    return floats(np.clip((under_c - cold) / np.maximum(hot - cold, 1e-9), 0, 1))


def soot_laid_kg_m2(plan: Plan, drawn: Drawn) -> Floats:
    """Carbon that smoke lays on surfaces when the cover goes on, kg/m2, (2, 1, members): outside, inside.

    Volatiles of the charcoal and coals, the fresh fuel and the cover, times the share that settles, over the
    surface of the pots. No number was found for any of it: all are judged.
    """
    inner = 2 * np.pi * (plan.number("load", "pot_diameter_m") / 2) ** 2
    pots = 1.0 if plan.does("pulls") else plan.number("load", "pots")
    shut = plan.procedure != "leave"
    fresh = plan.word("cover", "smoke_fuel")
    smoke = embers_kg(plan, drawn) * drawn["ember_volatile"]
    smoke = smoke + plan.number("cover", "charcoal_kg") * drawn["charcoal_volatile"]
    if fresh != "none":
        smoke = smoke + plan.number("cover", "smoke_fuel_kg") * things("fuel")[fresh].usual("volatile_share")
    if "cover_volatile_kg_m3" in drawn:
        area = plan.area_m2
        hot_cover = area * cover_depth_m(plan, drawn) * drawn["cover_smokes"]
        smoke = smoke + hot_cover * drawn["cover_volatile_kg_m3"]
    outside = shut * smoke * drawn["soot_yield"] / (2 * inner * pots)
    charcoal = plan.number("cover", "charcoal_inside_kg")
    inside = charcoal * drawn["charcoal_volatile"] * drawn["soot_yield"] / inner if charcoal else outside
    return floats(np.stack([outside, inside])[:, np.newaxis])


def _over(values: Floats) -> Floats:
    """A law's number for each member, set against places and times."""
    return floats(values)[np.newaxis, np.newaxis]


def _held_s(plan: Plan) -> float:
    return max(60 * plan.number("fire", "soak_min"), _SOAK_S)


def _at_the_end_of_the_fire(
    plan: Plan, table: Constants, drawn: Drawn, peak: Floats, smoky: NDArray[np.bool_]
) -> Floats:
    """Oxidised share when the fire ended: all of it in a clear gas; what the soak left of it in a smoky
    one."""
    rate = reduction.rate_per_s(
        table, np.clip(peak, *_LAW_C), drawn["reduction_at_600_per_s"], drawn["reduction_kj_mol"]
    )
    return floats(np.where(smoky, np.exp(-rate * _held_s(plan)), 1.0))


def _between(rate: Floats) -> Floats:
    """A rate's mean over each step along times (the last axis but one), its logarithm taken as straight
    there, as in redox.rates.integral."""
    before, after = rate[..., :-1, :], rate[..., 1:, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        curved = (after - before) / np.log(after / before)
    plain = (before + after) / 2
    unlike = (before > 0) & (after > 0) & (np.abs(after - before) > 1e-6 * plain)
    return floats(np.where(unlike, curved, plain))


def _iron(table: Constants, drawn: Drawn, passed: Course, start: Floats) -> tuple[Floats, Floats]:
    warm = np.clip(passed.temperature_c, *_LAW_C)
    up = _between(
        2
        * reoxidation.diffusivity_m2_s(
            table, warm, _over(drawn["diffusivity_at_200_m2_s"]), _over(drawn["oxidation_kj_mol"])
        )
        / _over(drawn["sealing_length_m"]) ** 2
    )
    down = _between(
        reduction.rate_per_s(
            table, warm, _over(drawn["reduction_at_600_per_s"]), _over(drawn["reduction_kj_mol"])
        )
    )
    on = _between(_hematite_rate(table, warm, drawn))
    oxygen = (passed.oxygen_share[:, :, :-1] + passed.oxygen_share[:, :, 1:]) / 2
    reaches = reoxidation.oxygen_factor(table, oxygen)
    lacks = np.clip(1 - oxygen / table.value("magnetite-reoxidation", "oxygen_limit"), 0, 1)
    lacks = lacks * passed.charcoal_near[:, :, :-1]
    steps = passed.steps_s
    share, red = start.copy(), np.zeros_like(start)
    for place in range(steps.shape[1]):
        seconds = steps[:, place]
        share = reoxidation.share_of_term(
            reoxidation.term_of_share(share) + up[:, place] * seconds * reaches[:, :, place]
        )
        share = share * np.exp(-down[:, place] * seconds * lacks[:, :, place])
        red = np.minimum(share + (red - share) * np.exp(-on[:, place] * seconds), share)
    return share, red


def _hematite_rate(table: Constants, warm: Floats, drawn: Drawn) -> Floats:
    from wareontology.redox.rates import arrhenius

    name = "maghemite-to-hematite"
    return arrhenius(
        table, warm, _over(drawn["hematite_at_520_per_s"]), table.value(name, "E"),
        table.value(name, "T_reference"), table.one(name, "k_reference"),
    )  # fmt: skip


def _burned(table: Constants, passed: Course, rate: Floats) -> Floats:
    """Share of carbon left after the fire's end, (zones, places, members)."""
    fresh = table.value("standard-atmosphere", "oxygen_share")
    oxygen = (passed.oxygen_share[:, :, :-1] + passed.oxygen_share[:, :, 1:]) / 2
    eaten = _between(rate) * passed.steps_s * oxygen / fresh
    return floats(np.exp(-eaten.sum(axis=2)))


def _manganese(
    plan: Plan, table: Constants, drawn: Drawn, passed: Course, smoky: NDArray[np.bool_]
) -> Floats:
    """0 black bixbyite, 1 brown hausmannite, 2 green manganosite, of manganese with no iron in it."""
    floor = table.value("agreement", "verdict_floor")
    pressure = float(gas.air_pressure_bar(table, plan.number("site", "altitude_m")))
    low, high = table.one("fire-gas-oxygen", "clear").span()
    fire = np.where(smoky, 0.0, low + (high - low) * drawn["u_oxygen"])
    both = np.broadcast_to(fire, (2, *fire.shape))[:, :, np.newaxis]
    oxygen = np.concatenate([both, passed.oxygen_share], axis=2)
    warm = np.concatenate([passed.peak_c[:, np.newaxis], passed.temperature_c], axis=1)
    hot = warm >= floor
    last = np.where(hot.any(axis=1), hot.shape[1] - 1 - np.argmax(hot[:, ::-1], axis=1), 0)
    where = np.broadcast_to(last[:, np.newaxis], (2, 3, 1, last.shape[1]))
    met = np.take_along_axis(oxygen, where, axis=2)
    at_c = np.take_along_axis(warm, last[:, np.newaxis], axis=1)[:, 0]
    line = buffers.log10_oxygen(table, "bixbyite-hausmannite", np.clip(at_c, floor, 1090))
    bar = np.log10(np.maximum(met[:, :, 0] * pressure, _LEAST_OXYGEN))
    starved = met[:, :, 0] < table.value("magnetite-reoxidation", "oxygen_limit") * 0.1
    return floats(np.where(bar >= line, 0, np.where(starved, 2, 1)))
