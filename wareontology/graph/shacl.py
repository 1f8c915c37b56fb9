"""The rules by a standard SHACL engine: pySHACL on the same facts and the same shapes/rules.ttl.

The only place that runs pySHACL for the rules. It reads no shapes but ours: a stranger's rule could fetch
from the network.
"""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

from wareontology.graph.namespaces import RULE, SKOS, WO
from wareontology.graph.vocabulary import scheme
from wareontology.paths import shapes

if TYPE_CHECKING:
    from rdflib import Graph

KINDS = (WO + "impliedBy", WO + "excludedBy", WO + "cautionedBy")


def fired(triples: Iterable[tuple[str, str, str]], rules: Path | None = None) -> set[tuple[str, str]]:
    """(rule, node) for every rule that fired, as addresses.

    triples: plain facts, web addresses all. The tree of regions and what each rule answers are added here.
    rules: a rules file of ours; shapes/rules.ttl where none is given.
    """
    from pyshacl import shacl_rules
    from rdflib import Graph, URIRef

    shapes_graph = Graph().parse(data=(rules or shapes("rules.ttl")).read_bytes(), format="turtle")
    facts = Graph()
    for triple in (*triples, *_background(shapes_graph)):
        facts.add((URIRef(triple[0]), URIRef(triple[1]), URIRef(triple[2])))
    shacl_rules(facts, shacl_graph=shapes_graph, inplace=True)
    return {(str(rule), str(node)) for kind in KINDS for node, rule in facts.subject_objects(URIRef(kind))}


def _background(shapes_graph: "Graph") -> list[tuple[str, str, str]]:
    from rdflib import URIRef

    regions = scheme("region")
    tree = [
        (concept.address, SKOS + "broader", regions[concept.broader].address)
        for concept in regions.concepts
        if concept.broader is not None
    ]
    answers = [
        (str(rule), WO + "value", str(value))
        for rule, value in shapes_graph.subject_objects(URIRef(WO + "value"))
        if str(rule).startswith(RULE)
    ]
    return tree + answers
