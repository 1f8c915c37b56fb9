"""The store: what is kept, every change of it with who, when and why, and no change lost to another.

records/records.sqlite     the history and what holds now
records/photos/<sha256>.jpg
"""

import re
import sqlite3
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final
from uuid import uuid4

from wareontology.errors import Conflict, NotKept
from wareontology.records import database, files, version
from wareontology.records.version import COLUMNS, Body, Draft, Version

FOLDER: Final = "records"
"""Where records are kept if nobody says otherwise."""
MOST_FOUND: Final = 1_000
"""Things that `find` gives at once; `after` goes on from there."""

_KEY: Final = re.compile(r'"[a-z_@A-Z0-9]+":')
_OF_CHANGE: Final = ", ".join(f"c.{name}" for name in COLUMNS.split(", "))
_NOW: Final = f"SELECT {_OF_CHANGE} FROM thing t JOIN change c USING (number)"


@dataclass(frozen=True, slots=True)
class Found:
    """A page of things. next: what to hand to `after` for the next page, None at the end."""

    things: tuple[Version, ...]
    next: str | None


class Store:
    """A folder of records. Any number of threads and processes may use it at once.

    create: make it where there is none; else NotKept is raised. Every method raises NotKept where the disk
    keeps nothing (full, read-only, busy for long) and Unreadable where the file is damaged, not ours or
    newer.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     store = Store(folder)
    ...     one = store.put("note", "n1", {"edge": "soft"}, who="AB", why="seen", expected_version=None)
    ...     two = store.put(
    ...         "note", "n1", {"edge": "sharp"}, who="AB", why="a lens", expected_version=one.number
    ...     )
    ...     _ = store.undo("note", "n1", who="AB", why="no", expected_version=two.number)
    ...     [change.body["edge"] for change in store.history("note", "n1")]
    ['soft', 'sharp', 'soft']
    """

    def __init__(self, folder: str | Path, *, create: bool = True) -> None:
        self.folder = Path(folder)
        self.path = self.folder / database.FILE
        if not create and not self.path.is_file():
            would_do = "the folder of the records, as `serve --records` names it"
            raise NotKept(f"{self.folder}: found no records in it; would do: {would_do}")
        database.make(self.path)

    def put(
        self, kind: str, name: str, body: Body | None, *, who: str, why: str, expected_version: int | None
    ) -> Version:
        """Keep one change; it is on the disk when this returns.

        expected_version: the version the change rests on; None for a thing that is not there yet. body None
        takes the thing away. Raises Conflict where another version is there, BreaksShape where something said
        is not what it must be.
        """
        return self.put_all([Draft(kind, name, body, expected_version)], who=who, why=why)[0]

    def put_all(self, drafts: Sequence[Draft], *, who: str, why: str) -> list[Version]:
        """Keep several changes, all or none. Errors as `put`."""
        who, why = version.signed(who, why)
        with database.writing(self.path) as db:
            return [_changed(db, draft, who, why) for draft in drafts]

    def get(self, kind: str, name: str) -> Version | None:
        """The thing as it is now; None where it is not there."""
        with database.reading(self.path) as db:
            found = _now(db, kind, name)
        return found if found is not None and found.body is not None else None

    def latest(self, kind: str, name: str) -> Version | None:
        """The last change, also where it took the thing away; None where it never was."""
        with database.reading(self.path) as db:
            return _now(db, kind, name)

    def history(self, kind: str, name: str) -> tuple[Version, ...]:
        """Every change of a thing, the first one first; empty where it never was."""
        with database.reading(self.path) as db:
            return _history(db, kind, name)

    def undo(
        self, kind: str, name: str, *, who: str, why: str, expected_version: int, to: int | None = None
    ) -> Version:
        """Go back one change, or to the version numbered `to`, as a new change; the history only grows.

        Undone again it goes back one more, as far as to before the thing was there. Raises Conflict as `put`,
        BreaksShape where there is nothing to go back to.
        """
        who, why = version.signed(who, why)
        with database.writing(self.path) as db:
            past = _history(db, kind, name)
            now = past[-1] if past else None
            if now is None or now.number != expected_version:
                raise _conflict(kind, name, expected_version, now)
            goal = _before(past, now) if to is None else _numbered(past, to)
            body = next((change.body for change in past if change.number == goal), None)
            return _written(db, kind, name, body, who, why, restores=goal)

    def find(
        self, kind: str, *, text: str = "", about: tuple[str, str] | None = None, after: str | None = None,
        limit: int = 100,
    ) -> Found:  # fmt: skip
        """Things of a kind in the order of their ids.

        text: only those whose id or body holds it, whatever its case. about: only those that belong to that
        thing. limit: 1 to MOST_FOUND.
        """
        if not 1 <= limit <= MOST_FOUND:
            raise version.refused("limit", str(limit), f"1 to {MOST_FOUND:,}")
        where = ["t.kind = :kind", "c.body IS NOT NULL"]
        if after is not None:
            where.append("t.id > :after")
        if about is not None:
            where.append("t.about = :about")
        values: dict[str, object] = {
            "kind": kind,
            "after": version.sayable(after or ""),
            "about": version.sayable("/".join(about or ())),
        }
        for at, word in enumerate(version.sayable(text).split()[:10]):
            where.append(f"instr(folded(c.id || ' ' || c.body), :word{at})")
            values[f"word{at}"] = word.casefold()
        query = f"{_NOW} WHERE {' AND '.join(where)} ORDER BY t.id LIMIT {limit + 1}"
        with database.reading(self.path) as db:
            db.create_function("folded", 1, _folded, deterministic=True)
            found = [version.of_row(row) for row in db.execute(query, values)]
        return Found(tuple(found[:limit]), found[limit - 1].id if len(found) > limit else None)

    def count(self, kind: str) -> int:
        """How many things of a kind are there now."""
        with database.reading(self.path) as db:
            there = "FROM thing t JOIN change c USING (number) WHERE t.kind = ? AND c.body IS NOT NULL"
            return int(db.execute(f"SELECT count(*) {there}", (kind,)).fetchone()[0])

    def changes(self) -> Iterator[Version]:
        """Every change of the store in the order they were made, from one state of it."""
        with database.reading(self.path) as db:
            for row in db.execute(f"SELECT {COLUMNS} FROM change ORDER BY number"):
                yield version.of_row(row)

    def add_photo(
        self, content: bytes, about: tuple[str, str], *, caption: str, who: str, why: str
    ) -> Version:
        """Keep a photo: encoded anew, without place, time or camera. The file is whole before it is named.

        Raises Unreadable for what is no picture, or too large a one.
        """
        from wareontology.records.photos import clean

        photo = clean(content)
        body = {
            "about": {"kind": about[0], "id": about[1]},
            "caption": caption.strip()[:2_000],
            "file": files.keep(self.folder, photo.content),
            "width_px": photo.width,
            "height_px": photo.height,
        }
        return self.put("photo", uuid4().hex, body, who=who, why=why, expected_version=None)

    def photo(self, name: str) -> bytes | None:
        """The bytes of a photo (JPEG) by its id; None where it is not there."""
        found = self.get("photo", name)
        return (
            None if found is None or found.body is None else files.read(self.folder, str(found.body["file"]))
        )


