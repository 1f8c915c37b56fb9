"""The answer in words: verdict first, each step, what to do next, nothing lost without colour.

Answers are those of invented sherds (data/demo, tests/cases/shown), some changed by hand for one sentence.
No expected sentence is published; the model is the project's own page on how it speaks.
"""

import copy
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Final

import click
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.sherd.record import Sherd
from wareontology.sherd.table import read
from wareontology.technique import hypotheses as h
from wareontology.technique.answer import answer
from wareontology.technique.phrases import bands_words, printable, value_words
from wareontology.technique.prose import prose
from wareontology.technique.prose_verdict import verdict_sentences
from wareontology.technique.words_for_odds import odds_words

ROOT: Final = Path(__file__).resolve().parents[2]
DEMO: Final = ROOT / "data" / "demo" / "sherds.csv"
SHOWN: Final = ROOT / "tests" / "cases" / "shown"


@cache
def demo() -> dict[tuple[str, str | None], Sherd]:
    return {(sherd.sherd, sherd.observer): sherd for sherd in read(DEMO).sherds}


@cache
def _answer(name: str) -> dict[str, Any]:
    return answer(next(sherd for (key, _), sherd in demo().items() if key == name), draws=10)


def asked(name: str) -> dict[str, Any]:
    """A fresh copy of the answer for a demo sherd."""
    return copy.deepcopy(_answer(name))


def shown(file: str, name: str) -> dict[str, Any]:
    return answer(next(sherd for sherd in read(SHOWN / f"{file}.csv").sherds if sherd.sherd == name), draws=0)


def flowing(text: str) -> str:
    """Text in one line, however it was wrapped."""
    return " ".join(text.split())


def told(found: dict[str, Any], **options: Any) -> str:
    return flowing(prose(found, **options))


EVERY: Final = sorted({name for name, _ in demo()})


# --- odds ---


@given(st.floats(0, 1), st.floats(0, 1))
def test_likelier_is_never_said_as_less_likely(p: float, q: float) -> None:
    order = dict.fromkeys(odds_words(step / 10_000) for step in range(10_001))
    rank = {words: place for place, words in enumerate(order)}
    low, high = sorted((p, q))
    assert rank[odds_words(low)] <= rank[odds_words(high)]


@given(st.floats(0, 1))
def test_odds_have_at_most_two_figures_and_are_about_right(p: float) -> None:
    words = odds_words(p)
    assert not re.search(r"\d{3}", words)
    figures = re.fullmatch(r"about (\d+) in (\d+)", words)
    if figures:
        assert abs(int(figures[1]) / int(figures[2]) - p) <= 0.0501
    else:
        assert words in ("hardly possible", "about even", "nearly certain")


@pytest.mark.parametrize("p", [-0.01, 1.01, float("nan")])
def test_what_is_no_probability_is_refused(p: float) -> None:
    with pytest.raises(ValueError, match="would do: 0 to 1"):
        odds_words(p)


# --- words ---


def test_every_value_has_words() -> None:
    questions: dict[str, Iterator[str]] = {
        "atmosphere": iter(h.ATMOSPHERE), "ending": iter(h.ENDING), "temperature": iter(h.TEMPERATURE),
        "space": iter(h.SPACE), "structure": iter(h.STRUCTURE), "air": iter(h.AIR), "body": iter(h.BODY),
        "slip": iter(h.SLIP), "paint": iter((*h.PAINT, *map(h.family_of, h.PAINT))),
    }  # fmt: skip
    for question, values in questions.items():
        words = [value_words(question, value) for value in dict.fromkeys(values)]
        assert all(words)
        assert len(set(words)) == len(words), question


def test_all_bands_together_are_any_heat() -> None:
    assert bands_words(h.TEMPERATURE[0], h.TEMPERATURE[-1]) == "any heat"


# --- the verdict ---


def test_the_title_says_sherd_site_and_what_was_looked_at() -> None:
    first = prose(asked("K-14"), sherd=demo()["K-14", None]).split("\n\n")[0]
    assert flowing(first) == (
        "Sherd K-14 · Ketterwain Ledge (invented) · interior, exterior and broken edge looked at whole"
    )
    assert prose(asked("K-14")).startswith("Sherd K-14\n")


def test_who_looked_is_said() -> None:
    found = answer(demo()["P-12", "reader A"], draws=0)
    assert prose(found).startswith("Sherd P-12 · seen by reader A\n")


def test_the_fire_comes_first_then_the_paint() -> None:
    found = asked("K-14")
    found["verdict"]["atmosphere"] |= {"state": "decided", "value": "reducing", "p": 0.89}
    sentences = list(verdict_sentences(found))
    assert sentences[0] == "Probably fired without air: reducing, about 9 in 10."
    assert "the paint line" in sentences[1].casefold()


