"""The gas of a fire: wood or charcoal with air, from the cached table, or one of the other ways of naming a
gas.

Equilibrium gas is a switch, not a dial: between 1 % too much air and 1 % too much fuel lie ten decades.
"""

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.redox import gas
from wareontology.redox.arrays import ABSOLUTE_ZERO_C, Floats, floats, within
from wareontology.redox.constants import Constants

COLUMNS = (
    "fuel", "pressure_bar", "temperature_c", "fuel_air", "log10_oxygen_bar", "carbon_monoxide", "carbon_left",
)  # fmt: skip
_SWITCH_WIDTH = 1e-3  # distance from exact combustion inside which the table only says "on the switch"


@dataclass(frozen=True, slots=True)
class GasState:
    """The oxygen a named gas holds: best, low, high in log10 bar, what it rests on, and what to know about
    it."""

    temperature_c: Floats
    pressure_bar: float
    log10_oxygen_bar: Floats
    low: Floats
    high: Floats
    named_by: str
    source: str
    notes: tuple[str, ...]


class GasTable:
    """Equilibrium gas on a grid of pressure, temperature and fuel/air, for each fuel."""

    def __init__(self, rows: Iterable[dict[str, str]], source: str) -> None:
        self.source = source
        rows = list(rows)
        self.fuels = tuple(dict.fromkeys(row["fuel"] for row in rows))
        self.pressures, self.temperatures, self.ratios = (
            np.array(sorted({float(row[column]) for row in rows}))
            for column in ("pressure_bar", "temperature_c", "fuel_air")
        )
        shape = len(self.pressures), len(self.temperatures), len(self.ratios)
        ordered = sorted(
            rows,
            key=lambda row: (
                row["fuel"], float(row["pressure_bar"]), float(row["temperature_c"]), float(row["fuel_air"])
            ),
        )  # fmt: skip
        self._grids: dict[tuple[str, str], Floats] = {}
        for fuel in self.fuels:
            mine = [row for row in ordered if row["fuel"] == fuel]
            if len(mine) != np.prod(shape):
                raise Unreadable(
                    f"gas table: {fuel} has {len(mine)} rows where a full grid has {np.prod(shape)}"
                )
            for column in COLUMNS[4:]:
                self._grids[fuel, column] = floats([float(row[column]) for row in mine]).reshape(shape)

    def look_up(
        self, column: str, fuel: str, fuel_air: ArrayLike, temperature_c: ArrayLike, pressure_bar: ArrayLike
    ) -> Floats:
        """One column between the grid's points: linear in log pressure, in 1/T, and in asinh of the excess of
        fuel.

        `fuel_air` is fuel over air as a multiple of what burns up exactly. OutOfRange beyond the grid.

        >>> from wareontology.paths import data
        >>> table = load(data("gas.csv"))
        >>> print(table.look_up("log10_oxygen_bar", "wood", [0.95, 1.5], 800, 1.01325).round(1))
        [ -2. -18.]
        """
        if fuel not in self.fuels:
            would_do = " or ".join(self.fuels)
            raise BreaksShape([Fault("gas", None, "fuel", fuel, would_do)])
        ratio, temperature, pressure = np.broadcast_arrays(
            *(
                within(name, values, float(grid[0]), float(grid[-1]), self.source)
                for name, values, grid in (
                    ("fuel_air", fuel_air, self.ratios),
                    ("temperature_c", temperature_c, self.temperatures),
                    ("pressure_bar", pressure_bar, self.pressures),
                )
            )
        )
        grid = self._grids[fuel, column]
        total = np.zeros(ratio.shape)
        places = (
            _place(np.log(self.pressures), np.log(pressure)),
            _place(-1 / (self.temperatures + 273.15), -1 / (temperature + 273.15)),
            _place(_excess(self.ratios), _excess(ratio)),
        )
        for corner in np.ndindex(2, 2, 2):
            index = tuple(low + step for (low, _), step in zip(places, corner, strict=True))
            weight = np.ones(ratio.shape)
            for (_, part), step in zip(places, corner, strict=True):
                weight = weight * (part if step else 1 - part)
            total = total + weight * grid[index]
        return total


def _excess(ratio: Floats) -> Floats:
    return np.asarray(np.arcsinh((ratio - 1) / _SWITCH_WIDTH), dtype=np.float64)


def _place(grid: Floats, values: Floats) -> tuple[np.ndarray[tuple[int, ...], np.dtype[np.intp]], Floats]:
    low = np.clip(np.searchsorted(grid, values, side="right") - 1, 0, len(grid) - 2)
    return low, np.clip((values - grid[low]) / (grid[low + 1] - grid[low]), 0, 1)


