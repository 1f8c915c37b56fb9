"""What is stable in the gas of a fire: the fields of four metals against temperature and oxygen.

matplotlib is imported inside the function that draws.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from wareontology.plots.style import GLAZE, INK, IRON, MANGANESE, PAPER, QUIET, STYLE, data_hash, saved
from wareontology.redox import buffers, phases
from wareontology.redox import gas as gas_laws
from wareontology.redox.arrays import Floats
from wareontology.redox.named_gas import Named, Tables
from wareontology.redox.phases import Bounds

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

DATA: Final = ("constants.csv", "gas.csv")
_COLOUR: Final = {"iron": IRON, "manganese": MANGANESE, "copper": GLAZE, "lead": GLAZE}
_FROM_C, _TO_C = 400.0, 1080.0
_OXYGEN: Final = (-29.0, 2.0)
_ROOM: Final = 0.75  # powers of ten that half a line of type is high; with less, a name stands beside
_LETTER_C, _MIDDLE_C = 14.5, 740.0  # width of a letter in degC on the drawing; where names stand by choice


def phase_map(tables: Tables, named: Named, form: str = "svg") -> bytes:
    """The fields of iron, manganese, copper and lead against temperature and oxygen, with the fire's gas.

    form: svg or png. The same tables and gas give the same bytes of SVG. A line is drawn as far as its data
    reach; below the floor for a verdict it is dotted. Raises OutOfRange as `report.gas.answer` does.

    >>> from wareontology.redox.named_gas import Named
    >>> from wareontology.report.gas import tables
    >>> phase_map(tables(), Named(800, co_co2=1e-4))[:5]
    b'<?xml'
    """
    import matplotlib
    from matplotlib.figure import Figure

    low_c, high_c, _ = phases.range_c(tables.constants)
    temperature = np.linspace(max(low_c, min(_FROM_C, named.temperature_c - 50)), min(_TO_C, high_c), 341)
    with matplotlib.rc_context(STYLE):  # type: ignore[arg-type,unused-ignore]  # newer stubs list every key
        figure = Figure(figsize=(9.4, 9.2), facecolor=PAPER)
        grid = figure.subplots(2, 2, sharex=True, sharey=True)
        figure.subplots_adjust(left=0.085, right=0.89, top=0.875, bottom=0.13, wspace=0.36, hspace=0.16)
        for axes, element in zip(grid.flat, phases.ELEMENTS, strict=True):
            gas = _draw_gas(axes, tables, named, temperature)
            _draw_element(axes, tables, element, temperature, gas)
        _dress(figure, grid, temperature)
        _write_round(figure, tables, named)
        return saved(figure, f"Phase map, {named.words()}", form)


def _draw_element(
    axes: "Axes", tables: Tables, element: str, temperature: Floats, gas: Sequence[Floats]
) -> None:
    """The lines of an element with their spread, and the names of the fields, clear of the gas too."""
    colour = _COLOUR[element]
    lines = phases.bounds(tables.constants, element, temperature)
    floor = tables.constants.value("agreement", "verdict_floor")
    drawn = []
    for upper, line in zip(phases.PHASES[element], lines, strict=False):
        if upper == "pyrolusite":  # its data end early; beyond them it is held, and not drawn
            ends = temperature <= buffers.range_c(tables.constants, "pyrolusite-bixbyite")[1]
            line = Bounds(*(np.where(ends, part, np.nan) for part in (line.best, line.low, line.high)))
        drawn.append(line.best)
        axes.fill_between(temperature, line.low, line.high, color=colour, alpha=0.22, linewidth=0)
        _strong_and_weak(axes, temperature, line.best, floor, color=colour, linewidth=1.3)
    named = [f"{name}, {tables.colours[name, 'opaque'][0].word}" for name in phases.PHASES[element]]
    others = [*(values for _, values in _bounds_of_a_fire(tables, temperature)), *gas]
    _name_fields(axes, named, drawn, others, temperature, colour)
    axes.set_title(element.capitalize(), loc="left", fontsize=12, color=colour, pad=6)


def _strong_and_weak(axes: "Axes", temperature: Floats, values: Floats, floor: float, **style: Any) -> None:
    warm = temperature >= floor
    axes.plot(temperature[warm], values[warm], **style)
    cool = temperature <= temperature[warm][0] if warm.any() else ~warm
    axes.plot(temperature[cool], values[cool], linestyle=(0, (1, 2)), **style)


def _name_fields(
    axes: "Axes", names: Sequence[str], lines: Sequence[Floats], others: Sequence[Floats],
    temperature: Floats, colour: str,
) -> None:  # fmt: skip
    """Each field's name where it stands clear of every line; where there is no room, at its right end."""
    bottom, top = _OXYGEN
    edges = [np.full(temperature.shape, top), *lines, np.full(temperature.shape, bottom)]
    style: dict[str, Any] = {"color": colour, "style": "italic", "fontsize": 9, "va": "center"}
    for name, above, below in zip(names, edges[:-1], edges[1:], strict=True):
        above = np.where(np.isnan(above), 0.0, above)  # past a line's data, at 1 bar
        room, at_c, at = _clearest(temperature, above, below, [*edges, *others], len(name))
        if room >= _ROOM:
            axes.text(at_c, at, name, ha="center", **style)
            continue
        end = int(np.flatnonzero(np.isfinite(below))[-1])
        if above[end] <= below[end]:
            continue
        two_lines = name.replace(", ", ",\n") if end == len(temperature) - 1 else name
        axes.annotate(
            two_lines, (temperature[end], (above[end] + below[end]) / 2), (6, 0),
            textcoords="offset points", annotation_clip=False, **style,
        )  # fmt: skip


