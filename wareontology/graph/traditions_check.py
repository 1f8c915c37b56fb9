"""Holds the files of traditions to shapes/traditions.ttl before anything is made of them."""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Final

from wareontology.errors import BreaksShape, Fault
from wareontology.graph.namespaces import BASE, SH, SHAPE
from wareontology.graph.store import described, graph
from wareontology.graph.traditions_index import tradition_files
from wareontology.paths import data, shapes

if TYPE_CHECKING:
    from rdflib import Graph

_BESIDE: Final = (
    "vocabulary.ttl", "tradition_terms.ttl", "regions.ttl", "sources.ttl", "alignment.ttl",
)  # fmt: skip
"""What the statements of a file lean on."""


def faults(paths: Iterable[Path] | None = None) -> tuple[Fault, ...]:
    """Every fault in the given files of traditions, or in all of them, with the file and the node it is in.

    `file` is the file's name, `column` the node at fault as its address ends, `would_do` what is wanted.
    """
    given = tuple(tradition_files() if paths is None else paths)
    where = {node: path.name for path in given for node in described(path)}
    found = {
        Fault(where.get(node, given[0].name if given else ""), None, node.removeprefix(BASE), broken, wanted)
        for node, broken, wanted in _broken(graph([*map(data, _BESIDE), *given]))
    }
    return tuple(sorted(found, key=lambda fault: (fault.file, fault.column or "", fault.would_do)))


def check(paths: Iterable[Path] | None = None) -> None:
    """Raise BreaksShape with every fault of the files; do nothing where there is none."""
    found = faults(paths)
    if found:
        raise BreaksShape(found)


def broken_shapes(found: "Graph") -> set[str]:
    """Local names of the shapes that a graph breaks."""
    return {shape for _, shape, _ in _broken(found)}


def _broken(found: "Graph") -> set[tuple[str, str, str]]:
    """(node, shape, what the shape wants) of each result of the report."""
    from pyshacl import validate
    from rdflib import Graph, URIRef

    shapes_graph = graph([shapes("traditions.ttl")])
    _, report, _ = validate(found, shacl_graph=shapes_graph)
    assert isinstance(report, Graph)
    results = set()
    for result in report.subjects(URIRef(SH + "sourceShape")):
        node, value, shape, message = (
            str(report.value(result, URIRef(SH + name)) or "")
            for name in ("focusNode", "value", "sourceShape", "resultMessage")
        )
        results.add((value if node == BASE else node, shape.removeprefix(SHAPE), message))
    return results
