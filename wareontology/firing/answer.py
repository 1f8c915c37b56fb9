"""A simulation as plain data: the frozen keys and what explains them."""

from collections.abc import Iterator
from typing import Any, Final

import numpy as np

from wareontology.firing import fuel, uncertain
from wareontology.firing.courses import LONGEST_H, PLACES, ZONES
from wareontology.firing.curves import Band, curves
from wareontology.firing.plan import Plan
from wareontology.firing.simulate import Simulation, causes, quantile
from wareontology.firing.steps import CAUTIONS, Step, steps
from wareontology.firing.structures import things
from wareontology.redox.arrays import Floats

PESSIMISTIC: Final = (
    "The model is likely pessimistic: it leaves out sealing by sintering beyond the range drawn, char made"
    " livelier by ash, steam and tars, and a damp cover that stays damp.",
    "A phase is computed; the word for its colour is judged. No verdict hangs on equilibrium below 600 °C.",
    "Dug out hot at about 400 °C is an unproven model result; cold opening is the default.",
)
_TARGET: Final = "black stays black and the white is not smoked"


def to_data(found: Simulation) -> dict[str, Any]:
    """The answer of one plan.

    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.simulate import simulate
    >>> list(to_data(simulate(example("covered-pit"), 100)))[:6]
    ['plan', 'target', 'chance', 'chance_low', 'chance_high', 'places']
    """
    plan, passed = found.plan, found.course
    value, low, high = found.chance()
    opened = found.spread(np.where(np.isfinite(passed.opened_h), passed.opened_h, np.inf))
    return {
        "plan": {
            "name": plan.name, "structure": plan.structure, "procedure": plan.procedure, "paint": plan.paint,
            "values": _values(plan),
        },
        "target": {"zone": plan.target_zone, "words": f"{_TARGET}, {_zone_words(plan)}"},
        "chance": round(value, 3), "chance_low": round(low, 3), "chance_high": round(high, 3),
        "places": [_place(found, row, side) for side in range(2) for row in range(3)],
        "causes": [
            {
                "name": one.name, "words": one.words, "share": one.share, "direction": one.direction,
                "weak": one.weak,
            }
            for one in causes(found)
        ],
        "open_after_h": {
            **_rounded(opened, 2), "below_c": plan.number("open", "below_c"), "followed_to_h": LONGEST_H
        },
        "under_fired_share": _rounded(_under_fired(found), 3),
        "members": found.members, "seed": found.seed,
        "fuel": _fuel(found), "warnings": list(cracking(plan, found)), "ground": list(ground(plan)),
        "steps": [_step(one) for one in steps(plan)],
        "weak_inputs": [_weak(one) for one in uncertain.inputs(plan, found.table) if one.weak],
        "curves": _curves(found), "notes": list(PESSIMISTIC), "cautions": list(CAUTIONS),
    }  # fmt: skip


def _zone_words(plan: Plan) -> str:
    return "inside and outside" if plan.target_zone == "both" else plan.target_zone


def _place(found: Simulation, row: int, side: int) -> dict[str, Any]:
    made, drawn, passed = found.outcome, found.drawn, found.course
    black, red = made.black(drawn)[side, row], made.turned_red(drawn)[side, row]
    hot = made.hot_oxidised[side, row] < drawn["black_below"]
    carbon = made.carbon_left[side, row]
    enough, stain = (found.table.value("fire-paint", name) for name in ("carbon_black", "carbon_stain"))
    manganese = made.manganese[side, row]

    def share(values: Floats) -> float:
        return round(float((values * found.weights).sum()), 3)

    oxygen = passed.oxygen_share[side, row, passed.shut] > found.table.value(
        "magnetite-reoxidation", "oxygen_limit"
    )
    first = np.argmax(oxygen, axis=0)
    hours = passed.shut_time_s[first, np.arange(first.size)] / 3600
    when = np.where(oxygen.any(axis=0), hours, np.inf)
    return {
        "place": PLACES[row], "zone": ZONES[side], "chance": share(made.kept(drawn)[side, row]),
        "peak_c": _rounded(found.spread(passed.peak_c[row]), 0),
        "at_cover_c": _rounded(found.spread(passed.at_cover_c[row]), 0),
        "oxygen_after_h": _rounded(found.spread(when), 2),
        "iron_while_hot": {"black": share(hot), "red": share(1 - hot)},
        "iron": {"black": share(black), "brown": share((1 - black) * (1 - red)), "red": share(red)},
        "organic": {
            "black": share(carbon > enough), "brown": share((carbon <= enough) & (carbon > stain)),
            "gone": share(carbon <= stain),
        },
        "manganese": {
            "black": share(manganese == 0), "brown": share(manganese == 1), "green": share(manganese == 2),
        },
        "iron_manganese": {"black": 1.0, "basis": "a rule with a source (Schweizer & Rinuy 1982), not"
        " computed"},
        "smoked": share(made.smoked[side, row]),
    }  # fmt: skip


