"""Techniques follow from material and firing by OWL RL, for sherds and for traditions; all cases invented."""

from functools import cache

import pytest
from rdflib import Graph, URIRef
from rdflib.namespace import RDF

from wareontology import paths
from wareontology.errors import BreaksShape
from wareontology.graph.closure import close
from wareontology.graph.namespaces import WO, term
from wareontology.graph.store import graph

EX = "https://wareontology.example/case/"
HEAD = f"@prefix : <{EX}> . @prefix wo: <{WO}> . @prefix sosa: <http://www.w3.org/ns/sosa/> .\n"

# name, kind of unit, its material (scheme/value), atmosphere, ending, class it must be of (None: of none)
CASES = [
    ("iron-kept", "Paint", "paint-material/iron", "reducing", "sealed", "IronBlackReduced"),
    ("iron-organic-kept", "Paint", "paint-material/iron-organic", "reducing", "smudged", "IronBlackReduced"),
    ("iron-air-finish", "Paint", "paint-material/iron", "reducing", "air-finish", None),
    ("iron-mouth-down", "Paint", "paint-material/iron", "reducing", "mouth-down", None),
    ("iron-neutral", "Paint", "paint-material/iron", "neutral", "sealed", None),
    ("iron-in-air", "Paint", "paint-material/iron", "oxidising", "in-air", "IronRedOxidised"),
    ("iron-smudged", "Paint", "paint-material/iron", "oxidising", "smudged", None),
    (
        "umber-in-air",
        "Paint",
        "paint-material/iron-manganese",
        "oxidising",
        "in-air",
        "ManganeseBlackOxidised",
    ),
    (
        "manganese-in-air",
        "Paint",
        "paint-material/manganese",
        "oxidising",
        "in-air",
        "ManganeseBlackOxidised",
    ),
    ("manganese-reduced", "Paint", "paint-material/manganese", "reducing", "sealed", None),
    ("organic-neutral", "Paint", "paint-material/organic", "neutral", "sealed", "OrganicBlackKept"),
    ("organic-reduced", "Paint", "paint-material/organic", "reducing", "sealed", "OrganicBlackKept"),
    ("organic-in-air", "Paint", "paint-material/organic", "oxidising", "in-air", None),
    ("gloss-three-stage", "Paint", "paint-material/gloss", "reducing", "air-finish", "GlossBlackThreeStage"),
    ("gloss-in-air", "Paint", "paint-material/gloss", "oxidising", "in-air", None),
    ("white-in-air", "Slip", "clay/white-firing", "oxidising", "in-air", "WhiteSlipWhiteInAir"),
    ("white-reduced", "Slip", "clay/white-firing", "reducing", "sealed", None),
    ("light-neutral", "Slip", "clay/light-firing", "neutral", "sealed", "LightSlipKeptWhite"),
    ("light-in-air", "Slip", "clay/light-firing", "oxidising", "in-air", None),
    ("body-smudged", "Body", "clay/red-firing", "oxidising", "smudged", "SmudgedBody"),
    ("body-in-air", "Body", "clay/red-firing", "oxidising", "in-air", None),
]
TECHNIQUES = {
    "IronBlackReduced": "iron-black-reduced",
    "IronRedOxidised": "iron-red-oxidised",
    "ManganeseBlackOxidised": "manganese-black-oxidised",
    "OrganicBlackKept": "organic-black-kept",
    "GlossBlackThreeStage": "gloss-black-three-stage",
    "WhiteSlipWhiteInAir": "white-slip-white-in-air",
    "LightSlipKeptWhite": "light-slip-kept-white",
    "SmudgedBody": "smudged-black",
}


def _example() -> str:
    text = HEAD
    for name, kind, material, atmosphere, ending, _ in CASES:
        text += (
            f":{name} a wo:Tradition ; wo:has{kind} :{name}-unit ; "
            f"wo:foundIn <{term('region', 'colorado-plateau')}> ; wo:firing :{name}-fire .\n"
            f":{name}-fire wo:atmosphere <{term('atmosphere', atmosphere)}> ; "
            f"wo:ending <{term('ending', ending)}> .\n"
            f":{name}-unit wo:material <{term(material)}> .\n"
        )
    return text + (
        ":sherd a wo:Sherd ; wo:hasBody :body ; wo:hasSlip :slip ; wo:hasPaint :lines . "
        ":lines wo:liesOn :slip . :slip wo:liesOn :body .\n"
        ":row a sosa:Observation ; sosa:hasFeatureOfInterest :sherd . "
        ":other a sosa:Observation ; sosa:hasFeatureOfInterest :weather .\n"
    )


