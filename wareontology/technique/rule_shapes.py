"""The small grammar of shapes that shapes/rules.ttl may use, read into plain trees; everything else is refused.

Absent is not missing: a `sh:not` is accepted only where the file also says what shows that someone looked.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, NoReturn, TypeAlias

from wareontology.errors import BreaksShape, Fault
from wareontology.graph.namespaces import RDF, RDFS, SH, SKOS, WO, local
from wareontology.graph.store import Described
from wareontology.technique.fact_book import Fact, FactBook

FILE: Final = "rules.ttl"
BROADER: Final = SKOS + "broader"
TYPE: Final = RDF + "type"
HAS_UNIT: Final = WO + "hasUnit"
VALUE: Final = WO + "value"
ROLES: Final = (WO + "Premise", WO + "Looked", WO + "Exception")
OF_SHAPE: Final = frozenset(
    (TYPE, RDFS + "label", RDFS + "comment", SH + "property", SH + "and", SH + "or", SH + "not")
    + (WO + "judgedBy", WO + "ruledOutBy", WO + "inWords")
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

    has: one value is this one. within: there is a value, and each is one of these. node: there is a value, and
    each keeps to this tree. None of the three: there is a value.
    """

    path: tuple[Step, ...]
    has: str | None = None
    within: frozenset[str] | None = None
    node: "Tree | None" = None


@dataclass(frozen=True, slots=True)
class All:
    parts: "tuple[Tree, ...]"


@dataclass(frozen=True, slots=True)
class Any:
    parts: "tuple[Tree, ...]"


