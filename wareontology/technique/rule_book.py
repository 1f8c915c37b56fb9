"""The rules of shapes/rules.ttl as data, checked: what each stands on, concludes and rests on, in order."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from wareontology.graph.namespaces import DCTERMS, RDF, RDFS, RULE, SH, SKOS, SOURCE, WO, local
from wareontology.graph.store import Described
from wareontology.technique import hypotheses
from wareontology.technique.fact_book import FactBook, read_fact_book, rules_file
from wareontology.technique.rule_shapes import AllOf, Condition, OneOf, Property, Shapes, Tree, refused

TYPE: Final = RDF + "type"
KINDS: Final = {WO + "impliedBy": "implies", WO + "excludedBy": "excludes", WO + "cautionedBy": "cautions"}
LAYER_OF: Final = {WO + "Body": "body", WO + "Slip": "slip", WO + "Paint": "paint"}
ANSWERS: Final[Mapping[str, frozenset[str]]] = {
    "atmosphere": frozenset(hypotheses.ATMOSPHERE),
    "ending": frozenset(hypotheses.ENDING),
    "temperature": frozenset(hypotheses.TEMPERATURE),
    "space": frozenset(hypotheses.SPACE),
    "material": frozenset((*hypotheses.PAINT, *hypotheses.FAMILY.values(), *hypotheses.SLIP)),
    "applied": frozenset(),
}
"""Each question a rule may answer, with the values it may give; of `applied` there are only cautions."""
OF_RULE: Final = frozenset(
    [TYPE, RDFS + "label", RDFS + "comment", SKOS + "example", DCTERMS + "source"]
    + [SH + name for name in ("subject", "predicate", "object", "condition")]
    + [WO + name for name in ("question", "value", "region", "so", "basis")]
)
PROGRAM: Final = tuple(SH + name for name in ("sparql", "select", "ask", "construct", "js", "jsFunctionName"))


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule.

    name: its local name. values: names from `hypotheses`, any of which satisfies the conclusion; empty for a
    caution that answers nothing. answers: the same as addresses. of_sherd: it says something of the fire, not
    of the layer that shows it. source: key in data/sources.ttl, "" where the basis is not published.
    """

    name: str
    label: str
    kind: str
    order: int
    layers: tuple[str, ...]
    of_sherd: bool
    conditions: tuple[Condition, ...]
    question: str
    values: tuple[str, ...]
    answers: tuple[str, ...]
    region: str | None
    so: str
    why: str
    example: str
    basis: str
    source: str

    @property
    def address(self) -> str:
        return RULE + self.name

    @property
    def exceptions(self) -> tuple[Condition, ...]:
        return tuple(condition for condition in self.conditions if condition.role == "Exception")

    def concludes(self, unit: str | None = None) -> str:
        """`atmosphere: neutral or reducing`, `paint:line: iron-family`; a caution in words."""
        if self.kind == "cautions":
            return self.so
        question = self.question
        if unit is not None and question == "material":
            question = unit
        return f"{question}: {'not ' if self.kind == 'excludes' else ''}{' or '.join(self.values)}"


@cache
def rule_book() -> tuple[Rule, ...]:
    """Every rule as shipped, in the order tried. Raises BreaksShape where the file breaks the grammar.

    >>> rule_book()[0].name
    'AfterFiringFromColourOverBreakRule'
    """
    found = rules_file()
    return read_rules(found, read_fact_book(found))


def read_rules(found: Described, book: FactBook) -> tuple[Rule, ...]:
    """Every rule of one parsed file, in the order they are tried, with all its lints run."""
    shapes = Shapes(found, book)
    conditions: dict[str, Condition] = {}
    homes = dict(_homes(found))
    rules = []
    for address, said in found.items():
        kinds = said.get(TYPE, ())
        if any(SH + name in kinds for name in ("SPARQLRule", "JSRule")) or any(
            name in said for name in PROGRAM
        ):
            raise refused(address, "a rule in program text", "an sh:TripleRule with named conditions")
        if SH + "TripleRule" in kinds:
            for name in said.get(SH + "condition", ()):
                if name not in conditions:
                    conditions[name] = shapes.condition(name)
            rules.append(_rule(address, said, found, conditions, homes))
    rules.sort(key=lambda rule: rule.order)
    _check_orders(rules)
    return tuple(rules)


def _homes(found: Described) -> Iterator[tuple[str, tuple[int, tuple[str, ...]]]]:
    """Rule to the order and the layers of the shape it hangs on."""
    seen: set[str] = set()
    for address, said in found.items():
        if SH + "rule" not in said:
            continue
        layers = tuple(LAYER_OF.get(target, "") for target in said.get(SH + "targetClass", ()))
        orders = said.get(SH + "order", [])
        if not layers or "" in layers or len(orders) != 1 or not orders[0].isdigit():
            raise refused(
                address,
                "a target or order that is unclear",
                "sh:targetClass wo:Body, wo:Slip or wo:Paint, one whole sh:order",
            )
        for extra in set(said) - {TYPE, SH + "rule", SH + "order", SH + "targetClass"}:
            raise refused(address, extra, "only sh:targetClass, sh:order and sh:rule on a shape with rules")
        for rule in said[SH + "rule"]:
            if rule in seen:
                raise refused(rule, "a rule on two shapes", "one shape with all its target classes")
            seen.add(rule)
            yield rule, (int(orders[0]), layers)


