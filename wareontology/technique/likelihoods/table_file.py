"""The rows of a table file: each number with its spread, its basis and its source, checked as it is read."""

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Final, NamedTuple

from wareontology.errors import BreaksShape, Fault
from wareontology.technique.likelihoods.schema import SCALARS, TABLES

NOTES: Final = ("", "not thermodynamics")
"""What may stand after the basis, parted by `; `: physics contradicts the trade, whose row stays."""
BASES: Final = ("published", "physics", "physics+judgement", "common practice", "judgement")


class Entry(NamedTuple):
    """One number with its spread, its basis and its source."""

    outcome: str
    value: float
    low: float
    high: float
    basis: str
    source: str
    position: int
    """Its place among all numbers, which picks its column of the common draws."""
    is_probability: bool = True
    """Of a table of probabilities, and so drawn in log odds; a scalar is drawn as it is."""
    note: str = ""
    """What physics has against a number that rests on the trade's word: one of NOTES, or nothing."""


@dataclass(frozen=True, slots=True)
class Given:
    """All entries of one condition of one table."""

    table: str
    region: str
    given: tuple[tuple[str, ...], ...]
    entries: tuple[Entry, ...]

    def places(self, dimensions: Sequence[Sequence[str]]) -> list[list[int]]:
        """Indices of the conditions it holds for, a list a dimension."""
        return [
            list(range(len(values))) if "*" in words else [values.index(word) for word in words]
            for words, values in zip(self.given, dimensions, strict=True)
        ]

    def closeness(self) -> tuple[int, int]:
        return (sum("*" not in want for want in self.given), self.entries[-1].position)


def read_givens(path: Path, start: int = 0) -> tuple[Given, ...]:
    """Read one table file. Raises BreaksShape naming the row and column of each fault."""
    groups: dict[tuple[str, str, str], list[_Line]] = {}
    faults: list[Fault] = []
    with path.open(encoding="utf-8", newline="") as file:
        for number, row in enumerate(csv.DictReader(file), start=2):
            fault = _fault(path.name, number, row)
            if fault is not None:
                faults.append(fault)
                continue
            group = groups.setdefault((row["table"], row.get("region") or "world", row["given"]), [])
            basis, _, note = row["basis"].partition("; ")
            line = _Line(
                row["outcome"], float(row["value"]), float(row["low"]), float(row["high"]), basis, note,
                row["source"],
            )  # fmt: skip
            if any(other.outcome == line.outcome for other in group):
                faults.append(Fault(path.name, number, "outcome", line.outcome, "each number once"))
            group.append(line)
            total = sum(other.value for other in group)
            if total > 1 + 1e-6 and row["table"] in TABLES:
                faults.append(Fault(path.name, number, "value", f"{total:g} in all", "1 or less in all"))
    if faults:
        raise BreaksShape(faults)
    return tuple(_givens(groups, start))


class _Line(NamedTuple):
    outcome: str
    value: float
    low: float
    high: float
    basis: str
    note: str
    source: str


def _givens(groups: Mapping[tuple[str, str, str], list[_Line]], start: int) -> Iterator[Given]:
    position = start
    for (table, region, given), lines in groups.items():
        entries = tuple(
            Entry(
                line.outcome, line.value, line.low, line.high, line.basis, line.source, place,
                table in TABLES, line.note,
            )
            for place, line in enumerate(lines, start=position)
        )  # fmt: skip
        position += len(entries)
        yield Given(table, region, tuple(tuple(part.split("|")) for part in given.split(";")), entries)


def dimensions(table: str) -> tuple[tuple[str, ...], ...]:
    """Values of each condition of a table.

    >>> dimensions("ring")[0][0]
    'below-550'
    """
    return TABLES[table].given if table in TABLES else SCALARS[table][0]


@lru_cache(maxsize=4096)
def _condition_amiss(table: str, text: str) -> tuple[str, str] | None:
    """What was found in a condition and what would do; None where nothing is amiss."""
    given = dimensions(table)
    parts = text.split(";")
    wanted = max(len(given), 1)
    if len(parts) != wanted:
        return text, f"{wanted} conditions parted by ;"
    for part, values in zip(parts, given, strict=False):
        for word in part.split("|"):
            if word != "*" and word not in values:
                return word, f"* or one of {', '.join(values)}"
    return None


def _fault(file: str, number: int, row: Mapping[str, str]) -> Fault | None:
    if None in row or None in row.values():
        return Fault(file, number, None, "a row of another length", f"{len(row)} cells, as the heading has")
    table = row["table"]
    if table in TABLES:
        outcomes = TABLES[table].outcomes
    elif table in SCALARS:
        outcomes = (SCALARS[table][1],)
    else:
        return Fault(file, number, "table", table, f"one of {', '.join([*TABLES, *SCALARS])}")
    if row["outcome"] not in outcomes:
        return Fault(file, number, "outcome", row["outcome"], f"one of {', '.join(outcomes)}")
    amiss = _condition_amiss(table, row["given"])
    if amiss is not None:
        return Fault(file, number, "given", *amiss)
    try:
        low, value, high = float(row["low"]), float(row["value"]), float(row["high"])
    except ValueError:
        return Fault(file, number, "value", row["value"], "three numbers: value, low, high")
    if not low <= value <= high:
        return Fault(file, number, "value", row["value"], f"a value between low {low:g} and high {high:g}")
    if table in TABLES and not (low > 0 and high < 1):
        return Fault(file, number, "value", row["value"], "a probability, low above 0 and high below 1")
    basis, _, note = row["basis"].partition("; ")
    if basis not in BASES or note not in NOTES:
        return Fault(file, number, "basis", row["basis"], f"one of {', '.join(BASES)}")
    return None
