"""Tables that were handed in, held in memory and answered sherd by sherd in the background."""

import secrets
from collections import OrderedDict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from threading import Condition, Lock, Thread
from typing import Any, Final

from wareontology.app import reading
from wareontology.app.handed_in import Table

MOST_HELD: Final = 8
"""Tables held at once; the oldest goes first. What is to be kept belongs in the collection."""


@dataclass(slots=True)
class Lot:
    """A table with the answers it has so far. `own_faults`: what this program itself failed on."""

    key: str
    table: Table
    answers: list[Mapping[str, Any] | None] = field(default_factory=list)
    own_faults: list[str] = field(default_factory=list)
    done: int = 0
    let_go: bool = False
    changed: Condition = field(default_factory=Condition)

    @property
    def total(self) -> int:
        return len(self.table.sherds)

    def wait(self, seconds: float) -> bool:
        """Whether all is answered, waiting at most so long for it."""
        with self.changed:
            return self.changed.wait_for(lambda: self.done == self.total, seconds)

    def answered(self) -> Iterator[tuple[int, Mapping[str, Any]]]:
        """Place and answer of each sherd that has one, in the order of the table."""
        return ((place, answer) for place, answer in enumerate(self.answers) if answer is not None)


class Lots:
    """The tables held by one running app."""

    def __init__(self) -> None:
        self._lots: OrderedDict[str, Lot] = OrderedDict()
        self._lock = Lock()

    def take(self, table: Table) -> Lot:
        """Hold a table and begin to answer it."""
        lot = Lot(secrets.token_urlsafe(12), table, [None] * len(table.sherds))
        with self._lock:
            self._lots[lot.key] = lot
            while len(self._lots) > MOST_HELD:
                self._lots.popitem(last=False)[1].let_go = True
        Thread(target=_answer, args=(lot,), name=f"lot {lot.key}", daemon=True).start()
        return lot

    def get(self, key: str) -> Lot | None:
        """A table that is still held."""
        with self._lock:
            return self._lots.get(key)


def _answer(lot: Lot) -> None:
    """Answers without the draws of the uncertain numbers would decide less; so they are drawn here too."""
    from wareontology.technique.answer import answer
    from wareontology.technique.asked import own_fault

    for place, sherd in enumerate(lot.table.sherds):
        if lot.let_go:
            return
        try:
            lot.answers[place] = answer(sherd, draws=reading.DRAWS)
        except Exception as error:  # one sherd must not stop the others; it is said on the page
            lot.own_faults.append(f"sherd {sherd.sherd} is not answered: {own_fault(error)}")
        with lot.changed:
            lot.done += 1
            lot.changed.notify_all()
