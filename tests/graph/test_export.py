"""The graph written out: whole or a region, the same bytes each time, and nothing lost."""

import pyoxigraph
import pytest

from wareontology.graph.closure import shipped
from wareontology.graph.export import FORMATS, rdf
from wareontology.graph.namespaces import TRADITION, WO
from wareontology.graph.store import graph_files
from wareontology.graph.traditions import traditions


def read(content: bytes, form: str) -> set[pyoxigraph.Triple]:
    quads = pyoxigraph.parse(input=content, format=FORMATS[form])
    return {pyoxigraph.Triple(quad.subject, quad.predicate, quad.object) for quad in quads}


def named(triples: set[pyoxigraph.Triple]) -> set[pyoxigraph.Triple]:
    """Without nodes that have no address: every file may name those as it likes."""
    return {one for one in triples if not any(isinstance(term, pyoxigraph.BlankNode) for term in one)}


@pytest.fixture(scope="module")
def whole() -> set[pyoxigraph.Triple]:
    return {
        pyoxigraph.Triple(quad.subject, quad.predicate, quad.object)
        for path in graph_files()
        for quad in pyoxigraph.parse(path=path, format=pyoxigraph.RdfFormat.TURTLE)
    }


@pytest.mark.parametrize("form", sorted(FORMATS))
def test_the_whole_graph_comes_back(form: str, whole: set[pyoxigraph.Triple]) -> None:
    found = read(rdf(form), form)
    assert len(found) == len(whole)
    assert named(found) == named(whole)


def test_two_dumps_are_the_same_bytes() -> None:
    assert rdf("turtle") == rdf("turtle")
    assert rdf("json-ld", "andes") == rdf("json-ld", "andes")


def test_closed_adds_what_is_drawn_and_nothing_else(whole: set[pyoxigraph.Triple]) -> None:
    found = named(read(rdf("turtle", closed=True), "turtle"))
    lines = "\n".join(shipped())
    drawn = {
        pyoxigraph.Triple(quad.subject, quad.predicate, quad.object)
        for quad in pyoxigraph.parse(input=lines, format=pyoxigraph.RdfFormat.N_TRIPLES)
    }
    assert drawn
    assert found == named(whole) | drawn


@pytest.mark.parametrize("region", ["cyprus", "east-mediterranean", "americas"])
def test_a_region_holds_its_traditions_with_their_statements_and_sources(
    region: str, whole: set[pyoxigraph.Triple]
) -> None:
    from wareontology.graph.vocabulary import region_path

    found = read(rdf("turtle", region), "turtle")
    assert named(found) <= named(whole)
    subjects = {one.subject.value for one in found if isinstance(one.subject, pyoxigraph.NamedNode)}
    here = {one.id for one in traditions().values() if region in region_path(one.region)}
    there = {name.removeprefix(TRADITION) for name in subjects if name.startswith(TRADITION)}
    assert {name for name in there if "/" not in name} == here
    for one in found:
        if one.predicate.value in (WO + "statement", "http://www.w3.org/ns/prov#wasDerivedFrom"):
            assert isinstance(one.object, pyoxigraph.NamedNode)
            assert one.object.value in subjects, one
