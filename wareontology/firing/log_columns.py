"""What may stand in a firing log: its columns and events (data/log_columns.csv, log_events.csv)."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

from wareontology.data_rows import rows

COMPARED: Final = ("top", "mid", "bottom")
"""Places that the ensemble of a plan has too."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column. kind: time, number, word or text; a number has limits, a word may have choices."""

    name: str
    kind: str
    choices: tuple[str, ...]
    low: float
    high: float
    meaning: str
    example: str


@dataclass(frozen=True, slots=True)
class Event:
    """One event. ends: the title of the plan's step that is done with it, "" for what belongs to no one
    step."""

    name: str
    ends: str
    words: str


@cache
def columns() -> Mapping[str, Column]:
    """Every column by name, in the order of a table.

    >>> columns()["place"].choices[:3]
    ('top', 'mid', 'bottom')
    """
    found = {}
    for row in rows("log_columns.csv"):
        choices = tuple(row["choices"].split("|")) if row["choices"] else ()
        low, high = (float(row[end] or default) for end, default in (("low", "-inf"), ("high", "inf")))
        found[row["column"]] = Column(
            row["column"], row["kind"], choices, low, high, row["meaning"], row["example"]
        )
    return MappingProxyType(found)


@cache
def events() -> Mapping[str, Event]:
    """Every event by name.

    >>> events()["covered"].ends
    'Cover'
    """
    told = rows("log_events.csv")
    return MappingProxyType({row["event"]: Event(row["event"], row["ends"], row["words"]) for row in told})


def template() -> str:
    """A blank log: what each column is, as remarks, and the heading.

    >>> template().splitlines()[-1][:30]
    'time,place,temperature_c,emf_m'
    """
    told = [
        f"# {one.name}: {one.meaning}" + (f" ({', '.join(one.choices)})" if one.choices else "")
        for one in columns().values()
    ]
    known = ", ".join(events())
    return "\n".join([*told, f"# events: {known}", ",".join(columns())]) + "\n"
