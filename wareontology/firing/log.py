"""A firing's log: readings of heat by place with how far each may be out, and what was done and seen."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.errors import Fault
from wareontology.firing.log_columns import COMPARED
from wareontology.redox.arrays import Floats, floats

WAYS: Final = ("meter", "emf", "cone", "glow")
PLACES: Final = (*COMPARED, "fire", "cover", "ground", "")
ZERO: Final = ("covered", "mouth-down", "burnt-out")
"""Events that set the clock of a simulation, the first of them that was written down."""


@dataclass(frozen=True, slots=True)
class Entry:
    """What was done or seen, in words; row as in the file."""

    row: int
    time_s: float
    event: str
    fuel: str
    weather: str
    note: str


@dataclass(frozen=True, slots=True)
class Log:
    """A log in the order of time. began: when its first row was, None for a time without a day.

    time_s: of each reading, seconds since the first row; temperature_c and give_or_take_c of it; place and
    way: places in PLACES and WAYS. said: what was written beside. last_s: of the last row, whatever it says.
    """

    name: str
    began: datetime | None
    time_s: Floats
    temperature_c: Floats
    give_or_take_c: Floats
    place: NDArray[np.int8]
    way: NDArray[np.int8]
    said: tuple[Entry, ...]
    last_s: float

    def first(self, *events: str) -> float | None:
        """Seconds at which the first of these events was written down, in the order they are asked for.

        >>> from wareontology.firing.log_read import from_rows
        >>> log = from_rows([{"time": "0", "event": "lit"}, {"time": "50", "event": "covered"}]).log
        >>> log.first("covered"), log.first("opened")
        (3000.0, None)
        """
        for event in events:
            for entry in self.said:
                if entry.event == event:
                    return entry.time_s
        return None

    def zero_s(self) -> float | None:
        """When it was covered (or shut, or left), which is where a simulation's clock begins."""
        return self.first(*ZERO)

    def at(self, place: str) -> NDArray[np.bool_]:
        """Which readings are of a place."""
        return np.asarray(self.place == PLACES.index(place))

    @property
    def readings(self) -> int:
        return int(self.time_s.size)


@dataclass(frozen=True, slots=True)
class Read:
    """A log that was read, and what in it could not be."""

    log: Log
    faults: tuple[Fault, ...]


def thinned(time_s: Floats, values: Floats, most: int = 600) -> tuple[Floats, Floats]:
    """At most about twice `most` points of a curve: the lowest and the highest of each of `most` spans.

    >>> at, low_and_high = thinned(np.arange(1e5), np.sin(np.arange(1e5)), 100)
    >>> at.size <= 200, bool(low_and_high.max() > 0.999)
    (True, True)
    """
    if time_s.size <= 2 * most:
        return time_s, values
    edges = np.linspace(0, time_s.size, most + 1).astype(int)[:-1]
    low, high = np.minimum.reduceat(values, edges), np.maximum.reduceat(values, edges)
    start = np.repeat(np.arange(edges.size), np.diff([*edges, time_s.size]))
    kept = np.zeros(time_s.size, dtype=bool)
    for ends in (low, high):
        hits = np.flatnonzero(values == ends[start])
        _, first = np.unique(start[hits], return_index=True)
        kept[hits[first]] = True
    return floats(time_s[kept]), floats(values[kept])


LONGEST_S: Final = (1800.0, 6 * 3600.0)
"""Seconds without a row from which on there is a gap: while it is lit, and while it cools."""


def gaps(log: Log) -> tuple[tuple[float, float], ...]:
    """Spans without a reading or a word, seconds from the first row: over half an hour while it is lit, over
    six hours while it cools."""
    zero = log.zero_s()
    times: Sequence[float] = sorted(
        {0.0, log.last_s, *log.time_s.tolist(), *(one.time_s for one in log.said)}
    )
    return tuple((a, b) for a, b in pairwise(times) if b - a > LONGEST_S[zero is not None and a >= zero])
