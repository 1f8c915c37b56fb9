"""The small grammar of shapes that shapes/rules.ttl may use, read into plain trees; the rest is refused.

Absent is not missing: a `sh:not` is accepted only where the file also says what shows that someone looked.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

from wareontology.errors import BreaksShape, Fault
from wareontology.graph.namespaces import RDF, RDFS, SH, SHAPE, SKOS, WO, local
from wareontology.graph.store import Described
from wareontology.technique.fact_book import Fact, FactBook

FILE: Final = "rules.ttl"
BROADER: Final = SKOS + "broader"
TYPE: Final = RDF + "type"
HAS_UNIT: Final = WO + "hasUnit"
VALUE: Final = WO + "value"
PATHS: Final = "a declared fact, a list, [ sh:inversePath wo:hasUnit ], [ sh:zeroOrMorePath skos:broader ]"
ROLES: Final = (WO + "Premise", WO + "Looked", WO + "Exception")
OF_SHAPE: Final = frozenset(
    [TYPE, RDFS + "label", RDFS + "comment", WO + "judgedBy", WO + "ruledOutBy", WO + "inWords"]
    + [SH + name for name in ("property", "and", "or", "not")]
)
OF_PROPERTY: Final = frozenset(SH + name for name in ("path", "hasValue", "in", "minCount", "node"))


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a path: along a fact, back from a layer to its sherd, or up the tree of regions."""

    predicate: str
    way: str
    """`along`, `back` or `up`."""


@dataclass(frozen=True, slots=True)
class Property:
    """What the values at the end of a path must be; exactly one of the four is given.

    has: one value is this one. within: there is a value, and each is one of these. node: there is a value,
    and each keeps to this tree. None of the three: there is a value.
    """

    path: tuple[Step, ...]
    has: str | None = None
    within: frozenset[str] | None = None
    node: "Tree | None" = None


@dataclass(frozen=True, slots=True)
class AllOf:
    parts: "tuple[Tree, ...]"


@dataclass(frozen=True, slots=True)
class OneOf:
    parts: "tuple[Tree, ...]"


Tree: TypeAlias = Property | AllOf | OneOf


@dataclass(frozen=True, slots=True)
class Condition:
    """A named shape that a rule stands on.

    negative: the tree must not hold (an exception, or a premise such as "no red anywhere").
    judged_by: the `looked` conditions without which a negative premise means nothing.
    ruled_out_by: what shows that an exception was looked for and is absent.
    """

    name: str
    role: str
    label: str
    tree: Tree
    negative: bool
    in_words: str = ""
    judged_by: tuple[str, ...] = ()
    ruled_out_by: Tree | None = None


