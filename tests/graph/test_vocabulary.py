"""The words of the schemes: what is there, what may be typed, and the tree of regions."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology import paths
from wareontology.graph import vocabulary
from wareontology.graph.namespaces import TERM, WO
from wareontology.graph.sources import source_records
from wareontology.graph.store import described, graph_files
from wareontology.graph.vocabulary import (
    geology,
    nearest,
    region_path,
    resolve,
    scheme,
    schemes,
    white_firing_clay,
)
from wareontology.technique import hypotheses

COLUMNS_WITH_OTHER_SCHEME = {"looked": "zone", "after_firing": "after-firing"}

# The region column of the table of traditions the work starts from, word for word.
REGIONS_OF_TRADITIONS = (
    "Aegean", "Amazonia", "Anatolia", "Andes", "Balkans", "Central America", "Central Europe",
    "Colorado Plateau", "East Asia", "East Mediterranean", "Eastern Europe", "Eastern North America",
    "Iberia", "Iran", "Italy", "Levant", "Levant and Caucasus", "Mesoamerica", "Mesopotamia",
    "Mesopotamia and Iran", "NE Africa", "Oceania", "Rio Grande valley", "SE Asia", "South Asia",
    "Southern Africa", "West Africa", "Western Europe",
)  # fmt: skip

EVERY_NAME = [
    (name, concept.notation, spelling)
    for name, found in schemes().items()
    for concept in found.concepts
    for spelling in concept.names()
]


@pytest.mark.parametrize(
    ("name", "values"),
    [
        ("paint-material", hypotheses.PAINT),
        ("clay", hypotheses.SLIP),
        ("carbon", hypotheses.CARBON),
        ("atmosphere", hypotheses.ATMOSPHERE),
        ("ending", hypotheses.ENDING),
        ("temperature", hypotheses.TEMPERATURE),
        ("structure", hypotheses.STRUCTURE),
        ("space", hypotheses.SPACE),
        ("zone", hypotheses.ZONES),
        ("layer", hypotheses.LAYERS),
        ("air", hypotheses.AIR),
        ("history", hypotheses.HISTORIES),
        ("colour", hypotheses.COLOURS),
    ],
)
def test_a_scheme_has_the_values_that_are_reasoned_with_in_their_order(
    name: str, values: tuple[str, ...]
) -> None:
    assert scheme(name).leaves() == values


def test_a_paint_has_the_family_that_is_reasoned_with() -> None:
    materials = scheme("paint-material")
    families = {value: materials[value].broader or value for value in materials.leaves()}
    assert families == {value: hypotheses.family_of(value) for value in hypotheses.PAINT}
    assert set(scheme("paint-family").notations()) == set(families.values())


def test_bodies_may_be_of_the_clays_that_are_reasoned_with() -> None:
    found = described(paths.data("vocabulary.ttl"))
    bodies = tuple(
        concept.notation
        for concept in scheme("clay").concepts
        if TERM + "layer/body" in found[concept.address][WO + "usableAs"]
    )
    assert bodies == hypotheses.BODY


def test_the_legal_pairs_are_those_that_are_reasoned_with() -> None:
    found = described(paths.data("vocabulary.ttl"))
    pairs = [
        (concept.notation, ending.rsplit("/", 1)[1])
        for concept in scheme("atmosphere").concepts
        for ending in found[concept.address][WO + "mayEndAs"]
    ]
    assert sorted(pairs) == sorted(hypotheses.REGIMES)


def test_temperature_bands_meet_without_gap_or_overlap() -> None:
    found = described(paths.data("vocabulary.ttl"))
    bands = [found[concept.address] for concept in scheme("temperature").concepts]
    lows = [band.get(WO + "lowC") for band in bands]
    highs = [band.get(WO + "highC") for band in bands]
    assert lows[0] is None
    assert highs[-1] is None
    assert lows[1:] == highs[:-1]


def _columns() -> list[dict[str, str]]:
    with paths.data("columns.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


def test_every_choice_column_has_a_scheme_with_its_values() -> None:
    for row in _columns():
        choices = row["choices"].split()
        if choices:
            found = scheme(COLUMNS_WITH_OTHER_SCHEME.get(row["column"], row["column"]))
            assert sorted(found.notations()) == sorted(choices), row["column"]


def test_one_spelling_means_one_value_of_a_scheme() -> None:
    meant: dict[tuple[str, str], str] = {}
    for name, notation, spelling in EVERY_NAME:
        plain = vocabulary._plain(spelling)
        assert meant.setdefault((name, plain), notation) == notation, (name, spelling)


@given(st.sampled_from(EVERY_NAME), st.data())
def test_case_spaces_hyphens_and_underscores_do_not_matter(
    name: tuple[str, str, str], data: st.DataObject
) -> None:
    scheme_name, notation, spelling = name
    typed = "".join(
        data.draw(st.sampled_from(" -_"))
        if letter in " -_"
        else data.draw(st.sampled_from((letter, letter.upper())))
        for letter in spelling
    )
    assert resolve(scheme_name, f" {typed} ") == notation


@pytest.mark.parametrize(
    ("name", "typed", "value"),
    [
        ("ending", "smothered", "sealed"),
        ("edge", "fuzzy edge", "soft"),
        ("structure", "bonfire", "open-fire"),
        ("structure", "open firing", "open-fire"),
        ("ending", "smudging", "smudged"),
        ("paint-material", "manganese black", "manganese"),
        ("paint-material", "carbon paint", "organic"),
        ("paint-material", "vegetal", "organic"),
        ("colour", "Dark Grey", "grey"),
        ("colour", "tan", "buff"),
        ("lustre", "matt", "matte"),
        ("applied", "before", "before-firing"),
        ("region", "Four Corners", "colorado-plateau"),
        ("region", "Greece", "aegean"),
        ("region", "Cyprus", "cyprus"),
        ("fire clouds", "none", "none"),
        ("basis", "common practice", "common-practice"),
    ],
)
def test_words_of_the_trade_are_understood(name: str, typed: str, value: str) -> None:
    assert resolve(name, typed) == value


@pytest.mark.parametrize(
    ("name", "typed"),
    [("edge", ""), ("edge", "sharpsoft"), ("colour", "pink"), ("slakes", "not seen"), ("region", "Atlantis")],
)
def test_what_has_no_one_meaning_is_not_guessed(name: str, typed: str) -> None:
    assert resolve(name, typed) is None


def test_a_slip_of_the_pen_finds_its_neighbour() -> None:
    assert nearest("region", "colorado plateu")[0] == "colorado-plateau"
    assert nearest("colour", "qqqq") == ()


def test_an_unknown_scheme_is_refused() -> None:
    with pytest.raises(KeyError):
        resolve("wobble", "sharp")


def test_values_are_described_and_rest_on_something() -> None:
    for found in (*schemes().values(), scheme("field")):
        for concept in found.concepts:
            assert concept.definition
            assert concept.example
            assert concept.basis or concept.sources
            assert all(source_records()[key].may_be_cited() for key in concept.sources)


@pytest.mark.parametrize("name", REGIONS_OF_TRADITIONS)
def test_every_region_of_the_traditions_is_in_the_tree(name: str) -> None:
    notation = resolve("region", name)
    assert notation is not None
    assert region_path(notation)[-1] == "world"


def test_every_region_leads_to_the_world_once() -> None:
    for concept in scheme("region").concepts:
        path = region_path(concept.notation)
        assert path[0] == concept.notation
        assert len(set(path)) == len(path)


def test_the_path_of_an_unknown_region_is_refused() -> None:
    with pytest.raises(KeyError):
        region_path("atlantis")


def test_scarce_and_common_rest_on_a_source_that_was_seen() -> None:
    values = set()
    for concept in scheme("region").concepts:
        value, source = white_firing_clay(concept.notation)
        values.add(value)
        if value != "unknown":
            assert source is not None
            assert source_records()[source].may_be_cited()
        assert geology(concept.notation).region == concept.notation
        assert geology(concept.notation).note
    assert values == set(scheme("scarcity").notations())


def test_the_plateau_is_scarce_and_says_what_speaks_against_it() -> None:
    # Published: Nadeau & Reynolds 1981, abstract (illite/smectite); Economic Geology 58:237, abstract (kaolin
    # pockets). The step from clay mineral to fired colour is judged.
    found = geology("colorado-plateau")
    assert (found.value, found.sources[0]) == ("scarce", "nadeau-reynolds-1981")
    assert found.contradicted_by == ("mesa-alta-1963",)


def test_a_region_without_a_statement_has_that_of_the_next_wider(monkeypatch: pytest.MonkeyPatch) -> None:
    found = {address: dict(said) for address, said in described(paths.data("regions.ttl")).items()}
    del found[TERM + "region/maya-lowlands"][WO + "whiteFiringClay"]
    monkeypatch.setattr(vocabulary, "_regions", lambda: found)
    assert geology("maya-lowlands").region == "mesoamerica"
    assert white_firing_clay("maya-lowlands") == white_firing_clay("mesoamerica")
    for said in found.values():
        said.pop(WO + "whiteFiringClay", None)
    assert white_firing_clay("maya-lowlands") == ("unknown", None)


@pytest.mark.parametrize("shape", sorted(paths.shapes().glob("*.ttl")), ids=lambda path: path.name)
def test_every_concept_named_in_the_shapes_is_in_a_scheme(shape: Path) -> None:
    known = {address for path in graph_files() for address in described(path)}
    named = {
        value
        for said in described(shape).values()
        for values in said.values()
        for value in values
        if value.startswith(TERM)
    }
    assert named <= known
