"""The answer to a query in the forms of the SPARQL 1.1 recommendations: JSON, CSV, TSV, XML."""

import csv
import io
import json
from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any, Final
from xml.sax.saxutils import escape, quoteattr

from wareontology.graph.namespaces import RDF
from wareontology.graph.query import Result, Term

_STRING: Final = "http://www.w3.org/2001/XMLSchema#string"
_LANGUAGE: Final = RDF + "langString"
_RESULTS: Final = "http://www.w3.org/2005/sparql-results#"


def as_data(result: Result) -> dict[str, Any]:
    """SPARQL 1.1 Query Results JSON Format, as plain data.

    >>> as_data(Result(boolean=True))
    {'head': {}, 'boolean': True}
    """
    if result.boolean is not None:
        return {"head": {}, "boolean": result.boolean}
    rows = [
        {name: _binding(term) for name, term in zip(result.variables, row, strict=True) if term is not None}
        for row in result.rows
    ]
    return {"head": {"vars": list(result.variables)}, "results": {"bindings": rows}}


def as_json(result: Result) -> str:
    """SPARQL 1.1 Query Results JSON Format."""
    return json.dumps(as_data(result), ensure_ascii=False) + "\n"


def as_csv(result: Result) -> str:
    """SPARQL 1.1 Query Results CSV Format: plain values, addresses not told from text.

    For ASK, which the recommendation leaves out, one column `boolean`.

    >>> as_csv(Result(("a", "b"), ((Term("literal", "x,y"), None),)))
    'a,b\\r\\n"x,y",\\r\\n'
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in _plain_rows(result, lambda term: f"_:{term.value}" if term.kind == "bnode" else term.value):
        writer.writerow(row)
    return out.getvalue()


def as_tsv(result: Result) -> str:
    """SPARQL 1.1 Query Results TSV Format: values as Turtle writes them.

    >>> as_tsv(Result(("a",), ((Term("literal", "x", None, "en"),),)))
    '?a\\n"x"@en\\n'
    """
    head, *rows = _plain_rows(result, _turtle)
    marked = [f"?{name}" for name in head] if result.boolean is None else head
    return "".join("\t".join(row) + "\n" for row in [marked, *rows])


def as_xml(result: Result) -> str:
    """SPARQL Query Results XML Format (Second Edition).

    >>> as_xml(Result(boolean=False)).splitlines()[2]
    '<head></head><boolean>false</boolean>'
    """
    head = "".join(f"<variable name={quoteattr(name)}/>" for name in result.variables)
    if result.boolean is not None:
        body = f"<boolean>{str(result.boolean).lower()}</boolean>"
    else:
        body = f"<results>\n{''.join(_xml_row(result.variables, row) for row in result.rows)}</results>"
    start = f'<?xml version="1.0" encoding="UTF-8"?>\n<sparql xmlns="{_RESULTS}">\n'
    return f"{start}<head>{head}</head>{body}\n</sparql>\n"


WRITERS: Final[Mapping[str, Callable[[Result], str]]] = MappingProxyType(
    {
        "application/sparql-results+json": as_json,
        "application/sparql-results+xml": as_xml,
        "text/csv": as_csv,
        "text/tab-separated-values": as_tsv,
    }
)
"""Media type to the writer of it."""


def _binding(term: Term) -> dict[str, str]:
    found = {"type": term.kind, "value": term.value}
    if term.language is not None:
        found["xml:lang"] = term.language
    elif term.datatype not in (None, _STRING, _LANGUAGE):
        found["datatype"] = str(term.datatype)
    return found


def _plain_rows(result: Result, written: Callable[[Term], str]) -> list[list[str]]:
    if result.boolean is not None:
        return [["boolean"], [str(result.boolean).lower()]]
    rows = ([written(term) if term is not None else "" for term in row] for row in result.rows)
    return [list(result.variables), *rows]


def _turtle(term: Term) -> str:
    if term.kind == "uri":
        return f"<{term.value}>"
    if term.kind == "bnode":
        return f"_:{term.value}"
    text = term.value.replace("\\", "\\\\").replace('"', '\\"')
    for char, mark in (("\t", "\\t"), ("\n", "\\n"), ("\r", "\\r")):
        text = text.replace(char, mark)
    binding = _binding(term)
    language = f"@{binding['xml:lang']}" if "xml:lang" in binding else ""
    datatype = f"^^<{binding['datatype']}>" if "datatype" in binding else ""
    return f'"{text}"{language}{datatype}'


def _xml_row(variables: tuple[str, ...], row: tuple[Term | None, ...]) -> str:
    cells = "".join(
        f"<binding name={quoteattr(name)}>{_xml_term(term)}</binding>"
        for name, term in zip(variables, row, strict=True)
        if term is not None
    )
    return f"<result>{cells}</result>\n"


def _xml_term(term: Term) -> str:
    binding = _binding(term)
    names = {"xml:lang": "xml:lang", "datatype": "datatype"}
    marks = "".join(f" {names[key]}={quoteattr(binding[key])}" for key in names if key in binding)
    text = "".join(char if char >= " " or char in "\t\n\r" else "\ufffd" for char in term.value)
    return f"<{term.kind}{marks}>{escape(text)}</{term.kind}>"
