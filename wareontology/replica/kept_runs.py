"""Simulations kept on the disk, so that the same question costs its computing once.

A thing is kept under the hash of all it follows from: the question, every data file and every line of code of
the simulation. What changes has another name, so nothing stale is ever found. Where there is no place to keep
anything, nothing is kept.
"""

import hashlib
import os
import sys
import tempfile
from collections.abc import Iterable
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Final

from wareontology import __version__, paths

MOST: Final = 2000
"""Files kept; the oldest go first."""
_DATA: Final = (
    "constants.csv", "fire_histories.csv", "firing.csv", "structures.ttl", "vocabulary.ttl", "materials.ttl",
    "paint_recipes.csv", "look_colours.csv", "means.csv", "limits.csv",
)  # fmt: skip
_CODE: Final = ("firing", "redox", "replica")


def folder() -> Path:
    """Where they are kept: WAREONTOLOGY_CACHE, else the user's cache folder."""
    own = os.environ.get("WAREONTOLOGY_CACHE")
    if own:
        return Path(own)
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA") or str(Path.home() / "AppData" / "Local")
    else:
        base = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(base) / "wareontology"


@cache
def data_hash() -> str:
    """SHA-256 over the data files and the code that a simulation follows from, the first 16 digits."""
    digest = hashlib.sha256(__version__.encode())
    package = Path(__file__).resolve().parent.parent
    code = [path for name in _CODE for path in sorted((package / name).glob("*.py"))]
    for path in (*(paths.data(name) for name in _DATA), *code):
        digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:16]


def key(*parts: object) -> str:
    """The name of what follows from these parts, the data and the code.

    >>> key("a", 1) == key("a", 1), key("a", 1) == key("a", 2)
    (True, False)
    """
    text = "\n".join([data_hash(), *(repr(part) for part in parts)])
    return hashlib.sha256(text.encode()).hexdigest()[:40]


def get(name: str) -> bytes | None:
    """What was kept under a name; None where nothing was, or it was cut short."""
    try:
        content = (folder() / name).read_bytes()
    except OSError:
        return None
    body, digest = content[:-32], content[-32:]
    return body if hashlib.sha256(body).digest() == digest else None


def put(name: str, body: bytes) -> None:
    """Keep it whole or not at all. A folder that cannot be written to is no fault."""
    place = folder()
    with suppress(OSError):
        place.mkdir(parents=True, exist_ok=True)
        handle, temporary = tempfile.mkstemp(dir=place, prefix=".")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(body + hashlib.sha256(body).digest())
            os.replace(temporary, place / name)
        except OSError:
            Path(temporary).unlink(missing_ok=True)


def tidy(most: int = MOST) -> None:
    """Remove the oldest beyond so many."""
    with suppress(OSError):
        kept = sorted(_ours(folder().iterdir()), key=lambda path: path.stat().st_mtime)
        for path in kept[: max(0, len(kept) - most)]:
            path.unlink(missing_ok=True)


def _ours(found: Iterable[Path]) -> list[Path]:
    return [path for path in found if len(path.name) == 40 and path.is_file()]
