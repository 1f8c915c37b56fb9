"""A firing's log on the ensemble of its plan: the fire to the left, shut to the right."""

from typing import TYPE_CHECKING, Final

import numpy as np

from wareontology.firing.by_the_fire import clock_offset_s
from wareontology.firing.curves import Curves
from wareontology.firing.log import PLACES, WAYS, ZERO, Log, thinned
from wareontology.plots.style import INK, NEUTRAL, OXIDISING, PAPER, QUIET, REDUCING, STYLE, data_hash, saved
from wareontology.redox.arrays import floats

if TYPE_CHECKING:
    from matplotlib.axes import Axes

DATA: Final = (
    "constants.csv", "fire_histories.csv", "firing.csv", "structures.ttl", "thermocouple_k.csv", "cones.csv",
    "glow_words.csv",
)  # fmt: skip
_LOOKS: Final = {"top": (OXIDISING, "-"), "mid": (INK, "--"), "bottom": (REDUCING, ":")}
_NAMED_AT: Final = {"top": 52, "mid": 74, "bottom": 84}
"""Where along the spread after covering a place is named, in a hundred of its points."""
_OTHER: Final = (NEUTRAL, "-.")
_MARKS: Final = {"meter": "o", "emf": "s", "cone": "^", "glow": "D"}
_MOST_MARKED: Final = 60
"""Readings of a place that are drawn as marks; more are drawn as a line."""
_HOTTEST: Final = 1400.0
_FIRST: Final = (*ZERO, "lit", "opened")
_APART: Final = 0.045
"""Least distance of two words at the head, of the width."""


def firing_log(log: Log, drawn: Curves | None, title: str, form: str = "svg") -> bytes:
    """The log's readings by place with how far each may be out, its events, on a simulation's spread.

    drawn: the ensemble's curves; None: the log alone. form: svg or png. 200,000 readings are thinned to the
    lowest and highest of each span first. The same log gives the same bytes.

    >>> from wareontology.firing.log_read import from_rows
    >>> rows = [{"time": "0", "event": "lit"}, {"time": "40", "place": "mid", "glow": "cherry red"}]
    >>> firing_log(from_rows(rows).log, None, "invented")[:5]
    b'<?xml'
    """
    import matplotlib
    from matplotlib.figure import Figure

    zero_s = (clock_offset_s(log, drawn) if drawn is not None else log.zero_s()) or 0.0
    parted = drawn is not None or log.zero_s() is not None
    with matplotlib.rc_context(STYLE):  # type: ignore[arg-type,unused-ignore]  # newer stubs list every key
        figure = Figure(figsize=(8.2, 4.6), facecolor=PAPER)
        panels = figure.subplots(1, 2, sharey=True, squeeze=False, width_ratios=[2, 3])[0]
        figure.subplots_adjust(left=0.09, right=0.97, top=0.84, bottom=0.22, wspace=0.05)
        spans = _spans(log, drawn, zero_s) if parted else ((-1.0, 0.0), (0.0, max(log.last_s / 3600, 0.1)))
        for axes, (start, end) in zip(panels, spans, strict=True):
            if drawn is not None:
                _ensemble(axes, drawn, start, end)
            _readings(axes, log, zero_s, start, end)
            _events(axes, log, zero_s, start, end)
            _dress(axes, start, end)
        if not parted:
            panels[0].set_visible(False)
        panels[0].set_xlabel("hours before covering")
        panels[1].set_xlabel("hours from covering" if parted else "hours from the first row")
        panels[0 if parted else 1].set_ylabel("temperature, °C")
        panels[0].set_ylim(0, _highest(log, drawn))
        figure.text(0.02, 0.94, title, fontsize=12)
        figure.text(0.02, 0.02, _beneath(log, drawn), fontsize=7, color=QUIET, linespacing=1.4)
        return saved(figure, title, form)


def _spans(log: Log, drawn: Curves | None, zero_s: float) -> tuple[tuple[float, float], tuple[float, float]]:
    start, end = -zero_s / 3600, (log.last_s - zero_s) / 3600
    if drawn is not None:
        start, end = min(start, float(drawn.hours[0])), max(end, float(drawn.hours[-1]))
    return (min(start, -0.1), 0.0), (0.0, max(end, 0.1))


