"""shapes/traditions.ttl holds each statement to what it must have, and catches each gap on its own."""

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from rdflib import Graph, URIRef
from rdflib.namespace import SH

from wareontology import paths
from wareontology.graph.namespaces import SHAPE
from wareontology.graph.store import graph
from wareontology.graph.traditions_check import broken_shapes, faults

SOUND = paths.data().parent / "tests" / "cases" / "traditions" / "sound.ttl"
BESIDE = ("vocabulary.ttl", "tradition_terms.ttl", "regions.ttl", "alignment.ttl")
PREFIXES = "\n".join(line for line in SOUND.read_text("utf-8").splitlines() if line.startswith("@"))
WARE, SAID = "<tradition/invented-ware>", "<statement/invented-ware/colour>"
PAINT, BLACK = "<statement/invented-ware/paint>", "<tradition/invented-ware/paint/black>"
LATITUDE, POINT = "<statement/invented-ware/latitude>", "<tradition/invented-ware/point>"
ENDING = "<statement/invented-ware/ending>"

# Shape that must be broken: what is taken from the sound case (subject and predicate), what is added.
MUTATIONS = [
    ("TraditionShape-notation", f"{WARE} skos:notation", ""),
    ("TraditionShape-notation", f"{WARE} skos:notation", f'{WARE} skos:notation "Invented Ware" .'),
    ("TraditionShape-prefLabel", f"{WARE} skos:prefLabel", ""),
    ("TraditionShape-foundIn", f"{WARE} wo:foundIn", ""),
    ("TraditionShape-foundIn", f"{WARE} wo:foundIn", f"{WARE} wo:foundIn region:atlantis ."),
    ("TraditionShape-foundIn", "", f"{WARE} wo:foundIn region:italy ."),
    ("TraditionShape-statement", f"{WARE} wo:statement", ""),
    ("TraditionShape-statement", "", f"{WARE} wo:statement <statement/invented-ware/nothing> ."),
    ("TraditionShape-stated", "", f"{WARE} wo:twinStatement {ENDING} ."),
    ("TraditionShape-hasGeometry", "", f"{WARE} geo:hasGeometry <tradition/invented-ware/other> ."),
    ("PointShape-asWKT", f"{POINT} geo:asWKT", ""),
    ("PointShape-asWKT", f"{POINT} geo:asWKT", f'{POINT} geo:asWKT "POINT(-4.21 40.12)"^^geo:wktLiteral .'),
    ("StatementShape", f"{PAINT} wo:value", ""),
    ("StatementShape-owner", f"{WARE} wo:statement", ""),
    ("StatementShape-field", f"{SAID} wo:field", ""),
    ("StatementShape-field", f"{SAID} wo:field", f"{SAID} wo:field field:wobble ."),
    ("StatementShape-field", f"{SAID} wo:field", f"{SAID} wo:field field:seen ."),
    ("StatementShape-basis", f"{SAID} wo:basis", ""),
    ("StatementShape-basis", f"{SAID} wo:basis", f"{SAID} wo:basis basis:judgement ."),
    ("StatementShape-wasDerivedFrom", "", f"{SAID} prov:wasDerivedFrom source:nobody-2000 ."),
    ("StatementShape-wasDerivedFrom", "source:doe-1999 wo:seen", "source:doe-1999 wo:seen seen:not-seen ."),
    ("StatementShape-zone", f"{SAID} wo:zone", f"{SAID} wo:zone zone:attic ."),
    ("StatementShape-layer", f"{SAID} wo:layer", f"{SAID} wo:layer layer:glaze ."),
    ("SourcedShape", f"{SAID} prov:wasDerivedFrom", ""),
    ("SourcedShape", f"{ENDING} prov:wasDerivedFrom", ""),
    ("SourcedShape", "", f"{LATITUDE} prov:wasDerivedFrom source:doe-1999 ."),
    ("InferredShape", f"{ENDING} wo:inferredFrom", ""),
    ("UnitShape-layer", f"{PAINT} wo:layer", ""),
    ("ValueShape", f"{PAINT} wo:value", f"{PAINT} wo:value <term/colour/black> ."),
    ("ValueShape", f"{PAINT} wo:value", f"{PAINT} wo:value <term/paint-material/ironn> ."),
    ("SeenShape", f"{SAID} wo:value", f'{SAID} wo:text "chalky white" .'),
    ("WholeDegreeShape", f"{LATITUDE} wo:text", f"{LATITUDE} wo:text 40.1 ."),
    ("WholeDegreeShape", f"{LATITUDE} wo:text", f"{LATITUDE} wo:text 140 ."),
    ("PlaceShape", f"{LATITUDE} wo:text", f"{LATITUDE} wo:text 41 ."),
    ("TraditionClassShape-type", "wo:Tradition rdfs:subClassOf", ""),
    ("StatementClassShape-assignment", "wo:TraditionStatement rdfs:subClassOf", ""),
    ("StatementClassShape-entity", "wo:TraditionStatement rdfs:subClassOf", ""),
]  # fmt: skip


@cache
def _vocabulary() -> Graph:
    return graph([paths.data(name) for name in BESIDE])


def _turtle(text: str) -> Iterator[tuple[URIRef, URIRef, URIRef]]:
    head = f"{PREFIXES}\n@prefix rdfs: <http://www.w3.org/2000/01/rdf-schema#> ."
    yield from Graph().parse(data=f"{head}\n{text}", format="turtle")  # type: ignore[misc]


def _case() -> Graph:
    return _vocabulary() + graph([SOUND])


def test_the_sound_case_has_no_gap() -> None:
    assert broken_shapes(_case()) == set()


@pytest.mark.parametrize(("shape", "taken", "added"), MUTATIONS)
def test_each_gap_is_caught(shape: str, taken: str, added: str) -> None:
    found = _case()
    if taken:
        ((subject, predicate, _),) = _turtle(f"{taken} <urn:any> .")
        assert (subject, predicate, None) in found
        found.remove((subject, predicate, None))
    for triple in _turtle(added):
        found.add(triple)
    assert shape in broken_shapes(found)


def test_every_named_shape_is_proved_by_a_gap() -> None:
    shapes = graph([paths.shapes("traditions.ttl")])
    asked = {*shapes.subjects(SH.message), *shapes.subjects(SH.sparql)}
    named = {str(shape).removeprefix(SHAPE) for shape in asked if str(shape).startswith(SHAPE)}
    assert named == {shape for shape, _, _ in MUTATIONS}


def test_a_fault_names_the_file_and_the_node(tmp_path: Path) -> None:
    path = tmp_path / "invented.ttl"
    text = SOUND.read_text("utf-8")
    path.write_text(text.replace("wo:text 40 ;", "wo:text 40.25 ;"), "utf-8")
    found = {(fault.file, fault.column) for fault in faults([path])}
    assert found == {
        ("invented.ttl", "statement/invented-ware/latitude"),
        ("invented.ttl", "tradition/invented-ware"),  # its point no longer says the same
    }
