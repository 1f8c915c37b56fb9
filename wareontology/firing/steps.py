"""A plan as steps a person carries out by the fire, with triggers that need no instrument."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from wareontology.firing.plan import Plan
from wareontology.firing.structures import things

GLOW_SPREAD_C: Final = 75
CAUTIONS: Final = (
    "Carbon monoxide has no smell and kills: fire in the open, stay upwind, never lean over a smothered"
    " fire.",
    "Damp pots burst: dry them bone-dry and warm them slowly. Eyes and skin covered; nobody in line with"
    " the pots.",
    "Wind, burn bans, water and a spade at hand. No treated wood, no plastics.",
    "No water on hot pots. Hot pots look cold. Embers live a day: mark the pit and keep children and"
    " animals off.",
    "Lead, copper and manganese paints and their fume harm; low-fired and lead-painted ware is for show,"
    " never for"
    " food. Silica dust: do not sweep dry.",
    "Never dig or fire near an archaeological site. Mark replicas, tiles and wasters for good. Local codes"
    " and licensed practice decide.",
)
_GLOW: Final = (
    (475, "no glow in deep shade"), (600, "first dark red in deep shade"), (700, "dark red"),
    (780, "cherry red"), (850, "bright cherry"), (950, "orange"), (2000, "yellow-orange"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what to do, until what is seen, about how long (minutes, low and high), and a caution."""

    number: int
    title: str
    do: str
    until: str
    minutes: tuple[float, float] | None = None
    caution: str = ""


def glow_words(temperature_c: float) -> str:
    """What a pot at a temperature looks like in shade. Two published scales differ by 100 degC for one
    word, so a glow is 75 degC either way.

    >>> glow_words(760)
    'cherry red'
    """
    return next(words for limit, words in _GLOW if temperature_c < limit)


def steps(plan: Plan) -> tuple[Step, ...]:
    """The steps of a plan, in order.

    >>> from wareontology.firing.plan import example
    >>> [step.title for step in steps(example("pull-and-cover"))][5:9]
    ['Hold', 'Pull', 'Set mouth-down', 'Cover']
    """
    found = [*_before(plan), *_fire(plan), *_end(plan)]
    return tuple(Step(number, *parts) for number, parts in enumerate(found, 1))


_Parts = tuple[str, str, str, tuple[float, float] | None, str]


def _before(plan: Plan) -> Iterator[_Parts]:
    fuel = things("fuel")[plan.word("fuel", "kind")].label
    yield (
        "Wedge and build", "Wedge the clay until a cut face shows no hole. Even walls: thick beside thin"
        " cracks.",
        "a cut face is close and even", None, "",
    )  # fmt: skip
    yield (
        "Dry", "Dry the pots in shade, then in sun or by the hearth.",
        "the pot no longer feels cool against the cheek", None, CAUTIONS[1],
    )  # fmt: skip
    pots = f"{plan.number('load', 'pots'):g} pots, mouth {plan.word('load', 'mouth')}"
    yield (
        "Lay the fire", f"{pots}, on sherds or stones clear of the damp ground;"
        f" {plan.number('fuel', 'mass_kg'):g} kg"
        f" of {fuel} split and dry.", "everything for the end lies within reach", None, CAUTIONS[2],
    )  # fmt: skip


def _fire(plan: Plan) -> Iterator[_Parts]:
    preheat, heat, soak, top = (
        plan.number("fire", name) for name in ("preheat_min", "heat_min", "soak_min", "top_c")
    )
    yield (
        "Preheat", "Small fire beside the pots, turning them; no flame on a pot.",
        "a drop of spit dries at once on every pot, and no steam comes from a cold mirror held over them",
        _about(preheat), CAUTIONS[1],
    )  # fmt: skip
    yield (
        "Fire", "Build up to open flames all round.",
        f"the soot has burned off and the pots glow {glow_words(top)} in shade (about {top:g} °C,"
        f" {GLOW_SPREAD_C} °C"
        " either way)", _about(heat), CAUTIONS[0],
    )  # fmt: skip
    yield (
        "Hold", "Feed little and often.", "the glow is even from top to bottom, as far as it can be seen",
        _about(soak), "",
    )  # fmt: skip


def _end(plan: Plan) -> Iterator[_Parts]:
    delay = plan.number("cover", "delay_s")
    if plan.does("pulls"):
        yield (
            "Pull", "Lift out one pot at a time while it glows; everything for it lies ready.",
            f"it is out; no more than about {delay:g} s to shut", (0, delay / 60 * 2), CAUTIONS[3],
        )  # fmt: skip
    if plan.does("shuts the mouth"):
        yield (
            "Set mouth-down", f"Over {plan.number('cover', 'charcoal_inside_kg'):g} kg of charcoal; bed"
            f" the rim in ash"
            " or fine earth all round.", "no smoke comes from the rim", (0, 1), CAUTIONS[0],
        )  # fmt: skip
    if plan.procedure == "leave":
        yield "Leave", "Let it burn out. Keep wind off.", "the embers are grey", None, CAUTIONS[3]
    if plan.word("cover", "material") != "none" and plan.procedure != "leave":
        yield _cover(plan, delay)
        yield (
            "Keep shut", "Walk round it every quarter hour: close every crack and thin spot that smokes"
            " or smells.",
            "no smoke, and you can hold your hand at the cover", None, CAUTIONS[0],
        )  # fmt: skip
    below = plan.number("open", "below_c")
    if below > 200:
        yield (
            "Open", f"Dig out at about {below:g} °C and let it cool in the open. Unproven: a calculation"
            f" without a"
            " firing behind it; cold is the default.", "the pots no longer glow in deep shade, and paper"
            " laid on one"
            " browns at once", None, CAUTIONS[3],
        )  # fmt: skip
    else:
        yield "Open", "Open cold.", "a bare hand stays on the pots", None, CAUTIONS[3]


def _cover(plan: Plan, delay: float) -> _Parts:
    cover = things("cover")[plan.word("cover", "material")].label
    depth = plan.number("cover", "depth_m")
    charcoal = plan.number("cover", "charcoal_kg")
    fresh = plan.number("cover", "smoke_fuel_kg")
    put = f"{charcoal:g} kg of glowing charcoal over the pots, then " if charcoal else ""
    put += f"{fresh:g} kg of {plan.word('cover', 'smoke_fuel')}, then " if fresh else ""
    when = "When the flames are down to coals a hand-breadth deep: " if not plan.does("pulls") else ""
    do = f"{when}{put}{cover}, {depth * 100:g} cm everywhere, thickest at the edge"
    return (
        "Cover",
        do[0].upper() + do[1:] + ".",
        "nothing glows through",
        (delay / 60 / 2, delay / 60 * 2),
        CAUTIONS[0],
    )


def _about(minutes: float) -> tuple[float, float]:
    return (round(minutes * 0.7), round(minutes * 1.5))
