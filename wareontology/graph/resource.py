"""One thing of the graph by its address: all that is said of it, and what hangs on it, as Turtle or JSON-LD.

Reads data/ and shapes/ once, by pyoxigraph; the closure adds what OWL RL draws of the thing itself.
"""

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

import pyoxigraph

from wareontology.graph.describe import triples
from wareontology.graph.export import FORMATS, canonical
from wareontology.graph.namespaces import BASE, DCTERMS, RDF, RDFS, SKOS, TRADITION
from wareontology.graph.prefixes import PREFIXES
from wareontology.paths import shapes

_LABELS: Final = (SKOS + "prefLabel", RDFS + "label", DCTERMS + "title", DCTERMS + "bibliographicCitation")
_IN_SCHEME: Final = SKOS + "inScheme"
_DEEPEST: Final = 12
"""Nodes without an address that are followed within each other; no list or shape of ours goes as deep."""


@dataclass(frozen=True, slots=True)
class Value:
    """One value: its text; its address where it has one; or what is said of it where it has none."""

    text: str
    address: str | None = None
    parts: tuple[tuple[str, tuple["Value", ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class _Index:
    by_subject: Mapping[str, tuple[pyoxigraph.Triple, ...]]
    by_blank: Mapping[str, tuple[pyoxigraph.Triple, ...]]
    by_object: Mapping[str, tuple[tuple[str, str], ...]]
    addresses: tuple[str, ...]


def is_known(address: str) -> bool:
    """Whether anything is said of an address.

    >>> is_known(BASE + "term/edge/soft"), is_known(BASE + "term/edge/wobbly")
    (True, False)
    """
    return address in _index().by_subject


def known(start: str = BASE) -> tuple[str, ...]:
    """Every address of ours of which something is said, sorted; those alone that begin so.

    >>> known(BASE + "term/edge/")[0]
    'https://wareontology.example/term/edge/sharp'
    """
    return tuple(_starting(start))


def rdf(address: str, form: str) -> bytes:
    """All that is said of a thing and of what hangs on it, the same bytes each time.

    form: `turtle` or `json-ld`. With a scheme go its concepts, with a tradition its statements, units and
    point. Raises KeyError for an address of which nothing is said.

    >>> rdf(BASE + "term/edge/soft", "turtle").startswith(b"@prefix")
    True
    """
    index = _index()
    found = list(_with_blanks(index.by_subject[address], index))
    for start in _hanging(address):
        for one in _starting(start):
            found += _with_blanks(index.by_subject[one], index)
    member = pyoxigraph.NamedNode(_IN_SCHEME)
    found += [
        pyoxigraph.Triple(pyoxigraph.NamedNode(subject), member, pyoxigraph.NamedNode(address))
        for predicate, subject in index.by_object.get(address, ())
        if predicate == _IN_SCHEME
    ]
    ordered = sorted(canonical(found), key=str)
    used = {name: start for name, start in PREFIXES.items() if any(start in str(one) for one in ordered)}
    written = pyoxigraph.serialize(ordered, format=FORMATS[form], prefixes=used)
    assert written is not None  # None only where a file was given to write to
    return written


def said(address: str) -> tuple[tuple[str, tuple[Value, ...]], ...]:
    """What is said of a thing, for a page: property to values, in the order of the files.

    >>> dict(said(BASE + "term/edge/soft"))[SKOS + "notation"]
    (Value(text='soft', address=None, parts=()),)
    """
    return _said(_index().by_subject[address], 0)


def pointing_at(address: str) -> tuple[tuple[str, str], ...]:
    """(property, subject) of all that is said with this address as its value, by what has an address."""
    return _index().by_object.get(address, ())


def label(address: str) -> str:
    """A thing's label; the end of its address where it has none.

    >>> label(BASE + "term/edge/soft")
    'soft'
    """
    of_it = _index().by_subject.get(address, ())
    for wanted in _LABELS:
        for one in of_it:
            if one.predicate.value == wanted and isinstance(one.object, pyoxigraph.Literal):
                return one.object.value
    return address.removeprefix(BASE) if address.startswith(BASE) else address


def nearest(address: str, most: int = 3) -> tuple[str, ...]:
    """Addresses of the same kind that are spelt, or labelled, most like one of which nothing is said.

    >>> nearest(BASE + "term/edge/fuzzy")[0]
    'https://wareontology.example/term/edge/soft'
    """
    from difflib import get_close_matches  # only needed once something was mistyped

    kind = address.removeprefix(BASE).partition("/")[0] + "/"
    names: dict[str, str] = {}
    for one in _starting(BASE + kind):
        names.setdefault(_plain(one.removeprefix(BASE + kind)), one)
        names.setdefault(_plain(one.rpartition("/")[2]), one)
        for name in _names(one):
            names.setdefault(_plain(name), one)
    whole, last = _plain(address.removeprefix(BASE + kind)), _plain(address.rpartition("/")[2])
    inside = [name for name in names if len(last) > 3 and last in name][:most]
    close = [
        *([last] if last in names else []),
        *get_close_matches(whole, names, n=most, cutoff=0.75),
        *inside,
        *get_close_matches(last, names, n=most, cutoff=0.6),
        *get_close_matches(whole, names, n=most, cutoff=0.5),
    ]
    return tuple(dict.fromkeys(names[name] for name in close))[:most]


def _names(address: str) -> Iterator[str]:
    """Every label of a thing, alternates too."""
    for one in _index().by_subject[address]:
        named = one.predicate.value in (*_LABELS, SKOS + "altLabel")
        if named and isinstance(one.object, pyoxigraph.Literal):
            yield one.object.value


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").replace("/", " ").split())


@cache
def _index() -> _Index:
    subjects: dict[str, list[pyoxigraph.Triple]] = {}
    blanks: dict[str, list[pyoxigraph.Triple]] = {}
    objects: dict[str, list[tuple[str, str]]] = {}
    for one in dict.fromkeys((*triples(), *_of_shapes())):
        if isinstance(one.subject, pyoxigraph.BlankNode):
            blanks.setdefault(one.subject.value, []).append(one)
        if not isinstance(one.subject, pyoxigraph.NamedNode):
            continue
        subjects.setdefault(one.subject.value, []).append(one)
        if isinstance(one.object, pyoxigraph.NamedNode):
            objects.setdefault(one.object.value, []).append((one.predicate.value, one.subject.value))
    return _Index(
        {name: tuple(found) for name, found in subjects.items()},
        {name: tuple(found) for name, found in blanks.items()},
        {name: tuple(found) for name, found in objects.items()},
        tuple(sorted(name for name in subjects if name.startswith(BASE))),
    )


def _of_shapes() -> Iterator[pyoxigraph.Triple]:
    for path in sorted(shapes().glob("*.ttl")):
        for quad in pyoxigraph.parse(path=path, format=pyoxigraph.RdfFormat.TURTLE, rename_blank_nodes=True):
            yield quad.triple


def _starting(start: str) -> Iterator[str]:
    addresses = _index().addresses
    for place in range(bisect_left(addresses, start), len(addresses)):
        if not addresses[place].startswith(start):
            return
        yield addresses[place]


def _hanging(address: str) -> Iterator[str]:
    """Where the addresses begin of what goes with a thing: its parts, and a tradition's statements."""
    yield address + "/"
    name = address.removeprefix(TRADITION)
    if name != address and "/" not in name:
        yield f"{BASE}statement/{name}/"


def _with_blanks(found: Iterable[pyoxigraph.Triple], index: _Index) -> Iterator[pyoxigraph.Triple]:
    waiting, reached = list(found), set()
    while waiting:
        one = waiting.pop()
        yield one
        if isinstance(one.object, pyoxigraph.BlankNode) and one.object.value not in reached:
            reached.add(one.object.value)
            waiting += index.by_blank.get(one.object.value, ())


def _said(found: Iterable[pyoxigraph.Triple], depth: int) -> tuple[tuple[str, tuple[Value, ...]], ...]:
    gathered: dict[str, list[Value]] = {}
    for one in found:
        gathered.setdefault(one.predicate.value, []).append(_value(one.object, depth))
    return tuple((name, tuple(values)) for name, values in gathered.items())


def _value(value: object, depth: int) -> Value:
    if isinstance(value, pyoxigraph.NamedNode):
        return Value(label(value.value), value.value)
    if isinstance(value, pyoxigraph.BlankNode):
        members = tuple(_value(one, depth + 1) for one in _listed(value))
        if members:
            return Value("", None, ((RDF + "List", members),))
        parts = _index().by_blank.get(value.value, ()) if depth < _DEEPEST else ()
        return Value("", None, _said(parts, depth + 1))
    assert isinstance(value, pyoxigraph.Literal)
    return Value(value.value)


def _listed(node: pyoxigraph.BlankNode) -> Iterator[object]:
    """Members of a list in their order; none where the node is no list."""
    here: object = node
    while isinstance(here, pyoxigraph.BlankNode):
        of_it = {one.predicate.value: one.object for one in _index().by_blank.get(here.value, ())}
        if RDF + "first" not in of_it:
            return
        yield of_it[RDF + "first"]
        here = of_it.get(RDF + "rest")
