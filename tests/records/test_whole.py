"""A whole store out and in again; what is no export is refused and leaves nothing behind."""

import io
import json
import zipfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.records.helpers import keep, picture, text_of
from wareontology.errors import Conflict, Unreadable, WareontologyError
from wareontology.records.store import Store
from wareontology.records.whole import Brought, export_whole, import_whole

Parts = dict[str, bytes]


@pytest.fixture
def exported(store: Store, tmp_path: Path) -> Path:
    first = keep(store, "n", "soft")
    second = keep(store, "n", "sharp", first)
    store.undo("note", "n", who="CD", why="no", expected_version=second.number)
    gone = keep(store, "gone", "x")
    store.put("note", "gone", None, who="AB", why="wrong", expected_version=gone.number)
    store.add_photo(picture(), ("note", "n"), caption="inside", who="AB", why="a photo")
    assert export_whole(store, tmp_path / "all.zip") == 6
    return tmp_path / "all.zip"


def test_out_and_in_again_with_all_history(store: Store, exported: Path, tmp_path: Path) -> None:
    other = Store(tmp_path / "other")
    keep(other, "mine", "here before")
    assert import_whole(other, exported, who="EF", why="moved") == Brought(3, 0)
    for kind, name in (("note", "n"), ("note", "gone")):
        ours, theirs = store.history(kind, name), other.history(kind, name)
        assert [(one.who, one.why, one.at, one.body) for one in ours] == [
            (one.who, one.why, one.at, one.body) for one in theirs
        ]
        assert all("imported by EF" in one.origin for one in theirs)
    (photo,) = other.find("photo", about=("note", "n")).things
    assert other.photo(photo.id) == store.photo(photo.id)
    now = other.history("note", "n")[-1]
    assert (text_of(other, "n"), now.restores) == ("soft", other.history("note", "n")[0].number)
    other.undo("note", "n", who="EF", why="on", expected_version=now.number)
    assert other.get("note", "n") is None
    assert text_of(other, "mine") == "here before"


def test_brought_in_twice_it_is_there_once(store: Store, exported: Path) -> None:
    before = len(list(store.changes()))
    assert import_whole(store, exported, who="EF", why="again") == Brought(0, 3)
    assert len(list(store.changes())) == before


def test_a_thing_that_is_another_here_is_a_conflict_and_nothing_comes_in(
    exported: Path, tmp_path: Path
) -> None:
    other = Store(tmp_path / "other")
    keep(other, "n", "mine")
    with pytest.raises(Conflict, match="note n, in the import"):
        import_whole(other, exported, who="EF", why="moved")
    assert [change.id for change in other.changes()] == ["n"]


def parts_of(path: Path) -> Parts:
    with zipfile.ZipFile(path) as pack:
        return {name: pack.read(name) for name in pack.namelist()}


def packed(parts: Parts) -> io.BytesIO:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as pack:
        for name, content in parts.items():
            pack.writestr(name, content)
    out.seek(0)
    return out


def line(**also: object) -> bytes:
    change = {
        "number": 1, "kind": "note", "id": "n", "body": {}, "who": "AB", "why": "x",
        "at": "2026-01-05T10:00:00.000Z", "restores": None, "origin": "",
    }  # fmt: skip
    return json.dumps(change | also).encode()


ABOUT = b'{"form": 1}'
BAD: dict[str, Callable[[Parts], Parts]] = {
    "no parts": lambda parts: {},
    "a part that climbs": lambda parts: {**parts, "../../evil": b"x"},
    "a photo that climbs": lambda parts: {**parts, "photos/../evil.jpg": b"x"},
    "a newer form": lambda parts: {**parts, "store.json": b'{"form": 2}'},
    "no form": lambda parts: {**parts, "store.json": b"[]"},
    "a line that is no JSON": lambda parts: {**parts, "changes.jsonl": b"{"},
    "a photo that is another": lambda parts: {**parts, f"photos/{'0' * 64}.jpg": picture("JPEG")},
    "a photo that is a page": lambda parts: {**parts, f"photos/{'0' * 64}.jpg": b"<html>"},
    "a photo without a file": lambda parts: {"store.json": ABOUT, "changes.jsonl": parts["changes.jsonl"]},
    "a bomb": lambda parts: {**parts, "changes.jsonl": b" " * 30_000_000},
}  # fmt: skip
AMISS: tuple[dict[str, object], ...] = (
    {"kind": "pot"}, {"id": ""}, {"number": "1"}, {"number": 0}, {"body": 3}, {"who": ""}, {"at": 3},
    {"more": 1}, {"restores": "x"}, {"body": {"about": 3}}, {"id": "\ud800"}, {"at": "\ud800"},
)  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_what_is_no_export_is_refused(exported: Path, tmp_path: Path, name: str) -> None:
    other = Store(tmp_path / "other")
    with pytest.raises(WareontologyError):
        import_whole(other, packed(BAD[name](parts_of(exported))), who="EF", why="x")
    assert list(other.changes()) == []
    assert not (tmp_path / "evil").exists()


@pytest.mark.parametrize("also", AMISS, ids=str)
def test_a_change_that_is_none_is_refused(tmp_path: Path, also: dict[str, object]) -> None:
    other = Store(tmp_path / "other")
    good, bad = line(), line(**{"number": 2, "id": "m"} | also)
    parts = {"store.json": ABOUT, "changes.jsonl": good + b"\n" + bad}
    with pytest.raises(WareontologyError):
        import_whole(other, packed(parts), who="EF", why="x")
    assert list(other.changes()) == []


def test_a_file_that_is_no_zip_or_not_there(store: Store, tmp_path: Path) -> None:
    (tmp_path / "text").write_text("no zip")
    for name in ("text", "none", "."):
        with pytest.raises(Unreadable):
            import_whole(store, tmp_path / name, who="EF", why="x")


@given(at=st.integers(0, 5_000), noise=st.binary(min_size=1, max_size=30))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=80)
def test_a_damaged_zip_is_refused_or_read_whole(
    exported: Path, tmp_path: Path, at: int, noise: bytes
) -> None:
    content = bytearray(exported.read_bytes())
    at %= len(content)
    content[at : at + len(noise)] = noise
    other = Store(tmp_path / "fuzzed")
    with suppress(WareontologyError):
        import_whole(other, io.BytesIO(bytes(content)), who="EF", why="x")