@cache
def _ontology() -> Graph:
    return graph([paths.data("vocabulary.ttl"), paths.data("regions.ttl"), paths.data("alignment.ttl")])


@cache
def _closed() -> Graph:
    return close(_ontology() + Graph().parse(data=_example(), format="turtle"))


def _ex(name: str) -> URIRef:
    return URIRef(EX + name)


def _wo(name: str) -> URIRef:
    return URIRef(WO + name)


@pytest.mark.parametrize(("name", "kind", "material", "atmosphere", "ending", "expected"), CASES)
def test_a_unit_is_of_the_class_its_material_and_its_fire_make_it(
    name: str, kind: str, material: str, atmosphere: str, ending: str, expected: str | None
) -> None:
    types = {str(kind).removeprefix(WO) for kind in _closed().objects(_ex(f"{name}-unit"), RDF.type)}
    assert kind in types
    assert types & set(TECHNIQUES) == ({expected} if expected else set())


@pytest.mark.parametrize(("name", "kind", "material", "atmosphere", "ending", "expected"), CASES)
def test_the_technique_of_a_unit_is_shown_by_its_pottery(
    name: str, kind: str, material: str, atmosphere: str, ending: str, expected: str | None
) -> None:
    shown = {URIRef(term("technique", TECHNIQUES[expected]))} if expected else set()
    assert set(_closed().objects(_ex(f"{name}-unit"), _wo("technique"))) == shown
    assert set(_closed().objects(_ex(name), _wo("showsTechnique"))) == shown


def test_every_technique_of_the_scheme_is_defined_and_proved() -> None:
    from wareontology.graph.vocabulary import scheme

    # the others are those of traditions, proved in test_groups.py
    assert set(scheme("technique").notations()) >= set(TECHNIQUES.values())
    assert set(TECHNIQUES) == {expected for *_, expected in CASES if expected}


def test_what_lies_beneath_is_followed_to_the_body() -> None:
    over = set(_closed().objects(_ex("lines"), _wo("liesOver")))
    assert over == {_ex("slip"), _ex("body")}
    assert set(_closed().objects(_ex("lines"), _wo("liesOn"))) == {_ex("slip")}


def test_inverses_are_drawn() -> None:
    assert (_ex("body"), _wo("unitOf"), _ex("sherd")) in _closed()
    (fire,) = _closed().objects(_ex("iron-kept"), _wo("firing"))
    assert (fire, _wo("firingOf"), _ex("iron-kept")) in _closed()
    assert (_ex("iron-kept-unit"), _wo("firedIn"), fire) in _closed()


def test_a_place_lies_within_every_wider_region() -> None:
    from wareontology.graph.vocabulary import region_path

    within = {str(region) for region in _closed().objects(_ex("iron-kept"), _wo("within"))}
    assert within == {term("region", name) for name in region_path("colorado-plateau")}


def test_a_row_is_an_observation_of_a_sherd_and_of_nothing_else() -> None:
    assert (_ex("row"), RDF.type, _wo("LayerObservation")) in _closed()
    assert (_ex("other"), RDF.type, _wo("LayerObservation")) not in _closed()


def test_a_unit_cannot_be_slip_and_paint() -> None:
    with pytest.raises(BreaksShape):
        close(_ontology() + Graph().parse(data=f"{HEAD} :both a wo:Slip , wo:Paint .", format="turtle"))


def test_a_tradition_is_a_type_and_never_a_thing() -> None:
    crm = "http://www.cidoc-crm.org/cidoc-crm/"
    types = {str(kind) for kind in _closed().objects(_ex("iron-kept"), RDF.type)}
    assert crm + "E55_Type" in types
    assert crm + "E22_Human-Made_Object" not in types
