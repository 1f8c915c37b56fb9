"""Disk full, read-only folder, a newer database, damage: said in words, and nothing is lost."""

import errno
import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.records.helpers import keep, picture, process, text_of
from wareontology.errors import NotKept, Unreadable
from wareontology.records import database
from wareontology.records.store import Store


def test_disk_full_says_so_and_keeps_what_was_there(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    first = keep(store, "n", "soft")
    with database.reading(store.path) as db:
        pages = db.execute("PRAGMA page_count").fetchone()[0]
    as_it_is = database._set_up

    def no_more_pages(db: sqlite3.Connection) -> None:
        as_it_is(db)
        db.execute(f"PRAGMA max_page_count = {pages}")  # SQLite then answers as where the disk is full

    with monkeypatch.context() as full:
        full.setattr(database, "_set_up", no_more_pages)
        with pytest.raises(NotKept, match="found the disk full; would do: room on the disk"):
            keep(store, "n", "x" * 200_000, first)
        assert text_of(store, "n") == "soft"
    keep(store, "n", "x" * 200_000, first)


def test_disk_full_under_a_photo(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("wareontology.records.files.os.fsync", full)
    with pytest.raises(NotKept, match=r"No space left on device.*room on the disk"):
        store.add_photo(picture(), ("sherd", "K"), caption="", who="AB", why="x")
    assert store.count("photo") == 0
    assert list((store.folder / "photos").iterdir()) == []


AS_NOBODY = """
import os, sys
from wareontology.errors import NotKept
from wareontology.records.store import Store
if os.geteuid() == 0:
    os.seteuid(65534)
for folder in sys.argv[1:]:
    try:
        store = Store(folder)
        number = store.get("note", "n").number
        store.put("note", "n", {"text": "x"}, who="AB", why="x", expected_version=number)
        print("kept")
    except NotKept as error:
        print(error)
"""


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder whose parents anybody may enter; that of the tests is its owner's alone."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    for place, _, _ in os.walk(folder):
        os.chmod(place, 0o755)
    shutil.rmtree(folder)


def test_a_folder_that_cannot_be_written_to(open_folder: Path) -> None:
    store = Store(open_folder / "records")
    keep(store, "n", "soft")
    before = store.path.read_bytes()
    store.folder.chmod(0o555)
    store.path.chmod(0o444)
    closed = open_folder / "closed"
    closed.mkdir()
    closed.chmod(0o555)
    out, errors = process(AS_NOBODY, str(store.folder), str(closed / "new")).communicate(timeout=60)
    assert not errors
    there, new = out.splitlines()
    assert "cannot be written to" in there
    assert "would do: a folder that can be" in there
    assert "found a folder that cannot be made" in new
    store.folder.chmod(0o755)
    assert store.path.read_bytes() == before


def test_a_database_of_a_newer_version_is_left_alone(store: Store) -> None:
    keep(store, "n", "soft")
    db = sqlite3.connect(store.path, isolation_level=None)
    db.execute(f"PRAGMA user_version = {database.SCHEMA + 1}")
    db.close()
    before = store.path.read_bytes()
    newer = f"found records of form {database.SCHEMA + 1}, made by a newer wareontology"
    with pytest.raises(Unreadable, match=newer):
        Store(store.folder)
    with pytest.raises(Unreadable, match=newer):  # also where it became newer while we were at work
        keep(store, "m", "sharp")
    assert store.path.read_bytes() == before


def test_a_database_of_somebody_else_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / database.FILE
    db = sqlite3.connect(path)
    db.execute("CREATE TABLE theirs (x)")
    db.commit()
    db.close()
    before = path.read_bytes()
    with pytest.raises(Unreadable, match="not one of wareontology's records"):
        Store(tmp_path)
    db = sqlite3.connect(path)
    assert db.execute("SELECT name FROM sqlite_master").fetchall() == [("theirs",)]
    db.close()
    assert len(path.read_bytes()) == len(before)


def test_a_file_that_is_no_database_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / database.FILE
    path.write_bytes(b"these are notes, not a database" * 100)
    before = path.read_bytes()
    with pytest.raises(Unreadable, match=r"damaged database.*restore.*left as it is"):
        Store(tmp_path)
    assert path.read_bytes() == before


def test_damaged_pages_are_said(store: Store) -> None:
    for number in range(300):
        keep(store, f"n{number}", "soft " * 50)
    content = bytearray(store.path.read_bytes())
    content[4096 : len(content) // 2] = b"\x55" * (len(content) // 2 - 4096)
    store.path.write_bytes(content)
    with pytest.raises(Unreadable, match="damaged database"):
        list(store.changes())


def test_an_empty_file_left_by_a_kill_becomes_a_store(tmp_path: Path) -> None:
    (tmp_path / database.FILE).touch()
    keep(Store(tmp_path), "n", "soft")


def test_a_store_held_by_another_for_long(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(database, "WAIT_S", 0.05)
    other = sqlite3.connect(store.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(NotKept, match="another program at work"):
        keep(store, "n", "soft")
    other.execute("ROLLBACK")
    other.close()
    keep(store, "n", "soft")


def test_a_folder_where_a_file_is(tmp_path: Path) -> None:
    (tmp_path / "records").write_text("a file")
    with pytest.raises(NotKept, match="folder that cannot be made"):
        Store(tmp_path / "records")
