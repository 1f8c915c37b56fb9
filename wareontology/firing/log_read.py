"""A firing log read from CSV or from rows, gaps allowed; every fault named with its row and column.

A row with a fault is left out and the rest is read. Rows are counted as a spreadsheet does.
"""

import csv
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from difflib import get_close_matches
from pathlib import Path
from typing import Final

import numpy as np

from wareontology.errors import Fault, Unreadable
from wareontology.firing import thermocouple
from wareontology.firing.log import WAYS, Entry, Log, Read
from wareontology.firing.log_cells import Cells, other_units
from wareontology.firing.log_columns import columns
from wareontology.firing.log_times import Clock
from wareontology.redox.arrays import floats

LARGEST: Final = 256 * 2**20
"""Bytes of a log; a reading a second for a week is some 30 MB."""
MOST_FAULTS: Final = 1000
"""Faults that are named; after so many the rest of the file is not read."""
METER_GIVE_OR_TAKE_C: Final = 5.0
"""A type K wire of the common class at red heat is about 0.75 % out (memory, unverified)."""


def read(path: Path | str, name: str | None = None) -> Read:
    """The log in a CSV file. Unreadable where it is no table, or has other columns."""
    try:
        size = Path(path).stat().st_size
        if size > LARGEST:
            raise Unreadable(f"{path}: found {size:,} bytes; would do: at most {LARGEST:,}, or in parts")
        return from_bytes(Path(path).read_bytes(), name or Path(path).name)
    except OSError as error:
        raise Unreadable(f"{path}: {error.strerror}; would do: a log, such as log --template") from error


def from_bytes(raw: bytes, name: str = "log") -> Read:
    """The log in the bytes of a CSV file: UTF-8 or UTF-16; comma, semicolon or tab; point or comma."""
    coding = "utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    try:
        text = raw.decode(coding)
    except UnicodeDecodeError:
        raise Unreadable(f"{name}: found bytes that are no {coding}; would do: CSV saved as UTF-8") from None
    if "\0" in text:
        raise Unreadable(f"{name}: found bytes that are no text; would do: CSV saved as UTF-8")
    return from_text(text, name)


def from_text(text: str, name: str = "log") -> Read:
    """The log in a text of CSV.

    >>> found = from_text("time,place,glow\\n10:00,mid,cherry red\\n9:50,mid,orange\\n")
    >>> found.log.temperature_c
    array([740.])
    >>> print(found.faults[0])
    log, row 3, column time: found '9:50' (it goes back before 10:00); would do: a time at or after 10:00, \
with the day in it where midnight lies between
    """
    lines = text.splitlines(keepends=True)
    above = 0
    while above < len(lines) and (not lines[above].strip() or lines[above].startswith("#")):
        above += 1
    if above == len(lines):
        raise Unreadable(f"{name}: found no heading; would do: time and other columns, as log --template")
    mark = max(",;\t", key=lines[above].count)
    table = csv.reader(io.StringIO("".join(lines[above:])), delimiter=mark)
    try:
        heading = _heading(next(table), name, above + 1)
        return _read(_numbered(table, above), heading, name, comma=mark == ";")
    except csv.Error as error:
        raise Unreadable(f"{name}, row {above + table.line_num}: {error}; would do: a plain table") from None


def from_rows(rows: Iterable[Mapping[str, str]], name: str = "log") -> Read:
    """The log in rows that were typed, each a mapping of column to cell; row 1 is the first.

    >>> from_rows([{"time": "0", "emf_mv": "35", "cold_junction_c": "25"}]).log.temperature_c.round(3)
    array([866.999])
    """
    heading = tuple(columns())
    known = set(heading)
    listed = []
    for number, row in enumerate(rows, 1):
        for column in row:
            if column not in known:
                raise Unreadable(f"{name}: found column {column!r}; would do: {', '.join(heading)}")
        listed.append((number, [row.get(column, "") for column in heading]))
    return _read(listed, heading, name, comma=False)


def _numbered(table: Iterator[list[str]], above: int) -> Iterator[tuple[int, list[str]]]:
    for number, row in enumerate(table, above + 2):
        if row:
            yield number, row


def _heading(cells: Sequence[str], name: str, row: int) -> tuple[str, ...]:
    """The columns of the file. Unreadable, with the nearest, for one that no log has."""
    found = tuple(cell.strip().lower() for cell in cells)
    for column in found:
        if column and column not in columns():
            unit = other_units(column)
            near = get_close_matches(column, tuple(columns()), 2, 0.5) or list(columns())
            raise Unreadable(
                f"{name}, row {row}: found column {column!r}; would do: {unit or ' or '.join(near)}"
            )
    twice = {column for column in found if column and found.count(column) > 1}
    if twice:
        raise Unreadable(f"{name}, row {row}: found {' and '.join(sorted(twice))} twice; would do: once")
    if "time" not in found:
        raise Unreadable(f"{name}, row {row}: found no column time; would do: {', '.join(columns())}")
    return found


def _read(rows: Iterable[tuple[int, list[str]]], heading: tuple[str, ...], name: str, *, comma: bool) -> Read:
    faults: list[Fault] = []
    cells = Cells(name, heading, comma, faults)
    clock = Clock(name, faults)
    when = heading.index("time")
    times: list[float] = []
    readings: list[tuple[int, float, int, float, float]] = []
    said: list[Entry] = []
    for number, row in rows:
        if len(faults) >= MOST_FAULTS:
            faults.append(Fault(name, number, None, "more faults", "these mended first", why="not read on"))
            break
        trimmed = cells.trimmed(number, row)
        if trimmed is None:
            continue
        at = clock.seconds(trimmed[when], number)  # also where the rest has a fault: time goes on
        found = cells.row(number, trimmed)
        if at is None or found is None:
            continue
        times.append(at)
        if found.way >= 0:
            readings.append((found.way, at, found.place, found.value, found.cold_c))
        if found.said:
            said.append(Entry(number, at, *found.said))
    return Read(_log(name, clock, times, readings, said), tuple(faults))


def _log(
    name: str, clock: Clock, times: list[float], readings: list[tuple[int, float, int, float, float]],
    said: list[Entry],
) -> Log:  # fmt: skip
    start = times[0] if times else 0.0
    table = floats(readings).reshape(-1, 5)
    way = table[:, 0].astype(np.int8)
    temperature = table[:, 3].copy()
    wires = way == WAYS.index("emf")
    if wires.any():
        temperature[wires] = thermocouple.temperature_c(table[wires, 3], table[wires, 4])
    spread = floats([METER_GIVE_OR_TAKE_C, METER_GIVE_OR_TAKE_C, 20.0, 75.0])[way]
    entries = tuple(
        Entry(one.row, one.time_s - start, one.event, one.fuel, one.weather, one.note) for one in said
    )
    return Log(
        name, clock.began, table[:, 1] - start, temperature, spread, table[:, 2].astype(np.int8), way,
        entries, times[-1] - start if times else 0.0,
    )  # fmt: skip
