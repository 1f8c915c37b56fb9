"""Times of a log: dates, times of day or minutes since it was lit; one way in one log, never back."""

from datetime import date, datetime, time
from typing import Final

from wareontology.errors import Fault

_EPOCH: Final = date(2000, 1, 1)
_WAYS: Final = {
    "date": "a date with a time, as 2026-05-02T10:15",
    "zone": "a date with a time and its zone, as 2026-05-02T10:15+02:00",
    "day": "a time of day, as 10:15",
    "minutes": "minutes since it was lit, as 95",
}


class Clock:
    """Turns cells of time to seconds, and says where one goes back or is told another way than those
    before."""

    def __init__(self, file: str, faults: list[Fault]) -> None:
        self.file = file
        self.began: datetime | None = None
        self._faults = faults
        self._way = ""
        self._last = float("-inf")
        self._last_text = ""

    def seconds(self, text: str, row: int) -> float | None:
        """Seconds, of any zero; None where the cell has a fault, which is noted.

        >>> faults = []
        >>> clock = Clock("a.csv", faults)
        >>> clock.seconds("10:15", 2), clock.seconds("95", 3), faults[0].why
        (36900.0, None, 'the rows before have a time of day, as 10:15')
        """
        told = _told(text)
        if told is None:
            self._note(row, text, f"{_WAYS['date']}; or {_WAYS['day']}; or {_WAYS['minutes']}", "")
            return None
        way, seconds, moment = told
        if self._way and way != self._way:
            self._note(row, text, _WAYS[self._way], f"the rows before have {_WAYS[self._way]}")
            return None
        if seconds < self._last:
            later = f"a time at or after {self._last_text}, with the day in it where midnight lies between"
            self._note(row, text, later, f"it goes back before {self._last_text}")
            return None
        if not self._way:
            self._way, self.began = way, moment
        self._last, self._last_text = seconds, text
        return seconds

    def _note(self, row: int, found: str, would_do: str, why: str) -> None:
        self._faults.append(Fault(self.file, row, "time", found, would_do, why=why))


def _told(text: str) -> tuple[str, float, datetime | None] | None:
    """How a time is told, its seconds, and the moment where a date is in it."""
    try:
        if "-" in text[1:] or "T" in text:
            moment = datetime.fromisoformat(text)
            if moment.tzinfo is not None:
                return "zone", moment.timestamp(), moment
            return "date", (moment - datetime.combine(_EPOCH, time())).total_seconds(), moment
        if ":" in text:
            parts = [int(part) for part in text.split(":")]
            hour, minute, second = (*parts, 0) if len(parts) == 2 else parts
            of_day = time(hour, minute, second)
            return "day", of_day.hour * 3600.0 + of_day.minute * 60 + of_day.second, None
        minutes = float(text)
    except ValueError:
        return None
    return ("minutes", 60 * minutes, None) if 0 <= minutes < 1e6 else None


def in_order(text: str) -> tuple[str, float]:
    """What sorts times told in one way; a text that is no time comes last.

    >>> sorted(["10:15", "9:50", "x"], key=in_order)
    ['9:50', '10:15', 'x']
    """
    told = _told(text.strip())
    return ("~", 0.0) if told is None else (told[0], told[1])
