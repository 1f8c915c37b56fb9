"""One command from the files of traditions to what is shipped: held to the shapes, closed, indexed."""

from collections.abc import Iterable
from pathlib import Path

from wareontology.graph import closure, traditions_index
from wareontology.graph.store import graph, graph_files
from wareontology.graph.traditions import FOLDER, INDEX
from wareontology.graph.traditions_check import check
from wareontology.paths import data


def build(target: Path | None = None, files: Iterable[Path] | None = None) -> tuple[Path, Path]:
    """Write the closure and, beside it, the index of traditions; the same files give the same bytes.

    target: file of the closure, data/closure.nt.gz where none is given. files: Turtle files of the graph, all
    in data/ where none are given. Raises BreaksShape, and writes nothing, where a tradition breaks its shape
    (file and node are named) or the graph contradicts itself.
    """
    used = tuple(graph_files() if files is None else files)
    told = tuple(path for path in used if path.parent.name == FOLDER)
    check(told)
    lines = closure.lines(closure.added(graph(used)))
    written = closure.write(lines, target)
    beside = data(INDEX) if target is None else target.with_name(INDEX)
    return written, traditions_index.build(lines, beside, told)
