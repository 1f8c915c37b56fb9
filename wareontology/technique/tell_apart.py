"""What it would take to tell two techniques apart on a sherd: how much each test is expected to say.

Of a sherd that is one of the two at even odds, a test is worth the information its outcome carries on which
one it is: one bit settles it, nothing tells nothing. Only what is stated of each goes in; what is not is left
open alike for both, under flat firings, so that no region speaks for either.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case
from wareontology.technique.likelihoods.model import BODY_STATES, FIRES, PAINT_STATES, SLIP_STATES
from wareontology.technique.network import Item, Slot
from wareontology.technique.next_test import Planned, plans
from wareontology.technique.units import Unit
from wareontology.technique.what_if import seen_as

Floats = NDArray[np.float64]
Labels = Mapping[str, frozenset[str]]

_RULED_OUT: Final = 1e-9
"""Weight of what a label leaves out: not zero, so that labels that fit no fire together still answer."""
_LOOKED_AT: Final = "exterior"
_FIRE: Final = ("atmosphere", "ending", "temperature")


@dataclass(frozen=True, slots=True)
class Outcome:
    """One way a test may turn out, and its chance under each of the two."""

    seen: str
    first: float
    second: float


@dataclass(frozen=True, slots=True)
class Told:
    """A test, where it is done, what it is expected to say in bits, and the outcomes that say most."""

    test: str
    label: str
    where: str
    bits: float
    destroys: str
    caution: str
    cost: float
    needs_leave: bool
    outcomes: tuple[Outcome, ...]


def tell_apart(first: Labels, second: Labels, shared: Iterable[tuple[str, str | None]]) -> tuple[Told, ...]:
    """Every test on the layers that both have, the most telling first; those that tell nothing are left out.

    first, second: question to the values of which any is right, as `labels_of` gives them. shared: (layer,
    name) of the slips and paints that both have; both have a body.

    >>> iron, plant = ({"materials:paint": frozenset({m})} for m in ("iron", "organic"))
    >>> [told.test for told in tell_apart(iron, plant, [("paint", None)])][:2]
    ['refire', 'edge']
    """
    case = Case.of(_blank(shared), flat=True)
    found = [_looking(case, unit, first, second) for unit in case.units.all()]
    planned = tuple(plans(case))
    for zone in dict.fromkeys(plan.zone for plan in planned):
        here = case if zone is None else replace(case, also=(zone,))
        for plan in planned:
            if plan.zone == zone:
                found.append(_told(here, plan, first, second))
    telling = (told for told in found if told.bits >= 0.005)
    return tuple(sorted(telling, key=lambda told: (-told.bits, told.test, told.where)))


def _blank(shared: Iterable[tuple[str, str | None]]) -> Sherd:
    """A sherd with those layers on its outside, at which nobody has looked yet."""
    return Sherd("either", None, {}, tuple(Row(_LOOKED_AT, layer, name, {}) for layer, name in shared))


def _looking(case: Case, unit: Unit, first: Labels, second: Labels) -> Told:
    """Looking at the colour of a layer on the outside: no test of the table, since it comes before all."""
    outcomes, words = [], []
    for colour in h.COLOURS:
        seen = Row(_LOOKED_AT, unit.layer, None, {"colour": Seen("colour", colour, ((colour, 1.0),))})
        outcomes.append(seen_as(case, replace(unit, rows=(seen,)), (*case.sherd.rows, seen), ("colour",)))
        words.append((colour,))
    chances = _chances(case, outcomes, first, second)
    where = f"{unit.key}, {_LOOKED_AT}"
    label = f"Look at the colour of the {unit.layer} on the outside"
    told = _most_telling(words, *chances)
    return Told(f"colour-{unit.layer}", label, where, _bits(*chances), "nothing", "", 0.0, False, told)


def _told(case: Case, plan: Planned, first: Labels, second: Labels) -> Told:
    test = plan.test
    chances = _chances(case, plan.outcomes, first, second)
    told = _most_telling(list(_words(plan)), *chances)
    return Told(
        test.test, test.label, plan.where, _bits(*chances), test.destroys, test.caution, test.cost,
        test.needs != "looking", told,
    )  # fmt: skip


def _chances(
    case: Case, outcomes: Sequence[tuple[Item, ...]], first: Labels, second: Labels
) -> tuple[Floats, Floats]:
    """Chance of each outcome under each, and last of all others together."""
    rows = []
    for labels in (first, second):
        known = _as_evidence(case, labels)
        result = case.given([(known,), *((known, *outcome) for outcome in outcomes)])
        chance = np.minimum(result.evidence[1:] / result.evidence[0], 1.0)
        rows.append(np.append(chance, max(1.0 - float(chance.sum()), 0.0)))
    return rows[0] / rows[0].sum(), rows[1] / rows[1].sum()


def _as_evidence(case: Case, labels: Labels) -> Item:
    """What is stated of a technique, as factors on the fire and on each layer."""
    factors: dict[Slot, Floats] = {}
    fire = np.ones(len(FIRES))
    for place, question in enumerate(_FIRE):
        if question in labels:
            fire = fire * _weights([state[place] for state in FIRES], labels[question])
    factors[Slot("fire")] = fire[None, :]
    for unit in case.units.all():
        weight = _of_unit(unit, labels)
        if weight is not None:
            factors[Slot("unit", unit.key)] = weight[None, None, :]
    return Item("sherd", "stated", "", factors)


def _of_unit(unit: Unit, labels: Labels) -> Floats | None:
    materials = labels.get(f"materials:{unit.key}")
    if unit.layer == "slip":
        slips = ["self-slip" if " of " in state else state for state in SLIP_STATES]
        return None if materials is None else _weights(slips, materials)
    states = BODY_STATES if unit.layer == "body" else PAINT_STATES
    other = labels.get(f"{'carbon' if unit.layer == 'body' else 'applied'}:{unit.key}")
    weight = np.ones(len(states))
    for place, wanted in enumerate((materials, other)):
        if wanted is not None:
            weight = weight * _weights([state[place] for state in states], wanted)
    return None if materials is None and other is None else weight


def _weights(values: Sequence[str], wanted: frozenset[str]) -> Floats:
    return np.array([1.0 if value in wanted else _RULED_OUT for value in values])


def _bits(first: Floats, second: Floats) -> float:
    """Information of the outcome on which of the two it is, at even odds (Jensen-Shannon divergence)."""
    mean = (first + second) / 2
    return max(_entropy(mean) - (_entropy(first) + _entropy(second)) / 2, 0.0)


def _entropy(chance: Floats) -> float:
    kept = chance[chance > 0]
    return float(-(kept * np.log2(kept)).sum())


def _most_telling(
    words: Sequence[tuple[str, ...]], first: Floats, second: Floats, most: int = 3
) -> tuple[Outcome, ...]:
    """The outcomes that differ most; of two things seen together each is told alone."""
    assert len(words) == len(first) - 1, (words, first)
    chance: dict[str, list[float]] = {}
    for place, parts in enumerate(words):
        for part in parts:
            sums = chance.setdefault(part, [0.0, 0.0])
            sums[0] += float(first[place])
            sums[1] += float(second[place])
    found = [Outcome(seen, min(mine, 1.0), min(other, 1.0)) for seen, (mine, other) in chance.items()]
    found.sort(key=lambda one: (-abs(one.first - one.second), one.seen))
    return tuple(one for one in found[:most] if abs(one.first - one.second) >= 0.05)


def _words(plan: Planned) -> Iterator[tuple[str, ...]]:
    """Each outcome of a test in words, in the order of its outcomes."""
    yield from product(*(_turns_out(column, given) for column, given in plan.test.varies))


def _turns_out(column: str, values: tuple[str, ...]) -> list[str]:
    if column.startswith("pxrf_"):
        element = column.removeprefix("pxrf_").capitalize()
        return [f"{element} not above its ground", f"{element} well above its ground"]
    name = column.replace("_", " ")
    return [f"{name} {value}" for value in values]