def _rule(
    address: str, said: Mapping[str, list[str]], found: Described,
    conditions: Mapping[str, Condition], homes: Mapping[str, tuple[int, tuple[str, ...]]],
) -> Rule:  # fmt: skip
    for predicate in set(said) - OF_RULE:
        raise refused(address, predicate, "only what a rule of this file may say")
    name = address.removeprefix(RULE)
    if not name.endswith("Rule") or "From" not in name:
        raise refused(address, name, "<Conclusion>From<Evidence>Rule")
    if address not in homes:
        raise refused(address, "a rule on no shape", "sh:rule on the shape it is tried on")
    order, layers = homes[address]

    def one(predicate: str) -> str:
        values = said.get(predicate, [])
        if len(values) != 1:
            raise refused(address, f"{len(values)} of {local(predicate)}", f"exactly one {local(predicate)}")
        return values[0]

    if one(SH + "object") != address:
        raise refused(
            address, local(one(SH + "object")), "the rule itself as sh:object: it says which rule fired"
        )
    if one(SH + "predicate") not in KINDS:
        raise refused(address, local(one(SH + "predicate")), "wo:impliedBy, wo:excludedBy or wo:cautionedBy")
    stands_on = tuple(conditions[name] for name in said.get(SH + "condition", ()))
    _check_looked(address, stands_on)
    rule = Rule(
        name=name,
        label=one(RDFS + "label"),
        kind=KINDS[one(SH + "predicate")],
        order=order,
        layers=layers,
        of_sherd=_of_sherd(address, one(SH + "subject"), found),
        conditions=stands_on,
        question=one(WO + "question"),
        values=tuple(local(value) for value in said.get(WO + "value", ())),
        answers=tuple(said.get(WO + "value", ())),
        region=local(one(WO + "region")) if WO + "region" in said else None,
        so=one(WO + "so"),
        why=one(RDFS + "comment"),
        example=one(SKOS + "example"),
        basis=local(one(WO + "basis")),
        source=one(DCTERMS + "source").removeprefix(SOURCE) if DCTERMS + "source" in said else "",
    )  # fmt: skip
    _check_conclusion(rule)
    return rule


def _of_sherd(address: str, subject: str, found: Described) -> bool:
    if subject == SH + "this":
        return False
    path = found.get(subject, {}).get(SH + "path", [""])[0]
    if found.get(path, {}) == {SH + "inversePath": [WO + "hasUnit"]}:
        return True
    raise refused(address, "another sh:subject", "sh:this, or [ sh:path [ sh:inversePath wo:hasUnit ] ]")


def _check_conclusion(rule: Rule) -> None:
    if rule.question not in ANSWERS:
        raise refused(rule.address, rule.question, "one of " + ", ".join(ANSWERS))
    for value in rule.values:
        if value not in ANSWERS[rule.question]:
            raise refused(
                rule.address,
                f"{rule.question} {value}",
                "one of " + ", ".join(sorted(ANSWERS[rule.question])),
            )
    if not rule.values and rule.kind != "cautions":
        raise refused(rule.address, "no wo:value", "the answer it implies or excludes")
    if (rule.basis == "published") != bool(rule.source):
        raise refused(
            rule.address,
            f"basis {rule.basis}, source {rule.source or 'none'}",
            "a source beside basis published, and only there",
        )
    regions = {region for condition in rule.conditions for region in _regions(condition.tree)}
    if regions != ({rule.region} if rule.region else set()):
        raise refused(
            rule.address,
            f"wo:region {rule.region}, its premises {sorted(regions)}",
            "the same region in both",
        )


def _check_looked(address: str, conditions: tuple[Condition, ...]) -> None:
    here = {condition.name for condition in conditions}
    if not any(condition.role == "Premise" and not condition.negative for condition in conditions):
        raise refused(address, "no premise that must be seen", "at least one wo:Premise without sh:not")
    for condition in conditions:
        for looked in condition.judged_by:
            if looked not in here:
                raise refused(
                    address, f"{local(condition.name)} without {local(looked)}", "both: absent is not missing"
                )


def _check_orders(rules: list[Rule]) -> None:
    """A rule may read only what a rule of a lower order concluded: in SHACL any other order dies silently."""
    for reader in rules:
        for condition in reader.conditions:
            for kind, wanted in reads(condition.tree):
                for writer in rules:
                    writes = writer.kind == KINDS[kind] and (
                        writer.address == wanted or wanted in writer.answers
                    )
                    if writes and writer.order >= reader.order:
                        would_do = f"more than {writer.order}, the order of {writer.name}, which it reads"
                        raise refused(reader.address, f"sh:order {reader.order}", would_do)


def properties(tree: Tree) -> Iterator[Property]:
    """Every property in a tree."""
    if isinstance(tree, AllOf | OneOf):
        for part in tree.parts:
            yield from properties(part)
        return
    yield tree
    if tree.node is not None:
        yield from properties(tree.node)


def reads(tree: Tree) -> Iterator[tuple[str, str]]:
    """Kind and address of each conclusion of other rules that a tree reads: of a rule, or of an answer."""
    for part in properties(tree):
        kind = next((step.predicate for step in part.path if step.predicate in KINDS), None)
        if kind is None:
            continue
        wanted = [part.has] if part.has is not None else sorted(part.within or ())
        if not wanted:
            raise refused(kind, "a reading of any rule", "sh:hasValue or sh:in naming the rule or its answer")
        for value in wanted:
            yield kind, value


def _regions(tree: Tree) -> Iterator[str]:
    for part in properties(tree):
        if any(step.predicate == WO + "region" for step in part.path) and part.has is not None:
            yield local(part.has)
