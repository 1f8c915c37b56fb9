"""A whole store out to one file and in again: a zip with a line of JSON a change, and the photos."""

import json
import os
import re
import sqlite3
import struct
import tempfile
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, Final

from wareontology.errors import BreaksShape, Conflict, Unreadable
from wareontology.records import database, files, version
from wareontology.records.photos import MOST_BYTES as MOST_PHOTO
from wareontology.records.photos import check_clean
from wareontology.records.store import Store, point
from wareontology.records.version import Version

FORM: Final = 1
MOST_FILES: Final = 50_000
MOST_UNPACKED: Final = 8 * 2**30
MOST_CHANGES: Final = 5_000_000
MOST_RATIO: Final = 200
"""JSON packs to a tenth or less, photos not at all; what packs to less than a two hundredth is a bomb."""

_ABOUT, _CHANGES = "store.json", "changes.jsonl"
_PHOTO: Final = f"{files.PHOTOS}/"
_DAMAGED: Final = (
    zipfile.BadZipFile, zlib.error, struct.error, NotImplementedError, EOFError, RuntimeError, ValueError,
    OverflowError,
)  # fmt: skip
_TIME: Final = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z")
_PACKED: Final = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)
_KEYS: Final = frozenset(version.COLUMNS.split(", "))
_WOULD_DO: Final = "a file that the export of a collection made"


@dataclass(frozen=True, slots=True)
class Brought:
    """What an import did: things that are new here, and things that were here just so already."""

    new: int
    known: int


