"""What is plainly so of a sherd. Expected values follow from what the columns mean."""

from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology.graph.namespaces import WO, local
from wareontology.sherd.cells import parse
from wareontology.sherd.columns import column
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.sherd.table import read
from wareontology.technique.fact_book import fact_book
from wareontology.technique.fact_store import SHERD_NODE, Facts
from wareontology.technique.facts import DERIVED, TYPE, facts
from wareontology.technique.units import units

CASES = sorted((Path(__file__).parents[1] / "cases" / "rules").glob("*.csv"))


def cells(given: dict[str, str]) -> dict[str, Seen]:
    seen = {}
    for name, text in given.items():
        cell = parse(column(name), text)
        assert isinstance(cell, Seen), cell
        seen[name] = cell
    return seen


def row(zone: str, layer: str, name: str | None = None, **given: str) -> Row:
    return Row(zone, layer, name, cells(given))


def gathered(*rows: Row, **of_sherd: str) -> Facts:
    sherd = Sherd("K 1", None, cells(of_sherd), rows)
    return facts(sherd, units(sherd))


def said(found: Facts, node: str, fact: str) -> set[str]:
    return {local(value) for value in found.nodes[node].get(WO + fact, {})}


def doubts(found: Facts, node: str, fact: str) -> set[str]:
    return set(found.doubts.get((node, WO + fact), {}).values())


def test_one_word_is_a_fact_and_a_near_tie_is_a_doubt() -> None:
    sure = gathered(row("interior", "slip", colour="white"))
    assert said(sure, "slip", "colour") == said(sure, "slip", "colourInside") == {"white"}
    tied = gathered(row("interior", "slip", colour="cream-white"))
    assert said(tied, "slip", "colour") == said(tied, "slip", "colourInside") == set()
    assert (
        doubts(tied, "slip", "colour") == doubts(tied, "slip", "colourInside") == {"between cream and white"}
    )


def test_a_doubtful_cell_gives_no_fact() -> None:
    found = gathered(row("interior", "paint", edge="sharp?", colour="black?"), marks="stacking?")
    assert (
        not said(found, "paint", "edge") | said(found, "paint", "colour") | said(found, SHERD_NODE, "marks")
    )
    assert doubts(found, "paint", "edge") == {"edge doubtful (sharp?)"}


def test_a_chip_outranks_a_word() -> None:
    found = gathered(row("interior", "slip", colour="red", munsell="10YR 8/1"))
    assert said(found, "slip", "colour") == {"white"}
    assert said(found, SHERD_NODE, "redOn") == set()


@pytest.mark.parametrize(
    ("zones", "expected"),
    [
        ({"interior": "white", "exterior": "white"}, {"white"}),
        ({"interior": "black", "exterior": "red"}, set()),  # neither leads
        ({"interior": "black", "exterior": "red", "rim": "black"}, {"black"}),
        ({"interior": "white", "exterior": "cream-white"}, {"white"}),
        ({"exterior": "red", "break": "grey"}, {"red"}),  # a surface outranks the broken edge
        ({"break": "grey"}, {"grey"}),
    ],
)
def test_the_colour_of_a_layer_over_its_zones(zones: dict[str, str], expected: set[str]) -> None:
    found = gathered(*(row(zone, "body", colour=colour) for zone, colour in zones.items()))
    assert said(found, "body", "colour") == expected
    assert bool(doubts(found, "body", "colour")) is not bool(expected)


def test_a_refiring_series_gives_its_zone_one_vote() -> None:
    steps = [row("interior", "paint", "a", colour="black", refire_c=str(heat)) for heat in (600, 700, 800)]
    found = gathered(*steps, row("exterior", "paint", "a", colour="red"))
    assert said(found, "paint:a", "colour") == set()


def test_rows_that_disagree_give_both_words() -> None:
    found = gathered(row("interior", "paint", "a", edge="sharp"), row("exterior", "paint", "a", edge="soft"))
    assert said(found, "paint:a", "edge") == {"sharp", "soft"}


