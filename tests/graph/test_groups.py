"""Technology groups follow from what is stated of a tradition, and from nothing else; all cases invented."""

import re
from functools import cache

import pytest
from rdflib import Graph, URIRef
from rdflib.namespace import RDF, RDFS

from wareontology import paths
from wareontology.graph.closure import close
from wareontology.graph.namespaces import BASE, WO, term
from wareontology.graph.store import described, graph
from wareontology.graph.traditions import groups, traditions

HEAD = (
    f"@base <{BASE}> . @prefix wo: <{WO}> . "
    f"@prefix field: <{BASE}term/field/> . @prefix basis: <{BASE}term/basis/> .\n"
)

IRON, IRON_ORGANIC, UMBER, MANGANESE, ORGANIC, GLOSS = (
    f"paint/b paint paint-material/{material}; "
    for material in ("iron", "iron-organic", "iron-manganese", "manganese", "organic", "gloss")
)
BLACK, RED_IRON = "paint/b colour colour/black; ", "paint/r paint paint-material/iron; "
RED, WHITE = "paint/r colour colour/red; ", "slip colour colour/white; "
REDUCING, NEUTRAL, OXIDISING = (
    f"- atmosphere atmosphere/{air}; " for air in ("reducing", "neutral", "oxidising")
)
SEALED, AIR_FINISH, SMUDGED = (
    f"- ending ending/{ending}; " for ending in ("sealed", "air-finish", "smudged")
)
BODY_BLACK, COAT = "body colour colour/black; ", "slip slip clay/gloss; slip colour colour/black; "

# name of the case, what is stated (unit, field, value; - for the tradition), the groups it must fall into
CASES = [
    ("iron", IRON + BLACK + REDUCING, "IronBlack"),
    ("iron-organic", IRON_ORGANIC + BLACK + REDUCING, "IronBlack"),
    ("iron-neutral", IRON + BLACK + NEUTRAL, ""),
    # the red is iron, of the black nothing is known: reduced as a whole, yet no iron black
    ("two-paints", RED_IRON + RED + BLACK + REDUCING, ""),
    ("iron-on-white", IRON + BLACK + WHITE + REDUCING, "IronBlack IronBlackOnWhite"),
    ("iron-red", RED_IRON + RED + OXIDISING, "IronRed"),
    ("umber", UMBER + BLACK + OXIDISING, "ManganeseBlack"),
    ("umber-on-white", UMBER + WHITE, "ManganeseBlackOnWhite"),
    ("two-colours", MANGANESE + RED_IRON, "BlackAndRed"),
    ("organic", ORGANIC + BLACK + NEUTRAL, "OrganicBlack"),
    ("organic-in-air", ORGANIC + BLACK + OXIDISING, "OrganicBlackInAir"),
    ("gloss", GLOSS + BLACK + REDUCING + AIR_FINISH, "GlossThreeStage"),
    ("gloss-kept", COAT + REDUCING + SEALED, "GlossKept"),
    ("gloss-paint-kept", GLOSS + BLACK + REDUCING + SEALED, "GlossKept"),
    ("glaze", "paint/g paint paint-material/lead-copper-glaze; ", "GlazePaint"),
    ("graphite", "paint/g paint paint-material/graphite; ", "GraphitePaint"),
    ("sealed", BODY_BLACK + REDUCING + SEALED, "SealedBlack"),
    ("grey", "body colour colour/grey; " + REDUCING, "GreyReduced"),
    ("smudged", BODY_BLACK + OXIDISING + SMUDGED, "Smudged"),
    ("after", "paint/c applied applied/after-firing; ", "AfterFiring"),
    ("white-on-red", "paint/w paint paint-material/carbonate-white; slip colour colour/red; ", "WhiteOnDark"),
]


def _written(name: str, said: str, basis: str) -> str:
    text = ""
    for number, one in enumerate(said.removesuffix("; ").split("; ")):
        unit, field, value = one.split()
        node = f"<statement/{name}/{number}>"
        text += f"<tradition/{name}> a wo:Tradition ; wo:statement {node} .\n"
        text += f"{node} a wo:TraditionStatement ; wo:field field:{field} ; wo:value <term/{value}> ; "
        text += f"wo:basis basis:{basis} .\n"
        if unit != "-":
            kind = unit.split("/")[0].title()
            at = f"<tradition/{name}/{unit}>"
            text += f"<tradition/{name}> wo:has{kind} {at} . {at} wo:saidBy {node} .\n"
    return text


