"""By the fire: from a plan and the log so far, the step that is next and what is off.

Pure: no clock, no disk. Without curves only the plan's own times and heats are compared; with those of a
simulation (firing.curves) a reading is also held against its spread.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from wareontology.firing import uncertain
from wareontology.firing.log import PLACES, ZERO, Log
from wareontology.firing.log_columns import COMPARED, events
from wareontology.firing.plan import Plan
from wareontology.firing.steps import GLOW_SPREAD_C, Step, steps

if TYPE_CHECKING:
    from wareontology.firing.curves import Curves

HEATING: Final = ("Preheat", "Fire", "Hold")
_LEAST_SPAN_S: Final = 300.0
_DAMP: Final = ("rain", "smoke", "wind", "burst")
_OFF: Final = {
    "burst": "A pot burst or cracked: slow the heating, keep clear, and look whether the rest is dry.",
    "smoke": "Smoke from the cover: find the crack, close it, and write it down.",
    "wind": "Wind got up: bank the windward side; sparks and flames go where it goes.",
    "rain": "Rain: hot pots burst where it reaches them; cover them, and count the cover as damp.",
}


@dataclass(frozen=True, slots=True)
class Now:
    """How a firing stands. step: what is being done, None after the last; next: the one after it.

    since_min: minutes since the step before it was done, None before the fire; left_min: about how much
    longer, low and high, None where the plan does not say; off: what is not as the plan has it, worst first;
    ends: the event that says it is done.
    """

    step: Step | None
    next: Step | None
    since_min: float | None
    left_min: tuple[float, float] | None
    off: tuple[str, ...]
    ends: str


def by_the_fire(plan: Plan, log: Log, now_s: float, drawn: "Curves | None" = None) -> Now:
    """How a firing stands at a time, in seconds from the log's first row.

    >>> from wareontology.firing.log_read import from_rows
    >>> from wareontology.firing.plan import example
    >>> log = from_rows([{"time": "0", "event": "lit"}, {"time": "45", "event": "preheated"}]).log
    >>> found = by_the_fire(example("covered-pit"), log, 50 * 60)
    >>> found.step.title, found.since_min, found.left_min, found.ends
    ('Fire', 5.0, (23.0, 55.0), 'top')
    """
    listed = steps(plan)
    ended = _ended(log)
    if not ended and log.readings:  # nobody wrote down that it was lit, and it is warm
        ended["Lay the fire"] = float(log.time_s[0])
    done = max((place for place, step in enumerate(listed) if step.title in ended), default=-1)
    step = listed[done + 1] if done + 1 < len(listed) else None
    following = listed[done + 2] if done + 2 < len(listed) else None
    since = (now_s - ended[listed[done].title]) / 60 if done >= 0 else None
    left = None
    if step is not None and step.minutes is not None and since is not None:
        left = (max(step.minutes[0] - since, 0.0), max(step.minutes[1] - since, 0.0))
    off = tuple(dict.fromkeys(_off(plan, log, now_s, step, since, drawn)))
    return Now(step, following, since, left, off, event_of(step) if step is not None else "")


def event_of(step: Step) -> str:
    """The event that says a step is done."""
    return next((one.name for one in events().values() if one.ends == step.title), "")


def _ended(log: Log) -> dict[str, float]:
    """Titles of steps that were said to be done, and when, seconds."""
    found: dict[str, float] = {}
    for entry in log.said:
        title = events()[entry.event].ends if entry.event else ""
        if title:
            found.setdefault(title, entry.time_s)
    return found


def _off(
    plan: Plan, log: Log, now_s: float, step: Step | None, since: float | None, drawn: "Curves | None"
) -> Iterator[str]:
    recent = [entry.event for entry in log.said if entry.event in _DAMP and now_s - entry.time_s < 3600]
    closed = log.first("crack-closed")
    for event in _OFF:
        at = max((one.time_s for one in log.said if one.event == event), default=None)
        mended = event == "smoke" and closed is not None and at is not None and closed >= at
        if event == "smoke" and log.zero_s() is None:
            continue  # a fire that is not shut smokes
        if event in recent and not mended:
            yield _OFF[event]
    if step is not None and step.title == "Preheat" and log.first("wind", "rain") is not None:
        yield "Weather changed before the flames: it can still be put off."
    yield from _late(plan, log, now_s, step, since)
    yield from _heat(plan, log, step)
    if drawn is not None:
        yield from _against(log, drawn)


def _late(plan: Plan, log: Log, now_s: float, step: Step | None, since: float | None) -> Iterator[str]:
    if step is not None and since is not None and step.minutes is not None and since > step.minutes[1]:
        yield (
            f"{step.title} has taken {since:.0f} min; about {step.minutes[0]:.0f} to {step.minutes[1]:.0f}"
            f" were meant. It is done when {step.until}."
        )
    left_fire = log.first("pulled") if plan.does("pulls") else None
    shut = log.zero_s()
    meant = plan.number("cover", "delay_s")
    if left_fire is not None and (now_s if shut is None else shut) - left_fire > 2 * meant + 30:
        took = (now_s if shut is None else shut) - left_fire
        yield (
            f"{took:.0f} s from the fire to shut, {meant:.0f} s were meant: the paint may have reddened."
            " Below about 450 °C it does not go black again under the cover (a calculation)."
        )
    opened = log.first("opened")
    if opened is not None and shut is not None and plan.number("open", "below_c") <= 200:
        hottest = _last_c(log, opened)
        if hottest is not None and hottest > plan.number("open", "below_c") + 50:
            yield f"Opened at about {hottest:.0f} °C: air reaches the paint while it is hot."


def _heat(plan: Plan, log: Log, step: Step | None) -> Iterator[str]:
    title = step.title if step is not None else ""
    top = plan.number("fire", "top_c")
    if title in HEATING:
        rate = quickest_k_min(log)
        quick = uncertain.tables().value("cracking", "quick_k_min")
        if rate is not None and rate > quick:
            yield (
                f"Heating by {rate:.0f} °C a minute: only a coarse, dry body bears more than about {quick:g}"
                " (common practice)."
            )
    last = _last_c(log, log.last_s)
    if last is None:
        return
    if title == "Hold" and last < top - GLOW_SPREAD_C:
        yield f"The last reading is {last:.0f} °C, {top:.0f} °C was meant: feed before holding."
    if title in HEATING and last > top + GLOW_SPREAD_C:
        yield f"The last reading is {last:.0f} °C, {top:.0f} °C was meant: let it fall."
    if title == "Preheat" and last > 250:
        yield f"Already {last:.0f} °C while warming: water leaves the clay below 300 °C, go slowly."


def quickest_k_min(log: Log) -> float | None:
    """Fastest rise of a place over at least five minutes before it was shut, K/min; None without readings."""
    end = log.zero_s()
    found = []
    for place in COMPARED:
        here = log.at(place) & (log.give_or_take_c < 10) & (log.time_s <= (np.inf if end is None else end))
        time, heat = log.time_s[here], log.temperature_c[here]
        if time.size < 2:
            continue
        later = np.searchsorted(time, time + _LEAST_SPAN_S)
        known = later < time.size
        if known.any():
            rise = heat[later[known]] - heat[known]
            found.append(float((60 * rise / (time[later[known]] - time[known])).max()))
    return max(found) if found else None


def _last_c(log: Log, until_s: float) -> float | None:
    """The hottest of the last readings of the load's places, up to a time."""
    found = []
    for place in COMPARED:
        here = np.flatnonzero(log.at(place) & (log.time_s <= until_s))
        if here.size:
            found.append((float(log.time_s[here[-1]]), float(log.temperature_c[here[-1]])))
    latest = max((time for time, _ in found), default=0.0)
    return max((heat for time, heat in found if latest - time <= 900), default=None)