def read(lines: Iterable[str], file: str = "gas.csv") -> GasTable:
    """The gas table from the lines of a CSV file; lines starting with # are its provenance, the first its
    source.

    Raises Unreadable if the columns are not those of COLUMNS or the grid has holes.
    """
    lines = list(lines)
    source = next((line.lstrip("# ").strip() for line in lines if line.startswith("#")), file)
    table = csv.DictReader(line for line in lines if not line.startswith("#"))
    if tuple(table.fieldnames or ()) != COLUMNS:
        raise Unreadable(f"{file}: columns found {table.fieldnames}; would do {','.join(COLUMNS)}")
    return GasTable(table, source)


def load(path: Path) -> GasTable:
    """The gas table from a file the caller names."""
    try:
        with path.open(encoding="utf-8", newline="") as lines:
            return read(lines, path.name)
    except OSError as fault:
        raise Unreadable(f"{path}: {fault.strerror}") from fault


def state(
    constants: Constants,
    table: GasTable,
    temperature_c: ArrayLike,
    *,
    co_co2: ArrayLike | None = None,
    h2_h2o: ArrayLike | None = None,
    oxygen: ArrayLike | None = None,
    fuel_air: ArrayLike | None = None,
    fuel: str = "wood",
    altitude_m: float = 0.0,
) -> GasState:
    """The oxygen pressure of a gas named in exactly one way: CO/CO2, H2/H2O, share of free oxygen, or
    fuel/air.

    Raises BreaksShape if it is named in no way or in more than one, OutOfRange for a number no source covers.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load as constants_of
    >>> constants, table = constants_of(data("constants.csv")), load(data("gas.csv"))
    >>> print(state(constants, table, 800, co_co2=1e-4).log10_oxygen_bar.round(2))
    -10.42
    >>> print(state(constants, table, 800, oxygen=0.2095, altitude_m=2500).log10_oxygen_bar.round(2))
    -0.81
    """
    given = {"co_co2": co_co2, "h2_h2o": h2_h2o, "oxygen": oxygen, "fuel_air": fuel_air}
    named = [name for name, value in given.items() if value is not None]
    if len(named) != 1:
        found = " and ".join(named) or "no gas named"
        raise BreaksShape([Fault("gas", None, None, found, f"one of {', '.join(given)}")])
    (way,) = named
    pressure = float(gas.air_pressure_bar(constants, altitude_m))
    temperature = floats(temperature_c)
    value = floats(given[way])  # type: ignore[arg-type]  # the one that is not None
    if way == "fuel_air":
        best, low, high, source, notes = _of_fuel(table, fuel, value, temperature, pressure, constants)
    else:
        best, half, source = _of_share_or_ratio(constants, way, value, temperature, pressure)
        low, high, notes = best - half, best + half, []
    floor = constants.value("agreement", "verdict_floor")
    if way != "oxygen" and np.any(temperature < floor):
        notes.append(f"Below {floor:g} °C a fire's gas is not at equilibrium; no verdict hangs on it.")
    return GasState(temperature, pressure, best, low, high, way, source, tuple(notes))


def _of_share_or_ratio(
    constants: Constants, way: str, value: Floats, temperature: Floats, pressure: float
) -> tuple[Floats, float, str]:
    """Oxygen, its half-spread and source, of a gas named by free oxygen or by one of the two ratios."""
    if way == "oxygen":
        within(
            "temperature_c", temperature, ABSOLUTE_ZERO_C, 2000, "absolute zero to hotter than any pottery"
        )
        source = "share by volume times air pressure (standard atmosphere)"
        return gas.log10_oxygen_of_share(value, pressure) + 0 * temperature, 0.0, source
    law = gas.log10_oxygen_of_co_co2 if way == "co_co2" else gas.log10_oxygen_of_h2_h2o
    half = constants.value("agreement", "gas_agreement")
    return law(constants, temperature, value), half, "CO, CO2, H2, H2O, O2: NASA TM-4513"


def _of_fuel(
    table: GasTable, fuel: str, ratio: Floats, temperature: Floats, pressure: float, constants: Constants
) -> tuple[Floats, Floats, Floats, str, list[str]]:
    def oxygen(at: Floats) -> Floats:
        return table.look_up("log10_oxygen_bar", fuel, at, temperature, pressure)

    best, half = oxygen(ratio), constants.value("agreement", "gas_table_agreement")
    on_switch = np.abs(ratio - 1) < _SWITCH_WIDTH
    low = np.where(on_switch, oxygen(np.full(ratio.shape, 1 + _SWITCH_WIDTH)), best - half)
    high = np.where(on_switch, oxygen(np.full(ratio.shape, 1 - _SWITCH_WIDTH)), best + half)
    notes = [
        f"{fuel.capitalize()} and air at equilibrium; a real fire is uneven and swings across the switch."
    ]
    if np.any(on_switch):
        notes.append(
            "Fuel and air burn up exactly: the gas stands on the switch and may be anything between."
        )
    return best, low, high, table.source, notes
