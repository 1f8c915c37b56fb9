"""What is put is there, what was there stays in the history, and no save is lost to another."""

import sqlite3
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.records.helpers import keep, picture, text_of
from wareontology.errors import BreaksShape, Conflict, NotKept, Unreadable
from wareontology.records.store import Store
from wareontology.records.version import LONGEST_ID, MOST_BYTES, Draft


def test_a_change_says_who_when_and_why(store: Store) -> None:
    made = store.put("sherd", "K-14", {"a": 1}, who=" A  B ", why="first look", expected_version=None)
    found = store.get("sherd", "K-14")
    assert found == made
    assert (found.who, found.why, found.body) == ("A B", "first look", {"a": 1})
    assert found.at.endswith("Z")


def test_a_later_save_on_an_older_version_is_told_of_the_earlier(store: Store) -> None:
    first = keep(store, "n", "soft")
    second = keep(store, "n", "sharp", first, who="CD")
    with pytest.raises(Conflict) as caught:
        keep(store, "n", "both", first)
    assert (caught.value.read, caught.value.now, caught.value.who) == (first.number, second.number, "CD")
    assert f"version {second.number} (CD" in str(caught.value)
    assert f"version {first.number} as read" in str(caught.value)
    assert text_of(store, "n") == "sharp"
    assert len(store.history("note", "n")) == 2


def test_two_new_ones_of_one_name_are_a_conflict(store: Store) -> None:
    keep(store, "n", "soft")
    with pytest.raises(Conflict, match="not a new one"):
        keep(store, "n", "sharp")


def test_what_was_taken_away_is_gone_but_its_history_stays(store: Store) -> None:
    first = keep(store, "n", "soft")
    gone = store.put("note", "n", None, who="AB", why="the wrong sherd", expected_version=first.number)
    assert store.get("note", "n") is None
    assert store.find("note").things == ()
    assert store.latest("note", "n") == gone
    assert [change.body for change in store.history("note", "n")] == [{"text": "soft"}, None]
    with pytest.raises(Conflict, match="nothing there any more"):
        keep(store, "n", "sharp", first)
    again = keep(store, "n", "new")
    assert again.number > gone.number


def test_undo_goes_back_step_by_step_and_can_be_undone_by_number(store: Store) -> None:
    first = keep(store, "n", "A")
    second = keep(store, "n", "B", first)
    third = keep(store, "n", "C", second)
    back = store.undo("note", "n", who="AB", why="no", expected_version=third.number)
    assert (text_of(store, "n"), back.restores) == ("B", second.number)
    back = store.undo("note", "n", who="AB", why="no", expected_version=back.number)
    assert text_of(store, "n") == "A"
    back = store.undo("note", "n", who="AB", why="no", expected_version=back.number)
    assert (store.get("note", "n"), back.restores) == (None, 0)
    with pytest.raises(BreaksShape, match="not there"):
        store.undo("note", "n", who="AB", why="no", expected_version=back.number)
    store.undo("note", "n", who="AB", why="yes", expected_version=back.number, to=third.number)
    assert text_of(store, "n") == "C"
    assert len(store.history("note", "n")) == 7
    now = store.history("note", "n")[-1].number
    with pytest.raises(BreaksShape, match="a version of this thing"):
        store.undo("note", "n", who="AB", why="no", expected_version=now, to=99)


def test_undo_on_an_older_version_is_a_conflict(store: Store) -> None:
    first = keep(store, "n", "A")
    keep(store, "n", "B", first)
    with pytest.raises(Conflict):
        store.undo("note", "n", who="AB", why="no", expected_version=first.number)
    with pytest.raises(Conflict):
        store.undo("note", "never", who="AB", why="no", expected_version=1)


def test_several_are_kept_all_or_none(store: Store) -> None:
    keep(store, "b", "there")
    drafts = [Draft("note", name, {"text": name}) for name in ("a", "b", "c")]
    with pytest.raises(Conflict):
        store.put_all(drafts, who="AB", why="a lot")
    assert [thing.id for thing in store.find("note").things] == ["b"]
    assert len(store.put_all([drafts[0], drafts[2]], who="AB", why="a lot")) == 2
    assert store.count("note") == 3


