"""Which oxide of iron, manganese, copper or lead is stable at a temperature and oxygen pressure, and how
surely.

Pure oxides at equilibrium. Mixed iron-manganese spinels, oxides dissolved in a glaze and slips are in none of
the data: there a rule with a source must stand in.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from wareontology.errors import BreaksShape, Fault
from wareontology.redox import buffers
from wareontology.redox.arrays import Floats, floats
from wareontology.redox.constants import Constants

# From oxidised to reduced; between two neighbours lies the line named after both.
PHASES: dict[str, tuple[str, ...]] = {
    "iron": ("hematite", "magnetite", "wuestite", "iron"),
    "manganese": ("pyrolusite", "bixbyite", "hausmannite", "manganosite"),
    "copper": ("tenorite", "cuprite", "copper"),
    "lead": ("litharge", "lead"),
}
ELEMENTS = tuple(PHASES)

_PURE_OXIDE = (
    "Pure oxide at equilibrium: a paint with iron in it, or dissolved in a glaze, behaves otherwise."
)
_BELOW_FLOOR = "Below {floor:g} °C no verdict hangs on equilibrium."
_UNSURE = "The spread of the sources, and of the gas, reaches over the line {pair}: {most} or {least}."
_MANGANOSITE = (
    "Manganosite is green while kept from air; warm air turns it to brown hausmannite, and hausmannite "
    "to black bixbyite only sluggishly."
)
_HAUSMANNITE = (
    "Pure manganese {does} here. Heated for a short time it may keep black bixbyite up to about {low:.0f} to "
    "{high:.0f} K above equilibrium."
)
_SPINEL = (
    "Manganese with iron makes a black spinel in air and without it: a rule with a source, not computed here."
)
_PYROLUSITE = "Pyrolusite in a sherd is survival, burial or a mistaken spectrum, not proof of a cool fire."
_GLAZE = (
    "A copper or lead glaze that stays black in any fire is common practice, not thermodynamics: the pure "
    "oxide goes to metal in this gas."
)


@dataclass(frozen=True, slots=True)
class Field:
    """The stable phase of one element at each point: indices into `names`, from oxidised to reduced.

    `most_oxidised` and `most_reduced` are the phases if both the lines and the gas err as far as their spread
    allows. `certain` is true where both are the phase itself and the temperature is high enough for a
    verdict.
    """

    element: str
    names: tuple[str, ...]
    phase: NDArray[np.intp]
    most_oxidised: NDArray[np.intp]
    most_reduced: NDArray[np.intp]
    certain: NDArray[np.bool_]
    data_sets: tuple[str, ...]

    def name(self) -> str:
        """The phase of a single point."""
        return self.names[int(self.phase)]

    def neighbours(self) -> tuple[str, ...]:
        """The other phases a single point may be, from oxidised to reduced; empty where none is within the
        spread."""
        possible = range(int(self.most_oxidised), int(self.most_reduced) + 1)
        return tuple(self.names[index] for index in possible if index != int(self.phase))


def field(
    constants: Constants,
    element: str,
    temperature_c: ArrayLike,
    log10_oxygen_bar: ArrayLike,
    low: ArrayLike | None = None,
    high: ArrayLike | None = None,
) -> Field:
    """The stable phase of an element at (T, log10 fO2), with what the spread of the sources leaves open.

    The phase is the number of lines that lie above the gas. `low` and `high` are the spread of the gas
    itself. Temperatures: where the default data sets reach (iron 300 to 1100, manganese 300 to 1126, copper
    300 to 1080, lead 300 to 1200 degC; OutOfRange beyond). BreaksShape for an element not in ELEMENTS.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> [field(table, element, 800, -10.42).name() for element in ELEMENTS]
    ['magnetite', 'manganosite', 'copper', 'litharge']
    >>> field(table, "manganese", 800, -10.42).neighbours()
    ('hausmannite',)
    """
    if element not in PHASES:
        raise BreaksShape([Fault("phases", None, "element", element, " or ".join(ELEMENTS))])
    gas = floats(log10_oxygen_bar)
    temperature, gas = np.broadcast_arrays(floats(temperature_c), gas)
    least, most = (gas if low is None else floats(low)), (gas if high is None else floats(high))
    lines, sources = _lines(constants, element, temperature)
    phase = sum(line.best > gas for line in lines)
    most_oxidised = sum(line.low > most for line in lines)
    most_reduced = sum(line.high > least for line in lines)
    warm = temperature >= constants.value("agreement", "verdict_floor")
    return Field(
        element, PHASES[element], np.asarray(phase), np.asarray(most_oxidised), np.asarray(most_reduced),
        np.asarray(warm & (most_oxidised == most_reduced)), sources,
    )  # fmt: skip


def range_c(constants: Constants) -> tuple[float, float, str]:
    """The temperatures, degC, for which every element's phase is known, and what sets the upper end.

    Lines that are held or passed over where their data end (pyrolusite, wuestite) do not count.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> range_c(load(data("constants.csv")))
    (300.0, 1080.0, 'all four elements; the range of cuprite-copper of oneill-pownceby-1993 ends first')
    """
    spans = {
        pair: buffers.range_c(constants, pair)
        for pair in buffers.PAIRS
        if pair not in ("pyrolusite-bixbyite", "magnetite-iron", "magnetite-wuestite", "wuestite-iron")
    }
    least = min(spans, key=lambda pair: spans[pair][1])
    source = f"all four elements; the range of {least} of {buffers.data_sets(constants, least)[0]} ends first"
    return max(low for low, _ in spans.values()), spans[least][1], source


def bounds(constants: Constants, element: str, temperature_c: ArrayLike) -> tuple["Bounds", ...]:
    """The lines between an element's phases, from oxidised to reduced, with their spread: what a map is drawn
    of.

    Line i parts PHASES[element][i] from the next. Where wuestite is not stable its two lines are one. Ranges
    as in `field`.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> [float(one.best.round(1)) for one in bounds(load(data("constants.csv")), "copper", 800)]
    [-2.9, -8.8]
    """
    return tuple(_lines(constants, element, floats(temperature_c))[0])


@dataclass(frozen=True, slots=True)
class Bounds:
    """A line between two phases with its spread, log10 bar."""

    best: Floats
    low: Floats
    high: Floats


def _lines(constants: Constants, element: str, temperature: Floats) -> tuple[list[Bounds], tuple[str, ...]]:
    if element == "iron":
        return _iron_lines(constants, temperature)
    lines: list[Bounds] = []
    sources: list[str] = []
    for upper, lower in pairwise(PHASES[element]):
        pair = f"{upper}-{lower}"
        if upper == "pyrolusite":
            lines.append(_pyrolusite_line(constants, temperature))
            sources += buffers.data_sets(constants, pair)
            continue
        line = buffers.spread(constants, pair, temperature)
        lines.append(Bounds(line.best, line.low, line.high))
        sources += line.data_sets
    return lines, tuple(dict.fromkeys(sources))


def _pyrolusite_line(constants: Constants, temperature: Floats) -> Bounds:
    """Above 577 degC, where its data end, the line is held: it already asks for 30 bar, which no fire has."""
    line = buffers.spread(
        constants,
        "pyrolusite-bixbyite",
        np.clip(temperature, *buffers.range_c(constants, "pyrolusite-bixbyite")),
    )
    return Bounds(line.best, line.low, line.high)


def _iron_lines(constants: Constants, temperature: Floats) -> tuple[list[Bounds], tuple[str, ...]]:
    """Three lines; where wuestite is not stable its two lines fall together on magnetite-iron, so it is
    passed over."""
    first = buffers.spread(constants, "hematite-magnetite", temperature)
    cold_range = buffers.range_c(constants, "magnetite-iron")
    hot_range = buffers.range_c(constants, "magnetite-wuestite")
    cold = buffers.spread(constants, "magnetite-iron", np.clip(temperature, *cold_range))
    upper = buffers.spread(constants, "magnetite-wuestite", np.clip(temperature, *hot_range))
    lower = buffers.spread(constants, "wuestite-iron", np.clip(temperature, *hot_range))
    no_wuestite = temperature <= buffers.eutectoid_c(constants)
    no_data = temperature < hot_range[0]
    merged = [  # just under the eutectoid the two lines cross; their mean is the line magnetite-iron
        np.where(no_data, one, (two + three) / 2)
        for one, two, three in (
            (cold.best, upper.best, lower.best),
            (cold.low, upper.low, lower.low),
            (cold.high, upper.high, lower.high),
        )
    ]  # fmt: skip
    bounds = [Bounds(first.best, first.low, first.high)]
    for line in (upper, lower):
        parts = (line.best, line.low, line.high)
        bounds.append(Bounds(*(np.where(no_wuestite, m, p) for m, p in zip(merged, parts, strict=True))))
    sources = (*first.data_sets, *cold.data_sets, *upper.data_sets, *lower.data_sets)
    return bounds, tuple(dict.fromkeys(sources))


def notes(constants: Constants, found: Field, temperature_c: float) -> tuple[str, ...]:
    """What a reader must know of a single point's phase, in plain sentences.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> notes(table, field(table, "lead", 800, -12), 800)[-1][:40]
    'A copper or lead glaze that stays black '
    """
    said = []
    phase = found.name()
    floor = constants.value("agreement", "verdict_floor")
    if temperature_c < floor:
        said.append(_BELOW_FLOOR.format(floor=floor))
    if found.neighbours():
        most, least = found.names[int(found.most_oxidised)], found.names[int(found.most_reduced)]
        pairs = _crossed(found)
        said.append(_UNSURE.format(pair=" and ".join(pairs), most=most, least=least))
    if found.element == "manganese":
        said += [_PURE_OXIDE, _SPINEL]
        if "manganosite" in (phase, *found.neighbours()):
            said.append(_MANGANOSITE)
        if "hausmannite" in (phase, *found.neighbours()):
            low, high = constants.one("manganese-heating-record", "overshoot").span()
            does = "browns" if phase == "hausmannite" else "may brown"
            said.append(_HAUSMANNITE.format(does=does, low=low, high=high))
        if phase == "pyrolusite":
            said.append(_PYROLUSITE)
    if phase in ("copper", "lead"):
        said.append(_GLAZE)
    return tuple(said)


def _crossed(found: Field) -> list[str]:
    between = found.names[int(found.most_oxidised) : int(found.most_reduced) + 1]
    return [f"{upper}-{lower}" for upper, lower in pairwise(between)]


def heating_record_c(constants: Constants, equilibrium_c: ArrayLike) -> tuple[Floats, Floats, Floats]:
    """Where a manganese oxide heated in air is seen to give off its oxygen: equilibrium plus an overshoot
    (best, low, high).

    The overshoot (100 to 150 K) is one number taken from two heating records (Trans. JIM 22:253, 1981), so
    those records are no independent check of it. Say which is meant: equilibrium, or a heating record.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> best, low, high = heating_record_c(load(data("constants.csv")), 884)
    >>> print(best, low, high)
    1009.0 984.0 1034.0
    """
    overshoot = constants.one("manganese-heating-record", "overshoot")
    base = floats(equilibrium_c)
    low, high = overshoot.span()
    return base + overshoot.value, base + low, base + high
