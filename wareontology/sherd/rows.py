"""Rows of cells into rows that are read; each distinct cell of a column is read once."""

import re
from collections.abc import Callable, Sequence
from typing import Final

from wareontology.errors import Fault
from wareontology.sherd.assemble import Read
from wareontology.sherd.cells import Decimal, Refused, parse
from wareontology.sherd.columns import Column, allowed, column
from wareontology.sherd.headings import Placed
from wareontology.sherd.record import Seen

Cell = str | Refused
"""A cell before it is read: its text, or already refused (a formula, a date, a list)."""

GUARDED: Final = re.compile(r"'+[=+\-@]")
"""Text that was given an apostrophe so that no spreadsheet takes it for a formula."""

_BLANK: Final = object()
_MOST_KEPT: Final = 20_000
_LONGEST_KEPT: Final = 80


class RowReader:
    """Reads the rows of one table under its heading.

    decimal: decimal mark of the file. guarded: take the apostrophe off guarded text (CSV only).
    """

    def __init__(self, placed: Placed, file: str, decimal: Decimal, *, guarded: bool) -> None:
        self._file = file
        self._headed = placed.headed
        self._columns = placed.columns
        self._guarded = guarded
        self._decimal = decimal
        self._kept: list[dict[Cell, object]] = [{} for _ in placed.columns]
        self._sherd_at = placed.columns.index(column("sherd"))
        self._put: list[Callable[[Read, str, Seen], None] | None] = [
            _putter(found) if found is not None else None for found in placed.columns
        ]

    def sherd_of(self, cells: Sequence[Cell]) -> str:
        """Name of the sherd a row belongs to; empty where it is blank or no text."""
        if len(cells) <= self._sherd_at:
            return ""
        seen = self._read(self._sherd_at, cells[self._sherd_at])
        return seen.text if isinstance(seen, Seen) else ""

    def read(self, number: int, cells: Sequence[Cell]) -> Read:
        """One row, with every fault its cells have."""
        row = Read(number, self.sherd_of(cells))
        for at, cell in enumerate(cells[: len(self._columns)]):
            if not cell:
                continue
            seen = self._kept[at].get(cell)
            if seen is None:
                seen = self._read(at, cell)
            put = self._put[at]
            if type(seen) is Seen and put is not None:
                put(row, seen.column, seen)
            elif type(seen) is Refused:
                self._refuse(row, self._columns[at], seen)
        self._check(row, cells)
        return row

    def _read(self, at: int, cell: Cell) -> object:
        """Seen, Refused or _BLANK; kept where the cell is short, as most come again and again."""
        kept = self._kept[at]
        found = kept.get(cell)
        if found is not None:
            return found
        found = self._parse(self._columns[at], cell)
        if isinstance(cell, str) and len(cell) <= _LONGEST_KEPT:
            if len(kept) >= _MOST_KEPT:
                kept.clear()
            kept[cell] = found
        return found

    def _parse(self, column: Column | None, cell: Cell) -> object:
        if column is None:
            return _BLANK
        if isinstance(cell, Refused):
            return cell
        if self._guarded and column.kind == "text" and GUARDED.match(cell.strip()):
            cell = cell.strip()[1:]
        found = parse(column, cell, self._decimal)
        if found is None:
            return _BLANK
        if column.name in ("zone", "layer") and isinstance(found, Seen) and found.word() is None:
            return Refused(cell, allowed(column), f"a row has one {column.name}, and no doubt which")
        return found

    def _refuse(self, row: Read, column: Column | None, refused: Refused) -> None:
        name = column.name if column is not None else None
        found = _whole(refused.found)
        row.faults.append(
            Fault(self._file, row.number, name, found, refused.would_do, row.sherd or None, refused.why)
        )

    def _check(self, row: Read, cells: Sequence[Cell]) -> None:
        """What a row must have, and that its cells are as many as the headings."""
        if len(cells) != len(self._columns):
            self._ragged(row, cells)
        elif not all(self._headed):
            pairs = zip(cells, self._headed, strict=True)
            loose = next((cell for cell, headed in pairs if cell and not headed), None)
            if loose is not None and not (isinstance(loose, str) and loose.isspace()):
                self._loose(row, loose)
        for name, value in (("sherd", row.sherd), ("zone", row.zone), ("layer", row.layer)):
            if not value and not any(fault.column == name for fault in row.faults):
                would_do = _REQUIRED if name == "sherd" else allowed(column(name))
                why = "blank, but required"
                row.faults.append(Fault(self._file, row.number, name, "", would_do, row.sherd or None, why))

    def _ragged(self, row: Read, cells: Sequence[Cell]) -> None:
        over = next((cell for cell in cells[len(self._columns) :] if cell), None)
        if over is not None:
            self._loose(row, over)
        elif len(cells) < len(self._columns):
            found, would_do = f"{len(cells)} cells", f"{len(self._columns)}, as in the heading"
            why = "a row cut short: a line break in a cell without quotation marks, or delimiters left out"
            row.faults.append(Fault(self._file, row.number, None, found, would_do, row.sherd or None, why))

    def _loose(self, row: Read, cell: Cell) -> None:
        found = _whole(cell if isinstance(cell, str) else cell.found)
        would_do = "cells under the headings only; quotation marks round a cell that holds the delimiter"
        why = "a cell that stands under no heading"
        row.faults.append(Fault(self._file, row.number, None, found, would_do, row.sherd or None, why))


_REQUIRED: Final = "the sherd's name or number on each of its rows"


def _whole(text: str) -> str:
    """Text that can be written to a file: half a letter, as JSON may hold, is written out."""
    return text.encode("utf-8", "backslashreplace").decode()


def _putter(column: Column) -> Callable[[Read, str, Seen], None]:
    if column.name in _FIELDS:
        return _FIELDS[column.name]
    return _of_sherd if column.of == "sherd" else _of_row


def _of_sherd(row: Read, name: str, seen: Seen) -> None:
    row.of_sherd[name] = seen


def _of_row(row: Read, name: str, seen: Seen) -> None:
    row.of_row[name] = seen


def _sherd(row: Read, _: str, seen: Seen) -> None:
    row.sherd = seen.text


def _observer(row: Read, _: str, seen: Seen) -> None:
    row.observer = seen.text


def _zone(row: Read, _: str, seen: Seen) -> None:
    row.zone = seen.text


def _layer(row: Read, _: str, seen: Seen) -> None:
    row.layer = seen.text


def _name(row: Read, _: str, seen: Seen) -> None:
    row.name = seen.text


_FIELDS: Final = {"sherd": _sherd, "observer": _observer, "zone": _zone, "layer": _layer, "name": _name}
