"""What OWL RL adds to our graph, worked out once by owlrl and shipped as data/closure.nt.gz.

owlrl takes seconds and writes literals where a subject should be, so it never runs on a request path: the
closure is built by `python -m wareontology.build closure`, and a test holds it equal to a fresh one. Only
what inference adds is shipped: load it beside the files it was made from.
"""

import gzip
import io
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Final

from wareontology.errors import BreaksShape, Fault
from wareontology.graph.namespaces import OWL, RDF, RDFS
from wareontology.graph.owl_rl import REFLEXIVE, expand
from wareontology.graph.store import graph, graph_files, zipped
from wareontology.paths import data

if TYPE_CHECKING:
    from rdflib import Graph
    from rdflib.term import Node

FILE: Final = "closure.nt.gz"
_ERROR: Final = "http://www.daml.org/2002/03/agents/agent-ont#error"
"""The property under which owlrl writes that a graph contradicts itself."""
_EMPTY: Final = frozenset((OWL + "Thing", OWL + "Nothing", RDFS + "Resource"))
"""Classes that say nothing: everything is of the first and the last, nothing of the second."""
_AXIOMATIC: Final = (RDF, RDFS, OWL, "http://www.w3.org/2001/XMLSchema#")
"""What these say of each other is in every closure."""


def close(given: "Graph") -> "Graph":
    """A new graph with all that OWL RL draws from the given one, the given one included.

    Literals are set aside before and put back after: owlrl would make subjects of them. Raises BreaksShape
    with owlrl's words where the graph contradicts itself, such as one unit that is both a slip and a paint.
    """
    from rdflib import Literal, URIRef

    closed = expand(given)
    errors = sorted(str(error) for error in closed.objects(None, URIRef(_ERROR)))
    if errors:
        agrees = "a graph that agrees with itself"
        raise BreaksShape([Fault("graph", None, None, error, agrees) for error in errors])
    for triple in list(closed):
        if isinstance(triple[0], Literal) or isinstance(triple[2], Literal) or _says_nothing(triple):
            closed.remove(triple)
    for triple in given:
        closed.add(triple)
    return closed


def added(given: "Graph") -> "Graph":
    """What closing adds between things that have an address; nodes without one could not be found again."""
    from rdflib import BNode, Graph

    new = Graph()
    for triple in close(given):
        if triple not in given and not any(isinstance(term, BNode) for term in triple):
            new.add(triple)
    return new


def lines(new: "Graph") -> list[str]:
    """Sorted N-Triples lines, so that the same graph is always the same text."""
    return sorted(line for line in new.serialize(format="nt").splitlines() if line)


def build(path: Path | None = None, files: Iterable[Path] | None = None) -> Path:
    """Write the closure of the given files, or of all in data/; the same files give the same bytes.

    Raises BreaksShape, and writes nothing, where the graph contradicts itself.
    """
    return write(lines(added(graph(graph_files() if files is None else files))), path)


def write(closure: Iterable[str], path: Path | None = None) -> Path:
    """Write lines of a closure as they are shipped; the same lines give the same bytes."""
    target = path if path is not None else data(FILE)
    packed = io.BytesIO()
    # No name and no time in the header: they would make two equal builds differ.
    with gzip.GzipFile(filename="", mode="wb", fileobj=packed, mtime=0) as file:
        file.write(("\n".join(closure) + "\n").encode())
    target.write_bytes(packed.getvalue())
    return target


def shipped() -> list[str]:
    """Lines of the shipped closure. Raises Unreadable where it is missing or damaged."""
    return zipped(data(FILE)).decode().splitlines()


def closed_graph() -> "Graph":
    """All files of the graph and the shipped closure, as one rdflib graph."""
    whole = graph()
    whole.parse(data=zipped(data(FILE)), format="nt")
    return whole


def _says_nothing(triple: "tuple[Node, Node, Node]") -> bool:
    subject, predicate, value = (str(term) for term in triple)
    if subject == value and predicate in REFLEXIVE:
        return True
    if value in _EMPTY or subject in _EMPTY:
        return True
    return subject.startswith(_AXIOMATIC) and value.startswith(_AXIOMATIC)
