"""The forms of an answer, read back by a reader that is not ours."""

import csv
import io
import json
from xml.etree import ElementTree

import pyoxigraph
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.graph.query import Result, Term
from wareontology.graph.query_results import WRITERS, as_csv, as_json, as_tsv, as_xml

INTEGER = "http://www.w3.org/2001/XMLSchema#integer"
TEXT = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=20)
STRING = "http://www.w3.org/2001/XMLSchema#string"
TERMS = st.one_of(
    st.none(),
    st.sampled_from([Term("uri", "urn:a"), Term("uri", "http://example.org/ä?b=1&c='"), Term("bnode", "b0")]),
    TEXT.map(lambda text: Term("literal", text, STRING)),
    TEXT.map(lambda text: Term("literal", text, "http://example.org/type")),
    TEXT.map(lambda text: Term("literal", text, None, "de-at")),
)
FORMATS = {
    "application/sparql-results+json": pyoxigraph.QueryResultsFormat.JSON,
    "text/tab-separated-values": pyoxigraph.QueryResultsFormat.TSV,
}


def read(text: str, form: pyoxigraph.QueryResultsFormat) -> list[list[object]]:
    found = pyoxigraph.parse_query_results(text.encode(), format=form)
    assert isinstance(found, pyoxigraph.QuerySolutions)
    return [list(solution) for solution in found]


def as_there(term: Term | None) -> object:
    if term is None:
        return None
    if term.kind == "uri":
        return pyoxigraph.NamedNode(term.value)
    if term.kind == "bnode":
        return pyoxigraph.BlankNode(term.value)
    if term.language:
        return pyoxigraph.Literal(term.value, language=term.language)
    return pyoxigraph.Literal(term.value, datatype=pyoxigraph.NamedNode(str(term.datatype)))


@pytest.mark.parametrize("media_type", sorted(FORMATS))
@given(st.lists(st.tuples(TERMS, TERMS), max_size=4))
def test_another_reader_reads_what_was_written(
    media_type: str, rows: list[tuple[Term | None, Term | None]]
) -> None:
    text = WRITERS[media_type](Result(("a", "b"), tuple(rows)))
    expected = [[as_there(term) for term in row] for row in rows]
    found = read(text, FORMATS[media_type])
    assert len(found) == len(expected)
    for there, wanted in zip(found, expected, strict=True):
        for one, other in zip(there, wanted, strict=True):
            if isinstance(other, pyoxigraph.BlankNode):
                assert isinstance(one, pyoxigraph.BlankNode)  # a reader may name them anew
            else:
                assert one == other


@given(st.lists(st.tuples(TERMS, TERMS), max_size=4))
def test_xml_keeps_every_value(rows: list[tuple[Term | None, Term | None]]) -> None:
    """Read by the standard library: pyoxigraph's reader takes a blank off the ends of a text."""
    root = ElementTree.fromstring(as_xml(Result(("a", "b"), tuple(rows))).encode())
    space = "{http://www.w3.org/2005/sparql-results#}"
    assert [one.get("name") for one in root.iter(f"{space}variable")] == ["a", "b"]
    for row, there in zip(rows, root.iter(f"{space}result"), strict=True):
        found = {str(one.get("name")): one[0] for one in there}
        wanted = {name: term for name, term in zip("ab", row, strict=True) if term is not None}
        assert found.keys() == wanted.keys()
        for name, term in wanted.items():
            assert found[name].tag == space + term.kind
            assert (found[name].text or "") == term.value
            assert found[name].get("{http://www.w3.org/XML/1998/namespace}lang") == term.language


@given(st.lists(st.tuples(TEXT, TEXT), max_size=4))
def test_csv_keeps_every_value(rows: list[tuple[str, str]]) -> None:
    written = as_csv(Result(("a", "b"), tuple((Term("literal", a), Term("literal", b)) for a, b in rows)))
    assert list(csv.reader(io.StringIO(written, newline=""))) == [["a", "b"], *map(list, rows)]


@pytest.mark.parametrize("value", [True, False])
def test_a_boolean_in_every_form(value: bool) -> None:
    result = Result(boolean=value)
    assert json.loads(as_json(result))["boolean"] is value
    assert (
        bool(
            pyoxigraph.parse_query_results(as_xml(result).encode(), format=pyoxigraph.QueryResultsFormat.XML)
        )
        is value
    )
    assert as_csv(result).split() == as_tsv(result).split() == ["boolean", str(value).lower()]


def test_a_control_character_leaves_the_xml_readable() -> None:
    """XML 1.0 has no place for it, even escaped."""
    text = as_xml(Result(("a",), ((Term("literal", "x\x1by", INTEGER),),)))
    assert read(text, pyoxigraph.QueryResultsFormat.XML)[0][0] == pyoxigraph.Literal(
        "x\ufffdy", datatype=pyoxigraph.NamedNode(INTEGER)
    )
