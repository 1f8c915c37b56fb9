"""Answers kept beside their sherds stay what they were."""

from pathlib import Path
from typing import Any

import pytest

from wareontology.errors import BreaksShape, Conflict
from wareontology.records.store import Store
from wareontology.sherd.jsonld import from_jsonld, to_jsonld
from wareontology.sherd.record import Sherd
from wareontology.technique import kept
from wareontology.technique.answer import answer


def slip(colour: str, observer: str | None = None) -> Sherd:
    signed = {} if observer is None else {"observer": observer}
    return from_jsonld(
        {"sherd": "K-14", **signed, "rows": [{"zone": "rim", "layer": "slip", "colour": colour}]}
    )


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "records")


def test_two_observers_are_two_records(store: Store) -> None:
    for observer in ("AB", "CD"):
        kept.keep(store, slip("white", observer), who=observer, why="x", expected_version=None)
    assert [thing.id for thing in store.find("sherd").things] == ["K-14/by/AB", "K-14/by/CD"]


def test_a_kept_sherd_comes_back_as_it_was(store: Store) -> None:
    version = kept.keep(store, slip("white"), who="AB", why="x", expected_version=None)
    assert kept.sherd_of(version) == slip("white")
    with pytest.raises(Conflict):
        kept.keep(store, slip("cream"), who="AB", why="x", expected_version=None)
    note = store.put("note", "n", {}, who="AB", why="x", expected_version=None)
    with pytest.raises(BreaksShape):
        kept.sherd_of(note)


def test_an_answer_is_the_one_that_was_given(store: Store) -> None:
    found = answer(slip("white"), draws=0)
    version = kept.keep_answer(store, slip("white"), found, draws=0, who="AB", why="x")
    body: Any = kept.answers_of(store, "K-14")[0].body
    assert body["answer"] == found
    assert list(body["answer"]["temperature"]) == list(found["temperature"])  # in its order
    assert (body["data_hash"], body["software"]) == (found["data_hash"], found["software"])
    assert kept.keep_answer(store, slip("white"), found, draws=0, who="CD", why="y") == version
    assert kept.stands(version, slip("white"))
    assert not kept.stands(version, slip("cream"))


def test_read_again_after_the_sherd_changed_keeps_both(store: Store) -> None:
    first = kept.keep(store, slip("white"), who="AB", why="x", expected_version=None)
    assert kept.read_again(store, "K-14", who="AB", why="x", draws=0) is not None
    kept.keep(store, slip("red"), who="AB", why="x", expected_version=first.number)
    kept.read_again(store, "K-14", who="AB", why="x", draws=0)
    bodies: list[Any] = [version.body for version in kept.answers_of(store, "K-14")]
    assert [body["sherd"]["rows"][0]["colour"] for body in bodies] == ["red", "white"]
    assert kept.read_again(store, "none", who="AB", why="x") is None


def test_what_a_verdict_became() -> None:
    still, decided = {"state": "undecided", "value": None}, {"state": "decided", "value": "reducing"}
    before = {"verdict": {"atmosphere": still, "space": still}}
    after = {"verdict": {"atmosphere": decided, "slip": still}}
    assert [(one.question, one.before, one.after) for one in kept.changes(before, after)] == [
        ("atmosphere", "undecided", "decided: reducing"),
        ("space", "undecided", "not asked"),
        ("slip", "not asked", "undecided"),
    ]


def test_a_body_handed_in_must_be_the_sherd_of_its_id() -> None:
    assert kept.checked(to_jsonld(slip("white")), "K-14") == to_jsonld(slip("white"))
    with pytest.raises(BreaksShape, match="K-14"):
        kept.checked(to_jsonld(slip("white")), "K-15")