def _changed(db: sqlite3.Connection, draft: Draft, who: str, why: str) -> Version:
    version.check_names(draft.kind, draft.id)
    now = _now(db, draft.kind, draft.id)
    there = now.number if now is not None and now.body is not None else None
    if there != draft.expected_version:
        raise _conflict(draft.kind, draft.id, draft.expected_version, now)
    return _written(db, draft.kind, draft.id, draft.body, who, why)


def _written(
    db: sqlite3.Connection, kind: str, name: str, body: Body | None, who: str, why: str, *,
    restores: int | None = None,
) -> Version:  # fmt: skip
    text = None if body is None else version.text_of(body)
    at = version.now()
    done = db.execute(
        "INSERT INTO change (kind, id, body, who, why, at, restores) VALUES (?, ?, ?, ?, ?, ?, ?)",
        (kind, name, text, who, why, at, restores),
    )
    assert done.lastrowid is not None  # an INSERT that did not raise has one
    point(db, kind, name, done.lastrowid, version.about(body))
    return Version(done.lastrowid, kind, name, body, who, why, at, restores)


def point(db: sqlite3.Connection, kind: str, name: str, number: int, about: str | None) -> None:
    """Let a thing be what a change left."""
    db.execute("INSERT OR REPLACE INTO thing VALUES (?, ?, ?, ?)", (kind, name, number, about))


def _now(db: sqlite3.Connection, kind: str, name: str) -> Version | None:
    row = db.execute(f"{_NOW} WHERE t.kind = ? AND t.id = ?", (kind, version.sayable(name))).fetchone()
    return None if row is None else version.of_row(row)


def _history(db: sqlite3.Connection, kind: str, name: str) -> tuple[Version, ...]:
    query = f"SELECT {COLUMNS} FROM change WHERE kind = ? AND id = ? ORDER BY number"
    return tuple(version.of_row(row) for row in db.execute(query, (kind, version.sayable(name))))


def _before(past: Sequence[Version], now: Version) -> int:
    """What the change that `now` stands for was made on; 0 is before there was anything."""
    if now.stands_for == 0:
        raise version.refused("undo", f"{now.kind} {now.id}, not there", "a thing with a change to undo")
    earlier = [change for change in past if change.number < now.stands_for]
    return earlier[-1].stands_for if earlier else 0


def _numbered(past: Sequence[Version], number: int) -> int:
    for change in past:
        if change.number == number:
            return change.stands_for
    numbers = ", ".join(str(change.number) for change in past[-10:])
    raise version.refused("to", str(number), f"a version of this thing: {numbers}")


def _conflict(kind: str, name: str, read: int | None, now: Version | None) -> Conflict:
    what = f"{kind} {name}"
    if now is None or (now.body is None and read is not None and now.number != read):
        return Conflict(what, read, None)
    return Conflict(what, read, now.number, now.who, now.at)


def _folded(text: str) -> str:
    """What a body says, without its keys, in small letters; SQLite's own knows those of English only."""
    return _KEY.sub(" ", text).casefold()
