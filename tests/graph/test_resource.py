"""One thing by its address: all of it, no more, and the same each time."""

import pyoxigraph
import pytest
from rdflib import Graph, URIRef
from rdflib.compare import isomorphic

from wareontology.graph import resource
from wareontology.graph.namespaces import BASE, RULE, SKOS, TRADITION
from wareontology.graph.store import described, graph
from wareontology.graph.traditions import traditions
from wareontology.paths import data, shapes

SOFT = BASE + "term/edge/soft"


def test_all_that_is_written_of_a_term_is_given() -> None:
    # second route: the reader of one file, which knows nothing of the index
    written = described(data("vocabulary.ttl"))[SOFT]
    found = {name: {one.address or one.text for one in values} for name, values in resource.said(SOFT)}
    for name, values in written.items():
        assert set(values) <= found[name]


@pytest.mark.parametrize("name", ["us-tusayan-white", "aeg-attic-gloss"])
def test_with_a_tradition_go_its_statements_and_its_layers(name: str) -> None:
    given = Graph().parse(data=resource.rdf(TRADITION + name, "turtle"), format="turtle")
    said = URIRef(BASE + "def/statement")
    statements = set(given.objects(URIRef(TRADITION + name), said))
    assert len(statements) == len(traditions()[name].statements)
    for statement in statements:
        assert (statement, URIRef(BASE + "def/basis"), None) in given
    others = {str(one) for one in given.subjects() if str(one).startswith(TRADITION)}
    assert all(one.removeprefix(TRADITION).split("/")[0] == name for one in others)


def test_turtle_and_json_ld_say_the_same() -> None:
    for address in (SOFT, RULE + "NotOxidisingFromWhiteSlipRule", BASE + "def/LayerObservation"):
        turtle, json_ld = (
            pyoxigraph.Dataset(pyoxigraph.parse(resource.rdf(address, form), kind))
            for form, kind in (
                ("turtle", pyoxigraph.RdfFormat.TURTLE), ("json-ld", pyoxigraph.RdfFormat.JSON_LD),
            )
        )  # fmt: skip
        for one in (turtle, json_ld):
            one.canonicalize(pyoxigraph.CanonicalizationAlgorithm.RDFC_1_0)
        assert len(turtle) > 2
        assert turtle == json_ld


def test_nodes_without_an_address_come_along() -> None:
    address = RULE + "NotOxidisingFromWhiteSlipRule"
    whole = graph([shapes("rules.ttl")])
    given = Graph().parse(data=resource.rdf(address, "turtle"), format="turtle")
    # second route: rdflib's own concise bounded description of the one file
    assert isomorphic(given, whole.cbd(URIRef(address)))


def test_the_same_bytes_each_time_whatever_was_asked_before() -> None:
    address = BASE + "shape/White"
    first = resource.rdf(address, "turtle")
    resource._index.cache_clear()
    resource.rdf(TRADITION + "ita-bucchero", "turtle")
    assert resource.rdf(address, "turtle") == first


def test_a_scheme_comes_with_its_values_and_those_it_shares() -> None:
    given = Graph().parse(data=resource.rdf(BASE + "term/refire_colour", "turtle"), format="turtle")
    inside = set(given.subjects(URIRef(SKOS + "inScheme"), URIRef(BASE + "term/refire_colour")))
    assert URIRef(BASE + "term/colour/red") in inside  # a colour word, shared
    assert URIRef(BASE + "term/refire_colour/gone") in inside  # its own


def test_what_is_not_known_is_no_thing() -> None:
    assert not resource.is_known(BASE + "term/edge/wobbly")
    with pytest.raises(KeyError):
        resource.rdf(BASE + "term/edge/wobbly", "turtle")
    assert resource.nearest(BASE + "tradition/us-tusayan-wite")[0] == TRADITION + "us-tusayan-white"
    assert resource.nearest(BASE + "rule/MouthDown")[0] == RULE + "MouthDownFromRedOutsideBlackInsideRule"
    assert resource.nearest(BASE + "nothing/at/all") == ()


def test_every_address_can_be_written() -> None:
    addresses = resource.known()
    assert len(addresses) > 3000
    for address in addresses[::37]:
        assert next(iter(pyoxigraph.parse(resource.rdf(address, "turtle"), pyoxigraph.RdfFormat.TURTLE)))


def test_lists_and_nodes_without_an_address_are_told_in_full() -> None:
    said = dict(resource.said(BASE + "def/ShortOfAir"))
    (members,) = said["http://www.w3.org/2002/07/owl#oneOf"]
    assert [one.text for one in members.parts[0][1]] == ["neutral", "reducing"]
