"""Rows of one sherd put together: what each cell says, and whether the rows agree."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Final

from wareontology.errors import Fault
from wareontology.sherd.columns import ABOUT, column
from wareontology.sherd.record import Row, Seen, Sherd

_ONE_ROW: Final = (
    "one row for each layer in a zone; a name of its own for a second slip or paint;"
    " its refire_c for each step of a refiring"
)


@dataclass(slots=True)
class Read:
    """One row of a table after its cells were read, before it is known to agree with the others."""

    number: int
    sherd: str
    observer: str | None = None
    zone: str = ""
    layer: str = ""
    name: str | None = None
    of_sherd: dict[str, Seen] = field(default_factory=dict)
    of_row: dict[str, Seen] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Record:
    """What a table says of one sherd by one observer: the sherd, or the faults it is left out for.

    row: its first row in the table.
    """

    row: int
    sherd: Sherd | None
    faults: tuple[Fault, ...] = ()


def assemble(rows: Sequence[Read], file: str) -> list[Record]:
    """All rows of one sherd as records, one an observer; rows are put in one order, whatever theirs was."""
    by_observer: dict[str | None, list[Read]] = {}
    for row in rows:
        by_observer.setdefault(row.observer, []).append(row)
    unsigned = by_observer.get(None, []) if len(by_observer) > 1 else []
    if unsigned:
        signed = next(row for row in rows if row.observer is not None)
        why = f"blank, but row {signed.number} of this sherd has one"
        for row in unsigned:
            row.faults.append(
                _fault(file, row, "observer", "", f"{signed.observer}, or whoever looked", why=why)
            )
    records = [_one(group, file) for group in by_observer.values()]
    if unsigned:  # whose rows they are is not known, so nobody's are whole
        return [Record(record.row, None, record.faults) for record in records]
    return records


def _one(rows: list[Read], file: str) -> Record:
    faults = [fault for row in rows for fault in row.faults]
    seen = _agreed(rows, file, faults)
    _check_twice(rows, file, faults)
    if not faults:  # what follows would only repeat what is wrong already
        _check_whole(rows, seen, file, faults)
    first = min(row.number for row in rows)
    if faults:
        return Record(first, None, tuple(faults))
    whole = tuple(Row(row.zone, row.layer, row.name, row.of_row, row.number) for row in rows)
    return Record(first, Sherd(rows[0].sherd, rows[0].observer, seen, in_order(whole), file))


def in_order(rows: Iterable[Row]) -> tuple[Row, ...]:
    """Rows by zone, layer, name and step of refiring: the one order in which a sherd's rows are kept.

    >>> rows = (Row("break", "body", None, {}), Row("rim", "paint", None, {}), Row("rim", "slip", None, {}))
    >>> [(row.zone, row.layer) for row in in_order(rows)]
    [('rim', 'slip'), ('rim', 'paint'), ('break', 'body')]
    """
    return tuple(sorted(rows, key=_place))


def _place(row: Row) -> tuple[int, int, str, float]:
    zones, layers = _orders()
    step = row.seen.get("refire_c")
    refired = step.number if step is not None and step.number is not None else 0.0
    return zones[row.zone], layers[row.layer], row.name or "", refired


@cache
def _orders() -> tuple[dict[str, int], dict[str, int]]:
    zones, layers = column("zone").choices, column("layer").choices
    return {zone: at for at, zone in enumerate(zones)}, {layer: at for at, layer in enumerate(layers)}


def _agreed(rows: list[Read], file: str, faults: list[Fault]) -> dict[str, Seen]:
    """The sherd's own cells: equal or blank on all its rows."""
    seen: dict[str, Seen] = {}
    said_on: dict[str, int] = {}
    for row in rows:
        for name, cell in row.of_sherd.items():
            first = seen.get(name)
            if first is None:
                seen[name] = cell
                said_on[name] = row.number
            elif first is not cell and first != cell:
                why = f"row {said_on[name]} of this sherd says {first.text}"
                faults.append(_fault(file, row, name, cell.text, f"{first.text}, or blank", why=why))
    return seen


def _check_twice(rows: list[Read], file: str, faults: list[Fault]) -> None:
    seen: dict[tuple[object, ...], int] = {}
    for row in rows:
        step = row.of_row.get("refire_c")
        key = (row.zone, row.layer, row.name, step.number if step is not None else None)
        first = seen.setdefault(key, row.number)
        if first != row.number and row.zone and row.layer:
            found = " ".join(filter(None, (row.zone, row.layer, row.name, f"{step.text} °C" if step else "")))
            why = f"the same as row {first} of this sherd"
            faults.append(_fault(file, row, "zone", found, _ONE_ROW, why=why))


def _check_whole(rows: list[Read], seen: dict[str, Seen], file: str, faults: list[Fault]) -> None:
    """What only the whole sherd shows. A fault here is a fault of the first row that has it."""
    names = {row.name for row in rows if row.name} | set(column("layer").choices)
    for row in rows:
        core, on = row.of_row.get("core"), row.of_row.get("on")
        if core is not None and (row.zone, row.layer) != ("break", "body"):
            why = f"on the {row.layer} of the {row.zone}"
            faults.append(_fault(file, row, "core", core.text, "it on the body's row in the break", why=why))
        if on is not None and on.text.removeprefix("slip:").removeprefix("paint:") not in names:
            known = ", ".join(sorted(names))
            faults.append(_fault(file, row, "on", on.text, known, why="no layer of this sherd has that name"))
    start, end = seen.get("date_from"), seen.get("date_to")
    if start and end and start.number is not None and end.number is not None and start.number > end.number:
        would_do = f"a year not later than date_to, {end.text}"
        faults.append(_fault(file, rows[0], "date_from", start.text, would_do))
    if not (seen.keys() - ABOUT or any(row.of_row.keys() - ABOUT for row in rows)):
        would_do = "one observed value, such as the colour of a layer"
        faults.append(_fault(file, rows[0], None, "nothing observed", would_do))


def _fault(file: str, row: Read, name: str | None, found: str, would_do: str, *, why: str = "") -> Fault:
    return Fault(file, row.number, name, found, would_do, row.sherd, why)
