"""The heading of a table: which column each cell of a row belongs to."""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.sherd.columns import REQUIRED, Column, find, nearest

MOST_COLUMNS: Final = 1000
"""Most headings of a table. More is no sherd table but something else."""

_MOST_SHOWN: Final = 60
_ANY: Final = "a column that `columns` lists"


@dataclass(frozen=True, slots=True)
class Placed:
    """Where each column stands: for each place in a row its column, None where the cell is not read.

    headed: places that have a heading, known or not; a cell beyond them belongs to nothing.
    ignored: unknown headings that were left out because that was asked for.
    """

    columns: tuple[Column | None, ...]
    headed: tuple[bool, ...]
    ignored: tuple[str, ...]
    faults: tuple[Fault, ...]


def place(
    headings: Sequence[str],
    file: str,
    row: int | None = 1,
    *,
    own: Mapping[str, str] | None = None,
    ignore_unknown: bool = False,
) -> Placed:
    """Which column each heading names; `own` says what a person's own headings mean.

    Raises Unreadable for more headings than any sherd table has.

    >>> place(["sherd", "Zone", "layer", "Ton"], "lot.csv", own={"Ton": "colour"}).columns[3].name
    'colour'
    >>> print(place(["sherd", "zone", "layer", "colur"], "lot.csv").faults[0])
    lot.csv, row 1, column colur: found 'colur' (no such column); would do: colour
    """
    if len(headings) > MOST_COLUMNS:
        raise Unreadable(
            f"{file}: found {len(headings):,} columns; would do: a sherd table, of at most {MOST_COLUMNS:,}"
        )
    mapped = _stripped(own)
    columns: list[Column | None] = []
    ignored: list[str] = []
    faults: list[Fault] = []
    seen: dict[str, str] = {}
    for heading in (heading.strip() for heading in headings):
        column = meant(heading, own)
        if column is None and heading:
            if ignore_unknown and heading not in mapped:
                ignored.append(heading)
            else:
                faults.append(_unknown(heading, mapped.get(heading), file, row))
        elif column is not None and column.name in seen:
            faults.append(_twice(heading, column, seen[column.name], file, row))
            column = None
        elif column is not None:
            seen[column.name] = heading
        columns.append(column)
    faults += [
        Fault(file, row, name, "no such heading", f"a column {name}", why="required")
        for name in REQUIRED
        if name not in seen
    ]
    headed = tuple(bool(heading.strip()) for heading in headings)
    return Placed(tuple(columns), headed, tuple(ignored), tuple(faults))


def meant(heading: str, own: Mapping[str, str] | None = None) -> Column | None:
    """The column a heading names, a person's own heading first; None where it names none.

    >>> meant("Scherbe", {"Scherbe": "sherd"}).name
    'sherd'
    """
    bare = heading.strip()
    return find(_stripped(own).get(bare, bare))


def read_map(path: str | Path) -> dict[str, str]:
    """A person's own headings from a TOML file: a table [headings] of "My heading" = "column".

    Raises Unreadable where it is missing or no TOML, BreaksShape where it names no column of ours.
    """
    file = str(path)
    would_do = 'TOML with a table [headings] of lines such as "My heading" = "colour"'
    try:
        content = tomllib.loads(Path(path).read_text(encoding="utf-8"))
    except OSError as error:
        raise Unreadable(f"{file}: found no file to read ({error.strerror}); would do: {would_do}") from None
    except (ValueError, RecursionError) as error:  # no TOML, no UTF-8, a NUL in the path
        raise Unreadable(f"{file}: found no TOML ({error}); would do: {would_do}") from None
    found = content.get("headings")
    if not isinstance(found, dict) or set(content) != {"headings"}:
        raise BreaksShape([Fault(file, None, None, ", ".join(content) or "nothing", would_do)])
    faults = [
        Fault(file, None, heading, str(name), _near(str(name)), why="no such column")
        for heading, name in found.items()
        if not isinstance(name, str) or find(name) is None
    ]
    if faults:
        raise BreaksShape(faults)
    return dict(found)


def _stripped(own: Mapping[str, str] | None) -> dict[str, str]:
    return {heading.strip(): name for heading, name in (own or {}).items()}


def _unknown(heading: str, mapped: str | None, file: str, row: int | None) -> Fault:
    if mapped is not None:
        return Fault(file, row, _shown(heading), mapped, _near(mapped), why="the heading map names no column")
    return Fault(file, row, _shown(heading), _shown(heading), _near(heading), why="no such column")


def _twice(heading: str, column: Column, first: str, file: str, row: int | None) -> Fault:
    why = f"{column.name} twice" if heading == first else f"{first!r} and {heading!r} are both {column.name}"
    return Fault(file, row, _shown(heading), _shown(heading), f"one column {column.name}", why=why)


def _shown(heading: str) -> str:
    """A heading as any screen takes it: short, with what cannot be printed written out."""
    text = "".join(
        letter if letter.isprintable() else ascii(letter)[1:-1] for letter in heading[:_MOST_SHOWN]
    )
    return text + "…" * (len(heading) > _MOST_SHOWN)


def _near(heading: str) -> str:
    return nearest(heading) or _ANY
