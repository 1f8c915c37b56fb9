"""Reads the Turtle in data/: by pyoxigraph on the command path, by rdflib where it is closed or checked.

Neither reader fetches anything for Turtle or N-Triples.
"""

import gzip
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

import pyoxigraph

from wareontology.errors import Unreadable
from wareontology.paths import data

if TYPE_CHECKING:
    from rdflib import Graph

Described: TypeAlias = dict[str, dict[str, list[str]]]
"""Subject to predicate to values, in the order they are written; languages and datatypes left out."""


def described(path: Path) -> Described:
    """All statements of one Turtle file, gathered by subject and predicate.

    Raises Unreadable where the file is missing or is not Turtle.

    >>> from wareontology.paths import data
    >>> soft = described(data("vocabulary.ttl"))["https://wareontology.example/term/edge/soft"]
    >>> soft["http://www.w3.org/2004/02/skos/core#notation"]
    ['soft']
    """
    found: Described = {}
    try:
        for subject, predicate, value, _ in pyoxigraph.parse(path=path, format=pyoxigraph.RdfFormat.TURTLE):
            said = found.setdefault(subject.value, {})
            said.setdefault(predicate.value, []).append(value.value)
    except (OSError, SyntaxError) as error:
        raise Unreadable(
            f"{path.name}: found no readable Turtle ({error}); would do: the file as shipped"
        ) from error
    return found


def graph_files() -> tuple[Path, ...]:
    """Every Turtle file in data/ that belongs to the graph, sorted; the demo is not part of it.

    >>> graph_files()[0].name
    'alignment.ttl'
    """
    root = data()
    return tuple(sorted(path for path in root.rglob("*.ttl") if "demo" not in path.relative_to(root).parts))


def graph(paths: Iterable[Path] | None = None) -> "Graph":
    """The given Turtle files, or all in data/, as one rdflib graph. Not for the command path."""
    from rdflib import Graph

    whole = Graph()
    for path in graph_files() if paths is None else paths:
        whole.parse(data=path.read_bytes(), format="turtle")
    return whole


def zipped(path: Path) -> bytes:
    """Content of a gzip file. Raises Unreadable where it is missing or damaged."""
    try:
        return gzip.decompress(path.read_bytes())
    except (OSError, EOFError) as error:
        raise Unreadable(
            f"{path.name}: found no readable gzip ({error}); would do: the file as shipped"
        ) from error
