"""Rows of a table gathered into sherds, whatever file the rows came from."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from wareontology.errors import Fault
from wareontology.sherd.assemble import Read, Record, assemble
from wareontology.sherd.cells import Decimal
from wareontology.sherd.headings import Placed, place
from wareontology.sherd.record import Sherd
from wareontology.sherd.rows import Cell, RowReader


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read: the good sherds in the order of their first rows, and every fault in the order of rows.

    ignored: headings that were left out because unknown ones were to be ignored.
    """

    sherds: tuple[Sherd, ...]
    faults: tuple[Fault, ...] = ()
    ignored: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """A heading and rows that may be gone through again, whatever file they came from.

    row: row of the heading; None where the file has no such row (JSON, Turtle). rows: (number, cells).
    guarded: text that looks like a formula carries an apostrophe (CSV).
    """

    file: str
    headings: Sequence[str]
    row: int | None
    rows: Iterable[tuple[int, Sequence[Cell]]]
    decimal: Decimal = "point"
    guarded: bool = False


def placed(table: Table, own: Mapping[str, str] | None, ignore_unknown: bool) -> Placed:
    """Where the columns of a table stand."""
    return place(table.headings, table.file, table.row, own=own, ignore_unknown=ignore_unknown)


def records(table: Table, where: Placed) -> Iterator[Record]:
    """The records of a table: in its order where the rows of a sherd are adjacent, the others at the end."""
    if where.faults:
        yield Record(table.row or 0, None, where.faults)
        return
    reader = RowReader(where, table.file, table.decimal, guarded=table.guarded)
    apart, empty = _apart(table, reader)
    if empty:
        fault = Fault(table.file, None, None, "no rows", "a row for each layer in each zone")
        yield Record(0, None, (fault,))
        return
    held: dict[str, list[Read]] = {}
    group: list[Read] = []
    for number, cells in table.rows:
        if _blank(cells):
            continue
        row = reader.read(number, cells)
        if not row.sherd:
            yield Record(number, None, tuple(row.faults))
        elif row.sherd in apart:
            held.setdefault(row.sherd, []).append(row)
        else:
            if group and group[0].sherd != row.sherd:
                yield from assemble(group, table.file)
                group = []
            group.append(row)
    for rows in (group, *held.values()):
        yield from assemble(rows, table.file)


def gathered(found: Iterable[Record], ignored: tuple[str, ...] = ()) -> Reading:
    """All records at once, in the order of the table."""
    ordered = sorted(found, key=lambda record: record.row)
    faults = [fault for record in ordered for fault in record.faults]
    return Reading(
        tuple(record.sherd for record in ordered if record.sherd is not None),
        tuple(sorted(faults, key=lambda fault: fault.row or 0)),
        ignored,
    )


def _apart(table: Table, reader: RowReader) -> tuple[set[str], bool]:
    """Sherds that come back after another sherd, and whether there are no rows at all."""
    ended: set[str] = set()
    apart: set[str] = set()
    current = ""
    empty = True
    for _, cells in table.rows:
        name = reader.sherd_of(cells)
        empty = empty and not name and _blank(cells)
        if not name or name == current:
            continue
        if name in ended:
            apart.add(name)
        ended.add(current)
        current = name
    return apart, empty


def _blank(cells: Sequence[Cell]) -> bool:
    return not any(not isinstance(cell, str) or (cell and not cell.isspace()) for cell in cells)
