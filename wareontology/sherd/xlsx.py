"""The rows of a table handed in as XLSX: values only, no formula, within limits."""

import io
import warnings
import zipfile
from collections.abc import Iterator, Mapping
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING, Any, Final

from wareontology.errors import Unreadable
from wareontology.sherd.cells import Refused, plain
from wareontology.sherd.columns import column
from wareontology.sherd.gather import Table
from wareontology.sherd.headings import MOST_COLUMNS, meant
from wareontology.sherd.rows import Cell
from wareontology.sherd.source import Source

if TYPE_CHECKING:
    from openpyxl.cell.read_only import ReadOnlyCell

MOST_UNPACKED: Final = 256 * 2**20
"""Bytes an XLSX may unpack to; a zip declares them beforehand and Python reads no more than it declares."""
MOST_FILES: Final = 2_000
MOST_ROWS: Final = 1_048_576
"""Rows of a sheet, as the format has it; a file may claim more."""
MOST_CELLS: Final = 5_000_000

_WOULD_DO: Final = "a workbook saved as .xlsx, or the same table as CSV"


def table(source: Source, own: Mapping[str, str] | None) -> Table:
    """The first sheet whose first row has a heading `sherd`, or one that `own` says to mean it.

    openpyxl is loaded here and nowhere earlier.

    Raises Unreadable where it is no workbook, has no such sheet, or is larger than any sherd table.
    """
    content = source.whole()
    _check_size(content, source.name)
    # A damaged or hostile workbook makes openpyxl raise nearly anything; whatever it is, it is unreadable.
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # on parts of a workbook that are of no concern here
            return _read(content, source.name, own)
    except Unreadable:
        raise
    except Exception as error:
        found = f"no workbook that can be read ({type(error).__name__})"
        raise Unreadable(f"{source.name}: found {found}; would do: {_WOULD_DO}") from error


def _check_size(content: bytes, name: str) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as pack:
            parts = pack.infolist()
    except (zipfile.BadZipFile, ValueError, NotImplementedError, OSError):
        raise Unreadable(f"{name}: found a damaged zip, no workbook; would do: {_WOULD_DO}") from None
    if sum(part.file_size for part in parts) > MOST_UNPACKED or len(parts) > MOST_FILES:
        most = f"{MOST_UNPACKED // 2**20} MB or {MOST_FILES:,} parts"
        raise Unreadable(f"{name}: found a workbook that unpacks to over {most}; would do: the table as CSV")


def _read(content: bytes, name: str, own: Mapping[str, str] | None) -> Table:
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(content), read_only=True, data_only=False, keep_links=False)
    try:
        for sheet in book.worksheets:
            sheet.reset_dimensions()  # what the file says of its size need not be true
            rows = _rows(sheet, name)
            row, heading = _heading(rows)
            if column("sherd") in (meant(each, own) for each in heading):
                return Table(name, heading, row, _as_wide(rows, len(heading), name))
        seen = ", ".join(repr(sheet.title) for sheet in book.worksheets) or "none"
    finally:
        book.close()
    found = f"no sheet whose first row has the heading sherd (sheets: {seen})"
    raise Unreadable(f"{name}: found {found}; would do: one that has")


def _heading(rows: Iterator[tuple[int, list[Cell]]]) -> tuple[int, list[str]]:
    """The first row that is neither blank nor a remark."""
    for number, cells in rows:
        texts = [cell if isinstance(cell, str) else cell.found for cell in cells]
        if any(texts) and not texts[0].startswith("#"):
            return number, texts
    return 1, []


def _as_wide(rows: Iterator[tuple[int, list[Cell]]], width: int, name: str) -> list[tuple[int, list[Cell]]]:
    """All rows, each at least as wide as the heading, as a workbook leaves blank cells out."""
    found = []
    cells = 0
    for number, row in rows:
        if not row:
            continue
        cells += len(row)
        if cells > MOST_CELLS:
            raise Unreadable(f"{name}: found more than {MOST_CELLS:,} cells; would do: the table as CSV")
        found.append((number, row + [""] * (width - len(row))))
    return found


def _rows(sheet: Any, name: str) -> Iterator[tuple[int, list[Cell]]]:
    """(row number, cells without the blank ones at the end); the stubs do not know a read-only sheet."""
    for number, row in enumerate(sheet.iter_rows(), start=1):
        if number > MOST_ROWS:
            raise Unreadable(f"{name}: found a row beyond {MOST_ROWS:,}; would do: the table as CSV")
        last = next((at for at in range(len(row), 0, -1) if row[at - 1].value is not None), 0)
        if last > MOST_COLUMNS:
            found = f"{last:,} columns"
            raise Unreadable(f"{name}, row {number}: found {found}; would do: at most {MOST_COLUMNS:,}")
        yield number, [_cell(cell) for cell in row[:last]]


def _cell(cell: "ReadOnlyCell") -> Cell:
    value = cell.value
    if value is None:
        return ""
    if cell.data_type == "f":
        formula = str(getattr(value, "text", value))
        return Refused(formula, "its value, typed in or pasted as a value", "a formula")
    if cell.data_type == "e":
        return Refused(str(value), "the value, or blank", "an error of the spreadsheet")
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return plain(value)
    if isinstance(value, (datetime, date, time, timedelta)):
        would_do = "what was meant, in a cell formatted as text"
        return Refused(str(value), would_do, "a date; spreadsheets make dates of what looks like one")
    return str(value)
