"""Every rule's own record: where it held and where it failed among the published traditions.

Each rule is run over what a person would see on a sherd of a tradition, from stated fields alone, and what it
concludes is held against what a laboratory or an author stated. A fire that a source inferred from the very
trait is no label, so it is not counted. A cell that runs from one word to another (`white-cream`) stands for
sherds of either, so a rule applies where it fires on one of them. A description is taken to describe its ware
whole: all zones count as looked at. Where a source states a paint's material but not what a lens shows of it,
data/stand_ins.csv says what it would show, never so that a material proves itself. A rule bound to a region
is tried everywhere. Of a ware that is stated to be both, neither is counted.
"""

import json
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any, Final

from wareontology.data_rows import rows
from wareontology.graph.namespaces import WO
from wareontology.graph.traditions import Tradition, traditions
from wareontology.paths import data
from wareontology.sherd.cells import parse
from wareontology.sherd.columns import column
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.technique import hypotheses
from wareontology.technique.fact_store import SHERD_NODE
from wareontology.technique.rule_book import Rule, properties, reads, rule_book
from wareontology.technique.rule_engine import Engine
from wareontology.technique.rule_record import FILE
from wareontology.technique.rule_shapes import Condition, Property
from wareontology.technique.rules import evaluate
from wareontology.technique.scoring import wilson
from wareontology.technique.tradition_sherd import labels_of, sherd_of
from wareontology.technique.units import units

STAND_INS: Final = "stand_ins.csv"
SERVES: Final = ("fire", "family", "")
_MOST: Final = 64  # sherds a description is unfolded into; the first words of each cell come first
_ALIKE: Final = 1e-6
_WHOLE: Final = "interior exterior break"


@dataclass(frozen=True, slots=True)
class Case:
    """One rule on one tradition: whether what it concludes was also stated by a source."""

    rule: str
    tradition: str
    region: str
    held: bool


def cases(published: Iterable[Tradition], bare: bool = False) -> tuple[Case, ...]:
    """Every rule on every tradition it applies to and whose answer a source states, in order.

    bare: without what a rule wants looked for and absent, as it is often said: "white slip, so reduction".
    """
    book = {rule.name: rule for rule in rule_book()}
    found: dict[tuple[str, str], list[bool]] = {}
    regions: dict[str, str] = {}
    for tradition in published:
        sherd = sherd_of(tradition)
        if sherd is None:
            continue
        regions[tradition.id] = tradition.region
        labels = labels_of(tradition)
        for serves in SERVES:
            fired = sorted(_fired(_stood_in(sherd, labels, serves), bare))
            wrong = {name for name, unit in fired if _held(book[name], unit, labels) is False}
            for name, unit in fired:
                if _served(book[name]) != serves or wrong & _read_by(book[name]):
                    continue  # what it was concluded from is false here: whether it held tells nothing
                if (held := _held(book[name], unit, labels)) is not None:
                    found.setdefault((name, tradition.id), []).append(held)
    return tuple(Case(rule, of, regions[of], all(held)) for (rule, of), held in found.items())


@cache
def _read_by(rule: Rule) -> frozenset[str]:
    """Names of the rules whose conclusions a rule reads."""
    wanted = {value for one in rule.conditions for _, value in reads(one.tree)}
    return frozenset(one.name for one in rule_book() if one.address in wanted or wanted & set(one.answers))


def _served(rule: Rule) -> str:
    """Which stand-ins a rule may use: those for the fire, those between two families, or none."""
    if rule.question in ("atmosphere", "ending"):
        return "fire"
    told_by = {"Excess", "Refir"}
    apart = set(rule.values) <= {"iron-family", "manganese-family"} and not any(
        w in rule.name for w in told_by
    )
    return "family" if rule.question == "material" and apart else ""


@cache
def _stand_ins() -> tuple[Mapping[str, str], ...]:
    return rows(STAND_INS)


def _stood_in(sherd: Sherd, labels: Mapping[str, frozenset[str]], serves: str) -> Sherd:
    """The sherd with what a lens would show of each paint whose material is stated, where it says nothing."""

    def row(one: Row) -> Row:
        stated = labels.get(f"materials:{one.layer}:{one.name}" if one.name else f"materials:{one.layer}", ())
        seen = dict(one.seen)
        for stand_in in _stand_ins():
            if serves in stand_in["serves"].split() and set(stated) == {stand_in["material"]}:
                cell = parse(column(stand_in["column"]), stand_in["value"])
                assert isinstance(cell, Seen), stand_in
                seen.setdefault(cell.column, cell)
        return replace(one, seen=seen)

    return replace(sherd, rows=tuple(row(one) for one in sherd.rows)) if serves else sherd


@cache
def _anywhere(bare: bool) -> Engine:
    """The rules without the region they are bound to, so that they are tried where they do not hold too."""
    return Engine(tuple(replace(rule, conditions=_kept(rule, bare)) for rule in rule_book()))


