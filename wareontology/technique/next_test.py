"""Which test to do next: what it is expected to tell, less what it costs and what it destroys."""

import csv
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import chain, product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology import paths
from wareontology.sherd.record import Row, Seen
from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case
from wareontology.technique.likelihoods import evidence
from wareontology.technique.likelihoods.reading import Context
from wareontology.technique.network import Item
from wareontology.technique.posterior import Marginals
from wareontology.technique.units import Unit
from wareontology.technique.what_if import COLUMNS_OF, seen_as

Floats = NDArray[np.float64]
Asked = Callable[[Case, Marginals], Sequence[Floats]]

ALLOWED: Final = {
    "none": ("looking",), "surface": ("looking", "surface"),
    "chip": ("looking", "surface", "chip"), "ask": ("looking", "surface", "chip"),
}  # fmt: skip
"""What a permission allows; where nobody has asked yet all is offered, with the leave it needs."""


@dataclass(frozen=True, slots=True)
class Examination:
    """A row of data/tests.csv. `varies` holds the values a column may turn out to have; a measurement has
    one, and turns out at least or at most so many times its ground."""

    test: str
    label: str
    layer: str
    fixed: tuple[tuple[str, str], ...]
    varies: tuple[tuple[str, tuple[str, ...]], ...]
    needs: str
    destroys: str
    caution: str
    cost: float
    harm: float


@dataclass(frozen=True, slots=True)
class Planned:
    """A test that could be done on this sherd, with the evidence each outcome would give."""

    test: Examination
    where: str
    outcomes: tuple[tuple[Item, ...], ...]
    replaces: frozenset[tuple[str, str]]
    zone: str | None = None
    """A surface that nothing was seen on yet, which the test would look at."""


@cache
def examinations() -> tuple[Examination, ...]:
    """Every test of data/tests.csv."""
    with paths.data("tests.csv").open(encoding="utf-8", newline="") as file:
        return tuple(_test(row) for row in csv.DictReader(file))


def _test(row: dict[str, str]) -> Examination:
    fixed = tuple(tuple(part.split("=")) for part in row["fixed"].split(";") if part)
    varies = tuple(
        (name, tuple(values.split("|")))
        for name, _, values in (part.partition("=") for part in row["varies"].split(";"))
    )
    return Examination(
        row["test"], row["label"], row["layer"], fixed, varies,  # type: ignore[arg-type]
        row["needs"], row["destroys"], row["caution"], float(row["cost"]), float(row["harm"]),
    )  # fmt: skip


def next_tests(case: Case, questions: Sequence[str], most: int = 20) -> list[dict[str, object]]:
    """Tests ranked by expected bits over the questions, less their weighed cost and harm.

    What the sherd's permission forbids is not offered.
    """
    planned = list(plans(case, ALLOWED[case.sherd.permission]))
    gains = expected_gains(case, planned, questions)
    offered = [
        (gain - plan.test.cost - plan.test.harm, gain, plan)
        for plan, gain in zip(planned, gains, strict=True)
        if gain > 0.005
    ]
    offered.sort(key=lambda entry: (-entry[0], entry[2].test.test, entry[2].where))
    return [
        {
            "test": plan.test.test,
            "label": plan.test.label,
            "where": plan.where,
            "gain_bits": round(gain, 4),
            "destroys": plan.test.destroys,
            "caution": plan.test.caution,
            "cost": plan.test.cost,
            "needs_leave": plan.test.needs != "looking",
        }
        for _, gain, plan in offered[:most]
    ]


def expected_gains(case: Case, planned: Sequence[Planned], questions: Sequence[str]) -> list[float]:
    """Expected fall of entropy, in bits, summed over the questions; never below 0 but for rounding.

    Outcomes that a test does not list are taken together: what is left of each probability when the listed
    outcomes are taken away.
    """

    def asked(here: Case, result: Marginals) -> list[Floats]:
        odds = here.odds(result, questions)
        return [np.stack(list(odds[question].values()), axis=1) for question in questions]

    return [sum(gains) for gains in gains_over(case, planned, asked, questions)]


