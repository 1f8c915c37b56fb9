"""The cells of one row of a firing log: one reading of heat at most, and words."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from typing import Final

from wareontology.errors import Fault
from wareontology.firing import told_heat
from wareontology.firing.log import PLACES, WAYS
from wareontology.firing.log_columns import columns, events
from wareontology.firing.thermocouple import HIGHEST_C, LOWEST_C, emf_mv

_HEAT: Final = ("temperature_c", "emf_mv", "cone", "glow")
_SAID: Final = ("event", "fuel", "weather", "note")
_LONGEST: Final = 2000
_WITH_UNIT: Final = re.compile(r"(-?[\d.,]+)\s*°?\s*([A-Za-zµ]+)")


@dataclass(frozen=True, slots=True)
class Row:
    """A row that stands well. way: place in WAYS, -1 without a reading; value: °C, or mV with cold_c."""

    place: int
    way: int
    value: float
    cold_c: float
    said: tuple[str, str, str, str] | None


def other_units(column: str) -> str:
    """What would do for a column told in another unit; "" where it is none such.

    >>> other_units("temperature_f")
    'temperature_c, with (°F - 32) / 1.8 in it'
    """
    return {
        "temperature_f": "temperature_c, with (°F - 32) / 1.8 in it",
        "temperature_k": "temperature_c, with K - 273.15 in it",
        "emf_uv": "emf_mv, with µV / 1000 in it", "emf_v": "emf_mv, with 1000 x V in it",
        "temperature": "temperature_c, with its unit in its name",
        "cold_junction": "cold_junction_c, with its unit in its name",
        "cold_junction_f": "cold_junction_c, with (°F - 32) / 1.8 in it",
    }.get(column, "")  # fmt: skip


class Cells:
    """Reads rows under one heading."""

    def __init__(self, file: str, heading: Sequence[str], comma: bool, faults: list[Fault]) -> None:
        self._file, self._faults, self._comma = file, faults, comma
        self._at = {column: place for place, column in enumerate(heading) if column}
        self._wide = len(heading)
        self._heat = [(column, self._at[column]) for column in _HEAT if column in self._at]
        self._said = [self._at.get(column, -1) for column in _SAID]
        self._place, self._cold = self._at.get("place", -1), self._at.get("cold_junction_c", -1)

    def trimmed(self, number: int, cells: Sequence[str]) -> list[str] | None:
        """The cells of a row, as many as the heading has; None for a blank one, and for one too long."""
        found = [cell.strip() for cell in cells]
        if len(found) > self._wide and any(found[self._wide :]):
            self._note(number, None, f"{len(cells)} cells", f"{self._wide}, as the heading has")
            return None
        return found[: self._wide] + [""] * (self._wide - len(found)) if any(found) else None

    def row(self, number: int, cells: Sequence[str]) -> Row | None:
        """The row, its time apart; None for one with a fault, which is noted."""
        before = len(self._faults)
        given = [(column, cells[at]) for column, at in self._heat if cells[at]]
        cold = cells[self._cold] if self._cold >= 0 else ""
        way, value, cold_c = self._reading(number, given, cold)
        place = self._placed(number, cells[self._place] if self._place >= 0 else "")
        said = self._words(number, [cells[at] if at >= 0 else "" for at in self._said])
        return None if len(self._faults) > before else Row(place, way, value, cold_c, said)

    def _reading(self, number: int, given: Sequence[tuple[str, str]], cold: str) -> tuple[int, float, float]:
        nan = math.nan
        if len(given) > 1:
            names = " and ".join(column for column, _ in given)
            self._note(number, given[1][0], names, "one reading a row", "two ways of telling one heat")
            return -1, nan, nan
        if not given:
            if cold:
                self._note(number, "cold_junction_c", cold, "emf_mv beside it, or neither")
            return -1, nan, nan
        column, text = given[0]
        if column in ("cone", "glow"):
            return WAYS.index(column), self._told(number, column, text), nan
        value = self._number(number, column, text)
        if column == "temperature_c":
            return 0, value, nan
        if not cold:
            would_do = "the temperature where the wires end, beside each emf_mv"
            self._note(number, "cold_junction_c", "nothing", would_do, "an emf is read against its cold end")
            return 1, nan, nan
        cold_c = self._number(number, "cold_junction_c", cold)
        if not math.isnan(value) and not math.isnan(cold_c):
            self._hold_sum(number, value, cold_c)
        return 1, value, cold_c

    def _hold_sum(self, number: int, value: float, cold_c: float) -> None:
        low, high = _ends_mv()
        near_an_end = value < low + 3 or value > high - 4  # only there does the cold end's own matter
        whole = value + (float(emf_mv(cold_c)) if near_an_end else 0.0)
        if not low <= whole <= high:
            span = f"{low:.3f} to {high:.3f} mV with the cold end's added ({LOWEST_C:g} to {HIGHEST_C:g} °C)"
            self._note(number, "emf_mv", f"{value:g}", span, "beyond a type K thermocouple")

    def _told(self, number: int, column: str, text: str) -> float:
        found = told_heat.cone_c(text) if column == "cone" else told_heat.glow_c(text)
        if found is None:
            near = told_heat.near_cones(text) if column == "cone" else told_heat.near_glows(text)
            self._note(number, column, text, " or ".join(near))
            return math.nan
        return found

    def _number(self, number: int, column: str, text: str) -> float:
        try:
            value = float(text.replace(",", ".") if self._comma else text)
        except ValueError:
            self._note(number, column, text, _from_unit(column, text))
            return math.nan
        limits = columns()[column]
        if not limits.low <= value <= limits.high:
            why = "beyond a type K thermocouple" if column != "cold_junction_c" else "no cold end is there"
            self._note(number, column, text, _in_range(column, value), why)
            return math.nan
        return value

    def _placed(self, number: int, text: str) -> int:
        try:
            return PLACES.index(text.lower())
        except ValueError:
            choices = columns()["place"].choices
            near = get_close_matches(text.lower(), choices, 1, 0.5) or choices
            self._note(number, "place", text, " or ".join(near))
            return -1

    def _words(self, number: int, cells: Sequence[str]) -> tuple[str, str, str, str] | None:
        if not any(cells):
            return None
        event, fuel, weather, note = cells
        if event and event.lower() not in events():
            near = get_close_matches(event.lower(), tuple(events()), 2, 0.5) or list(events())
            self._note(number, "event", event, f"{' or '.join(near)}; or the words under note")
        for column, text in zip(_SAID, cells, strict=True):
            if len(text) > _LONGEST:
                self._note(number, column, text, f"at most {_LONGEST} characters")
        return event.lower(), fuel, weather, note

    def _note(self, row: int, column: str | None, found: str, would_do: str, why: str = "") -> None:
        self._faults.append(Fault(self._file, row, column, found, would_do, why=why))


@cache
def _ends_mv() -> tuple[float, float]:
    return float(emf_mv(LOWEST_C)), float(emf_mv(HIGHEST_C))


def _in_range(column: str, value: float) -> str:
    """The range, and what the number would be if it was in another unit."""
    limits = columns()[column]
    span = f"{limits.low:g} to {limits.high:g}"
    if column == "emf_mv":
        micro = value / 1000
        return f"{span} mV" + (f"; {micro:g} if it was µV" if limits.low <= micro <= limits.high else "")
    celsius = round((value - 32) / 1.8, 1)
    return f"{span} °C" + (f"; {celsius:g} if it was °F" if limits.low <= celsius <= limits.high else "")


def _from_unit(column: str, text: str) -> str:
    """What would do for a number with a unit beside it, as 1490 F."""
    said = _WITH_UNIT.fullmatch(text)
    try:
        value = float(said[1].replace(",", ".")) if said else math.nan
    except ValueError:
        value = math.nan
    unit = said[2].lower() if said else ""
    ways = {"c": value, "f": (value - 32) / 1.8, "k": value - 273.15}
    if column == "emf_mv":
        ways = {"mv": value, "uv": value / 1000, "µv": value / 1000, "v": value * 1000}
    if unit in ways and not math.isnan(value):
        return f"{round(ways[unit], 3):g}, the number alone, in {'mV' if column == 'emf_mv' else '°C'}"
    return f"a number, in {'mV' if column == 'emf_mv' else '°C'}"