def _clearest(
    temperature: Floats, above: Floats, below: Floats, lines: Sequence[Floats], letters: int
) -> tuple[float, float, float]:
    """How clear (powers of ten) a name may stand of all lines in a field, and where, degC and log10 bar."""
    half = int(letters * _LETTER_C / 2 / (temperature[1] - temperature[0]))
    found = (-np.inf, 0.0, 0.0)
    for middle in range(half, len(temperature) - half, 6):
        span = slice(middle - half, middle + half + 1)
        for at in np.arange(_OXYGEN[0] + 1, _OXYGEN[1], 0.5):
            if not below[middle] < at < above[middle]:
                continue
            room = min(
                float(np.min(np.abs(line[span] - at), initial=np.inf, where=np.isfinite(line[span])))
                for line in lines
            )
            room = min(room, _ROOM + 0.9) - abs(temperature[middle] - _MIDDLE_C) / 5000
            found = max(found, (room, float(temperature[middle]), float(at)))
    return found


def _draw_gas(axes: "Axes", tables: Tables, named: Named, temperature: Floats) -> tuple[Floats, Floats]:
    """The fire's gas at every heat its data reach, and what names keep clear of: it and its own name."""
    floor = tables.constants.value("agreement", "verdict_floor")
    reach = temperature
    if named.fuel_air is not None:
        reach = temperature[temperature >= tables.gas.temperatures[0]]
    course = named.state(tables, reach)
    axes.fill_between(reach, course.low, course.high, color=INK, alpha=0.16, linewidth=0)
    _strong_and_weak(axes, reach, course.log10_oxygen_bar, floor, color=INK, linewidth=2.0)
    best = float(named.state(tables).log10_oxygen_bar)
    axes.plot(named.temperature_c, best, "o", markersize=6, color=INK, markerfacecolor=PAPER, zorder=5)
    axes.annotate(
        "the gas", (named.temperature_c, best), (7, -12), textcoords="offset points", color=INK, fontsize=9
    )
    for text, values in _bounds_of_a_fire(tables, temperature):
        axes.plot(temperature, values, color=QUIET, linewidth=0.7, linestyle=(0, (6, 3)))
        axes.annotate(
            text, (temperature[-1], values[-1]), (6, 0), textcoords="offset points", va="center",
            color=QUIET, fontsize=8, annotation_clip=False,
        )  # fmt: skip
    whole = np.interp(temperature, reach, course.log10_oxygen_bar)
    its_name = (temperature > named.temperature_c) & (temperature < named.temperature_c + 7 * _LETTER_C)
    return whole, np.where(its_name, best - 1.2, whole)


def _bounds_of_a_fire(tables: Tables, temperature: Floats) -> tuple[tuple[str, Floats], ...]:
    """What no fire goes above or below: air, and the gas over charcoal."""
    air = float(gas_laws.log10_oxygen_of_air(tables.constants))
    return (
        ("air", np.full(temperature.shape, air)),
        ("charcoal", gas_laws.log10_oxygen_over_carbon(tables.constants, temperature)),
    )


def _dress(figure: "Figure", grid: Any, temperature: Floats) -> None:
    for axes in grid.flat:
        axes.set_facecolor(PAPER)
        axes.set_xlim(temperature[0], temperature[-1])
        axes.set_ylim(*_OXYGEN)
        axes.set_yticks(range(-25, 1, 5))
        axes.tick_params(length=3, labelbottom=True, labelleft=True)
        for side in axes.spines.values():
            side.set_visible(False)
    for axes in grid[1]:
        axes.set_xlabel("temperature, °C")
    for axes in grid[:, 0]:
        axes.set_ylabel("oxygen pressure, log10 bar")


def _write_round(figure: "Figure", tables: Tables, named: Named) -> None:
    floor = tables.constants.value("agreement", "verdict_floor")
    figure.text(0.085, 0.965, f"What is stable in a fire's gas at {named.temperature_c:g} °C", fontsize=13)
    figure.text(
        0.085, 0.937,
        f"Heavy line: {named.words()}, at every heat; ring: at {named.temperature_c:g} °C. "
        "More oxygen is up, more smoke is down.",
        color=QUIET,
    )  # fmt: skip
    sets = dict.fromkeys(
        name
        for element in phases.ELEMENTS
        for name in phases.field(tables.constants, element, named.temperature_c, -10.0).data_sets
    )
    figure.text(
        0.085, 0.02,
        f"Pure oxides at equilibrium. Shaded: spread of the sources. Dotted: below {floor:g} °C, where no "
        "verdict hangs on it.\nColour words are judged. Dashed: air at sea level, and the gas over charcoal, "
        "as far down as a fire goes.\n"
        f"Lines: {', '.join(sets)}.\nData {data_hash(DATA)}, SHA-256 of {' and '.join(DATA)}.",
        fontsize=7, color=QUIET, linespacing=1.4,
    )  # fmt: skip
