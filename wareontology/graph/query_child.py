"""The process that answers one query and ends: bounded in time and memory, with no way out.

Reads {text, rows, characters, cpu_s, memory_bytes} as JSON from standard input and writes one JSON object:
{variables, rows, truncated}, {boolean} or {refused: [found, why, would_do, row]}. Started by `query` alone.
"""

import json
import resource
import sys
from collections.abc import Mapping
from typing import Any

import pyoxigraph

from wareontology.errors import BreaksShape
from wareontology.graph.closure import FILE
from wareontology.graph.prefixes import PREFIXES
from wareontology.graph.query_refusals import ALLOWED, check_parsed, refused
from wareontology.graph.store import graph_files, zipped
from wareontology.paths import data


def main() -> None:
    """Answer the query on standard input."""
    asked = json.load(sys.stdin)
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CPU, (asked["cpu_s"], asked["cpu_s"]))
    resource.setrlimit(resource.RLIMIT_AS, (asked["memory_bytes"], asked["memory_bytes"]))
    try:
        found = _answered(asked)
    except BreaksShape as error:
        (fault,) = error.faults
        found = {"refused": [fault.found, fault.why, fault.would_do, fault.row]}
    except (MemoryError, RecursionError):
        found = {"refused": ["a query too large or too deep", "memory ran out", "a narrower query", None]}
    sys.stdout.write(json.dumps(found))


def _answered(asked: Mapping[str, Any]) -> dict[str, Any]:
    store = _store()
    _check("ASK { }")  # loads what the parser needs while files may still be opened
    # From here on nothing new can be opened: no file, no connection, whatever a query may have slipped past.
    resource.setrlimit(resource.RLIMIT_NOFILE, (0, 0))
    _check(asked["text"])
    try:
        found = store.query(asked["text"], prefixes=dict(PREFIXES))
        if isinstance(found, pyoxigraph.QueryBoolean):
            return {"boolean": bool(found)}
        if not isinstance(found, pyoxigraph.QuerySolutions):
            raise refused("a query for triples", "only rows, or yes or no, are given")
        return _rows(found, asked["rows"], asked["characters"])
    except (SyntaxError, ValueError, RuntimeError, OSError) as error:
        raise refused(asked["text"].strip(), str(error)) from error


def _store() -> pyoxigraph.Store:
    store = pyoxigraph.Store()
    for path in graph_files():
        store.bulk_load(path=str(path), format=pyoxigraph.RdfFormat.TURTLE)
    store.bulk_load(input=zipped(data(FILE)), format=pyoxigraph.RdfFormat.N_TRIPLES)
    return store


def _check(text: str) -> None:
    """Parse the query by rdflib and walk what it parsed, and what it made of that."""
    import rdflib.plugins.sparql
    from pyparsing import ParseBaseException
    from rdflib.plugins.sparql.algebra import translateQuery
    from rdflib.plugins.sparql.parser import parseQuery

    rdflib.plugins.sparql.SPARQL_LOAD_GRAPHS = False
    try:
        parsed = parseQuery(text)
        check_parsed(parsed)
        check_parsed(translateQuery(parsed, initNs=dict(PREFIXES)).algebra)
    except ParseBaseException as error:
        line = error.line.strip() or text.strip()
        raise refused(line, f"not SPARQL from character {error.col}", ALLOWED, error.lineno) from error
    except (BreaksShape, RecursionError, MemoryError):
        raise
    except Exception as error:  # a parser's own ways to fail: an undeclared prefix is a plain Exception
        raise refused(text.strip(), str(error) or type(error).__name__) from error


def _rows(found: pyoxigraph.QuerySolutions, most: int, characters: int) -> dict[str, Any]:
    variables = [variable.value for variable in found.variables]
    rows: list[list[list[str | None] | None]] = []
    room = characters
    for solution in found:
        row = [_term(value) for value in solution]
        room -= sum(len(part or "") for term in row for part in term or ()) + len(row)
        if len(rows) == most or room < 0:
            return {"variables": variables, "rows": rows, "truncated": True}
        rows.append(row)
    return {"variables": variables, "rows": rows, "truncated": False}


def _term(value: object) -> list[str | None] | None:
    if value is None:
        return None
    if isinstance(value, pyoxigraph.NamedNode):
        return ["uri", value.value, None, None]
    if isinstance(value, pyoxigraph.BlankNode):
        return ["bnode", value.value, None, None]
    if not isinstance(value, pyoxigraph.Literal):
        raise refused(str(value), "a triple as a value", "values that are addresses or text")
    return ["literal", value.value, value.datatype.value, value.language]


if __name__ == "__main__":
    main()