def test_values_that_mean_something_together_are_said_together() -> None:
    found = asked("K-14")
    found["verdict"]["atmosphere"] |= {"state": "undecided", "value": "reducing", "p": 0.5, "reason": "r"}
    found["atmosphere"] = {"oxidising": 0.1, "neutral": 0.4, "reducing": 0.5}
    found["flat"]["atmosphere"] = {"oxidising": 0.2, "neutral": 0.4, "reducing": 0.4}
    first = next(verdict_sentences(found))
    assert first == (
        "Probably not fired in air: reducing or neutral, about 9 in 10. Which of the two is undecided."
    )


def test_the_region_alone_never_says_it() -> None:
    """The set is likely here but not under flat firings: then it is the region's, not the sherd's."""
    found = asked("K-14")
    found["verdict"]["atmosphere"] |= {"state": "undecided", "value": "reducing", "p": 0.5, "reason": "r"}
    found["atmosphere"] = {"oxidising": 0.1, "neutral": 0.4, "reducing": 0.5}
    found["flat"]["atmosphere"] = dict.fromkeys(h.ATMOSPHERE, 1 / 3)
    assert next(verdict_sentences(found)).startswith("Whether it was fired in air is undecided: reducing")


def test_nothing_but_a_white_slip_is_undecided_in_words() -> None:
    found = shown("only_white_slip", next(iter(read(SHOWN / "only_white_slip.csv").sherds)).sherd)
    text = told(found)
    assert "Whether it was fired in air is undecided" in text
    assert "How it cooled is undecided" in text
    assert "the evidence adds little to what is usual" in text


@pytest.mark.parametrize("name", EVERY)
def test_every_undecided_question_is_said_to_be(name: str) -> None:
    found = asked(name)
    verdict = prose(found).split("\n\n")[1]
    undecided = [question for question, one in found["verdict"].items() if one["state"] == "undecided"]
    said = flowing(verdict)
    for question in undecided:
        topic = {
            "atmosphere": "fired in air", "ending": "cooled", "temperature": "peak heat (",
            "space": "firing space (", "body": "the body (",
        }.get(question)  # fmt: skip
        assert topic is None or topic in said, question
    assert ("undecided" in said.casefold()) == bool(undecided)


def test_undecided_too_only_beside_another() -> None:
    found = asked("K-14")
    for verdict in found["verdict"].values():
        verdict["state"] = "decided"
    assert "Peak heat probably" in told(found)
    assert "Firing space probably one space" in told(found)
    found["verdict"]["temperature"]["state"] = "undecided"
    assert "Undecided: peak heat" in told(found)
    found["verdict"]["ending"]["state"] = "undecided"
    assert "Undecided too: peak heat" in told(found)


def test_a_paint_put_on_after_the_firing_says_nothing_of_it() -> None:
    text = told(asked("P-09"))
    assert "put on after the firing" in text
    assert "it says nothing of the fire" in text


def test_likely_but_in_conflict_is_undecided_with_its_reason() -> None:
    found = asked("K-14")
    reason = "an item in conflict with the rest would change it"
    found["verdict"]["paint:line"] |= {"state": "undecided", "p": 0.95, "reason": reason}
    found["families"]["paint:line"] = {"iron-family": 0.95, "organic": 0.05}
    text = told(found)
    assert (
        "What the paint line is made of is undecided: iron family about 19 in 20, organic plant juice about"
        f" 1 in 20, but {reason}."
    ) in text
    assert text.count(reason) == 1  # said there, and not again among the reasons


# --- what follows the verdict ---


@pytest.mark.parametrize("name", EVERY)
def test_nothing_of_the_answer_is_left_out(name: str) -> None:
    """Every step with what it rests on and excepts it, every gap, flip, conflict, test, source and note."""
    found = asked(name)
    text = told(found)
    for place, finding in enumerate(found["findings"], start=1):
        step = text[text.index(f" {place}. ") :]
        for words in (*finding["because"], *(one["exception"] for one in finding["unless"])):
            assert words[1:] in step, words
    for one in found["not_applied"]:
        assert one["why"][1:] in text
    for flip in found["flips"]:
        assert f"seen as {flip['row']['said']}, row {flip['row']['number']}" in text
        assert flip["if_it_were"] in text
    for item in found["conflict"]["items"]:
        assert f"{item['trait'][1:]} of " in text
        for row in item["rows"]:
            assert str(row) in text
    for test in found["next_tests"]:
        assert test["label"] in text
        assert test["destroys"] == "nothing" or test["destroys"] in text
    for source in found["sources"]:
        assert source["citation"] in text
    for note in found["notes"]:
        assert note in text
    assert found["data_hash"] in text


