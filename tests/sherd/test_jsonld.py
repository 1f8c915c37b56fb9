import json

import pyoxigraph
import pytest
from hypothesis import given, settings
from rdflib import Graph, Literal
from rdflib.compare import to_isomorphic

from tests.sherd.strategies import sherds
from wareontology.errors import BreaksShape
from wareontology.graph.namespaces import RDF, SOSA, WO
from wareontology.sherd.cells import parse
from wareontology.sherd.columns import column
from wareontology.sherd.context import CONTEXT, context
from wareontology.sherd.jsonld import document, from_jsonld, to_jsonld
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.sherd.turtle import to_turtle

# rdflib's own reader of JSON-LD uses a class that rdflib calls deprecated
pytestmark = pytest.mark.filterwarnings("ignore:ConjunctiveGraph is deprecated")


def seen(**cells: str) -> dict[str, Seen]:
    found = {name: parse(column(name), text) for name, text in cells.items()}
    assert all(isinstance(cell, Seen) for cell in found.values())
    return {name: cell for name, cell in found.items() if isinstance(cell, Seen)}


SHOWN = Sherd(
    "K 14",
    "AB",
    seen(wall_mm="5.5", count="3", looked="rim base"),
    (Row("rim", "paint", "line", seen(colour="cream-buff?", pxrf_mn="<12", pxrf_pb="400")),),
)


def test_keys_are_columns_and_cells_are_text_or_numbers() -> None:
    assert to_jsonld(SHOWN) == {
        "@context": CONTEXT,
        "@id": "https://wareontology.example/sherd/K%2014/by/AB",
        "@type": "Sherd",
        "sherd": "K 14",
        "observer": "AB",
        "wall_mm": 5.5,
        "looked": "rim base",
        "count": 3,
        "rows": [
            {
                "@id": "https://wareontology.example/sherd/K%2014/by/AB/rim/paint/line",
                "@type": "Observation",
                "zone": "rim",
                "layer": "paint",
                "name": "line",
                "colour": "cream-buff?",
                "pxrf_mn": "<12",
                "pxrf_pb": 400,
            }
        ],
    }


@given(sherds())
def test_a_sherd_reads_back_as_it_was(sherd: Sherd) -> None:
    assert from_jsonld(json.loads(json.dumps(to_jsonld(sherd)))) == sherd


def written_out(content: dict[str, object]) -> str:
    """With the shipped context in the place of its address."""
    return json.dumps({**content, "@context": context()})


def triples(content: dict[str, object]) -> Graph:
    return Graph().parse(data=written_out(content), format="json-ld")


def normal(graph: Graph) -> set[tuple[str, str, object]]:
    """Numbers by value: rdflib writes a double in a form of its own."""
    return {
        (str(s), str(p), (o.datatype, o.toPython()) if isinstance(o, Literal) else str(o))
        for s, p, o in graph
    }


@given(sherds())
def test_a_second_rdf_library_reads_them_too(sherd: Sherd) -> None:
    """pyoxigraph keeps the letters of a number, so here the triples are the same to the letter."""
    content = written_out(to_jsonld(sherd))
    read = pyoxigraph.parse(content, format=pyoxigraph.RdfFormat.JSON_LD)
    ours = pyoxigraph.parse(to_turtle([sherd]), format=pyoxigraph.RdfFormat.TURTLE)
    assert {str(quad) for quad in read} == {str(quad) for quad in ours}


@settings(max_examples=30)
@given(sherds())
def test_an_rdf_library_reads_the_triples_of_our_turtle(sherd: Sherd) -> None:
    turtle = Graph().parse(data=to_turtle([sherd]), format="turtle")
    assert normal(triples(to_jsonld(sherd))) == normal(turtle)


def test_a_row_is_a_sosa_observation_of_the_sherd() -> None:
    found = normal(triples(to_jsonld(SHOWN)))
    sherd = "https://wareontology.example/sherd/K%2014/by/AB"
    assert (sherd, RDF + "type", WO + "Sherd") in found
    assert (f"{sherd}/rim/paint/line", RDF + "type", SOSA + "Observation") in found
    assert (f"{sherd}/rim/paint/line", SOSA + "hasFeatureOfInterest", sherd) in found


def test_a_document_of_sherds_is_the_sum_of_them() -> None:
    other = Sherd("K 15", None, {}, (Row("rim", "slip", None, seen(colour="red")),))
    both = triples(document([SHOWN, other]))
    assert to_isomorphic(both) == to_isomorphic(triples(to_jsonld(SHOWN)) + triples(to_jsonld(other)))


@pytest.mark.parametrize(
    ("content", "found"),
    [
        ({"sherd": "k", "rows": [{"zone": "rim", "layer": "slip", "colour": "redish"}]}, ["redish"]),
        ({"sherd": "k", "rows": []}, ["", ""]),
        ({"sherd": "k", "rows": [{"zone": "rim", "layer": "slip", "colur": "red"}]}, ["colur"]),
        (
            {
                "sherd": "k",
                "rows": [
                    {"observer": "A", "zone": "rim", "layer": "slip", "colour": "red"},
                    {"observer": "B", "zone": "rim", "layer": "slip", "colour": "red"},
                ],
            },
            ["2 sherds"],
        ),
    ],
)
def test_what_is_no_sherd_is_refused_with_its_faults(content: dict[str, object], found: list[str]) -> None:
    with pytest.raises(BreaksShape) as refused:
        from_jsonld(content)
    assert [fault.found for fault in refused.value.faults] == found
