"""Backup and restore of a store while it is in use. A backup is a folder that is a store itself."""

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from wareontology.errors import NotKept, Unreadable
from wareontology.records import database, files
from wareontology.records.store import Store


def backup(store: Store, target: str | Path) -> int:
    """Copy a store, as it is at one moment, to a new folder; give the number of changes in it.

    Nobody who saves meanwhile has to wait. The copy is checked page by page before it gets its name. Raises
    NotKept where something is at `target` already or the disk does not take it, Unreadable where the store is
    damaged: then there is no backup, rather than a bad one.
    """
    place = Path(target)
    if place.exists():
        raise NotKept(f"{place}: found something there already; would do: a new name. It is left as it is")
    with _beside(place) as beside:
        _copy(store.path, beside / database.FILE)
        number = _checked(beside / database.FILE)
        _copy_photos(store.folder, beside)
        files.flush_folder(beside)
        os.rename(beside, place)
        files.flush_folder(place.parent)
    return number


def restore(folder: str | Path, source: str | Path) -> Path | None:
    """Put a backup in the place of a store that may be in use; give the folder where what was there is kept.

    Others see the old state or the new one, never a mixture. Saves that rest on what was there before are
    told so: no version number is given twice. A store that is damaged is kept as it is, file by file. None
    where there was no store. Raises Unreadable where the backup is damaged, newer or none; then nothing was
    changed.
    """
    there, kept = Path(folder), Path(source)
    if not (kept / database.FILE).is_file():
        would_do = "a folder that `wareontology backup` made"
        raise Unreadable(f"{kept}: found no backup in it; would do: {would_do}")
    if there.resolve() == kept.resolve():
        raise NotKept(f"{kept}: found the records themselves; would do: a backup of them")
    with _beside(there / database.FILE) as beside:
        ready = beside / database.FILE
        _copy(kept / database.FILE, ready)
        _checked(ready)
        for name in _photos(ready):
            files.read(kept, name)
        _copy_photos(kept, there, _photos(ready))
        before = _set_aside(there)
        _never_twice(ready, there / database.FILE)
        _copy(ready, there / database.FILE)
    return before


def _copy(source: Path, target: Path) -> None:
    """SQLite's own online copy, all pages in one step."""
    address = f"{source.resolve().as_uri()}?mode=ro"
    with database.told(source):
        old = sqlite3.connect(address, uri=True, timeout=database.WAIT_S)
        new = sqlite3.connect(target, timeout=database.WAIT_S, isolation_level=None)
        try:
            new.execute("PRAGMA synchronous = FULL")
            old.backup(new)
        finally:
            new.close()
            old.close()


def _checked(path: Path) -> int:
    """Check every page of a copy, leave it as one file, and give the number of its changes."""
    with database.told(path):
        db = sqlite3.connect(path, isolation_level=None)
        try:
            database.check(db, path)
            database.check_whole(db, path)
            db.execute("PRAGMA journal_mode = DELETE")
            return int(db.execute("SELECT count(*) FROM change").fetchone()[0])
        finally:
            db.close()


def _photos(path: Path) -> list[str]:
    """Names of the photo files that any change of a store speaks of."""
    with database.told(path):
        db = sqlite3.connect(path, isolation_level=None)
        try:
            query = "SELECT DISTINCT json_extract(body, '$.file') FROM change WHERE kind = 'photo'"
            return sorted(name for (name,) in db.execute(query) if name)
        finally:
            db.close()


def _copy_photos(source: Path, target: Path, names: list[str] | None = None) -> None:
    for name in _photos(target / database.FILE) if names is None else names:
        files.keep(target, files.read(source, name))


def _never_twice(ready: Path, there: Path) -> None:
    """Let the copy number its next change above all that either store ever had."""
    if not there.is_file():
        return
    with database.told(ready):
        db = sqlite3.connect(ready, isolation_level=None)
        try:
            last = db.execute("SELECT max(seq) FROM sqlite_sequence WHERE name = 'change'").fetchone()[0] or 0
            now = _last(there)
            db.execute("DELETE FROM sqlite_sequence WHERE name = 'change'")
            db.execute("INSERT INTO sqlite_sequence VALUES ('change', ?)", (max(last, now),))
        finally:
            db.close()


def _last(path: Path) -> int:
    with database.reading(path) as db:
        row = db.execute("SELECT max(seq) FROM sqlite_sequence WHERE name = 'change'").fetchone()
    return int(row[0] or 0)


def _set_aside(folder: Path) -> Path | None:
    """Keep what is there now: as a backup, or where it is too damaged for one, its files as they are."""
    path = folder / database.FILE
    if not path.exists():
        return None
    name = f"before-restore-{datetime.now(UTC):%Y%m%dT%H%M%S%f}"
    try:
        backup(Store(folder), folder / name)
    except Unreadable:
        (folder / name).mkdir()
        for ending in ("", "-wal", "-shm"):
            part = folder / f"{database.FILE}{ending}"
            if part.exists():
                shutil.move(part, folder / name / part.name)
        files.flush_folder(folder / name)
        files.flush_folder(folder)
    return folder / name


@contextmanager
def _beside(place: Path) -> Iterator[Path]:
    """A folder of ours next to a place, gone at the end unless it was given that name."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=f".{place.name}.", dir=place.parent))
    except OSError as error:
        raise files.not_kept(place, error) from error
    try:
        yield beside
    except OSError as error:
        raise files.not_kept(place, error) from error
    finally:
        shutil.rmtree(beside, ignore_errors=True)
