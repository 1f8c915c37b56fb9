"""shapes/vocabulary.ttl holds our own terms to what they must have, and catches each gap on its own."""

from collections.abc import Iterator
from functools import cache

import pytest
from pyshacl import validate
from rdflib import Graph, URIRef
from rdflib.namespace import SH

from wareontology import paths
from wareontology.graph.namespaces import SHAPE
from wareontology.graph.store import graph

SOUND = paths.data().parent / "tests" / "cases" / "vocabulary" / "sound.ttl"
PREFIXES = "\n".join(line for line in SOUND.read_text("utf-8").splitlines() if line.startswith("@prefix"))


@cache
def _shapes() -> Graph:
    return graph([paths.shapes("vocabulary.ttl")])


def _broken(found: Graph) -> set[str]:
    """Local names of the named shapes that are broken."""
    conforms, report, _ = validate(found, shacl_graph=_shapes())
    assert isinstance(report, Graph)
    names = {str(shape).removeprefix(SHAPE) for shape in report.objects(None, SH.sourceShape)}
    assert conforms == (not names)
    return names


def test_our_vocabulary_has_no_gap() -> None:
    assert _broken(graph()) == set()


def test_the_sound_case_has_no_gap() -> None:
    assert _broken(graph([SOUND])) == set()


def _turtle(text: str) -> Iterator[tuple[URIRef, URIRef, URIRef]]:
    yield from Graph().parse(data=f"{PREFIXES}\n{text}", format="turtle")  # type: ignore[misc]


# Shape that must be broken: what is taken from the sound case (subject and predicate), what is added.
MUTATIONS = [
    ("ConceptShape", "edge:soft dcterms:source", ""),
    ("ConceptShape-prefLabel", "edge:soft skos:prefLabel", ""),
    ("ConceptShape-prefLabel", "edge:soft skos:prefLabel", 'edge:soft skos:prefLabel "soft" .'),
    ("ConceptShape-prefLabel", "", 'edge:soft skos:prefLabel "blurred"@en .'),
    ("ConceptShape-altLabel", "", 'edge:soft skos:altLabel ""@en .'),
    ("ConceptShape-notation", "edge:soft skos:notation", ""),
    ("ConceptShape-notation", "", 'edge:soft skos:notation "softer" .'),
    ("ConceptShape-notation", "edge:soft skos:notation", 'edge:soft skos:notation "Soft edge" .'),
    ("ConceptShape-definition", "edge:soft skos:definition", ""),
    ("ConceptShape-example", "edge:soft skos:example", ""),
    ("ConceptShape-inScheme", "edge:soft skos:inScheme", ""),
    ("ConceptShape-inScheme", "", "edge:soft skos:inScheme term:wobble ."),
    ("ConceptShape-order", "edge:soft wo:order", ""),
    ("ConceptShape-order", "edge:soft wo:order", 'edge:soft wo:order "first" .'),
    ("ConceptShape-source", "edge:soft dcterms:source", "edge:soft dcterms:source source:nobody-2000 ."),
    ("ConceptShape-source", "edge:soft dcterms:source", "edge:soft dcterms:source source:poe-1980 ."),
    ("ConceptShape-basis", "", "edge:soft wo:basis edge:soft ."),
    ("ConceptSchemeShape-title", "term:edge dcterms:title", ""),
    ("ConceptSchemeShape-description", "term:edge dcterms:description", ""),
    ("ConceptSchemeShape-license", "term:edge dcterms:license", ""),
    ("ConceptSchemeShape-creator", "term:edge dcterms:creator", ""),
    ("ConceptSchemeShape-versionInfo", "term:edge owl:versionInfo", ""),
    ("ConceptSchemeShape-issued", "term:edge dcterms:issued", 'term:edge dcterms:issued "lately" .'),
    ("ConceptSchemeShape-member", "edge:soft skos:inScheme", ""),
    ("RegionConceptShape", "region:mesa a", "region:mesa a skos:Concept ."),
    ("RegionShape-whiteFiringClay", "region:mesa wo:whiteFiringClay", ""),
    ("RegionShape-whiteFiringClay", "", "region:mesa wo:whiteFiringClay geology:world ."),
    ("RegionShape-broader", "", "region:mesa skos:broader region:mesa ; wo:partOf region:mesa ."),
    ("RegionShape-partOf", "region:mesa wo:partOf", ""),
    ("RegionShape-world", "region:mesa skos:broader", ""),
    ("GeologyStatementShape", "geology:mesa prov:wasDerivedFrom", ""),
    ("GeologyStatementShape", "geology:mesa skos:note", ""),
    ("GeologyStatementShape", "geology:world skos:editorialNote", ""),
    ("GeologyStatementShape", "geology:world wo:value", "geology:world wo:value scarcity:scarce ."),
    ("GeologyStatementShape-value", "geology:mesa wo:value", "geology:mesa wo:value edge:soft ."),
    ("GeologyStatementShape-value", "geology:mesa wo:value", ""),
    ("GeologyStatementShape-wasDerivedFrom", "", "geology:mesa prov:wasDerivedFrom source:poe-1980 ."),
    ("GeologyStatementShape-contradictedBy", "", "geology:mesa wo:contradictedBy source:poe-1980 ."),
    ("SourceShape-bibliographicCitation", "source:doe-1999 dcterms:bibliographicCitation", ""),
    ("SourceShape-identifier", "source:doe-1999 dcterms:identifier", ""),
    ("SourceShape-seen", "source:roe-2001 wo:seen", ""),
    ("SourceShape-seen", "source:roe-2001 wo:seen", "source:roe-2001 wo:seen edge:soft ."),
    ("SourceShape-read", "source:doe-1999 wo:read", ""),
    ("SourceShape-doi", "source:doe-1999 bibo:doi", 'source:doe-1999 bibo:doi "https://doi.org/10.9999/x" .'),
    ("ClassShape", "wo:Source rdfs:label", ""),
    ("ClassShape", "wo:Source rdfs:comment", ""),
    ("ClassShape", "wo:Source wo:basis", ""),
    ("PropertyShape", "wo:seen rdfs:comment", ""),
    ("PropertyShape", "wo:partOf dcterms:source", "wo:partOf dcterms:source source:poe-1980 ."),
    ("UndefinedTermShape", "", "edge:soft wo:wobble edge:soft ."),
    ("UndefinedTermShape", "", "edge:soft skos:related edge:sooft ."),
    ("UndefinedTermShape", "", "edge:soft a wo:Wobble ."),
]


@pytest.mark.parametrize(("shape", "taken", "added"), MUTATIONS)
def test_each_gap_is_caught(shape: str, taken: str, added: str) -> None:
    found = graph([SOUND])
    if taken:
        ((subject, predicate, _),) = _turtle(f"{taken} <urn:any> .")
        assert (subject, predicate, None) in found
        found.remove((subject, predicate, None))
    for triple in _turtle(added):
        found.add(triple)
    assert shape in _broken(found)


def test_every_named_shape_is_proved_by_a_gap() -> None:
    named = {
        str(shape).removeprefix(SHAPE)
        for shape in _shapes().subjects()
        if str(shape).startswith(SHAPE) and (shape, SH.message, None) in _shapes()
    }
    assert named | {"UndefinedTermShape"} == {shape for shape, _, _ in MUTATIONS}
