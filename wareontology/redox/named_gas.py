"""A gas as a person names it, with the tables that say what it does."""

from dataclasses import dataclass
from typing import Final

from numpy.typing import ArrayLike

from wareontology.redox import fire_gas
from wareontology.redox.colours import PhaseColours
from wareontology.redox.constants import Constants
from wareontology.redox.fire_gas import GasState, GasTable

_NAMED: Final = {
    "co_co2": "CO/CO2",
    "oxygen": "free oxygen, share by volume",
    "fuel_air": "fuel over air (1 burns both up)",
}


@dataclass(frozen=True, slots=True)
class Tables:
    """The tables an answer is made of."""

    constants: Constants
    gas: GasTable
    colours: PhaseColours


@dataclass(frozen=True, slots=True)
class Named:
    """A gas as a person names it: by CO/CO2, share of oxygen or fuel/air, at a temperature and altitude."""

    temperature_c: float
    co_co2: float | None = None
    oxygen: float | None = None
    fuel_air: float | None = None
    fuel: str = "wood"
    altitude_m: float = 0.0

    def words(self) -> str:
        """How it was named.

        >>> Named(800, co_co2=1e-4).words()
        'CO/CO2 0.0001'
        """
        given = ((name, getattr(self, name)) for name in _NAMED)
        way, value = next((name, value) for name, value in given if value is not None)
        fuel = f"{self.fuel} and air, " if way == "fuel_air" else ""
        height = f", {self.altitude_m:g} m above the sea" if self.altitude_m else ""
        return f"{fuel}{_NAMED[way]} {value:g}{height}"

    def state(self, tables: Tables, temperature_c: ArrayLike | None = None) -> GasState:
        """The oxygen this gas holds at its own temperature, or at others."""
        return fire_gas.state(
            tables.constants, tables.gas, self.temperature_c if temperature_c is None else temperature_c,
            co_co2=self.co_co2, oxygen=self.oxygen, fuel_air=self.fuel_air, fuel=self.fuel,
            altitude_m=self.altitude_m,
        )  # fmt: skip
