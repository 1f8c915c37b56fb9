"""Look-alikes: near ones are found and said why, odd ones are not forced. Traditions here are invented."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.graph.traditions import Statement, Tradition, traditions
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.technique.answer import answer
from wareontology.technique.look_alikes import ENOUGH, MOST, Vote, _fit, look_alikes
from wareontology.technique.tradition_sherd import sherd_of


def seen(column: str, *words: str) -> Seen:
    return Seen(column, "-".join(words), tuple((word, 1 / len(words)) for word in words))


def sherd(*rows: Row, region: str | None = None) -> Sherd:
    return Sherd("T 1", None, {"region": seen("region", region)} if region else {}, rows)


def row(layer: str, name: str | None = None, zone: str = "exterior", **cells: str) -> Row:
    return Row(zone, layer, name, {column: seen(column, *word.split("-")) for column, word in cells.items()})


def stated(field: str, value: str, layer: str | None = None, name: str | None = None) -> Statement:
    concluded = field in ("atmosphere", "ending", "paint", "slip", "body")
    return Statement(
        field, value, "stated", ("made-up",), layer=layer, name=name, terms=(value,) if concluded else ()
    )


WHITE_BLACK = Tradition(
    "white-black", "Made-up black on white", "colorado-plateau",
    (
        stated("colour", "white", "slip"), stated("colour", "black", "paint", "black"),
        stated("paint", "organic", "paint", "black"), stated("atmosphere", "reducing"),
    ),
)  # fmt: skip
RED = Tradition(
    "red", "Made-up red", "aegean", (stated("colour", "red", "slip"), stated("atmosphere", "oxidising"))
)
ODDS = {
    "materials": {"slip": {"light-firing": 1.0}, "paint": {"organic": 0.8, "iron": 0.2}},
    "families": {"paint": {"organic": 0.8, "iron-family": 0.2}},
    "atmosphere": {"oxidising": 0.05, "neutral": 0.05, "reducing": 0.9},
}


def test_the_like_one_is_found_and_says_why_and_what_differs() -> None:
    found = look_alikes(
        sherd(row("slip", colour="white"), row("paint", colour="black"), region="colorado-plateau"),
        ODDS, [WHITE_BLACK, RED],
    )  # fmt: skip
    assert [one["tradition"] for one in found] == ["white-black"]
    assert found[0]["why"].split("; ") == [
        "colour of the slip: white", "colour of the black paint: black", "black paint: organic",
        "atmosphere: reducing", "region: colorado-plateau",
    ]  # fmt: skip
    assert found[0]["differs"] == ""


def test_nothing_fits_is_an_answer() -> None:
    green = sherd(row("slip", colour="green"), row("paint", colour="blue"))
    oxidised = {**ODDS, "atmosphere": {"oxidising": 1.0, "neutral": 0.0, "reducing": 0.0}}
    assert look_alikes(green, oxidised, [WHITE_BLACK]) == []


def test_a_white_slip_alone_looks_like_nothing_yet() -> None:
    assert (
        look_alikes(sherd(row("slip", colour="white")), {"materials": {}, "families": {}}, [WHITE_BLACK])
        == []
    )


def test_a_paint_only_one_of_the_two_has_lowers_the_fit_and_is_told() -> None:
    both = [row("slip", colour="white"), row("paint", colour="black")]
    plain = look_alikes(sherd(*both), ODDS, [WHITE_BLACK])[0]
    with_red = look_alikes(sherd(*both, row("paint", "red", colour="red")), ODDS, [WHITE_BLACK])[0]
    assert with_red["fit"] < plain["fit"]
    assert "red paint" in with_red["differs"]


def test_memory_is_not_counted() -> None:
    remembered = tuple(
        Statement(said.field, said.value, "memory", (), layer=said.layer, name=said.name, terms=said.terms)
        for said in WHITE_BLACK.statements
    )
    ware = Tradition("a", "a", "colorado-plateau", remembered)
    assert look_alikes(sherd(row("slip", colour="white"), row("paint", colour="black")), ODDS, [ware]) == []


@pytest.mark.parametrize("name", ["us-tusayan-white", "cyp-white-slip-2"])
def test_a_published_ware_seen_as_a_sherd_is_among_its_own_look_alikes(name: str) -> None:
    own = sherd_of(traditions()[name])
    assert own is not None
    assert name in [one["tradition"] for one in look_alikes(own, answer(own, draws=0))]


VOTES = st.lists(st.floats(0, 1).map(lambda share: Vote("x", share, "a", "b")), min_size=1, max_size=9)


@given(VOTES, st.floats(0, 1))
def test_a_better_vote_never_lowers_the_fit(votes: list[Vote], more: float) -> None:
    better = [Vote("x", max(votes[0].agrees, more), "a", "b"), *votes[1:]]
    assert 0 < _fit(votes) <= _fit(better) <= 1


def test_at_most_three_and_none_below_the_least_fit() -> None:
    own = sherd_of(traditions()["us-tusayan-white"])
    assert own is not None
    found = look_alikes(own, answer(own, draws=0))
    assert len(found) <= MOST
    assert all(one["fit"] >= ENOUGH for one in found)
    assert [one["fit"] for one in found] == sorted((one["fit"] for one in found), reverse=True)
