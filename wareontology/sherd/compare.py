"""Two records of a sherd compared cell by cell: by two versions of one observer, or by two observers."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

from wareontology.sherd.columns import columns
from wareontology.sherd.record import Row, Seen, Sherd

Place: TypeAlias = tuple[str, str, str, str]
"""Zone, layer, name and step of refiring of a row; blank for the sherd as a whole."""


@dataclass(frozen=True, slots=True)
class Difference:
    """A cell of two records. Blank is not looked at, or the row is not there."""

    zone: str
    layer: str
    name: str
    column: str
    before: str
    after: str

    @property
    def where(self) -> str:
        """The row as a person names it.

        >>> Difference("rim", "paint", "line", "edge", "soft", "sharp").where
        'rim, paint "line"'
        """
        if not self.zone:
            return "the sherd"
        return f"{self.zone}, {self.layer}" + (f' "{self.name}"' if self.name else "")


def differences(before: Sherd, after: Sherd) -> list[Difference]:
    """Every cell that is not the same, in the order of the rows and columns.

    >>> from wareontology.sherd.cells import parse
    >>> from wareontology.sherd.columns import column
    >>> def slip(word: str) -> Sherd:
    ...     cell = parse(column("colour"), word)
    ...     return Sherd("K", None, {}, (Row("rim", "slip", None, {"colour": cell}),))
    >>> [(one.column, one.before, one.after) for one in differences(slip("cream"), slip("white"))]
    [('colour', 'cream', 'white')]
    """
    return [one for one in beside(before, after) if one.before != one.after]


def beside(one: Sherd, other: Sherd) -> list[Difference]:
    """Every cell that is in either record, alike or not, in the order of the rows and columns.

    >>> from wareontology.sherd.jsonld import from_jsonld
    >>> slip = from_jsonld({"sherd": "K", "rows": [{"zone": "rim", "layer": "slip", "colour": "white"}]})
    >>> [(cell.where, cell.column, cell.before, cell.after) for cell in beside(slip, slip)]
    [('rim, slip', 'colour', 'white', 'white')]
    """
    old, new = _cells(one), _cells(other)
    order = [column.name for column in columns()]
    return [
        Difference(*place[:3], name, _text(old, place, name), _text(new, place, name))
        for place in dict.fromkeys((*old, *new))
        for name in order
        if _text(old, place, name) or _text(new, place, name)
    ]


def _cells(sherd: Sherd) -> dict[Place, Mapping[str, Seen]]:
    return {("", "", "", ""): sherd.seen, **{place_of(row): row.seen for row in sherd.rows}}


def place_of(row: Row) -> Place:
    """Where a row belongs; no two rows of a sherd have the same."""
    step = row.seen.get("refire_c")
    return row.zone, row.layer, row.name or "", step.text if step is not None else ""


def _text(cells: Mapping[Place, Mapping[str, Seen]], place: Place, column: str) -> str:
    cell = cells.get(place, {}).get(column)
    return cell.text if cell is not None else ""