def _highest(log: Log, drawn: Curves | None) -> float:
    tops = [float(high.max()) for _, _, high in drawn.temperature_c.values()] if drawn is not None else []
    if log.readings:
        tops.append(float(log.temperature_c.max()))
    return min(1.12 * max([*tops, 300.0]), _HOTTEST)


def _ensemble(axes: "Axes", drawn: Curves, start: float, end: float) -> None:
    shown = (drawn.hours >= start) & (drawn.hours <= end)
    for place, (low, middle, high) in drawn.temperature_c.items():
        colour, dash = _LOOKS[place]
        hours = drawn.hours[shown]
        axes.fill_between(hours, low[shown], high[shown], color=colour, alpha=0.1, linewidth=0)
        axes.plot(hours, middle[shown], color=colour, linestyle=dash, linewidth=0.8, alpha=0.7)
        if end > 0:
            at = hours[len(hours) * _NAMED_AT[place] // 100]
            height = float(np.interp(at, hours, middle[shown]))
            axes.annotate(
                place,
                (at, height),
                (2, 2),
                textcoords="offset points",
                color=colour,
                fontsize=8,
                clip_on=True,
            )


def _readings(axes: "Axes", log: Log, zero_s: float, start: float, end: float) -> None:
    hours = (log.time_s - zero_s) / 3600
    inside = (hours >= start) & (hours <= end) if end <= 0 else (hours > start) & (hours <= end)
    for number, place in enumerate(PLACES):
        here = inside & (log.place == number)
        if not here.any():
            continue
        colour, dash = _LOOKS.get(place, _OTHER)
        if here.sum() > _MOST_MARKED:
            at, heat = thinned(floats(hours[here]), floats(log.temperature_c[here]))
            axes.plot(at, heat, color=colour, linewidth=1.0)
            continue
        axes.plot(hours[here], log.temperature_c[here], color=colour, linestyle=dash, linewidth=0.6)
        for way, name in enumerate(WAYS):
            told = here & (log.way == way)
            if told.any():
                axes.errorbar(
                    hours[told], log.temperature_c[told], yerr=log.give_or_take_c[told], fmt=_MARKS[name],
                    markersize=3.5, color=colour, ecolor=colour, elinewidth=0.8, markerfacecolor=PAPER,
                )  # fmt: skip


def _events(axes: "Axes", log: Log, zero_s: float, start: float, end: float) -> None:
    """Events as ticks at the head; of words that would lie on one another, covering and opening stay."""
    wide = max(end - start, 1e-6)
    shown = []
    for entry in log.said:
        hours = (entry.time_s - zero_s) / 3600
        if entry.event and (start <= hours <= end if end <= 0 else start < hours <= end):
            axes.axvline(hours, 0.97, 1.0, color=QUIET, linewidth=0.8)
            shown.append((entry.event not in _FIRST, hours, entry.event))
    placed: list[float] = []
    for _, hours, event in sorted(shown):
        if all(abs(hours - other) / wide > _APART for other in placed):
            placed.append(hours)
            axes.annotate(
                event, (hours, 1.0), (0, 2), xycoords=("data", "axes fraction"), textcoords="offset points",
                fontsize=6.5, color=QUIET, rotation=60, va="bottom",
            )  # fmt: skip


def _dress(axes: "Axes", start: float, end: float) -> None:
    axes.set_facecolor(PAPER)
    axes.set_xlim(start, end)
    for side in axes.spines.values():
        side.set_visible(False)
    axes.tick_params(length=3)
    axes.locator_params(axis="x", nbins=4 if end <= 0 else 8, prune="upper" if end <= 0 else None)


def _beneath(log: Log, drawn: Curves | None) -> str:
    told = (
        "Marks: circle a meter, square a voltage turned to heat, triangle a cone (20 °C either way), diamond"
        " a glow in words (75 °C either way).\n"
    )
    if drawn is not None:
        told += (
            "Shaded: 5 to 95 in 100 of the simulated firings, thin lines their middle; likely pessimistic. "
        )
    rests = f"Data {data_hash(DATA)}, SHA-256 of {len(DATA)} files."
    count = f"{log.readings:,} reading{'s' if log.readings != 1 else ''}"
    return f"{told}{count} of {log.name}. {rests}"
