"""The table of constants that every law here is handed: each value with its source, range and provenance."""

import csv
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from wareontology.errors import BreaksShape, Fault, Unreadable

COLUMNS = (
    "name", "symbol", "value", "low", "high", "unit",
    "temperature_low_c", "temperature_high_c", "data_set", "source", "provenance",
)  # fmt: skip
PROVENANCE = ("seen", "memory", "computed", "judgement")


@dataclass(frozen=True, slots=True)
class Constant:
    """One constant. `low` and `high` span what is not known of it; the temperatures span where it may be
    used.

    Only a constant whose provenance is `seen` may be cited as published.
    """

    name: str
    symbol: str
    value: float
    low: float | None
    high: float | None
    unit: str
    temperature_low_c: float | None
    temperature_high_c: float | None
    data_set: str
    source: str
    provenance: str

    def span(self) -> tuple[float, float]:
        """Low and high, or the value twice where no spread is given."""
        return (
            self.value if self.low is None else self.low,
            self.value if self.high is None else self.high,
        )

    def temperatures_c(self) -> tuple[float, float]:
        """The range of use; a constant without one may be used anywhere above absolute zero."""
        return (
            -273.15 if self.temperature_low_c is None else self.temperature_low_c,
            float("inf") if self.temperature_high_c is None else self.temperature_high_c,
        )


@dataclass(frozen=True, slots=True)
class Segment:
    """The constants of one name in one data set over one range of temperature."""

    data_set: str
    low_c: float
    high_c: float
    values: Mapping[str, float]
    units: Mapping[str, str]
    source: str


class Constants:
    """A table of constants, looked up by data set and symbol, or by name where a law has segments."""

    def __init__(self, rows: Iterable[Constant]) -> None:
        self.rows = tuple(rows)
        self._single: dict[tuple[str, str], Constant] = {}
        grouped: dict[str, dict[tuple[str, float, float], list[Constant]]] = {}
        for row in self.rows:
            self._single.setdefault((row.data_set, row.symbol), row)
            key = (row.data_set, *row.temperatures_c())
            grouped.setdefault(row.name, {}).setdefault(key, []).append(row)
        self._segments = {
            name: tuple(_segment(key, rows) for key, rows in groups.items())
            for name, groups in grouped.items()
        }

    def one(self, data_set: str, symbol: str) -> Constant:
        """The constant of a data set that names each symbol once.

        >>> from wareontology.paths import data
        >>> load(data("constants.csv")).one("magnetite-reoxidation", "E").span()
        (75.0, 110.0)
        """
        try:
            return self._single[data_set, symbol]
        except KeyError:
            raise Unreadable(f"constants: no {symbol!r} in data set {data_set!r}") from None

    def value(self, data_set: str, symbol: str) -> float:
        """The value of that constant."""
        return self.one(data_set, symbol).value

    def named(self, name: str, symbol: str, data_set: str) -> Constant | None:
        """The first constant of that name, symbol and data set; None if there is none."""
        rows = (row for row in self.rows if (row.name, row.symbol, row.data_set) == (name, symbol, data_set))
        return next(rows, None)

    def segments(self, name: str, data_set: str | None = None) -> tuple[Segment, ...]:
        """Every segment of a name, in file order, of one data set or of all."""
        found = tuple(
            segment
            for segment in self._segments.get(name, ())
            if data_set is None or segment.data_set == data_set
        )
        if not found:
            raise Unreadable(
                f"constants: nothing on {name!r}" + (f" in data set {data_set!r}" if data_set else "")
            )
        return found


def _segment(key: tuple[str, float, float], rows: list[Constant]) -> Segment:
    return Segment(
        *key,
        values={row.symbol: row.value for row in rows},
        units={row.symbol: row.unit for row in rows},
        source=rows[0].source,
    )


def read(lines: Iterable[str], file: str = "constants.csv") -> Constants:
    """The table from the lines of a CSV file; lines starting with # are its provenance.

    Raises Unreadable if the columns are not those of COLUMNS, BreaksShape with every bad cell otherwise.

    >>> row = "wall,wall,0.005,0.003,0.012,m,,,bowl,invented,judgement"
    >>> table = read(["# invented", ",".join(COLUMNS), row])
    >>> table.value("bowl", "wall")
    0.005
    """
    numbered = [(number, line) for number, line in enumerate(lines, 1) if not line.startswith("#")]
    table = csv.reader(line for _, line in numbered)
    heading = tuple(next(table, ()))
    if heading != COLUMNS:
        raise Unreadable(f"{file}: columns found {','.join(heading)!r}; would do {','.join(COLUMNS)!r}")
    rows: list[Constant] = []
    faults: list[Fault] = []
    for (number, _), cells in zip(numbered[1:], table, strict=True):
        try:
            rows.append(_constant(cells))
        except ValueError as fault:
            faults.append(
                Fault(file, number, None, ",".join(cells), "a row with all eleven cells", why=str(fault))
            )
    if faults:
        raise BreaksShape(faults)
    return Constants(rows)


def _constant(cells: list[str]) -> Constant:
    name, symbol, value, low, high, unit, low_c, high_c, data_set, source, provenance = cells
    if provenance not in PROVENANCE:
        raise ValueError(f"provenance {provenance!r} is none of {', '.join(PROVENANCE)}")
    if not source:
        raise ValueError("no source")
    row = Constant(
        name, symbol, float(value), _number(low), _number(high), unit, _number(low_c), _number(high_c),
        data_set, source, provenance,
    )  # fmt: skip
    at_least, at_most = row.span()
    if not at_least <= row.value <= at_most and symbol != "measured":
        raise ValueError(f"value {value} outside {low} to {high}")
    return row


def _number(cell: str) -> float | None:
    return float(cell) if cell else None


def load(path: Path) -> Constants:
    """The table from a file the caller names; nothing here knows where it lies."""
    try:
        with path.open(encoding="utf-8", newline="") as lines:
            return read(lines, path.name)
    except OSError as fault:
        raise Unreadable(f"{path}: {fault.strerror}") from fault
