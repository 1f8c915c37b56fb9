"""SPARQL SELECT and ASK over the graph, each in a process of its own that is bounded and has no way out.

rdflib and pyoxigraph both follow SERVICE, and neither has a time limit; so the text is checked, the parsed
query is walked, and the answering process is held to its share of time and memory, opens nothing, and is
stopped when the clock runs out.
"""

import json
import subprocess
import sys
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

from wareontology.errors import Unreadable
from wareontology.graph.query_refusals import check_text, refused

_START: Final = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]); "
    "from wareontology.graph.query_child import main; main()"
)
"""The child finds the same modules as its parent, and none in the folder it happens to be started in."""
_OUT_OF_CPU: Final = (-24, -9)  # SIGXCPU, and SIGKILL where the soft limit was passed
_NARROWER: Final = "a narrower query: patterns that share a variable, fewer open paths, no ORDER BY over all"


class Term(NamedTuple):
    """A value in a row. kind: uri, bnode or literal; datatype and language of literals only."""

    kind: str
    value: str
    datatype: str | None = None
    language: str | None = None


@dataclass(frozen=True, slots=True)
class Limits:
    """What one query may use. Beyond rows or characters the answer is cut off; beyond the others refused."""

    rows: int = 10_000
    characters: int = 16_000_000
    cpu_s: int = 10
    wall_s: float = 20.0
    memory_bytes: int = 1 << 30
    text_characters: int = 20_000


@dataclass(frozen=True, slots=True)
class Result:
    """Rows over variables, or for ASK a boolean. truncated: whether there was more than the limits let by."""

    variables: tuple[str, ...] = ()
    rows: tuple[tuple[Term | None, ...], ...] = ()
    boolean: bool | None = None
    truncated: bool = False


def query(text: str, limits: Limits | None = None) -> Result:
    """The answer to a SPARQL 1.1 SELECT or ASK over data/ and all that OWL RL draws from it.

    The prefixes of `prefixes.PREFIXES` may be used undeclared. Raises BreaksShape for a query that is not
    SPARQL, reaches out (SERVICE, FROM, LOAD), changes something, or asks for more than the limits; Unreadable
    on a system that cannot bound a process.

    >>> query("ASK { ?region a wo:Region }").boolean
    True
    """
    limits = limits or Limits()
    check_text(text, limits.text_characters)
    try:
        import resource  # noqa: F401  # what bounds the child; not on every system
    except ImportError as error:
        raise Unreadable(
            "query: found a system that cannot bound a process; would do: Linux or macOS, or `export`"
        ) from error
    return _result(_child(text, limits))


def _child(text: str, limits: Limits) -> dict[str, Any]:
    asked = {
        "text": text, "rows": limits.rows, "characters": limits.characters,
        "cpu_s": limits.cpu_s, "memory_bytes": limits.memory_bytes,
    }  # fmt: skip
    try:
        done = subprocess.run(
            [sys.executable, "-P", "-c", _START, json.dumps(sys.path)],
            input=json.dumps(asked).encode(), capture_output=True, timeout=limits.wall_s, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired as error:
        raise refused(f"more than {limits.wall_s:g} s", "the time ran out", _NARROWER) from error
    if done.returncode in _OUT_OF_CPU:
        raise refused(f"more than {limits.cpu_s} s of work", "the time ran out", _NARROWER)
    if done.returncode < 0:  # a library that finds no memory, or no stack, ends its process
        size = f"more than {limits.memory_bytes >> 20} MiB"
        raise refused(size, "the memory ran out", _NARROWER)
    if done.returncode:
        raise RuntimeError(f"the process that answers queries failed: {done.stderr.decode()[-2000:]}")
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def _result(found: dict[str, Any]) -> Result:
    if "refused" in found:
        raise refused(*found["refused"])
    if "boolean" in found:
        return Result(boolean=found["boolean"])
    rows = tuple(tuple(term and Term(*term) for term in row) for row in found["rows"])
    return Result(tuple(found["variables"]), rows, None, found["truncated"])
