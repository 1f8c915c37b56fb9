"""A file as it was handed in: found, opened, and known for what it is, before a cell is read."""

import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Final, Literal

from wareontology.errors import Unreadable

Format = Literal["csv", "xlsx", "json", "turtle"]

STANDARD_INPUT: Final = "-"
MOST_AT_ONCE: Final = 128 * 2**20
"""Bytes of a file that must be held whole (XLSX, JSON, Turtle); a CSV is read as it comes."""
MOST_SPOOLED: Final = 4 * 2**30
"""Bytes taken from a pipe before giving up."""

_HEAD: Final = 64 * 2**10
_CHUNK: Final = 2**20
_IN_MEMORY: Final = 8 * 2**20
_WOULD_DO: Final = "a table as CSV, XLSX or JSON"
_MAGIC: Final = (
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet or a locked one", "the same as .xlsx or CSV, with no password"),
    (b"\x1f\x8b", "a gzip file", "the file unpacked"),
    (b"%PDF", "a PDF", _WOULD_DO),
    (b"\xff\xfe\x00\x00", "text in UTF-32", "the same saved as UTF-8"),
    (b"\x00\x00\xfe\xff", "text in UTF-32", "the same saved as UTF-8"),
)


@dataclass(frozen=True, slots=True)
class Source:
    """An opened file: its name for messages, its bytes (they can be read again from the start), its format.

    encoding: of the text, for the formats that are text.
    """

    name: str
    file: IO[bytes]
    format: Format
    encoding: str

    def whole(self) -> bytes:
        """All its bytes. Raises Unreadable where they are more than can be held at once."""
        self.file.seek(0)
        content = self.file.read(MOST_AT_ONCE + 1)
        if len(content) > MOST_AT_ONCE:
            size = f"more than {MOST_AT_ONCE // 2**20} MB of {self.format.upper()}"
            raise Unreadable(f"{self.name}: found {size}; would do: the same as CSV, read as it comes")
        return content

    def text(self) -> str:
        """All its text. Raises Unreadable where the bytes are no text of its encoding."""
        content = self.whole()
        try:
            return content.decode(self.encoding)
        except UnicodeDecodeError as error:
            line = content.count(b"\n", 0, error.start) + 1
            raise wrong_encoding(self.name, line, content[error.start]) from None


@contextmanager
def opened(path: str | Path, name: str | None = None) -> Iterator[Source]:
    """The file at `path`, or standard input for `-`, opened and sniffed.

    Raises Unreadable where it is missing, a folder, not to be opened, empty, or not a table.
    """
    shown = name or ("standard input" if str(path) == STANDARD_INPUT else str(path))
    with _bytes(path, shown) as file:
        head = file.read(_HEAD)
        file.seek(0)
        kind, encoding = sniff(head, shown)
        if kind == "csv" and Path(shown).suffix.casefold() in (".ttl", ".nt"):
            kind = "turtle"
        yield Source(shown, file, kind, encoding)


def sniff(head: bytes, name: str) -> tuple[Format, str]:
    """Format and encoding by the first bytes of a file. Raises Unreadable where it is empty or no table.

    >>> sniff(b"sherd;zone;layer\\n", "lot.csv"), sniff(b'[{"sherd": "K-14"}]', "-")
    (('csv', 'utf-8'), ('json', 'utf-8'))
    """
    for magic, found, would_do in _MAGIC:
        if head.startswith(magic):
            raise Unreadable(f"{name}: found {found}; would do: {would_do}")
    if head.startswith(b"PK"):
        return "xlsx", ""
    encoding = _encoding(head)
    if encoding != "utf-16" and b"\x00" in head:
        found = "a binary file, or UTF-16 text without its mark"
        raise Unreadable(f"{name}: found {found}; would do: {_WOULD_DO}, text in UTF-8")
    start = head.decode(encoding, errors="ignore").lstrip()
    if not start:
        raise Unreadable(f"{name}: found nothing in it; would do: {_WOULD_DO}, with a heading and rows")
    if start[0] in "[{":
        return "json", encoding
    if start.startswith(("@prefix", "@base", "PREFIX ", "BASE <", "<http")):
        return "turtle", encoding
    return "csv", encoding


def wrong_encoding(name: str, line: int | None, byte: int) -> Unreadable:
    """The error for bytes that are no UTF-8: they are refused, never read as wrong letters."""
    where = f"{name}, line {line}" if line else name
    return Unreadable(
        f"{where}: found the byte {byte:02X}, which is no UTF-8 (perhaps an older Windows or Mac encoding);"
        " would do: the file saved again as UTF-8 (in a spreadsheet: CSV UTF-8)"
    )


def _encoding(head: bytes) -> str:
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "utf-16"
    return "utf-8-sig" if head.startswith(b"\xef\xbb\xbf") else "utf-8"


@contextmanager
def _bytes(path: str | Path, name: str) -> Iterator[IO[bytes]]:
    if str(path) == STANDARD_INPUT:
        with _spooled(sys.stdin.buffer, name) as file:
            yield file
        return
    try:
        file = Path(path).open("rb")  # noqa: SIM115 - closed below; only opening it may fail in these ways
    except FileNotFoundError:
        raise Unreadable(f"{name}: found no such file; would do: {_WOULD_DO}") from None
    except IsADirectoryError:
        raise Unreadable(f"{name}: found a folder; would do: {_WOULD_DO}, one file at a time") from None
    except (OSError, ValueError) as error:  # no leave to read it, a name too long, a NUL in the name
        reason = getattr(error, "strerror", None) or str(error)
        found = f"a file that cannot be opened ({reason})"
        raise Unreadable(f"{name}: found {found}; would do: {_WOULD_DO}") from None
    with file:
        if file.seekable():
            yield file
            return
        with _spooled(file, name) as copy:
            yield copy


@contextmanager
def _spooled(stream: IO[bytes], name: str) -> Iterator[IO[bytes]]:
    """A pipe copied to where it can be read twice; its first bytes are looked at before the rest is taken."""
    with tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY) as copy:
        taken = 0
        while chunk := stream.read(_CHUNK):
            if taken == 0:
                sniff(chunk[:_HEAD], name)
            taken += len(chunk)
            if taken > MOST_SPOOLED:
                size = MOST_SPOOLED // 2**30
                raise Unreadable(f"{name}: found more than {size} GB; would do: the table in several files")
            copy.write(chunk)
        copy.seek(0)
        yield copy
