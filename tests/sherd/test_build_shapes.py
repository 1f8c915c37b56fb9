"""shapes/records.ttl and shapes/sherd.jsonld: as built from the columns, and what they let through."""

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from pyshacl import validate
from rdflib import SH, Graph, URIRef
from rdflib.namespace import RDF
from rdflib.term import Node

from tests.sherd.strategies import sherds
from wareontology.graph.namespaces import SHAPE, SOSA
from wareontology.paths import shapes
from wareontology.sherd import build_shapes
from wareontology.sherd.columns import column, columns
from wareontology.sherd.context import COLUMN, context
from wareontology.sherd.record import Sherd
from wareontology.sherd.table import read
from wareontology.sherd.turtle import to_turtle

HEAD = f"""\
@prefix column: <{COLUMN}> .
@prefix sosa: <{SOSA}> .
@prefix wo: <https://wareontology.example/def/> .
@prefix xsd: <http://www.w3.org/2001/XMLSchema#> .
@prefix ex: <https://elsewhere.example/> .
"""
SHERD = 'ex:k a wo:Sherd ; column:sherd "k"'
ROW = 'ex:r a sosa:Observation ; sosa:hasFeatureOfInterest ex:k ; column:zone "rim" ; column:layer "slip"'
GOOD = f'{SHERD} .\n{ROW} ; column:colour "red" .'

Told = tuple[str, str, str, str]
"""Focus, path, component, source shape: their last parts, as the report names them."""


@pytest.fixture(scope="module")
def records() -> Graph:
    return Graph().parse(data=shapes("records.ttl").read_bytes(), format="turtle")


def local(node: Node | None) -> str:
    return str(node).replace("#", "/").rsplit("/", 1)[-1] if isinstance(node, URIRef) else ""


def report(text: str, records: Graph) -> tuple[set[Told], list[str]]:
    """What pySHACL tells of a text, and its messages."""
    data = Graph().parse(data=text, format="turtle")
    conforms, found, _ = validate(data, shacl_graph=records)
    assert isinstance(found, Graph)
    results = list(found.subjects(RDF.type, SH.ValidationResult))
    assert conforms == (not results)
    told = {
        (
            local(found.value(one, SH.focusNode)),
            local(found.value(one, SH.resultPath)),
            local(found.value(one, SH.sourceConstraintComponent)).removesuffix("ConstraintComponent"),
            local(found.value(one, SH.sourceShape)),
        )
        for one in results
    }
    return told, [str(found.value(one, SH.resultMessage)) for one in results]


def test_the_shapes_are_those_of_the_columns() -> None:
    assert shapes("records.ttl").read_text(encoding="utf-8") == build_shapes.records()


def test_the_context_is_that_of_the_columns() -> None:
    assert shapes("sherd.jsonld").read_text(encoding="utf-8") == build_shapes.context()
    assert isinstance(json.loads(build_shapes.context())["@context"], dict)
    assert context() == json.loads(build_shapes.context())["@context"]


