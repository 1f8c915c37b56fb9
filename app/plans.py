"""Looks that were asked for: planned one after another in the background, held in memory."""

from collections import OrderedDict
from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, field
from threading import Lock
from typing import Any, Final

from wareontology.replica import kept_runs
from wareontology.replica.look import Look
from wareontology.replica.means import Limits
from wareontology.replica.plan import planned

MOST_HELD: Final = 16
MOST_WAITING: Final = 4


@dataclass
class Asked:
    """One look with its limits: how far its plan is, and its answer or what stood against it."""

    key: str
    look: Look
    by: Limits
    done: int = 0
    of: int = 0
    result: Future[Mapping[str, Any]] = field(default_factory=Future)

    def told(self, done: int, of: int) -> None:
        """How far it is."""
        self.done, self.of = done, of


class Plans:
    """The plans of one running app. The same question is planned once."""

    def __init__(self) -> None:
        self._held: OrderedDict[str, Asked] = OrderedDict()
        self._lock = Lock()
        self._worker = ThreadPoolExecutor(1, thread_name_prefix="plan")

    def ask(self, look: Look, by: Limits, members: int) -> Asked | None:
        """Hold a question and begin on it; None where too many wait already."""
        key = kept_runs.key("asked", look.wanted, look.read, look.sherds, by, members)
        with self._lock:
            known = self._held.get(key)
            if known is not None and not (known.result.done() and known.result.exception()):
                return known
            if sum(not one.result.done() for one in self._held.values()) >= MOST_WAITING:
                return None
            asked = self._held[key] = Asked(key, look, by)
            asked.result = self._worker.submit(planned, look, by, members=members, progress=asked.told)
            for old in [one for one in self._held.values() if one.result.done()][
                : len(self._held) - MOST_HELD
            ]:
                del self._held[old.key]
        return asked

    def get(self, key: str) -> Asked | None:
        """A question that is still held."""
        return self._held.get(key)