def test_find_by_words_by_what_it_belongs_to_and_by_pages(store: Store) -> None:
    for number in range(7):
        body = {"text": f"Übermalt {number}", "about": {"kind": "sherd", "id": f"K/{number % 2}"}}
        store.put("note", f"n{number}", body, who="AB", why="x", expected_version=None)
    assert [thing.id for thing in store.find("note", text="übermalt 3").things] == ["n3"]
    assert store.find("note", text="text").things == ()  # a key is nothing that was said
    assert [thing.id for thing in store.find("note", about=("sherd", "K/1")).things] == ["n1", "n3", "n5"]
    page = store.find("note", limit=3)
    assert ([thing.id for thing in page.things], page.next) == (["n0", "n1", "n2"], "n2")
    rest = store.find("note", limit=4, after=page.next)
    assert ([thing.id for thing in rest.things], rest.next) == (["n3", "n4", "n5", "n6"], None)
    assert store.find("note", text="%").things == ()
    with pytest.raises(BreaksShape):
        store.find("note", limit=0)


@pytest.mark.parametrize(
    ("kind", "name", "body", "who", "why"),
    [
        ("pot", "n", {}, "AB", "x"),
        ("note", "", {}, "AB", "x"),
        ("note", "a\nb", {}, "AB", "x"),
        ("note", "n" * (LONGEST_ID + 1), {}, "AB", "x"),
        ("note", "\ud800", {}, "AB", "x"),
        ("note", "n", {}, " ", "x"),
        ("note", "n", {}, "A\x00", "x"),
        ("note", "n", {}, "AB", ""),
        ("note", "n", {"x": float("nan")}, "AB", "x"),
        ("note", "n", {"x": "\ud800"}, "AB", "x"),
        ("note", "n", {"x": object()}, "AB", "x"),
        ("note", "n", {"x": "y" * MOST_BYTES}, "AB", "x"),
        ("note", "n", {"about": "K-14"}, "AB", "x"),
        ("note", "n", {"about": {"kind": "pot", "id": "x"}}, "AB", "x"),
    ],
)
def test_what_is_not_what_it_must_be_is_refused(
    store: Store, kind: str, name: str, body: dict[str, object], who: str, why: str
) -> None:
    with pytest.raises(BreaksShape):
        store.put(kind, name, body, who=who, why=why, expected_version=None)
    assert list(store.changes()) == []


def test_the_history_is_neither_rewritten_nor_deleted(store: Store) -> None:
    keep(store, "n", "soft")
    db = sqlite3.connect(store.path)
    for statement in ("UPDATE change SET who = 'X'", "DELETE FROM change"):
        with pytest.raises(sqlite3.IntegrityError, match="history"):
            db.execute(statement)
    db.close()


def test_a_photo_is_kept_and_given_back(store: Store) -> None:
    made = store.add_photo(picture(), ("sherd", "K-14"), caption="inside", who="AB", why="a photo")
    assert made.body is not None
    assert (made.body["width_px"], made.body["height_px"]) == (40, 30)
    content = store.photo(made.id)
    assert content is not None
    assert content.startswith(b"\xff\xd8")
    assert store.photo("none") is None
    (store.folder / "photos" / str(made.body["file"])).write_bytes(b"other")
    with pytest.raises(Unreadable, match="damaged photo"):
        store.photo(made.id)


def test_no_folder_is_made_where_there_must_be_one(tmp_path: Path) -> None:
    with pytest.raises(NotKept, match="found no records"):
        Store(tmp_path / "none", create=False)
    assert not (tmp_path / "none").exists()


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(codec="utf-8"), max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner, max_size=4),
    max_leaves=12,
)  # fmt: skip


@given(name=st.text(max_size=40), value=json_values)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=60)
def test_any_body_comes_back_as_it_was_or_is_refused(store: Store, name: str, value: object) -> None:
    before = store.get("note", name)
    expected = before.number if before is not None else None
    try:
        store.put("note", name, {"value": value}, who="AB", why="x", expected_version=expected)
    except BreaksShape:
        assert store.get("note", name) == before
        return
    found = store.get("note", name)
    assert found is not None
    assert found.body == {"value": value}
