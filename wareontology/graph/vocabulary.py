"""The words of our concept schemes as a person may type them, what each means, and the tree of regions.

Reads data/vocabulary.ttl and data/regions.ttl once, without rdflib, so that it may stand on the command path.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType
from typing import Final, NamedTuple

from wareontology.graph.namespaces import DCTERMS, PROV, SKOS, SOURCE, TERM, WO, local
from wareontology.graph.store import Described, described
from wareontology.paths import data

_SPELLING: Final = dict.fromkeys(map(ord, " -_\t\u00a0\u2010\u2011\u2013"))
"""What does not matter in how a word is written: spaces, underscores, and any kind of hyphen."""


@dataclass(frozen=True, slots=True)
class Concept:
    """One value of a scheme.

    notation: the value as written in tables. basis: what its definition rests on where there is no source
    (`common-practice`, `judgement`). sources: keys into `sources()`. broader: notation of the wider concept.
    """

    address: str
    notation: str
    label: str
    alternates: tuple[str, ...]
    definition: str
    example: str
    basis: str | None
    sources: tuple[str, ...]
    order: int
    broader: str | None

    def names(self) -> Iterator[str]:
        """Everything a person may type for it."""
        yield self.notation
        yield self.label
        yield from self.alternates


@dataclass(frozen=True, slots=True)
class Scheme:
    """A concept scheme: its values in their order."""

    name: str
    title: str
    description: str
    concepts: tuple[Concept, ...]
    _by_notation: Mapping[str, Concept] = field(repr=False, compare=False)
    _by_name: dict[str, str] = field(default_factory=dict, repr=False, compare=False)

    def __getitem__(self, notation: str) -> Concept:
        return self._by_notation[notation]

    def __contains__(self, notation: object) -> bool:
        return notation in self._by_notation

    def notations(self) -> tuple[str, ...]:
        """All values in order, families and parents included."""
        return tuple(concept.notation for concept in self.concepts)

    def leaves(self) -> tuple[str, ...]:
        """The values that have no narrower one, in order.

        >>> scheme("edge").leaves()
        ('sharp', 'soft')
        """
        wider = {concept.broader for concept in self.concepts}
        return tuple(concept.notation for concept in self.concepts if concept.notation not in wider)

    def resolve(self, text: str) -> str | None:
        """The value meant by what was typed; None where none is."""
        return self._spellings().get(_plain(text))

    def nearest(self, text: str, most: int = 3) -> tuple[str, ...]:
        """Values whose notation or label is spelt most like what was typed, likest first."""
        from difflib import get_close_matches  # only needed once something was mistyped

        spellings = self._spellings()
        close = get_close_matches(_plain(text), spellings, n=most * 3, cutoff=0.6)
        return tuple(dict.fromkeys(spellings[name] for name in close))[:most]

    def _spellings(self) -> Mapping[str, str]:
        """Plain spelling to notation, gathered when it is first asked for: most commands need few schemes."""
        if not self._by_name:
            for concept in reversed(self.concepts):
                self._by_name.update((_plain(name), concept.notation) for name in concept.names())
        return self._by_name


class WhiteFiringClay(NamedTuple):
    """How common white-firing clay is in a region, and the key of the source that is followed first."""

    value: str
    source: str | None


@dataclass(frozen=True, slots=True)
class Geology:
    """The statement behind it: keys of the sources followed and of those that say otherwise, and a note."""

    region: str
    value: str
    sources: tuple[str, ...]
    contradicted_by: tuple[str, ...]
    note: str


@cache
def schemes() -> Mapping[str, Scheme]:
    """Every concept scheme by name, regions included; the fields of traditions are apart (`scheme("field")`).

    >>> [concept.notation for concept in schemes()["lustre"].concepts]
    ['matte', 'satin', 'glossy', 'metallic']
    """
    return MappingProxyType({**_read(described(data("vocabulary.ttl"))), **_read(_regions())})


def scheme(name: str) -> Scheme:
    """One scheme; `-`, `_` and a space in its name are alike. Raises KeyError for an unknown name.

    >>> scheme("fire clouds").notations()
    ('none', 'few', 'most')
    """
    found = schemes()
    if name not in found:
        name = _scheme_names().get(_plain(name), name)
    return found[name] if name in found else _of_traditions()[name]


def resolve(scheme_name: str, text: str) -> str | None:
    """The value of a scheme that was meant; case, spaces, hyphens and underscores do not matter.

    >>> resolve("edge", "Fuzzy edge"), resolve("colour", "gray"), resolve("edge", "wobbly")
    ('soft', 'grey', None)
    """
    return scheme(scheme_name).resolve(text)


def nearest(scheme_name: str, text: str, most: int = 3) -> tuple[str, ...]:
    """Values of a scheme spelt most like what was typed; empty where nothing is near.

    >>> nearest("lustre", "glosy")
    ('glossy',)
    """
    return scheme(scheme_name).nearest(text, most)


def region_path(region: str) -> tuple[str, ...]:
    """A region and all it is part of, up to the world. Raises KeyError for an unknown one.

    >>> region_path("colorado-plateau")
    ('colorado-plateau', 'north-american-southwest', 'north-america', 'americas', 'world')
    """
    tree = _region_scheme()
    path = [tree[region].notation]
    while (wider := tree[path[-1]].broader) is not None:
        path.append(wider)
    return tuple(path)


def white_firing_clay(region: str) -> WhiteFiringClay:
    """How common white-firing clay is there (scarce, common, unknown) and the key of the source for it.

    From geology, never from the wares. Where a region has no statement that of the next wider one holds.

    >>> white_firing_clay("colorado-plateau")
    WhiteFiringClay(value='scarce', source='nadeau-reynolds-1981')
    >>> white_firing_clay("world")
    WhiteFiringClay(value='unknown', source=None)
    """
    found = geology(region)
    return WhiteFiringClay(found.value, found.sources[0] if found.sources else None)


def geology(region: str) -> Geology:
    """The whole statement on white-firing clay that holds for a region, and whose it is.

    >>> geology("colorado-plateau").contradicted_by
    ('mesa-alta-1963',)
    """
    found = _regions()
    for name in region_path(region):
        statement = found[_region_scheme()[name].address].get(WO + "whiteFiringClay")
        if statement:
            said = found[statement[0]]
            return Geology(
                region=name,
                value=local(said[WO + "value"][0]),
                sources=_keys(said.get(PROV + "wasDerivedFrom", ())),
                contradicted_by=_keys(said.get(WO + "contradictedBy", ())),
                note=_first(said, SKOS + "note") or _first(said, SKOS + "editorialNote"),
            )
    return Geology("world", "unknown", (), (), "")


@cache
def _regions() -> Described:
    return described(data("regions.ttl"))


@cache
def _of_traditions() -> Mapping[str, Scheme]:
    """The schemes in which traditions are told, read when one is asked for: an answer needs none of them."""
    return _read(described(data("tradition_terms.ttl")))


@cache
def _region_scheme() -> Scheme:
    return _read(_regions())["region"]


@cache
def _scheme_names() -> Mapping[str, str]:
    return {_plain(name): name for name in schemes()}


def _plain(text: str) -> str:
    return text.casefold().translate(_SPELLING)


def _read(found: Described) -> dict[str, Scheme]:
    members: dict[str, list[Concept]] = {}
    for address, said in found.items():
        if SKOS + "notation" not in said:
            continue
        concept = _concept(address, said, found)
        for home in said[SKOS + "inScheme"]:
            members.setdefault(home, []).append(concept)
    return {local(home): _scheme(home, found.get(home, {}), concepts) for home, concepts in members.items()}


def _concept(address: str, said: Mapping[str, list[str]], found: Described) -> Concept:
    broader = said.get(SKOS + "broader", ())
    basis = said.get(WO + "basis", ())
    return Concept(
        address=address,
        notation=said[SKOS + "notation"][0],
        label=said[SKOS + "prefLabel"][0],
        alternates=tuple(said.get(SKOS + "altLabel", ())),
        definition=_first(said, SKOS + "definition"),
        example=_first(said, SKOS + "example"),
        basis=local(basis[0]) if basis else None,
        sources=_keys(said.get(DCTERMS + "source", ())),
        order=int(_first(said, WO + "order") or 0),
        broader=found[broader[0]][SKOS + "notation"][0] if broader else None,
    )


def _scheme(address: str, said: Mapping[str, list[str]], concepts: list[Concept]) -> Scheme:
    ordered = tuple(sorted(concepts, key=lambda concept: (concept.order, concept.notation)))
    return Scheme(
        name=address.removeprefix(TERM),
        title=_first(said, DCTERMS + "title"),
        description=_first(said, DCTERMS + "description"),
        concepts=ordered,
        _by_notation={concept.notation: concept for concept in ordered},
    )


def _keys(addresses: Iterable[str]) -> tuple[str, ...]:
    return tuple(address.removeprefix(SOURCE) for address in addresses)


def _first(said: Mapping[str, list[str]], predicate: str) -> str:
    values = said.get(predicate)
    return values[0] if values else ""