def gains_over(
    case: Case, planned: Sequence[Planned], asked: Asked, only: Iterable[str] | None = None
) -> list[list[float]]:
    """For each test its expected gain on each of any variables, whose probabilities `asked` gives, each shape
    (sets of evidence, values). Values may leave out some: the gain is then that between those kept.

    only: the questions that `asked` looks at, where not all are.
    """
    gains: dict[int, list[float]] = {place: [] for place in range(len(planned))}
    for zone in {plan.zone for plan in planned}:
        places = [place for place, plan in enumerate(planned) if plan.zone == zone]
        here = case if zone is None else replace(case, also=(zone,))
        found = _gains(here, case.items, [planned[place] for place in places], asked, only)
        gains |= zip(places, found, strict=True)
    return list(gains.values())


def _gains(
    case: Case, items: tuple[Item, ...], planned: Sequence[Planned], asked: Asked,
    only: Iterable[str] | None,
) -> list[list[float]]:  # fmt: skip
    """The same for tests that can go on one network; `items` is what was seen so far."""
    variants = [items]
    for plan in planned:
        kept = tuple(item for item in items if item.key not in plan.replaces)
        variants += [(*kept, *outcome) for outcome in plan.outcomes]
    result = case.given(variants, only)
    chance = result.evidence / result.evidence[0]
    odds = asked(case, result)
    gains, place = [], 1
    for plan in planned:
        here = slice(place, place + len(plan.outcomes))
        gains.append([_gain(p[0], p[here], chance[here]) for p in odds])
        place += len(plan.outcomes)
    return gains


def _gain(before: Floats, after: Floats, chance: Floats) -> float:
    """Expected fall of the entropy of one question, in bits.

    Outcomes that are not listed are what is left of `before`. The fall is taken from the mean of all
    outcomes, which is `before` but for the leak, so that it is never below 0.
    """
    listed = chance[:, None] * after
    other = np.maximum(before - listed.sum(axis=0), 0.0)
    joint = np.vstack([listed, other])
    joint = joint[joint.sum(axis=1) > 1e-9]
    joint = joint / joint.sum()
    weight = joint.sum(axis=1)
    mean = _entropy(joint.sum(axis=0)[None, :])[0]
    return float(mean - (weight * _entropy(joint / weight[:, None])).sum())


def _entropy(p: Floats) -> Floats:
    return np.asarray(-(p * np.log2(np.maximum(p, 1e-300))).sum(axis=1))


def plans(case: Case, allowed: Sequence[str] = ALLOWED["ask"]) -> Iterator[Planned]:
    """Every test that has not been done on this sherd and could be. allowed: what it may need."""
    for test in examinations():
        if test.needs not in allowed:
            continue
        if test.layer == "sherd":
            yield from _on_sherd(case, test)
        elif test.layer.startswith("zone:"):
            yield from _in_zone(case, test, test.layer.removeprefix("zone:"))
        else:
            for unit in case.units.all():
                if unit.layer == test.layer:
                    yield from _on_unit(case, test, unit)


def _on_sherd(case: Case, test: Examination) -> Iterator[Planned]:
    ((column, values),) = test.varies
    if column in case.sherd.seen:
        return
    outcomes = []
    for value in values:
        sherd = replace(case.sherd, seen={**case.sherd.seen, column: _cell(column, value)})
        context = Context(sherd, case.units, case.model)
        outcomes.append(
            tuple(item for item in evidence.sherd_items(context) if item.trait in (column, "structure"))
        )
    yield Planned(test, "the sherd", tuple(outcomes), frozenset({("sherd", "structure")}))


