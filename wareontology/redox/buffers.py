"""The oxygen pressure at which one oxide turns into the next: each pair by named data sets, with their
spread.

Pairs, from oxidised to reduced: hematite-magnetite, magnetite-wuestite, magnetite-iron, wuestite-iron;
pyrolusite-bixbyite, bixbyite-hausmannite, hausmannite-manganosite; tenorite-cuprite, cuprite-copper;
litharge-lead. Pure phases at 1 bar: no paint is quite that.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from wareontology.errors import OutOfRange, Unreadable
from wareontology.redox.arrays import Floats, crossing, floats, kelvin
from wareontology.redox.constants import Constants, Segment
from wareontology.redox.thermochemistry import log10_oxygen_of_reaction

PAIRS = (
    "hematite-magnetite", "magnetite-wuestite", "magnetite-iron", "wuestite-iron",
    "pyrolusite-bixbyite", "bixbyite-hausmannite", "hausmannite-manganosite",
    "tenorite-cuprite", "cuprite-copper", "litharge-lead",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Line:
    """A pair's oxygen line with the spread of its sources, log10 bar."""

    best: Floats
    low: Floats
    high: Floats
    data_sets: tuple[str, ...]
    extrapolated: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]


def data_sets(constants: Constants, pair: str) -> tuple[str, ...]:
    """The data sets that give a pair; the first is the default.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> data_sets(load(data("constants.csv")), "hematite-magnetite")
    ('frost-1991', 'lepr-2008', 'helgeson-1978')
    """
    return tuple(dict.fromkeys(segment.data_set for segment in _all_segments(constants, pair)))


def range_c(constants: Constants, pair: str, data_set: str | None = None) -> tuple[float, float]:
    """The temperatures, degC, between which a data set gives a pair.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> range_c(load(data("constants.csv")), "magnetite-wuestite", "frost-1991")
    (565.0, 1200.0)
    """
    parts = _segments(constants, pair, data_set)
    return min(part.low_c for part in parts), max(part.high_c for part in parts)


def log10_oxygen(
    constants: Constants, pair: str, temperature_c: ArrayLike, data_set: str | None = None
) -> Floats:
    """log10 of the oxygen fugacity (bar) that holds both phases of a pair: A/T + B + C ln T, or from dG of
    reaction.

    Temperature in degC; range and source are those of the data set's rows (OutOfRange beyond). Default Frost
    1991 for iron; for the others the first data set in the table.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> print(log10_oxygen(table, "hematite-magnetite", [600, 800]).round(2))
    [-14.84  -9.39]
    """
    parts = _segments(constants, pair, data_set)
    low_c, high_c = parts[0].low_c, parts[-1].high_c
    temperature = kelvin(temperature_c, low_c, high_c, _named(pair, parts[0]))
    result = np.full(temperature.shape, np.nan)
    for part in parts:
        inside = np.isnan(result) & (temperature <= part.high_c + 273.15 + 1e-9)
        if "A" not in part.values:
            return log10_oxygen_of_reaction(constants, part, temperature_c)
        line = (
            part.values["A"] / temperature
            + part.values["B"]
            + part.values.get("C", 0.0) * np.log(temperature)
        )
        result = np.where(inside, line, result)
    return result


def spread(constants: Constants, pair: str, temperature_c: ArrayLike) -> Line:
    """The default line of a pair with the spread of every data set that covers the temperature.

    Low and high are the extremes of the data sets, widened about their middle to at least the agreement found
    between accepted sources (rows `agreement`). `extrapolated` marks where the default set goes beyond what
    was measured. OutOfRange where the default data set ends.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> line = spread(load(data("constants.csv")), "hausmannite-manganosite", 800)
    >>> print(line.low.round(1), line.best.round(1), line.high.round(1), line.data_sets[0])
    -11.0 -10.1 -10.0 robie-hemingway-1995
    """
    names = data_sets(constants, pair)
    temperature = floats(temperature_c)
    best = log10_oxygen(constants, pair, temperature)
    low, high = best, best
    for name in names[1:]:
        low_c, high_c = range_c(constants, pair, name)
        covered = (temperature >= low_c) & (temperature <= high_c)
        other = np.where(
            covered, log10_oxygen(constants, pair, np.clip(temperature, low_c, high_c), name), best
        )
        low, high = np.minimum(low, other), np.maximum(high, other)
    half = _agreement(constants, pair, temperature)
    middle = (low + high) / 2
    measured = constants.named(pair, "measured", names[0])
    beyond = np.zeros(temperature.shape, dtype=np.bool_)
    if measured is not None:
        beyond = (temperature < measured.span()[0]) | (temperature > measured.span()[1])
    return Line(best, np.minimum(low, middle - half), np.maximum(high, middle + half), names, beyond)


