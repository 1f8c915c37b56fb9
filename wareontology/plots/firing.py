"""Simulated firings as curves with their spread: heat of each place, and oxygen at inside and outside."""

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np
from numpy.typing import NDArray

from wareontology.plots.style import INK, OXIDISING, PAPER, QUIET, REDUCING, STYLE, data_hash, saved
from wareontology.redox.arrays import Floats, floats

if TYPE_CHECKING:
    from matplotlib.axes import Axes

DATA: Final = ("constants.csv", "fire_histories.csv", "firing.csv", "structures.ttl")
_LINES: Final = {"top": (OXIDISING, "-"), "mid": (INK, "--"), "bottom": (REDUCING, ":")}
_ZONES: Final = {"outside": (OXIDISING, "-"), "inside": (REDUCING, "--")}
_LEAST_OXYGEN: Final = 1e-4
_TICKS: Final = {1 / 60: "1 min", 1 / 6: "10 min", 1.0: "1 h", 10.0: "10 h", 100.0: "100 h"}


def firings(answers: Sequence[Mapping[str, Any]], form: str = "svg") -> bytes:
    """One column a plan: temperature above, oxygen below, against hours since covering; shaded 5 to 95 in
    100.

    form: svg or png. The same answers give the same bytes of SVG.

    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.answer import to_data
    >>> from wareontology.firing.simulate import simulate
    >>> firings([to_data(simulate(example("open-fire"), 100))])[:5]
    b'<?xml'
    """
    import matplotlib
    from matplotlib.figure import Figure

    count = len(answers)
    with matplotlib.rc_context(STYLE):  # type: ignore[arg-type,unused-ignore]  # newer stubs list every key
        figure = Figure(figsize=(max(6.8, 3.4 * count), 6.6), facecolor=PAPER)
        grid = figure.subplots(2, count, squeeze=False, sharey="row")
        figure.subplots_adjust(
            left=0.6 / (3.4 * count) + 0.03, right=0.97, top=0.86, bottom=0.16, hspace=0.22
        )
        for column, answer in enumerate(answers):
            _heat(grid[0, column], answer)
            _oxygen(grid[1, column], answer)
        for axes in grid.flat:
            _dress(axes)
        grid[0, 0].set_ylabel("temperature, °C")
        grid[1, 0].set_ylabel("oxygen, share of the gas")
        figure.text(0.02, 0.955, "Simulated firings, from covering (or the end of the fire) on", fontsize=12)
        figure.text(
            0.02, 0.015,
            "Lines: the middle of the ensemble; shaded: 5 to 95 in 100. Above: places of the load, or of a"
            " pulled pot. Below: the middle place,\noutside and inside of the pot, one line where they are"
            " alike. Likely pessimistic; most inputs are judged."
            f" Seed {answers[0]['seed']},\n{answers[0]['members']} members a plan."
            f" Data {data_hash(DATA)}, SHA-256 of {', '.join(DATA)}.",
            fontsize=7, color=QUIET, linespacing=1.4,
        )  # fmt: skip
        return saved(figure, "Simulated firings", form)


def _heat(axes: "Axes", answer: Mapping[str, Any]) -> None:
    hours, shown = _hours(answer)
    for place, (colour, dash) in _LINES.items():
        band = answer["curves"]["temperature_c"][place]
        low, middle, high = (_row(band[name])[shown] for name in ("low", "value", "high"))
        axes.fill_between(hours, low, high, color=colour, alpha=0.13, linewidth=0)
        axes.plot(hours, middle, color=colour, linestyle=dash, linewidth=1.4)
        at = len(hours) * {"top": 1, "mid": 5, "bottom": 3}[place] // 8
        axes.annotate(place, (hours[at], middle[at]), (3, 3), textcoords="offset points", color=colour)
    span = f"{answer['chance_low']:.1f} to {answer['chance_high']:.1f}"
    title = f"{answer['plan']['name']}\nchance {answer['chance']:.1f} ({span})"
    axes.set_title(title, loc="left", fontsize=9)
    axes.set_ylim(0, 1000)


def _oxygen(axes: "Axes", answer: Mapping[str, Any]) -> None:
    hours, shown = _hours(answer)
    for zone, (colour, dash) in _ZONES.items():
        band = answer["curves"]["oxygen_share"][zone]["mid"]
        low, middle, high = (
            np.maximum(_row(band[name])[shown], _LEAST_OXYGEN) for name in ("low", "value", "high")
        )
        axes.fill_between(hours, low, high, color=colour, alpha=0.13, linewidth=0)
        axes.plot(hours, middle, color=colour, linestyle=dash, linewidth=1.4)
        at = {"outside": len(hours) * 2 // 3, "inside": len(hours) // 4}[zone]
        axes.annotate(zone, (hours[at], middle[at]), (3, 4), textcoords="offset points", color=colour)
    axes.set_yscale("log")
    axes.set_ylim(_LEAST_OXYGEN, 0.4)
    axes.set_yticks([0.0001, 0.001, 0.01, 0.1], ["0.0001", "0.001", "0.01", "0.1"])
    axes.minorticks_off()
    axes.set_xlabel("time from covering")


def _row(values: Sequence[float | None]) -> Floats:
    return floats([np.nan if one is None else one for one in values])


def _hours(answer: Mapping[str, Any]) -> tuple[Floats, NDArray[np.bool_]]:
    hours = floats(answer["curves"]["hours_from_covering"])
    shown = hours > 0
    return hours[shown], shown


def _dress(axes: "Axes") -> None:
    axes.set_facecolor(PAPER)
    axes.set_xscale("log")
    low, high = axes.get_xlim()
    ticks = {hours: words for hours, words in _TICKS.items() if low <= hours <= high}
    axes.set_xticks(list(ticks), list(ticks.values()))
    axes.minorticks_off()
    for side in axes.spines.values():
        side.set_visible(False)
    axes.tick_params(length=3)