@cache
def _closed() -> Graph:
    text = HEAD
    for name, said, _ in CASES:
        text += _written(name, said, "stated")
        text += _written(f"{name}-memory", said, "memory") + _written(f"{name}-inferred", said, "inferred")
    text += (
        "<tradition/one> a wo:Tradition ; wo:twinStatement <statement/one/twin> ;"
        " wo:influenceStatement <statement/one/from> ; wo:statement <statement/one/memory> .\n"
        "<statement/one/twin> wo:other <tradition/two> . <statement/one/from> wo:other <tradition/old> .\n"
        "<statement/one/memory> wo:other <tradition/guessed> .\n"
    )
    given = graph([paths.data(f"{name}.ttl") for name in ("vocabulary", "tradition_terms", "regions")])
    return close(given + Graph().parse(data=text, format="turtle"))


def _groups(name: str) -> set[str]:
    kinds = {str(kind) for kind in _closed().objects(URIRef(f"{BASE}tradition/{name}"), RDF.type)}
    return {
        kind.removeprefix(WO).removesuffix("Group")
        for kind in kinds
        if kind.endswith("Group") and not kind.endswith("TechnologyGroup")
    }


@pytest.mark.parametrize(("name", "said", "expected"), CASES, ids=[name for name, _, _ in CASES])
def test_a_tradition_falls_into_the_groups_its_stated_fields_make(
    name: str, said: str, expected: str
) -> None:
    assert _groups(name) == set(expected.split())


@pytest.mark.parametrize("basis", ["memory", "inferred"])
@pytest.mark.parametrize("name", [name for name, _, _ in CASES])
def test_what_is_not_stated_makes_no_group(name: str, basis: str) -> None:
    assert _groups(f"{name}-{basis}") == set()
    assert not list(
        _closed().objects(URIRef(f"{BASE}tradition/{name}-{basis}"), URIRef(WO + "showsTechnique"))
    )


def test_every_group_is_proved_and_every_technique_has_one() -> None:
    terms = described(paths.data("tradition_terms.ttl"))
    classes = {
        address.removeprefix(WO).removesuffix("Group")
        for address, said in terms.items()
        if WO + "TechnologyGroup" in said.get(str(RDFS.subClassOf), ())
    }
    assert classes == {one for _, _, expected in CASES for one in expected.split()}
    assert len(groups()) == len(classes)
    assert all(group.definition and group.example and group.label for group in groups().values())


def test_a_twin_is_a_twin_both_ways_and_an_influence_has_two_ends() -> None:
    one, two, old, guessed = (URIRef(f"{BASE}tradition/{name}") for name in ("one", "two", "old", "guessed"))
    twin, by, gave = (URIRef(WO + name) for name in ("twinOf", "influencedBy", "influenced"))
    assert (one, twin, two) in _closed()
    assert (two, twin, one) in _closed()
    assert (one, by, old) in _closed()
    assert (old, gave, one) in _closed()
    assert not list(_closed().triples((one, None, guessed)))


def test_nobody_types_a_tradition_into_a_group() -> None:
    for path in sorted(paths.data("traditions").glob("*.ttl")):
        assert not re.search(r"wo:\w+Group\b", path.read_text("utf-8")), path.name


def test_the_groups_of_the_index_are_those_a_person_would_name() -> None:
    # Second route: read off the stated fields in plain Python, without OWL.
    for one in traditions().values():
        fire = one.terms("atmosphere")
        manganese = {
            said.name for said in one.of("paint") if set(said.terms) & {"manganese", "iron-manganese"}
        }
        black = {said.name for said in one.of("colour", layer="paint") if "black" in said.terms}
        expected = "oxidising" in fire and bool(manganese & black)
        assert ("manganese-black" in one.groups) == expected, one.id


def test_a_technique_follows_for_the_tradition_as_for_its_unit() -> None:
    shown = set(_closed().objects(URIRef(f"{BASE}tradition/organic"), URIRef(WO + "showsTechnique")))
    assert shown == {URIRef(term("technique", "organic-black-kept"))}
