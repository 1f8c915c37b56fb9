"""The SQLite file of a store: opened, made, and its errors said in words."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from wareontology.errors import NotKept, Unreadable

FILE: Final = "records.sqlite"
APPLICATION: Final = 0x77617265
"""`application_id` of our files, the letters of "ware": a database without it is somebody else's."""
SCHEMA: Final = 1
"""`user_version` of our files. A later program may read an older file, never the other way round."""
WAIT_S: Final = 10.0
"""How long a save waits for another one to end."""

_TABLES: Final = """
CREATE TABLE change (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    kind TEXT NOT NULL,
    id TEXT NOT NULL,
    body TEXT,
    who TEXT NOT NULL,
    why TEXT NOT NULL,
    at TEXT NOT NULL,
    restores INTEGER,
    origin TEXT NOT NULL DEFAULT ''
);
CREATE INDEX change_of ON change (kind, id, number);
CREATE TABLE thing (
    kind TEXT NOT NULL,
    id TEXT NOT NULL,
    number INTEGER NOT NULL REFERENCES change,
    about TEXT,
    PRIMARY KEY (kind, id)
) WITHOUT ROWID;
CREATE INDEX thing_about ON thing (about, kind, id);
CREATE TRIGGER change_stays BEFORE UPDATE ON change
BEGIN SELECT RAISE(ABORT, 'history is not rewritten'); END;
CREATE TRIGGER change_kept BEFORE DELETE ON change
BEGIN SELECT RAISE(ABORT, 'history is not deleted'); END;
"""
"""`change` is the history and only grows; `thing` points to the change that holds for each thing now."""

_FULL, _READ_ONLY, _CANNOT_OPEN = sqlite3.SQLITE_FULL, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN
_DAMAGED: Final = (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
_TAKEN: Final = (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)


@contextmanager
def reading(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection that sees one state of the store from first to last.

    Raises Unreadable for a file that is damaged, newer than this program or not ours.
    """
    with told(path), _connected(path) as database:
        database.execute("BEGIN")
        check(database, path)
        try:
            yield database
        finally:
            database.execute("ROLLBACK")


@contextmanager
def writing(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection inside one transaction: all that is done in it is on the disk at the end, or none of it.

    Raises NotKept where it cannot be kept, Unreadable as `reading`.
    """
    with told(path), _connected(path) as database:
        database.execute("BEGIN IMMEDIATE")
        try:
            check(database, path)
            yield database
            database.execute("COMMIT")
        except BaseException:
            if database.in_transaction:
                database.execute("ROLLBACK")
            raise


def make(path: Path) -> None:
    """Make the tables where there are none yet. Two processes may do it at once."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        found = f"a folder that cannot be made ({error.strerror})"
        raise NotKept(f"{path.parent}: found {found}; would do: a folder that can be written to") from None
    with told(path), _connected(path) as database:
        if _of(database, "user_version"):
            check(database, path)
            return
        database.execute("BEGIN IMMEDIATE")
        try:
            if not database.execute("SELECT 1 FROM sqlite_master").fetchone():
                for statement in _TABLES.strip().split(";\n"):
                    database.execute(statement)
                database.execute(f"PRAGMA application_id = {APPLICATION}")
                database.execute(f"PRAGMA user_version = {SCHEMA}")
            check(database, path)
            database.execute("COMMIT")
        except BaseException:
            if database.in_transaction:
                database.execute("ROLLBACK")
            raise


def check(database: sqlite3.Connection, path: Path) -> None:
    """Raises Unreadable where a database is not ours or newer than this program."""
    if _of(database, "application_id") != APPLICATION:
        found = "a database that is not one of wareontology's records"
        raise Unreadable(f"{path}: found {found}; would do: the folder of the records, or one not used yet")
    version = _of(database, "user_version")
    if version > SCHEMA:
        found = f"records of form {version}, made by a newer wareontology; this one knows form {SCHEMA}"
        raise Unreadable(f"{path}: found {found}; would do: that wareontology. Nothing was changed")


def check_whole(database: sqlite3.Connection, path: Path) -> None:
    """Raises Unreadable where any page of the file is damaged. It reads the whole file."""
    with told(path):
        found = database.execute("PRAGMA integrity_check(1)").fetchone()[0]
    if found != "ok":
        raise damaged(path, found)


def damaged(path: Path, reason: str) -> Unreadable:
    """The error for a file whose pages are damaged."""
    would_do = "`wareontology restore` from a backup. The file is left as it is"
    return Unreadable(f"{path}: found a damaged database ({reason}); would do: {would_do}")


@contextmanager
def told(path: Path) -> Iterator[None]:
    """What SQLite raises, as our errors, which say what would do."""
    try:
        yield
    except sqlite3.Error as error:
        raise _said(path, error) from error


@contextmanager
def _connected(path: Path) -> Iterator[sqlite3.Connection]:
    database = sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)
    try:
        _set_up(database)
        yield database
    finally:
        database.close()


def _set_up(database: sqlite3.Connection) -> None:
    """WAL with every commit flushed: engine measurements lost no acknowledged save to kill -9 this way."""
    if database.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
        database.execute("PRAGMA journal_mode = WAL")
    database.execute("PRAGMA synchronous = FULL")
    database.execute("PRAGMA foreign_keys = ON")
    database.execute("PRAGMA trusted_schema = OFF")


def _of(database: sqlite3.Connection, pragma: str) -> int:
    return int(database.execute(f"PRAGMA {pragma}").fetchone()[0])


def _said(path: Path, error: sqlite3.Error) -> NotKept | Unreadable:
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    kept = "What was saved before is whole; this is not saved"
    if code in _DAMAGED:
        return damaged(path, str(error))
    if code == _FULL:
        return NotKept(f"{path}: found the disk full; would do: room on the disk. {kept}")
    if code in (_READ_ONLY, _CANNOT_OPEN):
        found = f"a file or folder that cannot be written to ({error})"
        return NotKept(f"{path}: found {found}; would do: a folder that can be. {kept}")
    if code in _TAKEN:
        found = f"another program at work on it for more than {WAIT_S:g} s"
        return NotKept(f"{path}: found {found}; would do: that one ended, or a second try. {kept}")
    return NotKept(
        f"{path}: found an error of the disk or the database ({error}); would do: a second try. {kept}"
    )
