"""Answers as linked data and as CSV: what others' readers make of them."""

import csv
import io
import json
from dataclasses import replace

import pyoxigraph
import pytest

from wareontology.graph.namespaces import PROV, RDF, RULE
from wareontology.paths import data
from wareontology.sherd.iris import of_sherd
from wareontology.sherd.table import read
from wareontology.technique.answer import answer
from wareontology.technique.answer_graph import address, document, to_turtle
from wareontology.technique.answers_csv import HEADING, ODDS_HEADING, odds_csv, to_csv

(SHERD,) = read(data("demo", "one_sherd.csv")).sherds
ODD = replace(SHERD, sherd='a "b" \\ \n<c>', observer="Ä/B")


@pytest.mark.parametrize("sherd", [SHERD, ODD], ids=["plain", "odd"])
def test_turtle_is_read_by_another_and_holds_the_whole_answer(sherd: object) -> None:
    assert isinstance(sherd, type(SHERD))
    found = answer(sherd)
    triples = list(pyoxigraph.parse(to_turtle([(sherd, found)]), format=pyoxigraph.RdfFormat.TURTLE))
    subject = pyoxigraph.NamedNode(address(sherd, found))
    said = {(each.predicate.value, each.object) for each in triples if each.subject == subject}
    assert (PROV + "wasDerivedFrom", pyoxigraph.NamedNode(of_sherd(sherd))) in said
    (value,) = [each for predicate, each in said if predicate == PROV + "value"]
    assert value.datatype.value == RDF + "JSON"
    assert json.loads(value.value) == json.loads(json.dumps(found))
    rules = {each.value for predicate, each in said if predicate == PROV + "wasInfluencedBy"}
    assert rules == {RULE + finding["rule"] for finding in found["findings"]}


def test_the_turtle_reads_back_as_the_record() -> None:
    from wareontology.sherd.turtle import from_turtle

    reading = from_turtle(to_turtle([(SHERD, answer(SHERD))]))
    assert not reading.faults
    assert reading.sherds == (SHERD,)


def test_jsonld_holds_the_same() -> None:
    found = answer(SHERD)
    graph = document([(SHERD, found)])["@graph"]
    assert isinstance(graph, list)
    assert [node["@id"] for node in graph] == [of_sherd(SHERD), address(SHERD, found)]
    assert json.loads(graph[1]["prov:value"]["@value"]) == json.loads(json.dumps(found))


def test_csv_has_a_line_a_sherd_and_a_line_a_value() -> None:
    found = answer(SHERD)
    (line,) = csv.DictReader(io.StringIO(to_csv([(SHERD, found)])))
    assert tuple(line) == HEADING
    assert [line["temperature_low"], line["temperature_high"]] == list(
        found["verdict"]["temperature"]["interval"]
    )
    assert "paint:line iron-family" in line["paints"]
    lines = list(csv.DictReader(io.StringIO(odds_csv([(SHERD, found)]))))
    assert tuple(lines[0]) == ODDS_HEADING
    for question in {each["question"] for each in lines}:
        both = [[float(each[p]) for each in lines if each["question"] == question] for p in ("p", "p_flat")]
        assert [sum(p) for p in both] == pytest.approx([1, 1], abs=2e-3)
