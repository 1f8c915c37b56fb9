"""The columns of the sherd table: what each means, how to see it, what it may hold.

Everything is read from data/columns.csv; this module holds no fact of its own.
"""

import csv
import textwrap
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from difflib import get_close_matches
from functools import cache
from typing import Final

from wareontology.errors import BreaksShape, Fault
from wareontology.paths import data

FIELDS: Final = ("sherd", "observer", "zone", "layer", "name")
"""Columns that say where a row belongs; they are fields of the record, not cells of it."""
REQUIRED: Final = ("sherd", "zone", "layer")
ABOUT: Final = frozenset({
    "region", "site", "context", "ware", "accession", "vessel", "joins", "sherd_part", "count", "weight_g",
    "date_from", "date_to", "owner", "permission", "note", "looked", "on", "method", "colour_state",
})  # fmt: skip
"""Columns that say what a sherd is or how it was looked at: alone they are no observation."""

_LONGEST_HEADING: Final = 100
_PARTS: Final = {"sherd": "of the sherd", "layer": "of the layer in the zone", "test": "a test"}


@dataclass(frozen=True, slots=True, eq=False)  # each column is one object; comparing by identity is enough
class Column:
    """One column as data/columns.csv describes it.

    of: sherd, layer or test. kind: word (one of choices), words (several of them at once), zones,
    colour (a colour word or one of choices), munsell, number, measure (a number that may be `<12`), text.
    low and high bound a number, both taken in; source says where it comes from.
    """

    name: str
    of: str
    kind: str
    choices: tuple[str, ...]
    unit: str
    low: float | None
    high: float | None
    meaning: str
    how_to_see: str
    example: str
    caution: str
    source: str

    @property
    def schemes(self) -> tuple[str, ...]:
        """Concept schemes whose labels and alternate labels a cell may use, the nearest first.

        >>> column("refire_colour").schemes, column("looked").schemes
        (('refire_colour', 'colour'), ('zone',))
        """
        if self.kind == "colour":
            return ("colour",) if self.name == "colour" else (self.name, "colour")
        return ("zone",) if self.kind == "zones" else (self.name,)


@cache
def columns() -> tuple[Column, ...]:
    """Every column, in the order of the table.

    >>> [column.name for column in columns()][:3]
    ['sherd', 'region', 'site']
    """
    with data("columns.csv").open(encoding="utf-8", newline="") as file:
        return tuple(_column(line) for line in csv.DictReader(file))


def column(name: str) -> Column:
    """The column of that very name. Raises KeyError where there is none.

    >>> column("edge").choices
    ('sharp', 'soft')
    """
    return _by_name()[name]


def find(heading: str) -> Column | None:
    """The column a heading names: case, spaces, hyphens and underscores do not matter.

    >>> find("Fire clouds").name
    'fire_clouds'
    """
    return _by_key().get(_key(heading))


def nearest(heading: str) -> str | None:
    """Name of the column spelt most like a heading; None where none is near.

    >>> nearest("colur")
    'colour'
    """
    key = _key(heading)
    close = get_close_matches(key, _by_key(), n=1, cutoff=0.6) if len(key) < _LONGEST_HEADING else []
    return _by_key()[close[0]].name if close else None


def select(names: Iterable[str] = ()) -> tuple[Column, ...]:
    """The columns named, or all where none is. Raises BreaksShape for a name that is no column.

    >>> [column.name for column in select(["Edge"])]
    ['edge']
    """
    wanted = list(names)
    found = [find(name) for name in wanted]
    faults = [
        Fault("columns", None, None, name, nearest(name) or "a name of those listed", why="no such column")
        for name, hit in zip(wanted, found, strict=True)
        if hit is None
    ]
    if faults:
        raise BreaksShape(faults)
    return tuple(hit for hit in found if hit is not None) or columns()


def as_data(names: Iterable[str] = ()) -> list[dict[str, object]]:
    """The columns as plain data, for JSON.

    >>> as_data(["edge"])[0]["choices"]
    ['sharp', 'soft']
    """
    return [asdict(found) | {"choices": list(found.choices)} for found in select(names)]


def as_text(names: Iterable[str] = (), width: int = 78) -> str:
    """The columns for a person: what each means, how to see it, what it may hold, what it costs.

    >>> print(as_text(["ring"]))
    ring  (of the sherd)
      The sound when it is tapped.
      May hold: dull, clear
      To see it: Rest the sherd on one fingertip and tap its edge with a
        fingernail. Dry, and without cracks, or it says nothing.
      Example: clear
      Caution: Cracked or glued pots can break.
    """
    return "\n\n".join(_text(found, width) for found in select(names))


def allowed(column: Column) -> str:
    """What a cell of this column may hold, in words.

    >>> allowed(column("wall_mm")), allowed(column("munsell"))
    ('a number from 0.5 to 100, in mm', 'a Munsell chip such as 10YR 8/2, or N 4/ for a grey')
    """
    if column.kind in ("word", "colour") and column.choices:
        return ", ".join(column.choices)
    if column.kind == "word":
        return f"a {column.name} that is known, such as {column.example}"
    if column.kind in ("words", "zones"):
        return "one or more of " + ", ".join(column.choices)
    if column.kind == "munsell":
        return "a Munsell chip such as 10YR 8/2, or N 4/ for a grey"
    if column.kind == "number":
        return f"a number from {column.low:.10g} to {column.high:.10g}, in {column.unit}"
    if column.kind == "measure":
        return "a number, or <12 for below a detection limit of 12"
    return "text"


def _text(column: Column, width: int) -> str:
    lines = [f"{column.name}  ({_PARTS[column.of]})"]
    said = [
        column.meaning,
        f"May hold: {allowed(column)}",
        f"To see it: {column.how_to_see}",
        f"Example: {column.example}",
        f"Caution: {column.caution}" if column.caution else "",
    ]
    for sentence in filter(None, said):
        lines += textwrap.wrap(
            sentence, width, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False
        )
    return "\n".join(lines)


def _column(line: dict[str, str]) -> Column:
    return Column(
        name=line["column"],
        of=line["of"],
        kind=line["kind"],
        choices=tuple(line["choices"].split()),
        unit=line["unit"],
        low=float(line["low"]) if line["low"] else None,
        high=float(line["high"]) if line["high"] else None,
        meaning=line["meaning"],
        how_to_see=line["how_to_see"],
        example=line["example"],
        caution=line["caution"],
        source=line["source"],
    )


@cache
def _by_name() -> dict[str, Column]:
    return {column.name: column for column in columns()}


@cache
def _by_key() -> dict[str, Column]:
    return {_key(column.name): column for column in columns()}


def _key(text: str) -> str:
    return "_".join(text.casefold().replace("-", " ").replace("_", " ").split())
