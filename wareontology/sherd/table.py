"""The sherd table: a file in, sherds and faults out; a fault in one sherd does not stop the others."""

from collections.abc import Iterator, Mapping
from pathlib import Path

from wareontology.sherd import json_rows
from wareontology.sherd.assemble import Record
from wareontology.sherd.csv_rows import CsvRows
from wareontology.sherd.gather import Reading, Table, gathered, placed, records
from wareontology.sherd.source import Source, opened

__all__ = ["Reading", "Record", "iter_records", "read"]


def read(
    path: str | Path,
    *,
    headings: Mapping[str, str] | None = None,
    ignore_unknown: bool = False,
    name: str | None = None,
) -> Reading:
    """All sherds of a CSV, XLSX, JSON, JSON-LD or Turtle file; `-` reads standard input.

    headings: what a person's own headings mean (`{"Paint colour": "colour"}`). ignore_unknown: leave
    unknown columns out instead of stopping. name: what to call the file in faults.
    A sherd with any fault is left out. Raises Unreadable where the file cannot be read at all.
    """
    with opened(path, name) as source:
        table = _table(source, headings)
        where = placed(table, headings, ignore_unknown)
        return gathered(records(table, where), where.ignored)


def iter_records(
    path: str | Path,
    *,
    headings: Mapping[str, str] | None = None,
    ignore_unknown: bool = False,
    name: str | None = None,
) -> Iterator[Record]:
    """The records of a file one by one, for files too large to hold.

    A CSV is read twice, first only to see which sherds have rows that lie apart: those are held and come
    last, all others come in the order of the file as soon as their last row is read. So nothing is given
    out before the whole file is known to be readable. Options and errors as for `read`.
    """
    with opened(path, name) as source:
        table = _table(source, headings)
        yield from records(table, placed(table, headings, ignore_unknown))


def _table(source: Source, own: Mapping[str, str] | None) -> Table:
    """Heading and rows of an opened file. Raises Unreadable where it has none."""
    if source.format == "csv":
        rows = CsvRows(source)
        return Table(source.name, rows.heading, rows.row, rows, rows.decimal, guarded=True)
    if source.format == "json":
        return json_rows.table(json_rows.objects(source.text(), source.name), source.name, own)
    if source.format == "turtle":
        from wareontology.sherd import turtle

        return json_rows.table(turtle.objects(source.text(), source.name), source.name, own)
    from wareontology.sherd import xlsx

    return xlsx.table(source, own)
