"""Backup while others save, restore while others look; a bad backup is none, and what was there is kept."""

import sqlite3
import threading
from pathlib import Path

import pytest

from tests.records.helpers import keep, picture, text_of
from wareontology.errors import Conflict, NotKept, Unreadable
from wareontology.records import database
from wareontology.records.backup import backup, restore
from wareontology.records.store import Store


def test_a_backup_is_a_store_with_all_its_photos(store: Store, tmp_path: Path) -> None:
    first = keep(store, "n", "soft")
    photo = store.add_photo(picture(), ("note", "n"), caption="", who="AB", why="x")
    assert backup(store, tmp_path / "kept" / "one") == 2
    keep(store, "n", "sharp", first)
    copy = Store(tmp_path / "kept" / "one", create=False)
    assert text_of(copy, "n") == "soft"
    assert copy.photo(photo.id) == store.photo(photo.id)
    assert [path.name for path in (tmp_path / "kept").iterdir()] == ["one"]


def test_nothing_is_written_over(store: Store, tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    with pytest.raises(NotKept, match="something there already"):
        backup(store, tmp_path / "there")


def test_a_backup_under_way_is_of_one_moment(store: Store, tmp_path: Path) -> None:
    stop = threading.Event()

    def save_on() -> None:
        number = 0
        while not stop.is_set():
            number += 1
            keep(store, f"a{number}", "x" * 500)
            keep(store, f"b{number}", "x" * 500)

    worker = threading.Thread(target=save_on)
    worker.start()
    try:
        for number in range(8):
            backup(store, tmp_path / f"copy{number}")
    finally:
        stop.set()
        worker.join()
    for number in range(8):
        changes = [change.id for change in Store(tmp_path / f"copy{number}").changes()]
        together = [name for at in range(1, len(changes) // 2 + 1) for name in (f"a{at}", f"b{at}")]
        assert changes[: len(together)] == together
        assert len(changes) - len(together) in (0, 1)


def test_restore_brings_back_and_keeps_what_was_there(store: Store, tmp_path: Path) -> None:
    first = keep(store, "n", "soft")
    photo = store.add_photo(picture(), ("note", "n"), caption="", who="AB", why="x")
    backup(store, tmp_path / "copy")
    second = keep(store, "n", "sharp", first)
    keep(store, "m", "more")
    (store.folder / "photos" / str((photo.body or {})["file"])).unlink()
    before = restore(store.folder, tmp_path / "copy")
    assert before is not None
    assert (text_of(store, "n"), store.get("note", "m")) == ("soft", None)
    assert store.photo(photo.id) is not None
    aside = Store(before, create=False)
    assert (text_of(aside, "n"), text_of(aside, "m")) == ("sharp", "more")
    with pytest.raises(Conflict):  # a page that was open since before the restore
        keep(store, "n", "both", second)
    assert keep(store, "n", "new", first).number > second.number + 1


def test_restore_where_there_is_nothing(store: Store, tmp_path: Path) -> None:
    keep(store, "n", "soft")
    backup(store, tmp_path / "copy")
    assert restore(tmp_path / "new", tmp_path / "copy") is None
    assert text_of(Store(tmp_path / "new", create=False), "n") == "soft"


def test_restore_over_a_damaged_store_keeps_its_files(store: Store, tmp_path: Path) -> None:
    keep(store, "n", "soft")
    backup(store, tmp_path / "copy")
    store.path.write_bytes(b"damaged" * 1000)
    before = restore(store.folder, tmp_path / "copy")
    assert before is not None
    assert (before / database.FILE).read_bytes() == b"damaged" * 1000
    assert text_of(store, "n") == "soft"


def test_a_damaged_newer_or_missing_backup_changes_nothing(store: Store, tmp_path: Path) -> None:
    keep(store, "n", "soft")
    photo = store.add_photo(picture(), ("note", "n"), caption="", who="AB", why="x")
    for name in ("damaged", "newer", "no-photo"):
        backup(store, tmp_path / name)
    (tmp_path / "damaged" / database.FILE).write_bytes(b"x" * 8192)
    db = sqlite3.connect(tmp_path / "newer" / database.FILE)
    db.execute("PRAGMA user_version = 99")
    db.close()
    (tmp_path / "no-photo" / "photos" / str((photo.body or {})["file"])).unlink()
    for name in ("damaged", "newer", "no-photo", "missing"):
        with pytest.raises(Unreadable):
            restore(store.folder, tmp_path / name)
    assert text_of(store, "n") == "soft"
    assert sorted(path.name for path in store.folder.iterdir() if "sqlite" not in path.name) == ["photos"]
    with pytest.raises(NotKept, match="the records themselves"):
        restore(store.folder, store.folder)


def test_a_damaged_store_has_no_backup(store: Store, tmp_path: Path) -> None:
    for number in range(300):
        keep(store, f"n{number}", "soft " * 50)
    content = bytearray(store.path.read_bytes())
    content[8192:40960] = b"\x55" * (40960 - 8192)
    store.path.write_bytes(content)
    with pytest.raises(Unreadable, match="damaged database"):
        backup(store, tmp_path / "copy")
    assert not (tmp_path / "copy").exists()


def test_others_see_the_old_state_or_the_new(store: Store, tmp_path: Path) -> None:
    last = None
    for number in range(40):
        last = keep(store, "n", f"{number}", last)
    backup(store, tmp_path / "copy")
    for number in range(40):
        keep(store, f"later{number}", "x")
    seen: set[tuple[str | None, int]] = set()
    stop = threading.Event()

    def look() -> None:
        while not stop.is_set():
            seen.add((text_of(store, "n"), store.count("note")))

    worker = threading.Thread(target=look)
    worker.start()
    restore(store.folder, tmp_path / "copy")
    stop.set()
    worker.join()
    assert {text for text, _ in seen} == {"39"}
    assert {count for _, count in seen} <= {1, 41}