def _kept(rule: Rule, bare: bool) -> tuple[Condition, ...]:
    kept = (one for one in rule.conditions if not any(map(_is_region, properties(one.tree))))
    return tuple(one for one in kept if not (bare and one.role == "Premise" and one.negative))


def _is_region(part: Property) -> bool:
    return any(step.predicate == WO + "region" for step in part.path)


def _fired(sherd: Sherd, bare: bool) -> set[tuple[str, str]]:
    """(rule, unit) that fire on any of the sherds a description stands for."""
    pairs: set[tuple[str, str]] = set()
    for one in _unfolded(sherd):
        found, _ = evaluate(one, units(one), _anywhere(bare))
        pairs |= {(finding.rule, finding.unit) for finding in found if finding.kind != "cautions"}
    return pairs


def _unfolded(sherd: Sherd) -> Iterator[Sherd]:
    """One sherd for each choice of words in cells that give more than one."""
    seen = {**sherd.seen, "looked": Seen("looked", _WHOLE, tuple((zone, 1.0) for zone in _WHOLE.split()))}
    places = [
        (place, name, cell)
        for place, row in enumerate(sherd.rows)
        for name, cell in row.seen.items()
        if _runs_from_to(cell)
    ]
    choices = [[Seen(name, word, ((word, 1.0),)) for word, _ in cell.words] for _, name, cell in places]
    for number, choice in enumerate(product(*choices)):
        if number == _MOST:
            return
        rows = [dict(row.seen) for row in sherd.rows]
        for (place, name, _), cell in zip(places, choice, strict=True):
            rows[place][name] = cell
        yield replace(
            sherd,
            seen=seen,
            rows=tuple(replace(row, seen=made) for row, made in zip(sherd.rows, rows, strict=True)),
        )


def _runs_from_to(cell: Seen) -> bool:
    """`white-cream`; not a chip, whose shares are its own, nor a list of what is there together."""
    whole = abs(sum(share for _, share in cell.words) - 1) < _ALIKE
    return len(cell.words) > 1 and whole and cell.column != "munsell" and not cell.doubtful


def _held(rule: Rule, unit: str, labels: Mapping[str, frozenset[str]]) -> bool | None:
    """Whether what was stated is among what the rule says; None where nothing was stated, or both."""
    stated = labels.get(_question(rule, unit))
    if not stated or not rule.values:
        return None
    right = {value in rule.values or hypotheses.FAMILY.get(value) in rule.values for value in stated}
    if len(right) > 1:
        return None
    return right.pop() == (rule.kind == "implies")


def _question(rule: Rule, unit: str) -> str:
    if rule.question == "material":
        return f"materials:{unit}"
    return f"{rule.question}:{unit}" if rule.question == "applied" and unit != SHERD_NODE else rule.question


def records(published: Iterable[Tradition] | None = None) -> dict[str, dict[str, Any] | None]:
    """Rule to its record: holds, fails, interval, by_region, traditions, failed; None for a caution."""
    wares = list(traditions().values() if published is None else published)
    all_cases, bare = cases(wares), cases(wares, bare=True)
    return {
        rule.name: _record(
            [case for case in all_cases if case.rule == rule.name],
            [case for case in bare if case.rule == rule.name] if _has_absence(rule) else None,
        )
        if rule.kind != "cautions" and rule.values
        else None
        for rule in rule_book()
    }


def _has_absence(rule: Rule) -> bool:
    return any(one.role == "Premise" and one.negative for one in rule.conditions)


def _by_region(found: list[Case]) -> dict[str, dict[str, int]]:
    by_region: dict[str, dict[str, int]] = {}
    for case in found:
        counts = by_region.setdefault(case.region, {"holds": 0, "fails": 0})
        counts["holds" if case.held else "fails"] += 1
    return dict(sorted(by_region.items()))


def _record(found: list[Case], bare: list[Case] | None) -> dict[str, Any]:
    holds = [case for case in found if case.held]
    held_bare = [case for case in bare or () if case.held]
    without = None if bare is None else {
        "holds": len(held_bare), "fails": len(bare) - len(held_bare), "by_region": _by_region(bare),
    }  # fmt: skip
    return {
        "holds": len(holds),
        "fails": len(found) - len(holds),
        "interval": [round(end, 3) for end in wilson(len(holds), len(found))],
        "by_region": _by_region(found),
        "traditions": sorted(case.tradition for case in found),
        "failed": sorted(case.tradition for case in found if not case.held),
        "bare": without,
    }


def build(target: Path | None = None) -> Path:
    """Write data/rule_records.json, which answers read: running the rules anew would hold them up."""
    path = data(FILE) if target is None else target
    text = json.dumps(records(), indent=1, ensure_ascii=False)
    path.write_text(text + "\n", encoding="utf-8")
    return path
