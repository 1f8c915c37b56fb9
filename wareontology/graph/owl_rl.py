"""OWL RL by owlrl, without the work whose result is thrown away.

What is left out cannot change what is kept: triples that say a thing is itself, which owlrl writes for every
node; literals, of which it would make subjects; triples of a property that no axiom names, where nothing
says that two things are one; and asking of each triple in each round which of its rules starts there, since
every rule starts at a triple of RDF, RDFS or OWL. "Some value of a class" is followed from the members of
the class, which are few, and not from all that has a value. A test holds the result equal to that of plain
owlrl.
"""

from typing import TYPE_CHECKING, Final

from wareontology.graph.namespaces import OWL, RDF, RDFS

if TYPE_CHECKING:
    from rdflib import Graph
    from rdflib.term import Node

    Triple = tuple[Node, Node, Node]

REFLEXIVE: Final = frozenset(
    (OWL + "sameAs", OWL + "equivalentClass", OWL + "equivalentProperty",
     RDFS + "subClassOf", RDFS + "subPropertyOf")
)  # fmt: skip
_OF_PROPERTIES: Final = (
    RDFS + "subPropertyOf", RDFS + "domain", RDFS + "range",
    OWL + "inverseOf", OWL + "equivalentProperty", OWL + "propertyDisjointWith", OWL + "onProperty",
    OWL + "propertyChainAxiom",
)  # fmt: skip
_KINDS: Final = (
    OWL + "TransitiveProperty", OWL + "SymmetricProperty", OWL + "AsymmetricProperty",
    OWL + "IrreflexiveProperty",
)  # fmt: skip
_MAKE_EQUAL: Final = frozenset((
    OWL + "sameAs", OWL + "differentFrom", OWL + "AllDifferent", OWL + "hasKey",
    OWL + "FunctionalProperty", OWL + "InverseFunctionalProperty", OWL + "maxCardinality",
    OWL + "maxQualifiedCardinality", OWL + "AllDisjointProperties", OWL + "NegativePropertyAssertion",
))  # fmt: skip
"""Where one of these is used, any triple may bear on what follows."""
_BUILT_IN: Final = (RDF, RDFS, OWL)


def expand(given: "Graph") -> "Graph":
    """A new graph of what bears on reasoning in the given one and all that OWL RL draws from it."""
    from owlrl import DeductiveClosure, OWLRL_Semantics
    from rdflib import Graph, URIRef

    a = URIRef(RDF + "type")
    same_as, all_different = URIRef(OWL + "sameAs"), URIRef(OWL + "AllDifferent")
    some_values, on_property = URIRef(OWL + "someValuesFrom"), URIRef(OWL + "onProperty")
    thing = URIRef(OWL + "Thing")

    class Semantics(OWLRL_Semantics):  # type: ignore[misc]
        def rules(self, triple: "Triple", cycle_num: int) -> None:
            if triple[1] == a:
                starts = str(triple[2]).startswith(_BUILT_IN)
            else:
                starts = str(triple[1]).startswith(_BUILT_IN)
            if starts:
                super().rules(triple, cycle_num)

        def store_triple(self, triple: "Triple") -> None:
            if triple[0] != triple[2] or str(triple[1]) not in REFLEXIVE:
                super().store_triple(triple)

        def _equality(self, triple: "Triple", cycle_num: int) -> None:
            if triple[1] == same_as or triple[2] == all_different:
                super()._equality(triple, cycle_num)

        def _classes(self, triple: "Triple", cycle_num: int) -> None:
            some, predicate, kind = triple
            if predicate != some_values or kind == thing:
                super()._classes(triple, cycle_num)
                return
            for through in self.graph.objects(some, on_property):
                for value in self.graph.subjects(a, kind):
                    for node in self.graph.subjects(through, value):
                        self.store_triple((node, a, some))

    closed = Graph()
    for triple in bearing(given):
        closed.add(triple)
    DeductiveClosure(Semantics).expand(closed)
    return closed


def bearing(given: "Graph") -> "list[Triple]":
    """Triples that some axiom could draw something from."""
    from rdflib import Literal, URIRef

    plain = [triple for triple in given if not isinstance(triple[2], Literal)]
    if any(node in _MAKE_EQUAL for triple in plain for node in map(str, triple)):
        return plain
    named = {
        str(end)
        for predicate in map(URIRef, _OF_PROPERTIES)
        for pair in given.subject_objects(predicate)
        for end in pair
    }
    for chain in given.objects(None, URIRef(OWL + "propertyChainAxiom")):
        named.update(map(str, given.items(chain)))
    for kind in map(URIRef, _KINDS):
        named.update(map(str, given.subjects(URIRef(RDF + "type"), kind)))
    return [triple for triple in plain if str(triple[1]) in named or str(triple[1]).startswith(_BUILT_IN)]