@pytest.mark.parametrize(
    ("flips", "without"),
    [
        ({"paint:line": "organic", "ending": "smudged"}, "organic plant juice for the paint line"),
        ({}, "Without it the top answers stay."),
    ],
)  # fmt: skip
def test_a_conflict_names_the_item_and_its_row(flips: dict[str, str], without: str) -> None:
    found = asked("K-14")
    item = {"unit": "paint:line", "trait": "pXRF", "said": "pxrf mn 9800", "rows": [3, 2], "bits": 5.83}
    found["conflict"] = {"bits": 5.83, "items": [item | {"flips": flips}]}
    text = told(found)
    assert "What does not fit together." in text
    assert "pXRF of the paint line (pxrf mn 9800, rows 2 and 3) against the rest, 5.8 bits." in text
    assert without in text


def test_a_step_says_its_source_or_its_basis() -> None:
    found = asked("K-14")
    text = told(found)
    numbers = list(dict.fromkeys(source["id"] for source in found["sources"]))
    published = next(one for one in found["findings"] if one["source"])
    assert f"[{numbers.index(published['source']) + 1}]" in text
    assert any(not one["source"] for one in found["findings"])
    assert "(common practice)" in text


def test_a_record_is_told_where_there_is_one() -> None:
    found = asked("K-14")
    found["findings"][0]["record"] = {
        "holds": 4, "fails": 1, "interval": [0.4, 0.9], "by_region": {}, "traditions": [],
    }  # fmt: skip
    assert "The rule held for 4 of 5 published wares." in told(found)


def test_a_rule_that_is_none_of_ours_is_told_by_its_conclusion() -> None:
    found = asked("K-14")
    found["findings"][0] |= {"rule": "MadeUpRule", "concludes": "atmosphere: made up"}
    assert "So atmosphere: made up." in told(found)


def test_a_test_says_what_it_destroys_and_whose_leave_it_needs() -> None:
    found = asked("K-14")
    refire = next(test for test in found["next_tests"] if test["test"] == "refire")
    found["next_tests"] = [refire]
    text = told(found)
    assert f"Destroys {refire['destroys']}. Needs the owner's leave. {refire['caution']}." in text
    assert "The sherd belongs to someone." in text


def test_no_test_is_said_too() -> None:
    found = asked("K-14")
    found["next_tests"] = []
    text = told(found)
    assert "No test that the owner's leave allows" in text
    assert "The sherd belongs to someone" not in text


def test_two_bases_of_one_source_stand_on_one_line() -> None:
    found = asked("K-14")
    found["sources"] = [{"id": "a", "citation": "A 1999", "basis": basis} for basis in ("judgement", "rule")]
    assert "[1] A 1999 (judgement, rule)" in told(found)
    assert "[2]" not in told(found)


def test_without_draws_the_firmness_is_not_claimed() -> None:
    found = asked("K-14")
    found["robust"] = None
    assert "The uncertain numbers were not drawn anew." in told(found)


@pytest.mark.parametrize(
    ("material", "caution"),
    [("lead-copper-glaze", "may hold lead"), ("manganese", "may hold manganese"), ("iron", None)],
)
def test_cautions_fit_the_paint(material: str, caution: str | None) -> None:
    found = asked("K-14")
    found["materials"]["paint:line"] = dict.fromkeys(h.PAINT, 0.0) | {material: 1.0}
    text = told(found)
    for words in ("may hold lead", "may hold manganese"):
        assert (words in text) == (words == caution)


# --- how it is set ---


@pytest.mark.parametrize("name", EVERY)
def test_nothing_is_lost_without_colour(name: str) -> None:
    found, sherd = asked(name), next(one for (key, _), one in demo().items() if key == name)
    coloured = prose(found, sherd=sherd, colour=True)
    assert "\x1b[" in coloured
    assert click.unstyle(coloured) == prose(found, sherd=sherd)


@given(st.integers(40, 140))
def test_lines_keep_to_the_width(width: int) -> None:
    assert max(map(len, prose(asked("K-07"), width=width).splitlines())) <= width


def test_the_width_changes_no_word() -> None:
    assert told(asked("V-08"), width=44) == told(asked("V-08"), width=120)


def test_it_speaks_plainly() -> None:
    for name in EVERY:
        text = told(asked(name))
        assert not re.search(r"!|\b(we|our|please|amazing|great)\b", text, re.IGNORECASE), name
        assert not re.search(r"\d\.\d{3}", re.sub(r"seen as \S+|\(pxrf.*?\)", "", text)), name


@given(st.text())
def test_what_a_table_holds_cannot_move_the_cursor(text: str) -> None:
    shown = printable(text)
    assert len(shown) == len(text)
    assert not any(char < " " or char in "\x7f\x9b\u202e\u2066" for char in shown)


def test_a_name_with_an_escape_sequence_is_shown_as_marks() -> None:
    found = asked("K-14")
    found["sherd"] = "K\x1b[2J-14"
    assert "\x1b" not in prose(found)
