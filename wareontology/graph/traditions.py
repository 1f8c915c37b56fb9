"""Published traditions: what is said of each, field by field, on what basis and by which source.

Reads the shipped index data/traditions.json.gz, which `python -m wareontology.build closure` makes from
data/traditions/ and the closure, so that a first look costs neither rdflib nor a reasoner.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType
from typing import Any, Final

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.graph.sources import Source, source_records
from wareontology.graph.store import zipped
from wareontology.graph.vocabulary import scheme
from wareontology.paths import data

INDEX: Final = "traditions.json.gz"
FOLDER: Final = "traditions"


@dataclass(frozen=True, slots=True)
class Statement:
    """One field of one tradition.

    value: a cell as the sherd table would have it (`white-cream`, `900`), words, a year, or the id of another
    tradition. terms: the values of our schemes it stands for; empty where the words fit none. basis: `stated`
    (read in a text), `memory` (never counted) or `inferred` (a source concluded it from `inferred_from`).
    zone: None where the source does not tell it.
    """

    field: str
    value: str
    basis: str
    sources: tuple[str, ...] = ()
    zone: str | None = None
    layer: str | None = None
    name: str | None = None
    inferred_from: str | None = None
    note: str | None = None
    terms: tuple[str, ...] = ()

    @property
    def side(self) -> str:
        """`seen` on a sherd, `concluded` by a laboratory or an author, or only `describing`.

        >>> Statement("colour", "white", "stated").side, Statement("atmosphere", "reducing", "memory").side
        ('seen', 'concluded')
        """
        return side_of(self.field)


@dataclass(frozen=True, slots=True)
class Tradition:
    """One tradition, all that is said of it, and what follows from what is stated.

    groups: technology groups it falls into. twins, influenced_by, influenced: ids of other traditions. note:
    a remark of the compiler, part read and part memory: shown, never counted.
    """

    id: str
    label: str
    region: str
    statements: tuple[Statement, ...]
    groups: tuple[str, ...] = ()
    twins: tuple[str, ...] = ()
    influenced_by: tuple[str, ...] = ()
    influenced: tuple[str, ...] = ()
    note: str | None = None

    def __hash__(self) -> int:
        return hash(self.id)  # all that is said of it would take long to hash, and tells no more apart

    def of(
        self, field: str, basis: str | None = "stated", *, layer: str | None = None, name: str | None = None
    ) -> tuple[Statement, ...]:
        """Statements on a field; of every basis where it is None, of any layer or name where those are.

        >>> [said.value for said in traditions()["us-tusayan-white"].of("colour", layer="slip")]
        ['white-grey']
        """
        return tuple(
            said
            for said in self.statements
            if said.field == field
            and basis in (None, said.basis)
            and layer in (None, said.layer)
            and name in (None, said.name)
        )

    def first(self, field: str, basis: str | None = "stated") -> str | None:
        """Value of the first statement on a field; None where there is none."""
        found = self.of(field, basis)
        return found[0].value if found else None

    def terms(self, field: str, basis: str | None = "stated") -> frozenset[str]:
        """All values of our schemes that are said of a field.

        >>> sorted(traditions()["us-tusayan-white"].terms("atmosphere"))
        ['neutral', 'reducing']
        """
        return frozenset(term for said in self.of(field, basis) for term in said.terms)

    def source_keys(self) -> tuple[str, ...]:
        """Keys of every source behind it, sorted."""
        return tuple(sorted({key for said in self.statements for key in said.sources}))

    def is_from_memory(self) -> bool:
        """Whether nothing at all is stated of it by a text that was read."""
        return not any(said.basis == "stated" for said in self.statements)


@dataclass(frozen=True, slots=True)
class Group:
    """A technology group: traditions sorted by material and firing, by OWL RL from stated statements."""

    name: str
    label: str
    definition: str
    example: str
    members: tuple[str, ...] = field(default=())


def traditions() -> Mapping[str, Tradition]:
    """Every tradition by id, sorted by id.

    >>> traditions()["us-tusayan-white"].region
    'colorado-plateau'
    """
    return _index()[0]


def groups() -> Mapping[str, Group]:
    """Every technology group by name, with its members.

    >>> "us-tusayan-white" in groups()["organic-black"].members
    True
    """
    return _index()[1]


def tradition_sources() -> Mapping[str, Source]:
    """Every source by key: those of data/sources.ttl, and those that a file of traditions brings itself."""
    return _index()[2]


def tradition(text: str) -> Tradition:
    """The tradition of that id or label. Raises BreaksShape, with the nearest names, where there is none.

    >>> tradition("Tusayan white ware").id
    'us-tusayan-white'
    """
    key = _plain(text)
    for found in traditions().values():
        if key in (_plain(found.id), _plain(found.label)):
            return found
    would_do = ", ".join(nearest(text)) or "an id as `browse` lists them"
    raise BreaksShape([Fault("traditions", None, None, text, would_do, why="no such tradition")])


def nearest(text: str, most: int = 3) -> tuple[str, ...]:
    """Ids of the traditions whose id or label is most like what was typed.

    >>> nearest("tusayan whit")[0]
    'us-tusayan-white'
    """
    from difflib import SequenceMatcher  # only needed once something was mistyped

    key = _plain(text)

    def likeness(found: Tradition) -> float:
        names = (_plain(found.id), _plain(found.label))
        inside = 0.5 * any(key in name or name in key for name in names) if len(key) > 3 else 0.0
        return inside + max(SequenceMatcher(None, key, name).ratio() for name in names)

    ranked = sorted(traditions().values(), key=lambda found: (-likeness(found), found.id))
    return tuple(found.id for found in ranked[:most] if likeness(found) >= 0.5)


@cache
def side_of(field: str) -> str:
    """Side a field is on: seen, concluded or describing. Raises KeyError for an unknown field.

    >>> side_of("phases")
    'describing'
    """
    return scheme("field")[field].broader or field


@cache
def _index() -> tuple[Mapping[str, Tradition], Mapping[str, Group], Mapping[str, Source]]:
    import json

    try:
        content = json.loads(zipped(data(INDEX)))
        found = {entry["id"]: _tradition(entry) for entry in content["traditions"]}
        named = {name: Group(name, *said) for name, said in content["groups"].items()}
        brought = {key: Source(key, *said) for key, said in content["sources"].items()}
    except (ValueError, KeyError, TypeError) as error:
        raise Unreadable(f"{INDEX}: found no index ({error}); would do: the file as shipped") from error
    with_members = {
        name: Group(name, group.label, group.definition, group.example, _members(found, name))
        for name, group in named.items()
    }
    everything = {**source_records(), **brought}
    return MappingProxyType(found), MappingProxyType(with_members), MappingProxyType(everything)


def _members(found: Mapping[str, Tradition], name: str) -> tuple[str, ...]:
    return tuple(one.id for one in found.values() if name in one.groups)


def _tradition(entry: Mapping[str, Any]) -> Tradition:
    return Tradition(
        id=entry["id"],
        label=entry["label"],
        region=entry["region"],
        statements=tuple(_statement(said) for said in entry["statements"]),
        groups=tuple(entry["groups"]),
        twins=tuple(entry["twins"]),
        influenced_by=tuple(entry["influenced_by"]),
        influenced=tuple(entry["influenced"]),
        note=entry["note"],
    )


def _statement(said: Sequence[Any]) -> Statement:
    name, value, basis, sources, zone, layer, named, inferred_from, note, terms = said
    return Statement(
        name, value, basis, tuple(sources), zone, layer, named, inferred_from, note, tuple(terms)
    )


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())