def test_a_colour_that_came_later_is_no_fact_and_its_zone_was_not_seen_whole() -> None:
    found = gathered(
        row("interior", "slip", "all", colour="black", after_firing="cooking-soot"),
        row("exterior", "slip", "all", colour="red"),
        looked="interior exterior",
    )
    assert said(found, "slip:all", "colour") == {"red"}
    assert said(found, SHERD_NODE, "lookedWhole") == {"exterior"}
    assert doubts(found, "slip:all", "colourInside") == {
        "colour of the interior came after the firing (cooking soot)"
    }
    worn = gathered(row("interior", "slip", colour="white", after_firing="worn"), looked="interior")
    assert said(worn, SHERD_NODE, "lookedWhole") == {"interior"}


@pytest.mark.parametrize(
    ("given", "red"),
    [
        ({"colour": "red"}, True),
        ({"colour": "orange"}, True),
        ({"colour": "black", "patches": "red"}, True),
        ({"colour": "red?"}, True),  # perhaps red: a claim of "no red" must not stand on it
        ({"colour": "brown-red"}, True),
        ({"munsell": "10R 4/8"}, True),
        ({"colour": "brown"}, False),
        ({"colour": "black", "patches": "none"}, False),
        ({"colour": "red", "applied": "after-firing"}, False),
        ({"colour": "red", "crosses_break": "yes"}, False),
        ({"colour": "red", "after_firing": "repainted"}, False),
    ],
)
def test_red_anywhere(given: dict[str, str], red: bool) -> None:
    found = gathered(row("exterior", "paint", "drip", **given))
    assert said(found, SHERD_NODE, "redOn") == ({"paint:drip"} if red else set())


def test_only_looked_says_that_a_zone_was_seen_whole() -> None:
    found = gathered(row("interior", "slip", colour="white"), row("exterior", "slip", colour="white"))
    assert said(found, SHERD_NODE, "lookedWhole") == set()


@pytest.mark.parametrize(
    ("paint", "ground", "expected"),
    [
        ("red", "buff", {"RedderThanGround", "DarkerThanGround"}),
        ("red", "red", {"LikeGround"}),
        ("orange", "red", {"LikeGround"}),  # no darker, no redder
        ("brown", "red", {"LikeGround"}),  # half a step darker: not told apart
        ("black", "buff", {"DarkerThanGround"}),
        ("red", "red?", set()),
        ("red", "", set()),
    ],
)
def test_refired_beside_bare_ground(paint: str, ground: str, expected: set[str]) -> None:
    given = {"refire_c": "800", "refire_colour": paint} | ({"refire_ground_colour": ground} if ground else {})
    found = gathered(row("interior", "paint", **given))
    assert said(found, "paint", "refiredBesideGround") == expected
    assert said(found, "paint", "refiredTo") == {paint}
    assert said(found, "paint", "refiring") == {"Left"}


@pytest.mark.parametrize("word", ["gone", "ghost"])
def test_refired_away(word: str) -> None:
    found = gathered(row("interior", "paint", colour="black", refire_c="750", refire_colour=word))
    assert said(found, "paint", "refiring") == {"Gone"}
    assert said(found, "paint", "refiredTo") == set()


def test_a_refiring_counts_at_its_hottest_step_and_only_if_that_was_hot() -> None:
    warm = row("interior", "paint", "a", refire_c="500", refire_colour="black")
    found = gathered(warm)
    assert said(found, "paint:a", "refiring") == set()
    assert doubts(found, "paint:a", "refiring") == {"refired only at 500 °C"}
    hot = gathered(row("interior", "paint", "a", refire_c="800", refire_colour="red"), warm)
    assert said(hot, "paint:a", "refiredTo") == {"red"}
    no_heat = gathered(row("interior", "paint", "a", refire_colour="black"))
    assert doubts(no_heat, "paint:a", "refiring") == {"refiring heat not given"}


