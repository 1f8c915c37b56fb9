"""A table handed in by a browser: held to the app's caps before it is read."""

import io
import lzma
import re
import tempfile
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import IO, Any, Final

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.sherd.record import Sherd
from wareontology.sherd.table import iter_records

_SHEET: Final = re.compile(r"xl/worksheets/[^/]+\.xml")
_DAMAGED: Final = (
    zipfile.BadZipFile, zlib.error, lzma.LZMAError, ValueError, NotImplementedError, OSError, RuntimeError,
    EOFError,
)  # fmt: skip
_KINDS: Final = (".csv", ".tsv", ".txt", ".xlsx")
_COMMAND: Final = "a smaller table, or the command: wareontology infer FILE"


@dataclass(slots=True)
class Table:
    """The good sherds of a table, in its order, and every fault. `refused`: how many records had one."""

    name: str
    sherds: list[Sherd] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    refused: int = 0


def read(file: IO[bytes], name: str, caps: Mapping[str, Any]) -> Table:
    """Read a CSV or XLSX.

    caps: MOST_UNPACKED bytes and MOST_SHEETS of a workbook, MOST_ROWS and MOST_CELLS of any table,
    MOST_SHERDS. Raises Unreadable where it is no table or passes a cap.
    """
    shown = Path(name.replace("\\", "/")).name[:80] or "the table"
    if Path(shown).suffix.casefold() not in _KINDS:
        raise Unreadable(f"{shown}: found another kind of file; would do: a table as .csv or .xlsx")
    content = file.read()
    if content.startswith(b"PK"):
        _check_workbook(content, shown, caps)
    else:
        _check_text(content, shown, caps)
    found = Table(shown)
    with _laid_down(content) as path:
        for record in iter_records(path, name=shown):
            _take(found, record.sherd, record.faults, caps)
    found.faults.sort(key=lambda fault: fault.row or 0)
    return found


def _take(found: Table, sherd: Sherd | None, faults: tuple[Fault, ...], caps: Mapping[str, Any]) -> None:
    if sherd is None:
        found.faults += faults
        found.refused += 1
        return
    found.sherds.append(sherd)
    if len(found.sherds) > caps["MOST_SHERDS"]:
        most = f"more than {caps['MOST_SHERDS']:,} sherds"
        raise Unreadable(f"{found.name}: found {most}; would do: {_COMMAND}")


def _check_text(content: bytes, name: str, caps: Mapping[str, Any]) -> None:
    rows = content.count(b"\n") + content.count(b"\r") - content.count(b"\r\n")
    if rows > caps["MOST_ROWS"]:
        raise Unreadable(f"{name}: found more than {caps['MOST_ROWS']:,} rows; would do: {_COMMAND}")
    cells = rows + max(content.count(mark) for mark in (b",", b";", b"\t"))
    if cells > caps["MOST_CELLS"]:
        raise Unreadable(f"{name}: found more than {caps['MOST_CELLS']:,} cells; would do: {_COMMAND}")


def _check_workbook(content: bytes, name: str, caps: Mapping[str, Any]) -> None:
    """What a workbook says it unpacks to, its sheets, its rows and cells, counted before it is parsed."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as pack:
            parts = pack.infolist()
            unpacked = sum(part.file_size for part in parts)
            if unpacked > caps["MOST_UNPACKED"]:
                most = f"{caps['MOST_UNPACKED'] // 2**20} MB"
                raise Unreadable(f"{name}: found a workbook that unpacks to over {most}; would do: CSV")
            sheets = [part for part in parts if _SHEET.fullmatch(part.filename)]
            if len(sheets) > caps["MOST_SHEETS"]:
                would_do = f"one table in at most {caps['MOST_SHEETS']}"
                raise Unreadable(f"{name}: found {len(sheets)} sheets; would do: {would_do}")
            for sheet in sheets:
                _check_sheet(pack, sheet, name, caps)
    except _DAMAGED:
        raise Unreadable(f"{name}: found a damaged workbook; would do: it saved anew, or as CSV") from None


def _check_sheet(pack: zipfile.ZipFile, sheet: zipfile.ZipInfo, name: str, caps: Mapping[str, Any]) -> None:
    rows = cells = 0
    kept = b""
    with pack.open(sheet) as file:
        while chunk := file.read(2**20):
            text = kept + chunk
            kept = text[-3:]
            whole = text[:-3]
            rows += whole.count(b"<row")
            cells += whole.count(b"<c ") + whole.count(b"<c>")
            if rows > caps["MOST_ROWS"] or cells > caps["MOST_CELLS"]:
                most = f"{caps['MOST_ROWS']:,} rows or {caps['MOST_CELLS']:,} cells"
                raise Unreadable(f"{name}: found more than {most} in a sheet; would do: {_COMMAND}")


@contextmanager
def _laid_down(content: bytes) -> Iterator[str]:
    """The bytes as a file that is gone afterwards: a CSV is gone through twice."""
    with tempfile.NamedTemporaryFile(prefix="wareontology-") as file:
        file.write(content)
        file.flush()
        yield file.name


def refused_whole(error: Unreadable, name: str) -> list[Fault]:
    """A file that cannot be read at all, as a fault."""
    where, _, rest = str(error).partition(": found ")
    found, _, would_do = rest.partition("; would do: ")
    faults = error.faults if isinstance(error, BreaksShape) else None
    return list(faults or [Fault(where or name, None, None, found or str(error), would_do)])
