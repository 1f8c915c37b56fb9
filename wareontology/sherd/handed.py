"""A table as it was handed in: its good sherds one by one, and what was refused along the way."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from wareontology.errors import BreaksShape, Fault, WareontologyError
from wareontology.sherd.headings import read_map
from wareontology.sherd.record import Sherd
from wareontology.sherd.table import iter_records


@dataclass
class Handed:
    """A table and, once its sherds were gone through, its faults.

    headings: a TOML file that says what the table's own headings mean. refused: how many records (sherds, or
    the table as a whole) had a fault.
    """

    file: str
    ignore_unknown: bool = False
    headings: str | None = None
    faults: list[Fault] = field(default_factory=list)
    refused: int = 0

    def sherds(self) -> Iterator[Sherd]:
        """The sherds without a fault. Raises Unreadable where there is no table; `faults` says so too."""
        try:
            own = read_map(self.headings) if self.headings is not None else None
            for record in iter_records(self.file, headings=own, ignore_unknown=self.ignore_unknown):
                if record.sherd is not None:
                    yield record.sherd
                else:
                    self.refuse(record.faults)
        except WareontologyError as error:
            self.refuse(error.faults if isinstance(error, BreaksShape) else [_as_fault(error, self.file)])
            raise

    def refuse(self, faults: Iterable[Fault]) -> None:
        """Take note of the faults of one record."""
        self.faults += faults
        self.refused += 1

    def faults_json(self) -> bytes:
        """Every fault as JSON."""
        data = [fault.as_data() for fault in self.faults]
        return (json.dumps(data, indent=1, ensure_ascii=False) + "\n").encode("utf-8", "replace")


def _as_fault(error: WareontologyError, file: str) -> Fault:
    """An error that speaks of a whole file (`FILE: found this; would do: that`) as a fault."""
    where, _, rest = str(error).partition(": found ")
    found, _, would_do = rest.partition("; would do: ")
    return Fault(where or file, None, None, found or str(error), would_do)