@pytest.mark.parametrize(
    ("paint", "ground", "excess", "none"),
    [
        ("1.20", "0.21", True, False),  # published: a manganese paint, University of Jaen records
        ("0.53", "0.08", True, False),  # published: the same laboratory, record 2048
        ("100", "100", False, True),
        ("200", "100", False, False),  # between the limits: says nothing
        ("<12", "100", False, True),
        ("<120", "100", False, True),  # at most 1.2 times the ground
        ("<200", "100", False, False),
        ("900", "<12", True, False),  # at least 75 times
        ("14", "<12", False, False),
        ("<12", "<12", False, True),
        ("900?", "100", False, False),
    ],
)
def test_pxrf_over_ground(paint: str, ground: str, excess: bool, none: bool) -> None:
    found = gathered(row("interior", "paint", pxrf_mn=paint, pxrf_mn_ground=ground))
    assert said(found, "paint", "excessOf") == ({"Manganese"} if excess else set())
    assert said(found, "paint", "noExcessOf") == ({"Manganese"} if none else set())


def test_pxrf_without_a_ground_says_nothing() -> None:
    found = gathered(row("interior", "paint", pxrf_mn="9000"))
    assert said(found, "paint", "excessOf") == said(found, "paint", "noExcessOf") == set()


def test_contrasting_paints_and_grounds() -> None:
    found = gathered(
        row("exterior", "slip", colour="cream"),
        row("exterior", "paint", "a", colour="black"),
        row("exterior", "paint", "b", colour="red"),
        row("exterior", "paint", "c", colour="brown"),
    )
    assert set(found.nodes["paint:a"][WO + "contrastsWith"]) == {"paint:b"}  # brown and black are both dark
    assert set(found.nodes["paint:b"][WO + "contrastsWith"]) == {"paint:a", "paint:c"}
    assert set(found.nodes["paint:a"][WO + "liesOn"]) == {"slip"}
    assert said(found, SHERD_NODE, "paintedIn") == {"exterior"}


def test_a_list_of_words_is_so_of_each() -> None:
    found = gathered(row("interior", "body", after_firing="worn leached"), marks="stacking fuel-contact")
    assert said(found, SHERD_NODE, "marks") == {"stacking", "fuel-contact"}
    assert said(found, "body", "afterFiring") == {"worn", "leached"}


def test_triples_are_addresses_and_observers_keep_apart() -> None:
    rows = (row("interior", "paint", "a b", colour="black"),)
    one, other = (Sherd("K 1/2", observer, {}, rows) for observer in (None, "N. N."))
    triples = set(facts(one, units(one)).triples())
    subjects = {subject for subject, _, _ in triples}
    assert subjects == {
        "https://wareontology.example/sherd/K%201%2F2",
        "https://wareontology.example/sherd/K%201%2F2/layer/body",
        "https://wareontology.example/sherd/K%201%2F2/layer/paint%3Aa%20b",
    }
    assert all(value.startswith("http") for triple in triples for value in triple)
    assert not subjects & {subject for subject, _, _ in facts(other, units(other)).triples()}


def test_every_declared_fact_has_a_maker_and_every_made_fact_is_declared() -> None:
    declared = fact_book().facts
    no_column = {address for address, fact in declared.items() if not fact.column}
    of_the_rules = {WO + name for name in ("impliedBy", "excludedBy", "cautionedBy", "value")}
    assert no_column == DERIVED | of_the_rules
    made = {
        predicate
        for path in CASES
        for sherd in read(path).sherds
        for node in facts(sherd, units(sherd)).nodes.values()
        for predicate in node
    }
    assert made - {TYPE} <= set(declared)
    assert made >= DERIVED


def test_every_column_of_a_fact_is_a_column_of_the_table() -> None:
    for fact in fact_book().facts.values():
        if fact.column:
            column(fact.column)  # raises KeyError for an unknown one
    for element in fact_book().elements:
        column(element.column)
        column(element.column + "_ground")


@settings(max_examples=30, deadline=None)
@given(path=st.sampled_from(CASES), seed=st.integers(0, 9999))
def test_the_order_of_rows_never_matters(path: Path, seed: int) -> None:
    for sherd in read(path).sherds:
        rows = list(sherd.rows)
        Random(seed).shuffle(rows)
        moved = Sherd(sherd.sherd, sherd.observer, sherd.seen, tuple(rows))
        one, other = facts(sherd, units(sherd)), facts(moved, units(moved))
        assert set(one.triples()) == set(other.triples())
        assert one.doubts == other.doubts
