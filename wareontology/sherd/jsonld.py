"""A sherd as JSON-LD and back, without loss: keys are the columns, cells are text or numbers as seen."""

from collections.abc import Iterable, Mapping

from wareontology.errors import BreaksShape, Fault
from wareontology.sherd import iris, json_rows
from wareontology.sherd.columns import columns
from wareontology.sherd.context import CONTEXT
from wareontology.sherd.gather import gathered, placed, records
from wareontology.sherd.record import Row, Seen, Sherd


def to_jsonld(sherd: Sherd) -> dict[str, object]:
    """One sherd as an object: its own cells, then `rows`, a list of objects.

    A number is a number; a word, a chip, a doubtful or a below-detection reading is text (`cream?`, `<12`).

    >>> from wareontology.sherd.cells import parse
    >>> from wareontology.sherd.columns import column
    >>> slip = Row("rim", "slip", None, {"colour": parse(column("colour"), "cream")})
    >>> to_jsonld(Sherd("K-14", None, {}, (slip,)))["rows"][0]["colour"]
    'cream'
    """
    address = iris.of_sherd(sherd)
    signed = {} if sherd.observer is None else {"observer": sherd.observer}
    return {
        "@context": CONTEXT,
        "@id": address,
        "@type": "Sherd",
        "sherd": sherd.sherd,
        **signed,
        **_cells(sherd.seen),
        "rows": [_row(address, row) for row in sherd.rows],
    }


def document(sherds: Iterable[Sherd]) -> dict[str, object]:
    """Any number of sherds as one JSON-LD document."""
    graph = [{key: value for key, value in to_jsonld(sherd).items() if key != "@context"} for sherd in sherds]
    return {"@context": CONTEXT, "@graph": graph}


def from_jsonld(content: Mapping[str, object], name: str = "JSON") -> Sherd:
    """The sherd an object describes. Raises BreaksShape where a cell or the whole is not what it must be."""
    table = json_rows.table([content], name)
    reading = gathered(records(table, placed(table, None, False)))
    if reading.faults or len(reading.sherds) != 1:
        more = Fault(name, None, None, f"{len(reading.sherds)} sherds", "one sherd by one observer")
        raise BreaksShape(reading.faults or (more,))
    return reading.sherds[0]


def value(cell: Seen) -> str | int | float:
    """A cell as JSON has it: a plain number where that is all it says, else its text."""
    if cell.number is None or cell.below or cell.doubtful:
        return cell.text
    return int(cell.text) if cell.text.lstrip("-").isdigit() else cell.number


def _row(address: str, row: Row) -> dict[str, object]:
    named = {} if row.name is None else {"name": row.name}
    return {
        "@id": iris.of_row(address, row),
        "@type": "Observation",
        "zone": row.zone,
        "layer": row.layer,
        **named,
        **_cells(row.seen),
    }


def _cells(seen: Mapping[str, Seen]) -> dict[str, object]:
    return {column.name: value(seen[column.name]) for column in columns() if column.name in seen}
