"""A record held against one of our shapes files by pySHACL; nothing of a stranger's is run as a shape."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from wareontology.graph.namespaces import SH, SHAPE, local

if TYPE_CHECKING:
    from rdflib import Graph
    from rdflib.term import Node

_SEVERITIES: Final[Mapping[str, str]] = {"Violation": "violation", "Warning": "warning", "Info": "info"}


@dataclass(frozen=True, slots=True, order=True)
class Broken:
    """A shape that is not kept. focus and path are addresses; empty where there is none."""

    shape: str
    severity: str
    focus: str
    path: str
    value: str
    message: str


def broken(turtle: str, shapes: Path) -> tuple[Broken, ...]:
    """Every shape of ours that a Turtle text does not keep, sorted.

    >>> from wareontology.paths import shapes
    >>> broken("", shapes("records.ttl"))
    ()
    """
    from pyshacl import validate
    from rdflib import Graph, URIRef

    found = Graph().parse(data=turtle, format="turtle")
    _, report, _ = validate(found, shacl_graph=_shapes(shapes))
    assert isinstance(report, Graph)

    def one(node: "Node", name: str) -> str:
        value = report.value(node, URIRef(SH + name))
        return "" if value is None else str(value)

    return tuple(
        sorted(
            Broken(
                one(node, "sourceShape").removeprefix(SHAPE),
                _SEVERITIES[local(one(node, "resultSeverity"))],
                one(node, "focusNode"), one(node, "resultPath"), one(node, "value"),
                one(node, "resultMessage"),
            )
            for node in report.objects(None, URIRef(SH + "result"))
        )
    )  # fmt: skip


@cache
def _shapes(path: Path) -> "Graph":
    from rdflib import Graph

    return Graph().parse(data=path.read_bytes(), format="turtle")
