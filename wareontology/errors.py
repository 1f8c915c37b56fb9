"""What can go wrong with what a person hands in. Each message says where, what was found, what would do.

WareontologyError
├── Unreadable   the file or text cannot be read at all
├── BreaksShape  it can be read, but a cell, a row or a record is not what it must be
└── OutOfRange   a number lies outside what a source or a table covers
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault in something handed in.

    `row` counts as a spreadsheet does: the heading line is row 1. None means the whole file.

    >>> print(Fault("lot.csv", 4, "colour", "redish", "red"))
    lot.csv, row 4, column colour: found 'redish'; would do: red
    """

    file: str
    row: int | None
    column: str | None
    found: str
    would_do: str
    sherd: str | None = None
    why: str = ""

    def __str__(self) -> str:
        where = self.file
        if self.row is not None:
            where += f", row {self.row}"
        if self.column is not None:
            where += f", column {self.column}"
        found = f"found {_short(self.found)!r}"
        reason = f" ({self.why})" if self.why else ""
        return f"{where}: {found}{reason}; would do: {self.would_do}"

    def as_data(self) -> dict[str, object]:
        """The fault as plain data, for --faults FILE and the HTTP interface."""
        return asdict(self)


class WareontologyError(Exception):
    """Root of our errors: a message for a person, never a traceback."""


class Unreadable(WareontologyError):
    """The file or text cannot be read at all."""


class BreaksShape(WareontologyError):
    """Something readable is not what it must be; carries every fault found."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(str(fault) for fault in self.faults))


class OutOfRange(WareontologyError):
    """A number lies outside what its source covers.

    >>> raise OutOfRange("temperature_c", 2000, 300, 1200, "Frost 1991, Table 1")
    Traceback (most recent call last):
    wareontology.errors.OutOfRange: temperature_c: found 2000; would do: 300 to 1200 (Frost 1991, Table 1)
    """

    def __init__(self, quantity: str, found: float, low: float, high: float, source: str) -> None:
        self.quantity, self.found, self.low, self.high, self.source = quantity, found, low, high, source
        super().__init__(f"{quantity}: found {found:g}; would do: {low:g} to {high:g} ({source})")


def _short(text: str, most: int = 60) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"
