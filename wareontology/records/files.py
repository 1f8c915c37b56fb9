"""Photo files: named by what they hold, written whole, never changed."""

import errno
import hashlib
import os
import re
import tempfile
from pathlib import Path
from typing import Final

from wareontology.errors import NotKept, Unreadable

PHOTOS: Final = "photos"
NAME: Final = re.compile(r"[0-9a-f]{64}\.jpg")


def keep(folder: Path, content: bytes) -> str:
    """Keep a photo's bytes and give the name of its file. Raises NotKept where the disk does not."""
    name = digest(content)
    place = folder / PHOTOS / name
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        if not place.exists():
            write_whole(place, content)
    except OSError as error:
        raise not_kept(place, error) from error
    return name


def digest(content: bytes) -> str:
    """The name of the file that holds a photo."""
    return f"{hashlib.sha256(content).hexdigest()}.jpg"


def read(folder: Path, name: str) -> bytes:
    """The bytes of a photo. Raises Unreadable where its file is gone or holds something else."""
    place = folder / PHOTOS / name
    if not NAME.fullmatch(name):
        raise Unreadable(f"{place}: found {name!r}; would do: the name of a photo")
    try:
        content = place.read_bytes()
    except OSError as error:
        found = f"a photo that cannot be read ({error.strerror})"
        raise Unreadable(f"{place}: found {found}; would do: the file from a backup") from None
    if digest(content) != name:
        raise Unreadable(f"{place}: found a damaged photo; would do: the file from a backup")
    return content


def write_whole(place: Path, content: bytes) -> None:
    """Write a file beside its place, flush it, move it there, flush the folder. Raises OSError."""
    handle, beside = tempfile.mkstemp(prefix=f".{place.name}.", dir=place.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(beside, place)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise
    flush_folder(place.parent)


def flush_folder(folder: Path) -> None:
    """Let the names in a folder be on the disk too, where the system can do that."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def not_kept(place: Path, error: OSError) -> NotKept:
    """The error for a file that the disk did not take."""
    would_do = "room on the disk" if error.errno in (errno.ENOSPC, errno.EDQUOT) else "a place to write to"
    found = f"a disk that did not take it ({error.strerror or error})"
    return NotKept(f"{place}: found {found}; would do: {would_do}. What was saved before is whole")