def _on_unit(case: Case, test: Examination, unit: Unit) -> Iterator[Planned]:
    left = _left_to_see(test, unit)
    if left is None:
        return
    test = left
    zone = "break" if test.test == "look-at-break" else _zone_of(unit)
    bare = Row(zone, unit.layer, None, next(_outcomes(test)))
    # what is read into blank patches is not of the test's making
    traits = [item.trait for item in _seen_as(case, unit, bare) if item.trait != "patches"]
    kept = tuple(_seen_as(case, unit, _seen_too(unit, zone, cells), traits) for cells in _outcomes(test))
    where = unit.key if zone == "break" else f"{unit.key}, {zone}"
    yield Planned(test, where, kept, frozenset(item.key for item in kept[0]))


def _seen_too(unit: Unit, zone: str, cells: dict[str, Seen]) -> Row:
    """A row with what the test shows beside what was seen there already: some traits are read together."""
    before: dict[str, Seen] = {}
    here = [row for row in unit.rows if row.zone == zone or zone != "break"]
    for row in sorted(here, key=lambda row: row.zone == zone):
        before |= row.seen
    return Row(zone, unit.layer, None, before | cells)


def _left_to_see(test: Examination, unit: Unit) -> Examination | None:
    """The test for those of its traits that were not seen yet; None where nothing is left of it.

    A colour elsewhere does not stand for the broken edge. A chip is refired once: what was not written down
    of it is not to be had again.
    """
    rows = [row for row in unit.rows if row.zone == "break" or test.test != "look-at-break"]
    left = tuple(
        (column, values) for column, values in test.varies if not any(_seen(row, column) for row in rows)
    )
    if not left or (test.fixed and len(left) < len(test.varies)):
        return None
    return replace(test, varies=left)


def _seen(row: Row, column: str) -> bool:
    """A Munsell chip is a colour too."""
    return bool(row.colour() if column == "colour" else row.get(column))


def _in_zone(case: Case, test: Examination, zone: str) -> Iterator[Planned]:
    """Looking at a surface not looked at yet: what colour its paint, or else its slip or body, has there."""
    if zone in case.sherd.looked or any(row.zone == zone for row in case.sherd.rows):
        return
    unit = (*case.units.paints, *case.units.slips, case.units.body)[0]
    outcomes = []
    for cells in _outcomes(test):
        seen = Row(zone, unit.layer, None, cells)
        outcomes.append(seen_as(case, replace(unit, rows=(*unit.rows, seen)), case.sherd.rows, ("colour",)))
    yield Planned(test, unit.key, tuple(outcomes), frozenset(item.key for item in outcomes[0]), zone)


def _seen_as(case: Case, unit: Unit, row: Row, traits: Iterable[str] = COLUMNS_OF) -> tuple[Item, ...]:
    """A unit seen in this one row alone."""
    return seen_as(case, replace(unit, rows=(row,)), (*case.sherd.rows, row), traits)


def _outcomes(test: Examination) -> Iterator[dict[str, Seen]]:
    fixed = {column: _cell(column, value) for column, value in test.fixed}
    for cells in product(*(_turns_out(column, values) for column, values in test.varies)):
        yield fixed | {cell.column: cell for cell in chain.from_iterable(cells)}


def _turns_out(column: str, values: tuple[str, ...]) -> list[tuple[Seen, ...]]:
    """The cells of each outcome of a column; a reading is at most, or at least, so many times its ground."""
    if not column.startswith("pxrf_"):
        return [(_cell(column, value),) for value in values]
    (times,) = values
    return [
        (
            Seen(column, times, number=float(times), below=not high),
            Seen(f"{column}_ground", "1", number=1.0, below=high),
        )
        for high in (False, True)
    ]


def _cell(column: str, value: str) -> Seen:
    if value.replace(".", "").isdigit():
        return Seen(column, value, number=float(value))
    return Seen(column, value, ((value, 1.0),))


def _zone_of(unit: Unit) -> str:
    zones = [row.zone for row in unit.rows if row.zone in h.SURFACES]
    return zones[0] if zones else "interior"
