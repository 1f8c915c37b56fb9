"""Sherds written by hand, as the table reader would hand them over. All are invented."""

from collections.abc import Callable, Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.technique.case import (
    Case,
    Odds,
    air_odds,
    applied_odds,
    carbon_odds,
    family_odds,
    material_odds,
    whole_odds,
)
from wareontology.technique.network import Item, Slot

Floats = NDArray[np.float64]
_NUMBERS: Final = ("refire_c", "refire_minutes")
_LISTS: Final = ("looked", "marks", "after_firing", "phases")


def cell(column: str, text: str) -> Seen:
    """A cell as written: `cream?` is doubtful, `cream/buff` a range shared alike, `<12` below detection."""
    bare, doubtful = text.rstrip("?"), text.endswith("?")
    if column.startswith("pxrf_") or column in _NUMBERS:
        number = float(bare.lstrip("<"))
        return Seen(column, text, number=number, below=text.startswith("<"), doubtful=doubtful)
    if column in _LISTS:
        return Seen(column, text, tuple((word, 1.0) for word in bare.split()), doubtful=doubtful)
    words = bare.split("/")
    return Seen(column, text, tuple((word, 1 / len(words)) for word in words), doubtful=doubtful)


def chip(text: str, **shares: float) -> Seen:
    """A Munsell chip with its shares of the colour words."""
    return Seen("munsell", text, tuple(sorted(shares.items())))


def row(zone: str, layer: str, name: str | None = None, **cells: str | Seen) -> Row:
    """One layer in one zone; cells by column, as text or ready made."""
    seen = {column: cell(column, said) if isinstance(said, str) else said for column, said in cells.items()}
    return Row(zone, layer, name, seen)


def sherd(*rows: Row, **cells: str) -> Sherd:
    """A sherd of these rows; cells of the sherd as a whole by column."""
    return Sherd("invented", None, {column: cell(column, text) for column, text in cells.items()}, rows)


def painted(paint: Mapping[str, str | Seen], *more: Row, **cells: str) -> Sherd:
    """Grey body in the break, white slip and a paint named `line` inside, with what is said of the paint."""
    return sherd(
        row("break", "body", colour="grey"),
        row("interior", "slip", colour="white"),
        row("interior", "paint", "line", **paint),
        *more,
        **cells,
    )


_READERS: Final[Mapping[str, Callable[[Case, str], Odds]]] = {
    "material": lambda case, key: material_odds(case.units[key], case.marginals),
    "family": lambda case, key: family_odds(case.units[key], case.marginals),
    "applied": lambda case, key: applied_odds(case.units[key], case.marginals),
    "air": lambda case, key: air_odds(case.marginals)[key],
    "carbon": lambda case, _key: carbon_odds(case.marginals),
    "whole": lambda case, key: whole_odds(case.model, case.sherd, case.marginals)[key],
}


def chances(found: Sherd, question: str) -> dict[str, float]:
    """Posterior probabilities. Questions: `whole atmosphere`, `material paint:line`, `family paint:line`,
    `applied paint:line`, `air interior`, `carbon body`."""
    kind, _, key = question.partition(" ")
    return {value: float(p[0]) for value, p in _READERS[kind](Case.of(found), key).items()}


def chance(found: Sherd, question: str, value: str) -> float:
    """Posterior probability of a value, or of `a or b`."""
    values = chances(found, question)
    return sum(values[one] for one in value.split(" or "))


def odds(found: Sherd, question: str, value: str) -> float:
    """Posterior odds of a value against the others."""
    p = chance(found, question, value)
    return p / (1 - p)


def item(found: Sherd, unit: str, trait: str) -> Item | None:
    """The one item of a trait of a unit; None where the sherd has none."""
    own = [one for one in Case.of(found).items if one.key == (unit, trait)]
    assert len(own) <= 1, f"{unit} {trait} is there {len(own)} times"
    return own[0] if own else None


def factor(found: Sherd, unit: str, trait: str) -> Floats:
    """The one factor of an item."""
    (array,) = needed(found, unit, trait).values()
    return array


def needed(found: Sherd, unit: str, trait: str) -> Mapping[Slot, Floats]:
    one = item(found, unit, trait)
    assert one is not None, f"no {trait} of {unit}"
    return one.factors