def clock_offset_s(log: Log, drawn: "Curves") -> float | None:
    """Seconds of the log at which a simulation's clock is nought: covering, or, before it, as lighting has
    it."""
    zero = log.zero_s()
    if zero is not None:
        return zero
    lit = log.first("lit")
    return None if lit is None else lit - float(drawn.hours[0]) * 3600


def _against(log: Log, drawn: "Curves") -> Iterator[str]:
    """The last reading of each place against nine in ten of the simulated firings."""
    zero = clock_offset_s(log, drawn)
    if zero is None:
        return
    opened = log.first("opened")
    shut = log.first(*ZERO) is not None
    for place, (low, _, high) in drawn.temperature_c.items():
        here = np.flatnonzero(log.place == PLACES.index(place))
        if not here.size or (opened is not None and log.time_s[here[-1]] > opened):
            continue
        hours = (float(log.time_s[here[-1]]) - zero) / 3600
        if not drawn.hours[0] <= hours <= drawn.hours[-1]:
            continue
        least, most = (float(np.interp(hours, drawn.hours, end)) for end in (low, high))
        heat, spread = float(log.temperature_c[here[-1]]), float(log.give_or_take_c[here[-1]])
        if heat + spread < least or heat - spread > most:
            than = "cooler" if heat < least else "hotter"
            when = "since covering" if shut else "by the plan's times"
            yield (
                f"The {place} is at {heat:.0f} °C, {than} than nine in ten simulated firings here"
                f" ({least:.0f} to {most:.0f} °C, {when})."
            )