Tree: TypeAlias = Property | All | Any


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
    """Reads named shapes from a parsed file. Raises BreaksShape at the first construct outside the grammar."""

    def __init__(self, found: Described, book: FactBook) -> None:
        self.found, self.book = found, book
        self._reading: list[str] = []

    def condition(self, address: str) -> Condition:
        """One named shape with its tag. A bare `sh:not` is refused here."""
        said = self._said(address, "shape")
        roles = [role for role in ROLES if role in said.get(TYPE, ())]
        if len(roles) != 1:
            _refuse(address, f"{len(roles)} tags", "exactly one of wo:Premise, wo:Looked, wo:Exception")
        role, negations = local(roles[0]), said.get(SH + "not", [])
        judged_by, ruled_out_by = said.get(WO + "judgedBy", []), said.get(WO + "ruledOutBy", [])
        label = self._one(address, said, RDFS + "label")
        in_words = said.get(WO + "inWords", [""])[0]
        if not negations:
            if role == "Exception" or judged_by or ruled_out_by:
                _refuse(address, f"a {role.lower()} without sh:not", "an exception, or a premise that is judged, says sh:not")
            return Condition(address, role, label, self.tree(address), negative=False, in_words=in_words)
        if len(negations) != 1 or any(SH + name in said for name in ("property", "and", "or")):
            _refuse(address, "sh:not beside other constraints", "one sh:not alone in its named shape")
        if role == "Looked" or not (ruled_out_by if role == "Exception" else judged_by):
            _refuse(
                address,
                "a bare sh:not, which holds where nobody looked",
                "wo:ruledOutBy on an exception, wo:judgedBy naming wo:Looked shapes on a premise",
            )
        if role == "Premise" and not in_words:
            _refuse(address, "no wo:inWords", "how an answer says what was looked for and not found")
        return Condition(
            address, role, label, self.tree(negations[0]), True, in_words, tuple(judged_by),
            self.tree(ruled_out_by[0]) if ruled_out_by else None,
        )  # fmt: skip

    def tree(self, address: str) -> Tree:
        """A shape, named or not, without negation."""
        if address in self._reading:
            _refuse(address, "a shape that holds itself", "shapes that end")
        said = self._said(address, "shape")
        _only(address, said, OF_SHAPE)
        if SH + "not" in said:
            _refuse(address, "sh:not inside another shape", "sh:not only at the top of a named wo:Exception or wo:Premise")
        self._reading.append(address)
        parts: list[Tree] = [self._property(node, address) for node in said.get(SH + "property", ())]
        for name, kind in ((SH + "and", All), (SH + "or", Any)):
            for head in said.get(name, ()):
                members = tuple(self.tree(member) for member in self._list(head, address))
                parts.append(kind(members))
        self._reading.pop()
        if not parts:
            _refuse(address, "a shape that asks nothing", "sh:property, sh:and or sh:or")
        return parts[0] if len(parts) == 1 else All(tuple(parts))

    def _property(self, node: str, owner: str) -> Property:
        said = self._said(node, "property of " + local(owner))
        _only(owner, said, OF_PROPERTY)
        path = self._path(self._one(owner, said, SH + "path"), owner)
        fact = self._last_fact(path)
        has, lists, nodes = (said.get(SH + name, []) for name in ("hasValue", "in", "node"))
        least = said.get(SH + "minCount", [])
        asked = len(has) + len(lists) + len(nodes)
        if asked > 1 or (asked == 0 and not least):
            _refuse(owner, f"{asked} demands on {local(path[-1].predicate)}", "one of sh:hasValue, sh:in, sh:node, or sh:minCount 1 alone")
        if (not has and least != ["1"]) or (has and least):
            _refuse(
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
        found = ", ".join(f"{_short(name)} {_short(values[0])}" for name, values in said.items()) or _short(address)
        _refuse(
            owner, f"path {found}",
            "a declared fact, a list of them, [ sh:inversePath wo:hasUnit ], [ sh:zeroOrMorePath skos:broader ]",
        )  # fmt: skip

    def _last_fact(self, path: Sequence[Step]) -> Fact | None:
        last = next((step.predicate for step in reversed(path) if step.way == "along"), None)
        return self.book.facts.get(last) if last else None

    def _check_value(self, owner: str, fact: Fact | None, value: str) -> None:
        if fact is not None and fact.takes and not value.startswith(fact.takes + "/"):
            _refuse(owner, _short(value), f"a value of {fact.takes.rsplit('/', 1)[-1]} for wo:{local(fact.address)}")

    def _list(self, head: str, owner: str) -> list[str]:
        members = []
        while head != RDF + "nil":
            said = self.found.get(head, {})
            if RDF + "first" not in said or RDF + "rest" not in said:
                _refuse(owner, _short(head), "a list in round brackets")
            members.append(said[RDF + "first"][0])
            head = said[RDF + "rest"][0]
        if not members:
            _refuse(owner, "an empty list", "at least one member")
        return members

    def _said(self, address: str, what: str) -> Mapping[str, list[str]]:
        if address not in self.found:
            _refuse(address, "nothing said about it", f"a {what} written in {FILE}")
        return self.found[address]

    def _one(self, address: str, said: Mapping[str, list[str]], predicate: str) -> str:
        values = said.get(predicate, [])
        if len(values) != 1:
            _refuse(address, f"{len(values)} of {_short(predicate)}", f"exactly one {_short(predicate)}")
        return values[0]


def _only(owner: str, said: Mapping[str, list[str]], allowed: frozenset[str]) -> None:
    for predicate in said:
        if predicate not in allowed:
            _refuse(owner, _short(predicate), "only " + ", ".join(sorted(_short(name) for name in allowed)))


def refuse(owner: str, found: str, would_do: str) -> NoReturn:
    """Raise BreaksShape for one shape or rule of the file."""
    raise BreaksShape([Fault(FILE, None, _short(owner), found, would_do)])


_refuse = refuse


def _short(address: str) -> str:
    for base, prefix in ((SH, "sh:"), (RDF, "rdf:"), (RDFS, "rdfs:"), (SKOS, "skos:"), (WO, "wo:")):
        if address.startswith(base):
            return prefix + address[len(base) :]
    return local(address)
