"""What is left out of owlrl's work changes nothing of what is kept."""

import pytest
from rdflib import BNode, Graph, Literal

from wareontology import paths
from wareontology.graph import closure
from wareontology.graph.owl_rl import bearing
from wareontology.graph.store import graph

SOUND = paths.data().parent / "tests" / "cases" / "traditions" / "sound.ttl"
HEAD = (
    "@prefix owl: <http://www.w3.org/2002/07/owl#> . @prefix rdfs: <http://www.w3.org/2000/01/rdf-schema#> . "
    "@prefix : <https://wareontology.example/case/> . "
)
CASES = [
    ":p rdfs:subPropertyOf :q . :q owl:inverseOf :r . :a :p :b .",
    ":p a owl:TransitiveProperty . :a :p :b . :b :p :c .",
    ":p a owl:SymmetricProperty . :a :p :b .",
    ":p a owl:FunctionalProperty . :a :p :b , :c . :b :q :d .",
    ":p a owl:InverseFunctionalProperty . :a :p :c . :b :p :c . :b :q :d .",
    ":a owl:sameAs :b . :b :p :c .",
    ":p owl:propertyChainAxiom ( :q :r :s ) . :a :q :b . :b :r :c . :c :s :d .",
    ":A owl:equivalentClass [ owl:intersectionOf ( :B [ owl:onProperty :p ; owl:someValuesFrom :C ] ) ] . "
    ":a a :B ; :p :c . :c a :C .",
    ":A owl:equivalentClass [ owl:onProperty :p ; owl:someValuesFrom owl:Thing ] . :a :p :b .",
    ":A owl:equivalentClass [ owl:onProperty :p ; owl:hasValue :v ] . :a :p :v . :b a :A .",
    ":A rdfs:subClassOf [ owl:onProperty :p ; owl:allValuesFrom :B ] . :a a :A ; :p :b .",
    ":A owl:unionOf ( :B :C ) . :b a :B . :E owl:oneOf ( :x :y ) .",
    ":p rdfs:domain :A ; rdfs:range :B . :a :p :b . :b :other :c .",
]


def _plainly(given: Graph) -> set[str]:
    """What is added by owlrl as it stands, literals alone set aside."""
    from owlrl import DeductiveClosure, OWLRL_Semantics

    closed = Graph()
    for triple in given:
        if not isinstance(triple[2], Literal):
            closed.add(triple)
    DeductiveClosure(OWLRL_Semantics).expand(closed)
    new = Graph()
    for triple in closed:
        named = not any(isinstance(term, (BNode, Literal)) for term in triple)
        if named and triple not in given and not closure._says_nothing(triple):
            new.add(triple)
    return set(closure.lines(new))


@pytest.mark.parametrize("text", CASES)
def test_a_small_graph_is_closed_as_by_plain_owlrl(text: str) -> None:
    given = Graph().parse(data=HEAD + text, format="turtle")
    assert set(closure.lines(closure.added(given))) == _plainly(given)
    assert _plainly(given)


def test_a_tradition_is_closed_as_by_plain_owlrl() -> None:
    given = graph([paths.data("vocabulary.ttl"), paths.data("tradition_terms.ttl"), SOUND])
    assert set(closure.lines(closure.added(given))) == _plainly(given)


def test_what_no_axiom_names_is_set_aside_unless_two_things_may_be_one() -> None:
    plain = Graph().parse(data=HEAD + ":p rdfs:domain :A . :a :p :b ; :q :c .", format="turtle")
    assert len(bearing(plain)) == 2
    equal = Graph().parse(data=HEAD + ":a owl:sameAs :b . :a :q :c .", format="turtle")
    assert len(bearing(equal)) == 2