def export_whole(store: Store, path: str | Path) -> int:
    """Write every change and photo to one zip, whole or not at all; give the number of changes.

    Raises NotKept where the disk does not take it.
    """
    place = Path(path)
    try:
        handle, beside = tempfile.mkstemp(prefix=f".{place.name}.", dir=place.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                number = write_whole(store, file)
                file.flush()
                os.fsync(file.fileno())
            os.chmod(beside, 0o644)
            os.replace(beside, place)
        except BaseException:
            Path(beside).unlink(missing_ok=True)
            raise
        files.flush_folder(place.parent)
    except OSError as error:
        raise files.not_kept(place, error) from error
    return number


def write_whole(store: Store, out: IO[bytes]) -> int:
    """The same to an open file."""
    number = 0
    photos: set[str] = set()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as pack:
        with pack.open(_CHANGES, "w", force_zip64=True) as lines:
            for change in store.changes():
                number += 1
                lines.write((json.dumps(change.as_data(), ensure_ascii=False) + "\n").encode())
                if change.kind == "photo" and change.body is not None:
                    photos.add(str(change.body["file"]))
        for name in sorted(photos):
            pack.writestr(zipfile.ZipInfo(_PHOTO + name), files.read(store.folder, name))
        pack.writestr(_ABOUT, json.dumps({"form": FORM, "changes": number, "photos": len(photos)}))
    return number


def import_whole(
    store: Store, path: str | Path | IO[bytes], *, who: str, why: str, name: str = ""
) -> Brought:
    """Bring in what another store exported, history and all, in one transaction.

    A thing that is here just so is left alone. Raises Conflict where a thing is here and is another,
    Unreadable for what is no export or a zip bomb; then nothing was brought in.
    """
    who, why = version.signed(who, why)
    shown = name or (str(path) if isinstance(path, (str, Path)) else "export")
    try:
        with zipfile.ZipFile(path) as pack:
            names = _checked(pack, shown)
            for photo in names:
                _bring_photo(store, pack, photo, shown)
            origin = f"imported by {who}, {version.now()}: {why}"
            return _bring(store, _changes(pack, names, shown), origin)
    except _DAMAGED as error:
        raise Unreadable(f"{shown}: found a damaged zip ({error}); would do: {_WOULD_DO}") from None
    except FileNotFoundError:
        raise Unreadable(f"{shown}: found no such file; would do: {_WOULD_DO}") from None
    except OSError as error:
        raise Unreadable(
            f"{shown}: found a file that cannot be read ({error}); would do: {_WOULD_DO}"
        ) from None


def _checked(pack: zipfile.ZipFile, shown: str) -> frozenset[str]:
    """The photos an export brings. Raises Unreadable for a zip that is anything else."""
    parts = pack.infolist()
    size, packed = sum(part.file_size for part in parts), sum(part.compress_size for part in parts)
    if len(parts) > MOST_FILES or size > MOST_UNPACKED or size > MOST_RATIO * (packed + 1_000):
        found = f"a zip of {len(parts):,} files that unpacks from {packed:,} to {size:,} bytes"
        raise Unreadable(f"{shown}: found {found}; would do: {_WOULD_DO}")
    names = [part.filename for part in parts]
    photos = frozenset(name.removeprefix(_PHOTO) for name in names if name.startswith(_PHOTO))
    odd = [name for name in names if name not in (_ABOUT, _CHANGES) and not name.startswith(_PHOTO)]
    odd += [name for name in photos if not files.NAME.fullmatch(name)]
    odd += [part.filename for part in parts if part.compress_type not in _PACKED]
    if odd or len(set(names)) < len(names) or not {_ABOUT, _CHANGES} <= set(names):
        found = f"the part {odd[0]!r}" if odd else "other parts than an export has"
        raise Unreadable(f"{shown}: found {found}; would do: {_WOULD_DO}")
    if pack.getinfo(_ABOUT).file_size > 10_000:
        raise Unreadable(f"{shown}: found {_ABOUT} over 10,000 bytes; would do: {_WOULD_DO}")
    try:
        form = json.loads(pack.read(_ABOUT))["form"]
    except (ValueError, KeyError, TypeError, RecursionError):
        raise Unreadable(f"{shown}: found a {_ABOUT} that says no form; would do: {_WOULD_DO}") from None
    if form != FORM:
        raise Unreadable(
            f"{shown}: found an export of form {form!r}; would do: form {FORM}, or a newer program"
        )
    return photos


def _bring_photo(store: Store, pack: zipfile.ZipFile, photo: str, shown: str) -> None:
    if pack.getinfo(_PHOTO + photo).file_size > MOST_PHOTO:
        raise Unreadable(f"{shown}, {photo}: found over {MOST_PHOTO:,} bytes; would do: {_WOULD_DO}")
    content = pack.read(_PHOTO + photo)
    check_clean(content, f"{shown}, {photo}")
    if files.digest(content) != photo:
        raise Unreadable(f"{shown}, {photo}: found another photo under that name; would do: {_WOULD_DO}")
    files.keep(store.folder, content)


def _changes(pack: zipfile.ZipFile, photos: frozenset[str], shown: str) -> Iterator[Version]:
    last = 0
    with pack.open(_CHANGES) as lines:
        number = 0
        while line := lines.readline(version.MOST_BYTES * 2):
            number += 1
            where = f"{shown}, {_CHANGES}, line {number}"
            change = _change(line, where)
            if change.number <= last or number > MOST_CHANGES:
                raise Unreadable(
                    f"{where}: found version {change.number} after {last}; would do: {_WOULD_DO}"
                )
            if change.kind == "photo" and change.body is not None and change.body.get("file") not in photos:
                raise Unreadable(f"{where}: found a photo whose file is not there; would do: {_WOULD_DO}")
            last = change.number
            yield change


def _change(line: bytes, where: str) -> Version:
    try:
        said: dict[str, Any] = json.loads(line)
        if set(said) != _KEYS:
            raise ValueError("other keys than a change has")
        change = Version(**said)
        texts = (change.kind, change.id, change.who, change.why, change.at, change.origin)
        whole = isinstance(change.number, int) and isinstance(change.restores, int | None)
        if not all(isinstance(text, str) for text in texts) or not whole:
            raise ValueError("a value of another kind")
        if not _TIME.fullmatch(change.at) or change.origin != version.sayable(change.origin):
            raise ValueError("no time in UTC, or text with half a letter")
        if not isinstance(change.body, dict | None):
            raise ValueError("a body that is no object")
        version.check_names(change.kind, change.id)
        version.signed(change.who, change.why)
    except (ValueError, TypeError, RecursionError, BreaksShape) as error:
        raise Unreadable(f"{where}: found no change ({error}); would do: {_WOULD_DO}") from None
    return change


def _bring(store: Store, changes: Iterator[Version], origin: str) -> Brought:
    """Changes of things that are not here, numbered anew; all or none."""
    numbers: dict[int, int] = {}
    last: dict[tuple[str, str], Version] = {}
    with database.writing(store.path) as db:
        rows = db.execute("SELECT kind, id, number FROM thing")
        here = {(kind, name): number for kind, name, number in rows}
        for change in changes:
            key = (change.kind, change.id)
            last[key] = change
            if key in here:
                continue
            numbers[change.number] = _add(db, change, numbers, origin)
        known = [(key, here[key]) for key in last if key in here]
        for key, number in known:
            _check_same(db, last[key], number)
    return Brought(len(last) - len(known), len(known))


def _add(db: sqlite3.Connection, change: Version, numbers: Mapping[int, int], origin: str) -> int:
    values = (
        change.kind, change.id, None if change.body is None else version.text_of(change.body),
        change.who, change.why, change.at,
        None if change.restores is None else numbers.get(change.restores, 0),
        f"{change.origin}; {origin}" if change.origin else origin,
    )  # fmt: skip
    columns = "kind, id, body, who, why, at, restores, origin"
    done = db.execute(f"INSERT INTO change ({columns}) VALUES (?, ?, ?, ?, ?, ?, ?, ?)", values)
    assert done.lastrowid is not None  # an INSERT that did not raise has one
    point(db, change.kind, change.id, done.lastrowid, version.about(change.body))
    return done.lastrowid


def _check_same(db: sqlite3.Connection, change: Version, number: int) -> None:
    body, who, at = db.execute("SELECT body, who, at FROM change WHERE number = ?", (number,)).fetchone()
    if (None if body is None else json.loads(body)) != change.body:
        raise Conflict(f"{change.kind} {change.id}, in the import", change.number, number, who, at)