def temperature_at_c(
    constants: Constants, pair: str, log10_oxygen_bar: float, data_set: str | None = None
) -> float:
    """The temperature, degC, at which a pair holds the oxygen pressure given: where an oxide decomposes in
    that gas.

    Equilibrium, not a heating record. OutOfRange if the pair does not reach that pressure within its data.

    >>> import math
    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> round(temperature_at_c(load(data("constants.csv")), "bixbyite-hausmannite", math.log10(0.209)))
    884
    """
    low_c, high_c = range_c(constants, pair, data_set)

    def difference(temperature_c: float) -> float:
        return float(log10_oxygen(constants, pair, temperature_c, data_set)) - log10_oxygen_bar

    found = crossing(difference, low_c, high_c)
    if found is None:
        least, most = sorted(difference(end) + log10_oxygen_bar for end in (low_c, high_c))
        source = f"{low_c:g} to {high_c:g} degC, {_named(pair, _segments(constants, pair, data_set)[0])}"
        raise OutOfRange("log10_oxygen_bar", log10_oxygen_bar, least, most, source)
    return found


def eutectoid_c(constants: Constants, data_set: str = "frost-1991") -> float:
    """The temperature, degC, under which wuestite is not stable: where its two lines of one data set cross.

    Both lines must come from one data set: Frost's magnetite-wuestite with O'Neill and Pownceby's
    wuestite-iron gives a false 550. Unreadable if the data set lacks either.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> round(eutectoid_c(load(data("constants.csv"))))
    570
    """
    upper, lower = (
        range_c(constants, "magnetite-wuestite", data_set),
        range_c(constants, "wuestite-iron", data_set),
    )

    def gap(temperature_c: float) -> float:
        return float(
            log10_oxygen(constants, "magnetite-wuestite", temperature_c, data_set)
            - log10_oxygen(constants, "wuestite-iron", temperature_c, data_set)
        )

    low_c, high_c = max(upper[0], lower[0]), min(upper[1], lower[1])
    found = crossing(gap, low_c, high_c)
    if found is None:
        raise OutOfRange("eutectoid of wuestite", float("nan"), low_c, high_c, data_set)
    return found


def _all_segments(constants: Constants, pair: str) -> tuple[Segment, ...]:
    """The lines of a pair, without the rows that say how well they agree or what was measured."""
    aside = {"agreement", "measured"}
    return tuple(part for part in constants.segments(pair) if not aside & part.values.keys())


def _segments(constants: Constants, pair: str, data_set: str | None) -> tuple[Segment, ...]:
    lines = _all_segments(constants, pair)
    chosen = data_set or lines[0].data_set
    found = tuple(part for part in lines if part.data_set == chosen)
    if not found:
        raise Unreadable(f"constants: nothing on {pair!r} in data set {chosen!r}")
    return found


def _named(pair: str, part: Segment) -> str:
    """A pair and its source; of a reaction the source is the data set of its substances, not its
    stoichiometry."""
    return f"{pair}: {part.source if 'A' in part.values else 'data set ' + part.data_set}"


def _agreement(constants: Constants, pair: str, temperature: Floats) -> Floats:
    half = np.zeros(temperature.shape)
    for part in constants.segments(pair, "agreement"):
        inside = (temperature >= part.low_c) & (temperature <= part.high_c)
        half = np.where(inside, np.maximum(half, part.values["agreement"]), half)
    return half
