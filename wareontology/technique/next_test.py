"""Which test to do next: what it is expected to tell, less what it costs and what it destroys."""

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology import paths
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case
from wareontology.technique.likelihoods import evidence
from wareontology.technique.likelihoods.reading import Context
from wareontology.technique.network import Item
from wareontology.technique.units import Unit

Floats = NDArray[np.float64]

ALLOWED: Final = {
    "none": ("looking",), "surface": ("looking", "surface"),
    "chip": ("looking", "surface", "chip"), "ask": ("looking", "surface", "chip"),
}  # fmt: skip
"""What a permission allows; where nobody has asked yet all is offered, with the leave it needs."""
PXRF_STEP: Final = 2.5
"""A paint reading so many times its ground counts as above it in the outcomes that are weighed."""


@dataclass(frozen=True, slots=True)
class Examination:
    """A row of data/tests.csv."""

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
    planned = [plan for plan in plans(case) if plan.test.needs in ALLOWED[case.sherd.permission]]
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
    gains = dict.fromkeys(range(len(planned)), 0.0)
    for zone in {plan.zone for plan in planned}:
        places = [place for place, plan in enumerate(planned) if plan.zone == zone]
        here = case if zone is None else replace(case, also=(zone,))
        gains |= zip(places, _gains(here, [planned[place] for place in places], questions), strict=True)
    return list(gains.values())


def _gains(case: Case, planned: Sequence[Planned], questions: Sequence[str]) -> list[float]:
    """The same for tests that can go on one network."""
    variants: list[tuple[Item, ...]] = [case.items]
    for plan in planned:
        kept = tuple(item for item in case.items if item.key not in plan.replaces)
        variants += [(*kept, *outcome) for outcome in plan.outcomes]
    result = case.given(variants)
    chance = result.evidence / result.evidence[0]
    odds = case.odds(result)
    asked = [np.stack(list(odds[question].values()), axis=1) for question in questions]
    gains, place = [], 1
    for plan in planned:
        here = slice(place, place + len(plan.outcomes))
        gains.append(sum(_gain(p[0], p[here], chance[here]) for p in asked))
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


def plans(case: Case) -> Iterator[Planned]:
    """Every test that has not been done on this sherd and could be."""
    for test in examinations():
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
    columns = [column for column, _ in test.varies]
    if any(row.get(column) for row in unit.rows for column in columns if _tells(row, column, test)):
        return
    zone = "break" if test.test == "look-at-break" else _zone_of(unit)
    bare = next(_outcomes(test))
    traits = frozenset(item.trait for item in _items(case, unit, Row(zone, unit.layer, None, bare)))
    kept = tuple(_items(case, unit, _seen_too(unit, zone, cells), traits) for cells in _outcomes(test))
    where = unit.key if zone == "break" else f"{unit.key}, {zone}"
    yield Planned(test, where, kept, frozenset(item.key for item in kept[0]))


def _seen_too(unit: Unit, zone: str, cells: dict[str, Seen]) -> Row:
    """A row with what the test shows beside what was seen there already: some traits are read together."""
    before: dict[str, Seen] = {}
    for row in sorted(unit.rows, key=lambda row: row.zone == zone):
        before |= row.seen
    return Row(zone, unit.layer, None, before | cells)


def _tells(row: Row, column: str, test: Examination) -> bool:
    """A colour elsewhere does not stand for the broken edge, nor `unit` rows for other zones."""
    return not (test.test == "look-at-break" and row.zone != "break")


def _in_zone(case: Case, test: Examination, zone: str) -> Iterator[Planned]:
    """Looking at a surface not looked at yet: what colour its paint, or else its slip or body, has there."""
    if zone in case.sherd.looked or any(row.zone == zone for row in case.sherd.rows):
        return
    unit = (*case.units.paints, *case.units.slips, case.units.body)[0]
    outcomes = []
    for cells in _outcomes(test):
        seen = Row(zone, unit.layer, None, cells)
        outcomes.append(_items(case, replace(unit, rows=(*unit.rows, seen)), None, frozenset({"colour"})))
    yield Planned(test, unit.key, tuple(outcomes), frozenset(item.key for item in outcomes[0]), zone)


def _items(case: Case, unit: Unit, row: Row | None, only: frozenset[str] | None = None) -> tuple[Item, ...]:
    """Evidence of one outcome. What is read into blank patches is not of the test's making."""
    changed = unit if row is None else replace(unit, rows=(row,))
    varied = case.with_rows(changed, _with_row(case.sherd, row))
    context = Context(varied.sherd, varied.units, case.model)
    found = evidence.unit_items(context, changed, only)
    return tuple(item for item in found if only is not None or item.trait != "patches")


def _with_row(sherd: Sherd, row: Row | None) -> Sherd:
    return sherd if row is None else replace(sherd, rows=(*sherd.rows, row))


def _outcomes(test: Examination) -> Iterator[dict[str, Seen]]:
    fixed = {column: _cell(column, value) for column, value in test.fixed}
    if test.test == "pxrf":
        for above in product((False, True), repeat=len(test.varies)):
            cells = dict(fixed)
            for (column, _), high in zip(test.varies, above, strict=True):
                cells |= _reading(column, high)
            yield cells
        return
    for values in product(*(values for _, values in test.varies)):
        yield fixed | {
            column: _cell(column, value) for (column, _), value in zip(test.varies, values, strict=True)
        }


def _reading(column: str, high: bool) -> dict[str, Seen]:
    """A reading at least, or at most, PXRF_STEP times its ground."""
    paint = Seen(column, str(PXRF_STEP), number=PXRF_STEP, below=not high)
    ground = Seen(f"{column}_ground", "1", number=1.0, below=high)
    return {column: paint, ground.column: ground}


def _cell(column: str, value: str) -> Seen:
    if value.replace(".", "").isdigit():
        return Seen(column, value, number=float(value))
    return Seen(column, value, ((value, 1.0),))


def _zone_of(unit: Unit) -> str:
    zones = [row.zone for row in unit.rows if row.zone in h.SURFACES]
    return zones[0] if zones else "interior"
