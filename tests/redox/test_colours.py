"""The judged colour words of each phase."""

import pytest

from wareontology.errors import BreaksShape, Unreadable
from wareontology.paths import data
from wareontology.redox import colours, phases

TABLE = colours.load(data("phase_colours.csv"))
HEAD = ",".join(colours.COLUMNS)


def test_every_phase_has_words_for_both_amounts() -> None:
    named = {name for names in phases.PHASES.values() for name in names}
    named |= {"maghemite", "jacobsite", "part-oxidised", "carbon", "stain"}
    assert set(TABLE) == {(phase, amount) for phase in named for amount in colours.AMOUNTS}


@pytest.mark.parametrize(
    ("phase", "word"),
    [
        ("hematite", "red"), ("magnetite", "black"), ("maghemite", "brown"), ("bixbyite", "black"),
        ("hausmannite", "brown"), ("manganosite", "green"), ("tenorite", "black"), ("cuprite", "red"),
        ("jacobsite", "black"),
    ],
)  # fmt: skip
def test_likeliest_word_of_an_opaque_layer(phase: str, word: str) -> None:
    assert TABLE[phase, "opaque"][0].word == word


def test_every_share_is_judged_and_says_what_was_read() -> None:
    for shares in TABLE.values():
        for share in shares:
            assert share.basis == "judgement"
            assert share.source


@pytest.mark.parametrize(
    ("row", "column"),
    [
        ("magnetite,opaque,jet,1,0.5,1,judgement,none", "colour"),
        ("magnetite,thick,black,0.9,0.5,0.95,judgement,none", "amount"),
        ("magnetite,opaque,black,0.4,0.5,0.6,judgement,none", "share"),
    ],
)
def test_a_bad_row_is_named(row: str, column: str) -> None:
    with pytest.raises(BreaksShape, match=column):
        colours.read([HEAD, row])


def test_shares_that_do_not_add_up_are_named() -> None:
    rows = [f"magnetite,opaque,{word},0.4,0.3,0.5,judgement,none" for word in ("black", "grey")]
    with pytest.raises(BreaksShape, match=r"magnetite, opaque: 0\.800"):
        colours.read([HEAD, *rows])
    with pytest.raises(Unreadable, match="columns found"):
        colours.read(["phase,colour", "magnetite,black"])
