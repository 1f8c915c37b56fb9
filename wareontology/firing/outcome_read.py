"""What the tiles and pots of one firing showed, read from a small table; every fault named."""

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from typing import Final

from wareontology.data_rows import rows
from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.firing import faults

_LARGEST: Final = 1_000_000
_MOST_TILES: Final = 500


@dataclass(frozen=True, slots=True, order=True)
class Seen:
    """What so many tiles or pots of one place and surface showed. smoked, soft: None where not looked.
    fault: its key in data/faults.ttl, or ""."""

    place: str
    zone: str
    tiles: int
    colour: str
    smoked: bool | None
    soft: bool | None
    fault: str
    note: str


@cache
def columns() -> Mapping[str, tuple[str, ...]]:
    """Every column with its choices; none for one that is free."""
    return {row["column"]: tuple(filter(None, row["choices"].split("|"))) for row in column_rows()}


@cache
def column_rows() -> tuple[Mapping[str, str], ...]:
    """data/outcome_columns.csv, row by row."""
    return rows("outcome_columns.csv")


def read(path: Path | str) -> tuple[Seen, ...]:
    """The outcome in a CSV file. Unreadable where it is no table, BreaksShape with every fault in it."""
    try:
        raw = Path(path).read_bytes()
    except OSError as error:
        raise Unreadable(f"{path}: {error.strerror}; would do: an outcome, as learn --template") from error
    if len(raw) > _LARGEST:
        raise Unreadable(f"{path}: found {len(raw):,} bytes; would do: an outcome of a page")
    try:
        return from_text(raw.decode("utf-8-sig"), Path(path).name)
    except UnicodeDecodeError:
        raise Unreadable(f"{path}: found bytes that are not UTF-8; would do: CSV saved as UTF-8") from None


def from_text(text: str, name: str = "outcome") -> tuple[Seen, ...]:
    """The outcome in a text of CSV.

    >>> from_text("place,zone,colour\\ntop,inside,black\\n")[0].colour
    'black'
    >>> from_text("place,zone,colour\\ntop,inside,blak\\n")
    Traceback (most recent call last):
    wareontology.errors.BreaksShape: outcome, row 2, column colour: found 'blak'; would do: black
    """
    lines = text.splitlines(keepends=True)
    above = next((at for at, one in enumerate(lines) if one.strip() and not one.startswith("#")), None)
    if above is None:
        raise Unreadable(f"{name}: found no heading; would do: {','.join(columns())}")
    mark = max(",;\t", key=lines[above].count)
    table = csv.reader(io.StringIO("".join(lines[above:])), delimiter=mark)
    heading = [cell.strip().lower() for cell in next(table)]
    for column in heading:
        if column not in columns():
            near = get_close_matches(column, tuple(columns()), 2, 0.5) or list(columns())
            raise Unreadable(
                f"{name}, row {above + 1}: found column {column!r}; would do: {' or '.join(near)}"
            )
    try:
        rows = [(at, dict(zip(heading, cells, strict=False))) for at, cells in enumerate(table, above + 2)]
    except csv.Error as error:
        raise Unreadable(f"{name}, row {above + table.line_num}: {error}; would do: a plain table") from None
    return from_rows([(at, row) for at, row in rows if any(cell.strip() for cell in row.values())], name)


def from_rows(rows: list[tuple[int, dict[str, str]]], name: str = "outcome") -> tuple[Seen, ...]:
    """The outcome in rows, each a number and its cells by column. BreaksShape with every fault."""
    noted: list[Fault] = []
    found = [_seen(name, number, row, noted) for number, row in rows]
    if noted:
        raise BreaksShape(noted)
    if not found:
        raise BreaksShape([Fault(name, None, None, "no row", "a row for each place and surface looked at")])
    return tuple(found)


def template() -> str:
    """A blank outcome: what each column is, as remarks, and the heading.

    >>> template().splitlines()[-1]
    'place,zone,tiles,colour,smoked,soft,fault,note'
    """
    told = [
        f"# {row['column']}: {row['meaning']}"
        + (f" ({row['choices'].replace('|', ', ')})" if row["choices"] else "")
        for row in column_rows()
    ]
    return "\n".join([*told, ",".join(columns())]) + "\n"


def _seen(name: str, number: int, row: Mapping[str, str], noted: list[Fault]) -> Seen:
    cells = {column: row.get(column, "").strip() for column in columns()}
    for column, choices in columns().items():
        text = cells[column] = cells[column].lower() if choices else cells[column]
        if choices and text and text not in choices:
            near = get_close_matches(text, choices, 1, 0.5) or choices
            noted.append(Fault(name, number, column, text, " or ".join(near)))
    if not cells["place"]:
        noted.append(Fault(name, number, "place", "nothing", " or ".join(columns()["place"])))
    if (cells["colour"] or cells["smoked"]) and not cells["zone"]:
        noted.append(Fault(name, number, "zone", "nothing", " or ".join(columns()["zone"]), why="a surface"))
    tiles = cells["tiles"] or "1"
    if not tiles.isascii() or not tiles.isdecimal() or not 1 <= int(tiles) <= _MOST_TILES:
        noted.append(Fault(name, number, "tiles", tiles, f"a whole number, 1 to {_MOST_TILES}"))
        tiles = "1"
    known = faults.fault(cells["fault"]) if cells["fault"] else None
    if cells["fault"] and known is None:
        near = faults.nearest(cells["fault"]) or tuple(faults.faults())
        noted.append(
            Fault(name, number, "fault", cells["fault"], f"{' or '.join(near)}; or the words under note")
        )
    return Seen(
        cells["place"], cells["zone"], int(tiles), cells["colour"], _said(cells["smoked"]),
        _said(cells["soft"]), known.key if known is not None else "", cells["note"],
    )  # fmt: skip


def _said(text: str) -> bool | None:
    return None if text not in ("yes", "no") else text == "yes"
