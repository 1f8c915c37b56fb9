"""Files written whole or not at all."""

import os
import stat
import tempfile
from pathlib import Path


def write_whole(path: str | Path, content: bytes) -> None:
    """Write a file beside its place and move it there at the end, so that no half file is ever seen.

    A link is followed; what is no plain file (a pipe, a device) is written to as it is. Raises OSError where
    it cannot be written; then what was there before is still there, whole.
    """
    place = Path(os.path.realpath(path))
    if place.exists() and not stat.S_ISREG(place.stat().st_mode):
        place.write_bytes(content)
        return
    try:
        handle, beside = tempfile.mkstemp(prefix=f".{place.name}.", dir=place.parent)
    except OSError as error:
        error.filename = str(path)  # not the file beside it, which nobody asked for
        raise
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(beside, stat.S_IMODE(place.stat().st_mode) if place.exists() else 0o666 & ~_umask())
        os.replace(beside, place)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


def same_file(one: str | Path, other: str | Path) -> bool:
    """Whether two names are one file, through links too.

    >>> same_file("lot.csv", "./lot.csv"), same_file("lot.csv", "faults.json")
    (True, False)
    """
    return os.path.realpath(one) == os.path.realpath(other)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
