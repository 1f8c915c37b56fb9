"""A bowl pulled from the fire and cooled in still air: one temperature through the wall, radiation and free
convection.

    rho c(T) L dT/dt = -(1 + i) [eps sigma (T^4 - T0^4) + h (T - T0)]

The inside face adds the share i of what the outside loses (it half sees itself). Lumped: fair above 700 degC
for 5 mm (Biot 0.3), good below 500. The full conduction through walls and covers is not here.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from wareontology.errors import OutOfRange
from wareontology.redox.arrays import Floats, floats, within
from wareontology.redox.constants import Constants

_GRAVITY_SYMBOL = "gravity"
_STEPS = 2001


@dataclass(frozen=True, slots=True)
class Bowl:
    """A thin bowl. Lengths in m, density in kg/m3, heat capacity c0 + c1 T(degC) in J/kg/K."""

    wall_m: float
    diameter_m: float
    density_kg_m3: float
    heat_capacity_j_kg_k: float
    heat_capacity_slope: float
    emissivity: float
    inside_share: float


def bowl(constants: Constants, *, wall_m: float | None = None, diameter_m: float | None = None) -> Bowl:
    """The table's bowl (all judged: 5 mm wall, 18 cm across), or one of another wall or width.

    Wall 1 to 30 mm, width 2 cm to 1 m (OutOfRange beyond).

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> bowl(load(data("constants.csv"))).wall_m
    0.005
    """
    wall = constants.value("bowl", "wall") if wall_m is None else wall_m
    width = constants.value("bowl", "diameter") if diameter_m is None else diameter_m
    return Bowl(
        float(within("wall_m", wall, 1e-3, 0.03, "a wall thin enough for one temperature")),
        float(within("diameter_m", width, 0.02, 1, "a vessel")),
        *(
            constants.value("bowl", symbol)
            for symbol in ("density", "heat_capacity", "heat_capacity_slope", "emissivity", "inside_share")
        ),
    )


def convection_w_m2_k(
    constants: Constants,
    surface_c: ArrayLike,
    diameter_m: float,
    air_c: float = 20.0,
    pressure_bar: float = 1.01325,
) -> Floats:
    """Heat transfer coefficient of still air on a sphere, W/m2/K: Churchill's laminar form (memory,
    unverified).

    Nu = 2 + 0.589 Ra^(1/4) / (1 + (0.469/Pr)^(9/16))^(4/9), air at the mean of surface and air; Ra below
    1e11. Surface up to 1200 degC.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(convection_w_m2_k(load(data("constants.csv")), [800, 300], 0.18).round(1))
    [7.9 6.9]
    """
    surface = within(
        "surface_c", surface_c, air_c, 1200, "a surface warmer than the air, up to the table of air"
    )
    film = (surface + air_c) / 2
    conductivity, viscosity, heat = (_air(constants, symbol, film) for symbol in _AIR)
    film_k = film + 273.15
    molar, gas_constant = (
        constants.value("standard-atmosphere", "molar_mass"), constants.value("physical-constants", "R"),
    )  # fmt: skip
    density = pressure_bar * 1e5 * molar / (gas_constant * film_k)
    gravity = constants.value("standard-atmosphere", _GRAVITY_SYMBOL)
    prandtl = viscosity * heat / conductivity
    grashof = gravity * (surface - air_c) / film_k * diameter_m**3 * (density / viscosity) ** 2
    factor, term = (constants.value("free-convection", s) for s in ("churchill_factor", "churchill_prandtl"))
    nusselt = 2 + factor * (grashof * prandtl) ** 0.25 / (1 + (term / prandtl) ** (9 / 16)) ** (4 / 9)
    return np.asarray(nusselt * conductivity / diameter_m, dtype=np.float64)


def rate_k_s(
    constants: Constants,
    temperature_c: ArrayLike,
    vessel: Bowl,
    air_c: float = 20.0,
    pressure_bar: float = 1.01325,
    *,
    convection: bool = True,
) -> Floats:
    """How fast the vessel cools at a temperature, K/s (positive).

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> table = load(data("constants.csv"))
    >>> print(rate_k_s(table, 800, bowl(table)).round(1))
    10.3
    """
    temperature = within(
        "temperature_c", temperature_c, air_c, 1200, "warmer than the air, up to the table of air"
    )
    sigma = constants.value("physical-constants", "sigma")
    loss = vessel.emissivity * sigma * ((temperature + 273.15) ** 4 - (air_c + 273.15) ** 4)
    if convection:
        coefficient = convection_w_m2_k(constants, temperature, vessel.diameter_m, air_c, pressure_bar)
        loss = loss + coefficient * (temperature - air_c)
    capacity = vessel.heat_capacity_j_kg_k + vessel.heat_capacity_slope * temperature
    stored = vessel.density_kg_m3 * capacity * vessel.wall_m
    return np.asarray((1 + vessel.inside_share) * loss / stored, dtype=np.float64)


def curve(
    constants: Constants,
    start_c: float,
    end_c: float = 60.0,
    vessel: Bowl | None = None,
    air_c: float = 20.0,
    pressure_bar: float = 1.01325,
    *,
    convection: bool = True,
) -> tuple[Floats, Floats]:
    """Times (s) and temperatures (degC) of a vessel cooling in still air, from start to end.

    The rate depends on temperature alone, so time is the integral of dT / rate (Simpson). End above the air,
    start above the end (OutOfRange).

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> times, temperatures = curve(load(data("constants.csv")), 800, 500)
    >>> round(float(times[-1]))
    53
    """
    if not air_c < end_c < start_c:
        raise OutOfRange("end_c", end_c, air_c, start_c, "cooler than the start, warmer than the air")
    vessel = bowl(constants) if vessel is None else vessel
    # Even steps in the logarithm of the excess over air: the curve is near enough an exponential.
    temperature = air_c + np.geomspace(start_c - air_c, end_c - air_c, _STEPS)
    temperature[0], temperature[-1] = start_c, end_c
    middle = (temperature[:-1] + temperature[1:]) / 2

    def slowness(at: Floats) -> Floats:
        return floats(1 / rate_k_s(constants, at, vessel, air_c, pressure_bar, convection=convection))

    at_ends, at_middle = slowness(temperature), slowness(middle)
    pieces = -np.diff(temperature) * (at_ends[:-1] + 4 * at_middle + at_ends[1:]) / 6
    return np.concatenate([[0.0], np.cumsum(pieces)]), temperature


def seconds_to(constants: Constants, start_c: float, end_c: float, vessel: Bowl | None = None) -> float:
    """Seconds for a vessel to cool in still air at 20 degC from start to end.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> round(seconds_to(load(data("constants.csv")), 800, 300))
    156
    """
    return float(curve(constants, start_c, end_c, vessel)[0][-1])


def after_delay_c(
    constants: Constants, start_c: float, delay_s: ArrayLike, vessel: Bowl | None = None
) -> Floats:
    """Temperature, degC, of a vessel pulled at `start_c` and left in still air for a time (0 to about 20
    minutes).

    OutOfRange for a delay that would bring it below 60 degC.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> print(after_delay_c(load(data("constants.csv")), 800, [0, 15, 90]).round())
    [800. 676. 403.]
    """
    times, temperatures = curve(constants, start_c, vessel=vessel)
    delay = within("delay_s", delay_s, 0, float(times[-1]), "until the vessel is down to 60 degC")
    return np.asarray(np.interp(delay, times, temperatures), dtype=np.float64)


def lumped_seconds(
    time_constant_s: ArrayLike, start_c: ArrayLike, end_c: ArrayLike, air_c: ArrayLike
) -> Floats:
    """Seconds for a small body of one time constant to come from start to end in a gas: tau ln[(T0 - Tg)/(T -
    Tg)].

    >>> print(lumped_seconds(1, 25, 199, 200).round(2))
    5.16
    """
    excess = (floats(start_c) - floats(air_c)) / (floats(end_c) - floats(air_c))
    checked = within(
        "start over end, each above the gas", excess, 1, np.inf, "a body coming to the gas's temperature"
    )
    return np.asarray(floats(time_constant_s) * np.log(checked), dtype=np.float64)


_AIR = ("conductivity", "viscosity", "heat_capacity")


def _air(constants: Constants, symbol: str, temperature_c: Floats) -> Floats:
    parts = constants.segments("air at 1 atm", "air-transport")
    grid = [part.low_c for part in parts]
    return np.asarray(
        np.interp(temperature_c, grid, [part.values[symbol] for part in parts]), dtype=np.float64
    )