def _step(one: Step) -> dict[str, Any]:
    return {
        "title": one.title,
        "do": one.do,
        "until": one.until,
        "minutes": one.minutes,
        "caution": one.caution,
    }


def _values(plan: Plan) -> dict[str, float | str]:
    return {f"{section}.{name}" if section else name: one for (section, name), one in plan.values.items()}


def _under_fired(found: Simulation) -> dict[str, Any]:
    share = found.outcome.under_fired
    ends = zip(("low", "high"), (0.05, 0.95), strict=True)
    return {
        "value": found.mean(share), **{name: quantile(share, end, found.weights) for name, end in ends},
    }  # fmt: skip


def _rounded(values: dict[str, Any], digits: int) -> dict[str, Any]:
    return {name: None if one is None else round(float(one), digits) for name, one in values.items()}


def _fuel(found: Simulation) -> dict[str, Any]:
    needed = fuel.needed_kg(found.plan, found.table, found.drawn)
    given = found.plan.number("fuel", "mass_kg")
    return {
        "kind": found.plan.word("fuel", "kind"), "mass_kg": given,
        "needed_kg": _rounded(found.spread(needed), 0),
        "enough_share": round(float(((given >= needed) * found.weights).sum()), 2),
    }  # fmt: skip


def cracking(plan: Plan, found: Simulation) -> Iterator[str]:
    """Plain warnings of cracking and bursting, from the heating and the damp (common practice).

    >>> from wareontology.firing.plan import from_text
    >>> from wareontology.firing.simulate import simulate
    >>> wet = from_text('structure = "open-fire"\\n[load]\\nmoisture_share = 0.08\\n[fire]\\npreheat_min = 2')
    >>> [one.split(":")[0] for one in cracking(wet, simulate(wet, 100))]
    ['Damp pots', 'Short preheat', 'Quick heating']
    """
    table = found.table
    damp, preheat = plan.number("load", "moisture_share"), plan.number("fire", "preheat_min")
    enough, limit, quick = (
        table.one("cracking", name) for name in ("preheat_enough", "damp_share", "quick_k_min")
    )
    if damp > limit.value:
        yield (
            f"Damp pots: {100 * damp:g} % water left. Above about {100 * limit.value:g} % they may burst"
            f" as it boils"
            " (common practice)."
        )
    if preheat < enough.span()[1] and (damp > limit.span()[0] or preheat < enough.value):
        yield (
            f"Short preheat: {preheat:g} min. Dry pots are given about {enough.span()[0]:g} to"
            f" {enough.span()[1]:g} min, damp ones longer (common practice)."
        )
    rate = (plan.number("fire", "top_c") - 200) / plan.number("fire", "heat_min")
    if rate > quick.value:
        yield (
            f"Quick heating: about {rate:.0f} K a minute. Fine or thick bodies crack above about"
            f" {quick.value:g}; open"
            " fires need a coarse, tempered body (common practice)."
        )


def ground(plan: Plan) -> tuple[str, ...]:
    """What the ground would show afterwards.

    >>> from wareontology.firing.plan import example
    >>> ground(example("trench"))[0][:22]
    'A long shallow trench,'
    """
    return (
        *things("structure")[plan.structure].leaves,
        *things("procedure")[plan.procedure].leaves,
    )


def _weak(one: uncertain.Input) -> dict[str, Any]:
    low, high = one.range.span()
    return {
        "name": one.name, "words": one.words, "value": one.range.value, "low": low, "high": high,
        "source": one.range.source, "provenance": one.range.provenance,
    }  # fmt: skip


def _curves(found: Simulation) -> dict[str, Any]:
    drawn = curves(found)

    def band(values: Band, digits: int) -> dict[str, list[float | None]]:
        return {
            name: [None if np.isnan(one) else round(float(one), digits) for one in row]
            for name, row in zip(("low", "value", "high"), values, strict=True)
        }

    return {
        "hours_from_covering": [round(float(one), 4) for one in drawn.hours],
        "temperature_c": {place: band(one, 1) for place, one in drawn.temperature_c.items()},
        "oxygen_share": {
            zone: {place: band(one, 5) for place, one in places.items()}
            for zone, places in drawn.oxygen_share.items()
        },
    }
