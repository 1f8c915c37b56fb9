"""What can go wrong with what a person hands in. Each message says where, what was found, what would do.

WareontologyError
├── Unreadable   the file or text cannot be read at all
├── BreaksShape  it can be read, but a cell, a row or a record is not what it must be
├── OutOfRange   a number lies outside what a source or a table covers
├── NotKept      something was to be kept on the disk and was not; what was kept before is whole
└── Conflict     what was to be changed was changed by somebody else since it was read
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


class NotKept(WareontologyError):
    """Something was to be kept on the disk and was not. What was kept before is whole."""


class Conflict(WareontologyError):
    """A save that rests on an older version than the one that is there now; nothing was saved.

    read: number of the version the save rests on, None where it was taken to be new. now: number of the
    version that is there, None where there is none any more.

    >>> raise Conflict("sherd K-14", 3, 5, "AB", "2026-01-05T10:00:00.000Z")
    Traceback (most recent call last):
    wareontology.errors.Conflict: sherd K-14: found version 5 (AB, 2026-01-05T10:00:00.000Z), not version 3 \
as read; would do: what is there now read again, and the change made on it
    """

    def __init__(self, what: str, read: int | None, now: int | None, who: str = "", at: str = "") -> None:
        self.what, self.read, self.now, self.who, self.at = what, read, now, who, at
        there = f"version {now} ({who}, {at})" if now is not None else "nothing there any more"
        meant = f"version {read} as read" if read is not None else "a new one"
        would_do = "what is there now read again, and the change made on it"
        super().__init__(f"{what}: found {there}, not {meant}; would do: {would_do}")


def _short(text: str, most: int = 60) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"
