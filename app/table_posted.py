"""A sherd table posted by a program: CSV, XLSX, JSON, JSON-LD or Turtle, held to the app's caps."""

import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from io import BytesIO
from typing import Final

from flask import current_app, request
from werkzeug.exceptions import UnsupportedMediaType

from wareontology.app import handed_in
from wareontology.errors import Unreadable
from wareontology.sherd.handed import Handed
from wareontology.sherd.record import Sherd

XLSX: Final = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
ENDINGS: Final = {
    "text/csv": ".csv",
    XLSX: ".xlsx",
    "application/json": ".json",
    "application/ld+json": ".jsonld",
    "text/turtle": ".ttl",
}
KINDS: Final = tuple(ENDINGS)
MOST_HELD: Final = 4 * 2**20
"""Bytes of JSON or Turtle; CSV may be larger."""


@dataclass
class Posted(Handed):
    """A table that was read already; asked like any other."""

    read: Iterable[Sherd] = field(default_factory=list)

    def sherds(self) -> Iterator[Sherd]:
        """The sherds without a fault."""
        return iter(self.read)


def read() -> Posted:
    """The table of this request's body.

    Raises UnsupportedMediaType for another kind, Unreadable where it is no table or passes a cap.
    """
    kind = request.mimetype
    if kind not in ENDINGS:
        raise UnsupportedMediaType(f"Found {kind or 'no kind'}; would do: {', '.join(KINDS)}.")
    name = f"table{ENDINGS[kind]}"
    content = request.get_data()
    if kind in ("text/csv", XLSX):
        found = handed_in.read(BytesIO(content), name, current_app.config)
        return Posted(name, faults=found.faults, refused=found.refused, read=found.sherds)
    return _held(content, name)


def _held(content: bytes, name: str) -> Posted:
    from wareontology.sherd.table import read as read_table

    if len(content) > MOST_HELD:
        most = f"{MOST_HELD // 2**20} MB"
        raise Unreadable(f"{name}: found over {most}; would do: the same as CSV, or in parts")
    with tempfile.NamedTemporaryFile(prefix="wareontology-") as file:
        file.write(content)
        file.flush()
        found = read_table(file.name, name=name)
    most_sherds = current_app.config["MOST_SHERDS"]
    if len(found.sherds) > most_sherds:
        raise Unreadable(f"{name}: found over {most_sherds:,} sherds; would do: the same in parts")
    refused = len({fault.sherd for fault in found.faults})
    return Posted(name, faults=list(found.faults), refused=refused, read=found.sherds)
