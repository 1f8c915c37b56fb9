"""The graph, or one region's traditions, as Turtle or JSON-LD; the same data give the same bytes."""

from collections.abc import Iterable
from typing import Final

import pyoxigraph

from wareontology.graph import closure
from wareontology.graph.namespaces import BASE, REGION, SOURCE, TRADITION, WO
from wareontology.graph.prefixes import PREFIXES
from wareontology.graph.store import graph_files
from wareontology.graph.vocabulary import region_path, scheme

Triples = list[pyoxigraph.Triple]
FORMATS: Final = {"turtle": pyoxigraph.RdfFormat.TURTLE, "json-ld": pyoxigraph.RdfFormat.JSON_LD}
_OWN: Final = (TRADITION, BASE + "statement/", SOURCE)
"""What hangs on a tradition and goes with it into a region's dump."""


def rdf(form: str, region: str | None = None, closed: bool = False) -> bytes:
    """The whole graph, or a region's traditions with their statements and sources.

    form: `turtle` or `json-ld`. region: notation. closed: with what OWL RL draws from it. Nodes without an
    address are named by RDFC-1.0, so that two dumps can be compared line by line.

    >>> rdf("turtle", "cyprus").startswith(b"@prefix")
    True
    """
    triples = _asserted()
    if closed:
        lines = "\n".join(closure.shipped())
        triples += list(pyoxigraph.parse(input=lines, format=pyoxigraph.RdfFormat.N_TRIPLES))
    if region is not None:
        triples = _of_region(triples, region)
    ordered = sorted(canonical(triples), key=str)
    prefixes = dict(PREFIXES)
    written = pyoxigraph.serialize(ordered, format=FORMATS[form], prefixes=prefixes)
    assert written is not None  # None only where a file was given to write to
    return written


def _asserted() -> Triples:
    found: Triples = []
    for path in graph_files():
        for quad in pyoxigraph.parse(path=path, format=pyoxigraph.RdfFormat.TURTLE):
            found.append(pyoxigraph.Triple(quad.subject, quad.predicate, quad.object))
    return found


def canonical(triples: Iterable[pyoxigraph.Triple]) -> Iterable[pyoxigraph.Triple]:
    """The same with canonical names for nodes that have none, each triple once."""
    whole = pyoxigraph.Dataset(pyoxigraph.Quad(one.subject, one.predicate, one.object) for one in triples)
    whole.canonicalize(pyoxigraph.CanonicalizationAlgorithm.RDFC_1_0)
    return [pyoxigraph.Triple(quad.subject, quad.predicate, quad.object) for quad in whole]


def _of_region(triples: Triples, region: str) -> Triples:
    """What is said of the region, of its parts and of their traditions, and all that hangs on those."""
    by_subject: dict[str, Triples] = {}
    for one in triples:
        if isinstance(one.subject, pyoxigraph.NamedNode):
            by_subject.setdefault(one.subject.value, []).append(one)
    inside = {REGION + name for name in scheme("region").notations() if region in region_path(name)}
    waiting = [
        one.subject.value
        for one in triples
        if isinstance(one.subject, pyoxigraph.NamedNode)
        and one.predicate.value == WO + "foundIn"
        and isinstance(one.object, pyoxigraph.NamedNode)
        and one.object.value in inside
    ]
    waiting += sorted(inside)
    reached = set(waiting)
    found: Triples = []
    while waiting:
        for one in by_subject.get(waiting.pop(), ()):
            found.append(one)
            value = one.object.value if isinstance(one.object, pyoxigraph.NamedNode) else ""
            others = value.startswith(TRADITION) and "/" not in value.removeprefix(TRADITION)
            if value.startswith(_OWN) and not others and value not in reached:
                reached.add(value)
                waiting.append(value)
    return found
