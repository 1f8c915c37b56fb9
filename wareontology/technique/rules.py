"""The deduction a person can read: which rules fire on a sherd, because of what, unless what."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import TypeAlias

from wareontology.graph.namespaces import RULE
from wareontology.sherd.record import Sherd
from wareontology.technique.fact_store import SHERD_NODE, Facts
from wareontology.technique.facts import facts
from wareontology.technique.rule_book import KINDS, Rule, rule_book
from wareontology.technique.rule_engine import NO, YES, Compiled, Engine
from wareontology.technique.rule_record import shipped
from wareontology.technique.rule_shapes import Condition
from wareontology.technique.units import Units

PREDICATE = {kind: predicate for predicate, kind in KINDS.items()}


@dataclass(frozen=True, slots=True)
class Finding:
    """One rule that fired.

    unit: key of the layer it speaks of; `sherd` where it speaks of the fire as a whole.
    unless: each exception with `ruled out` (looked for, absent) or `not looked`.
    """

    rule: str
    unit: str
    concludes: str
    kind: str
    because: tuple[str, ...]
    unless: tuple[tuple[str, str], ...]
    source: str
    basis: str


@dataclass(frozen=True, slots=True)
class NotApplied:
    """One rule whose premises were there in part; why it was not applied. unit: the layer it was tried on."""

    rule: str
    unit: str | None
    why: str


Outcome: TypeAlias = tuple[tuple[Finding, ...], tuple[NotApplied, ...]]


@cache
def engine() -> Engine:
    """The shipped rules, compiled."""
    return Engine(rule_book())


def evaluate(sherd: Sherd, units: Units, made: Engine | None = None) -> Outcome:
    """Findings and rules that nearly applied, in the order of the rules; the order of rows never matters.

    A rule is in the second list where no premise is plainly otherwise and at least as many were seen as were
    missed, but something was not looked at, had no one word, or an exception was there.

    >>> from wareontology.sherd.record import Row, Seen, Sherd
    >>> from wareontology.technique.units import units
    >>> runs = Seen("crosses_break", "yes", (("yes", 1.0),))
    >>> shown = Sherd("K 1", None, {}, (Row("exterior", "paint", None, {"crosses_break": runs}),))
    >>> found, _ = evaluate(shown, units(shown))
    >>> found[0].rule, found[0].because
    ('AfterFiringFromColourOverBreakRule', ('the colour of the paint outside runs over the broken edge',))
    """
    return findings(facts(sherd, units), units, made or engine())


def findings(found: Facts, units: Units, made: Engine) -> Outcome:
    """The same from facts already gathered; what each rule concludes is added to them for the next."""
    fired: dict[tuple[str, str], Finding] = {}
    missed: dict[tuple[str, str], NotApplied] = {}
    layers = [(unit.key, unit.layer) for unit in units.all()]
    for compiled in made.compiled:
        rule = compiled.rule
        for key, layer in layers:
            if layer not in rule.layers:
                continue
            outcome = _try(compiled, found, key)
            if outcome is True:
                _record(fired, made, compiled, found, key)
            elif outcome:
                missed[rule.name, key] = NotApplied(rule.name, key, _why(made, found, key, *outcome))
    if missed:
        whole = {name for name, unit in fired if unit == SHERD_NODE}
        missed = {pair: one for pair, one in missed.items() if pair[0] not in whole}
    return tuple(fired.values()), tuple(missed.values())


def _try(compiled: Compiled, found: Facts, key: str) -> bool | tuple[list[Condition], list[Condition]]:
    """True where the rule fires, False where it plainly does not, else its gaps and exceptions present."""
    seen = 0
    gaps: list[Condition] = []
    for condition, test in compiled.premises:
        outcome = test(found, key)
        if outcome == YES:
            seen += 1
        elif outcome == NO:
            return False
        else:
            gaps.append(condition)
    if len(gaps) > seen:
        return False
    for _, test in compiled.absences:
        if test(found, key) == YES:
            return False
    gaps += [condition for condition, test in compiled.looked if test(found, key) != YES]
    present = [condition for condition, test, _ in compiled.exceptions if test(found, key) == YES]
    return True if not gaps and not present else (gaps, present)


def _record(
    fired: dict[tuple[str, str], Finding], made: Engine, compiled: Compiled, found: Facts, key: str
) -> None:
    rule = compiled.rule
    unit = SHERD_NODE if rule.of_sherd else key
    found.add(unit, PREDICATE[rule.kind], rule.address)
    because = [words for one, _ in compiled.premises for words in made.because(found, key, one.tree)]
    because += [one.in_words for one, _ in compiled.absences]
    before = fired.get((rule.name, unit))
    if before is not None:  # a second layer shows the same of the fire
        fired[rule.name, unit] = replace(before, because=tuple(dict.fromkeys((*before.because, *because))))
        return
    fired[rule.name, unit] = Finding(
        rule=rule.name,
        unit=unit,
        concludes=rule.concludes(None if rule.of_sherd else key),
        kind=rule.kind,
        because=tuple(dict.fromkeys(because)),
        unless=tuple(
            (one.label, "ruled out" if out(found, key) == YES else "not looked")
            for one, _, out in compiled.exceptions
        ),
        source=rule.source,
        basis=rule.basis.replace("-", " "),
    )


def _why(made: Engine, found: Facts, key: str, gaps: list[Condition], present: list[Condition]) -> str:
    said = [f"exception present: {one.label}" for one in present]
    said += [words for one in gaps for words in made.gaps(found, key, one.tree)]
    return "; ".join(dict.fromkeys(said))


def by_standard_engine(sherds: Sequence[tuple[Sherd, Units]]) -> list[frozenset[tuple[str, str]]]:
    """(rule, unit) fired on each sherd as pySHACL finds them, from the same facts and the same rules.

    All sherds go through one graph, which is far faster than one graph each. Not for the fast path. Raises
    ValueError where two sherds have one name and observer.
    """
    from wareontology.graph.shacl import fired

    gathered = [facts(sherd, units) for sherd, units in sherds]
    homes = {
        found.address(node): (index, node) for index, found in enumerate(gathered) for node in found.nodes
    }
    if len(homes) < sum(len(found.nodes) for found in gathered):
        raise ValueError("found two sherds of one name and observer; would do: a name of its own for each")
    triples = (triple for found in gathered for triple in found.triples())
    pairs: list[set[tuple[str, str]]] = [set() for _ in gathered]
    for rule, node in fired(triples):
        index, unit = homes[node]
        pairs[index].add((rule.removeprefix(RULE), unit))
    return [frozenset(one) for one in pairs]


def evaluate_by_standard_engine(sherd: Sherd, units: Units) -> Outcome:
    """As `evaluate`, but what fired is decided by pySHACL (`--engine shacl`); only the wording is ours.

    Raises RuntimeError where the two engines differ: that is a fault of this program, never of the sherd.
    """
    (pairs,) = by_standard_engine([(sherd, units)])
    found, missed = evaluate(sherd, units)
    if (ours := {(one.rule, one.unit) for one in found}) != pairs:
        raise RuntimeError(f"{sherd.sherd}: the two rule engines differ on {sorted(ours ^ pairs)}")
    return found, missed


def rule(name: str) -> Rule:
    """One rule by its name, with or without `Rule` at its end. Raises KeyError for an unknown one.

    >>> rule("NotOxidisingFromWhiteSlip").values
    ('neutral', 'reducing')
    """
    for one in engine().rules:
        if name in (one.name, one.name.removesuffix("Rule"), one.address):
            return one
    raise KeyError(name)


def rules_list() -> list[dict[str, object]]:
    """Every rule as data, in the order tried. `record` tells how it fared on published wares."""
    return [
        {
            "rule": one.name,
            "label": one.label,
            "kind": one.kind,
            "concludes": one.concludes(),
            "exceptions": [exception.label for exception in one.exceptions],
            "region": one.region,
            "basis": one.basis.replace("-", " "),
            "source": one.source,
            "record": shipped()[one.name],
        }
        for one in engine().rules
    ]


def explain(name: str) -> dict[str, object]:
    """One rule in full: what must be seen and looked at, what excepts it, why, and an invented example.

    >>> explain("MouthDownFromRedOutsideBlackInsideRule")["premises"]
    ['red outside', 'black inside']
    """
    one = rule(name)
    listed = next(entry for entry in rules_list() if entry["rule"] == one.name)
    by_role = {
        role: [condition.label for condition in one.conditions if condition.role == role]
        for role in ("Premise", "Looked")
    }
    return {
        **listed,
        "so": one.so,
        "why": one.why,
        "example": one.example,
        "premises": by_role["Premise"],
        "looked": by_role["Looked"],
        "question": one.question,
        "values": list(one.values),
        "layers": list(one.layers),
        "order": one.order,
    }