class Shapes:
    """Reads named shapes from a parsed file; raises BreaksShape at the first that is outside the grammar."""

    def __init__(self, found: Described, book: FactBook) -> None:
        self.found, self.book = found, book
        self._reading: list[str] = []

    def condition(self, address: str) -> Condition:
        """One named shape with its tag. A bare `sh:not` is refused here."""
        said = self._said(address, "shape")
        if not address.startswith(SHAPE):
            raise refused(address, "a condition without a name", "a shape with a name of its own")
        roles = [role for role in ROLES if role in said.get(TYPE, ())]
        if len(roles) != 1:
            raise refused(address, f"{len(roles)} tags", "exactly one of wo:Premise, wo:Looked, wo:Exception")
        role, negations = local(roles[0]), said.get(SH + "not", [])
        judged_by, ruled_out_by = said.get(WO + "judgedBy", []), said.get(WO + "ruledOutBy", [])
        label = self._one(address, said, RDFS + "label")
        in_words = said.get(WO + "inWords", [""])[0]
        if not negations:
            if role == "Exception" or judged_by or ruled_out_by:
                raise refused(
                    address,
                    f"a {role.lower()} without sh:not",
                    "sh:not, or neither wo:judgedBy nor wo:ruledOutBy",
                )
            return Condition(address, role, label, self.tree(address), negative=False, in_words=in_words)
        if len(negations) != 1 or any(SH + name in said for name in ("property", "and", "or")):
            raise refused(address, "sh:not beside other constraints", "one sh:not alone in its named shape")
        if role == "Looked" or not (ruled_out_by if role == "Exception" else judged_by):
            raise refused(
                address,
                "a bare sh:not, which holds where nobody looked",
                "wo:ruledOutBy on an exception, wo:judgedBy naming wo:Looked shapes on a premise",
            )
        if role == "Premise" and not in_words:
            raise refused(address, "no wo:inWords", "how an answer says what was looked for and not found")
        return Condition(
            address, role, label, self.tree(negations[0]), True, in_words, tuple(judged_by),
            self.tree(ruled_out_by[0]) if ruled_out_by else None,
        )  # fmt: skip

    def tree(self, address: str) -> Tree:
        """A shape, named or not, without negation."""
        if address in self._reading:
            raise refused(address, "a shape that holds itself", "shapes that end")
        said = self._said(address, "shape")
        _only(address, said, OF_SHAPE)
        if SH + "not" in said:
            raise refused(address, "sh:not inside another shape", "sh:not only at the top of a named shape")
        self._reading.append(address)
        parts: list[Tree] = [self._property(node, address) for node in said.get(SH + "property", ())]
        for name, kind in ((SH + "and", AllOf), (SH + "or", OneOf)):
            for head in said.get(name, ()):
                members = tuple(self.tree(member) for member in self._list(head, address))
                parts.append(kind(members))
        self._reading.pop()
        if not parts:
            raise refused(address, "a shape that asks nothing", "sh:property, sh:and or sh:or")
        return parts[0] if len(parts) == 1 else AllOf(tuple(parts))

    def _property(self, node: str, owner: str) -> Property:
        said = self._said(node, "property of " + local(owner))
        _only(owner, said, OF_PROPERTY)
        path = self._path(self._one(owner, said, SH + "path"), owner)
        fact = self._last_fact(path)
        has, lists, nodes = (said.get(SH + name, []) for name in ("hasValue", "in", "node"))
        least = said.get(SH + "minCount", [])
        asked = len(has) + len(lists) + len(nodes)
        if asked > 1 or (asked == 0 and not least):
            raise refused(
                owner,
                f"{asked} demands on {local(path[-1].predicate)}",
                "one of sh:hasValue, sh:in, sh:node, sh:minCount 1",
            )
        if (not has and least != ["1"]) or (has and least):
            raise refused(
                owner,
                f"sh:minCount {' '.join(least) or 'missing'}",
                "sh:minCount 1 beside sh:in or sh:node, or alone; none beside sh:hasValue",
            )
        within = self._list(lists[0], owner) if lists else []
        for value in (*has, *within):
            self._check_value(owner, fact, value)
        return Property(
            path,
            has=has[0] if has else None,
            within=frozenset(within) if lists else None,
            node=self.tree(nodes[0]) if nodes else None,
        )

    def _path(self, address: str, owner: str) -> tuple[Step, ...]:
        if RDF + "first" in self.found.get(address, {}):
            return tuple(step for member in self._list(address, owner) for step in self._path(member, owner))
        if address in self.book.facts or address == TYPE:
            return (Step(address, "along"),)
        said = self.found.get(address, {})
        if list(said) == [SH + "inversePath"] and said[SH + "inversePath"] == [HAS_UNIT]:
            return (Step(HAS_UNIT, "back"),)
        if list(said) == [SH + "zeroOrMorePath"] and said[SH + "zeroOrMorePath"] == [BROADER]:
            return (Step(BROADER, "up"),)
        found = ", ".join(f"{_short(name)} {_short(values[0])}" for name, values in said.items())
        raise refused(owner, f"path {found or _short(address)}", PATHS)

    def _last_fact(self, path: Sequence[Step]) -> Fact | None:
        last = next((step.predicate for step in reversed(path) if step.way == "along"), None)
        return self.book.facts.get(last) if last else None

    def _check_value(self, owner: str, fact: Fact | None, value: str) -> None:
        if fact is not None and fact.takes and not value.startswith(fact.takes + "/"):
            raise refused(
                owner, _short(value), f"a value of {local(fact.takes)} for wo:{local(fact.address)}"
            )

    def _list(self, head: str, owner: str) -> list[str]:
        members = []
        while head != RDF + "nil":
            said = self.found.get(head, {})
            if RDF + "first" not in said or RDF + "rest" not in said:
                raise refused(owner, _short(head), "a list in round brackets")
            members.append(said[RDF + "first"][0])
            head = said[RDF + "rest"][0]
        if not members:
            raise refused(owner, "an empty list", "at least one member")
        return members

    def _said(self, address: str, what: str) -> Mapping[str, list[str]]:
        if address not in self.found:
            raise refused(address, "nothing said about it", f"a {what} written in {FILE}")
        return self.found[address]

    def _one(self, address: str, said: Mapping[str, list[str]], predicate: str) -> str:
        values = said.get(predicate, [])
        if len(values) != 1:
            raise refused(
                address, f"{len(values)} of {_short(predicate)}", f"exactly one {_short(predicate)}"
            )
        return values[0]


def _only(owner: str, said: Mapping[str, list[str]], allowed: frozenset[str]) -> None:
    for predicate in said:
        if predicate not in allowed:
            raise refused(
                owner, _short(predicate), "only " + ", ".join(sorted(_short(name) for name in allowed))
            )


def refused(owner: str, found: str, would_do: str) -> BreaksShape:
    """What to raise for one shape or rule of the file."""
    return BreaksShape([Fault(f"{FILE}, {_short(owner)}", None, None, found, would_do)])


def _short(address: str) -> str:
    for base, prefix in ((SH, "sh:"), (RDF, "rdf:"), (RDFS, "rdfs:"), (SKOS, "skos:"), (WO, "wo:")):
        if address.startswith(base):
            return prefix + address[len(base) :]
    return local(address)