def test_main_writes_both(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(build_shapes, "shapes", lambda name: tmp_path / name)
    build_shapes.main()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["records.ttl", "sherd.jsonld"]


def test_the_shapes_are_shapes(records: Graph) -> None:
    """pySHACL's own check of a shapes graph against the shapes of SHACL."""
    conforms, _, text = validate(Graph(), shacl_graph=records, meta_shacl=True)
    assert conforms, text


def test_every_column_has_a_named_shape_with_a_message_and_its_meaning(records: Graph) -> None:
    for each in columns():
        owner = "Sherd" if each.of == "sherd" or each.name == "observer" else "Row"
        shape = URIRef(f"{SHAPE}{owner}-{each.name}")
        assert "Would do: " in str(records.value(shape, SH.message))
        assert str(records.value(shape, SH.description)) == each.meaning


def test_every_property_shape_has_a_name(records: Graph) -> None:
    tops = [shape for kind in (SH.PropertyShape, SH.NodeShape) for shape in records.subjects(RDF.type, kind)]
    assert len(tops) > len(columns())
    assert all(isinstance(shape, URIRef) and records.value(shape, SH.message) for shape in tops)


@pytest.mark.parametrize("name", ["comma.csv", "sherds.ttl"])
def test_good_tables_conform(name: str, cases: Path, records: Graph) -> None:
    assert report(to_turtle(read(cases / "good" / name).sherds), records) == (set(), [])


@settings(max_examples=15)
@given(sherds())
def test_any_sherd_conforms(sherd: Sherd) -> None:
    graph = Graph().parse(data=shapes("records.ttl").read_bytes(), format="turtle")
    assert report(to_turtle([sherd]), graph) == (set(), [])


@pytest.mark.parametrize(
    "text", ["", " ; column:colour 'cream?'", " ; column:slip_mm 1", " ; column:slip_mm 0.5"]
)
def test_good_rows(text: str, records: Graph) -> None:
    assert report(f"{HEAD}{SHERD} .\n{ROW} ; column:edge 'sharp'{text} .", records) == (set(), [])


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (f"{ROW} ; column:colour 'red' .\nex:k a wo:Sherd .", ("k", "sherd", "MinCount", "Sherd-sherd")),
        (f"{GOOD}\nex:k column:sherd 'm' .", ("k", "sherd", "MaxCount", "Sherd-sherd")),
        (f"{GOOD}\nex:k column:region 'a', 'b' .", ("k", "region", "MaxCount", "Sherd-region")),
        (f"{GOOD}\nex:k column:form 'ajar' .", ("k", "form", "Pattern", "Sherd-form")),
        (f"{GOOD}\nex:k column:looked 'rim?' .", ("k", "looked", "Pattern", "Sherd-looked")),
        (f"{GOOD}\nex:k column:site ex:here .", ("k", "site", "Datatype", "Sherd-site")),
        (f"{GOOD}\nex:k column:note ' ' .", ("k", "note", "Pattern", "Sherd-note")),
        (f"{GOOD}\nex:k column:wall_mm 500 .", ("k", "wall_mm", "Or", "Sherd-wall_mm")),
        (f"{GOOD}\nex:k column:wall_mm 'thick' .", ("k", "wall_mm", "Or", "Sherd-wall_mm")),
        (f"{GOOD}\nex:k column:wall_mm '<5' .", ("k", "wall_mm", "Or", "Sherd-wall_mm")),
        (f"{GOOD}\nex:k column:colour 'red' .", ("k", "colour", "Closed", "Sherd")),
        (f"{GOOD}\nex:k ex:price 7 .", ("k", "price", "Closed", "Sherd")),
        (f"{SHERD} ; column:form 'open' .", ("k", "", "MinCount", "Sherd-has-row")),
        (f"{SHERD} .\n{ROW} ; column:on 'body' .", ("k", "", "MinCount", "Sherd-observed")),
        (f"{GOOD}\nex:r column:zone 'base' .", ("r", "zone", "MaxCount", "Row-zone")),
        (f"{GOOD.replace('rim', 'inside')}", ("r", "zone", "Pattern", "Row-zone")),
        (f"{GOOD.replace('rim', 'rim?')}", ("r", "zone", "Pattern", "Row-zone")),
        (f"{GOOD.replace('slip', 'glaze')}", ("r", "layer", "Pattern", "Row-layer")),
        (f"{GOOD.replace('column:layer', 'column:name')}", ("r", "layer", "MinCount", "Row-layer")),
        (f"{GOOD.replace('red', 'redish')}", ("r", "colour", "Pattern", "Row-colour")),
        (f"{GOOD}\nex:r column:munsell '10YR 82' .", ("r", "munsell", "Pattern", "Row-munsell")),
        (f"{GOOD}\nex:r column:pxrf_mn 0 .", ("r", "pxrf_mn", "Or", "Row-pxrf_mn")),
        (f"{GOOD}\nex:r column:colur 'red' .", ("r", "colur", "Closed", "Row")),
        (f"{GOOD}\nex:r column:core 'full' .", ("r", "", "Or", "Row-core-place")),
        (
            f"{GOOD}\nex:r sosa:hasFeatureOfInterest ex:m .",
            ("r", "hasFeatureOfInterest", "Class", "Row-of-sherd"),
        ),
        (
            f"{GOOD}\nex:s a sosa:Observation ; column:zone 'rim' ; column:layer 'body' .",
            ("s", "hasFeatureOfInterest", "MinCount", "Row-of-sherd"),
        ),
    ],
)
def test_bad_ones_are_told_by_the_shape_they_break(text: str, told: Told, records: Graph) -> None:
    found, messages = report(HEAD + text, records)
    assert told in found
    beside = {("r", "hasFeatureOfInterest", "MaxCount", "Row-of-sherd")}  # a second sherd is one too many
    assert found - beside == {told}
    assert all("Would do: " in message for message in messages)


@pytest.mark.parametrize(
    ("name", "text", "good"),
    [
        ("colour", "cream-buff?", True), ("relief", "soaked-in/flat", True), ("colour", "cream-", False),
        ("marks", "stacking fuel-contact", True), ("marks", "stacking,fuel-contact", False),
        ("munsell", "10YR 8/2-8/3?", True), ("munsell", "N 4/-N 5/", True), ("munsell", "2.5YR 4.5/6", True),
        ("pxrf_mn", "<12", True), ("pxrf_mn", "<1.5e-05?", True), ("pxrf_mn", ">12", False),
        ("date_from", "-1400?", True), ("region", "world", True), ("region", "Colorado Plateau", False),
    ],
)  # fmt: skip
def test_one_form_of_a_cell_is_taken(name: str, text: str, good: bool, records: Graph) -> None:
    node = "ex:k" if column(name).of == "sherd" else "ex:r"
    row = f"{SHERD} .\n{ROW} ; column:edge 'sharp' ."
    found, _ = report(f"{HEAD}{row}\n{node} column:{name} '{text}' .", records)
    assert bool(found) != good
