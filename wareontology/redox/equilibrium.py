"""Equilibrium gas of a fuel burnt with air, by cantera (optional extra `gas`); the cached table is built from
this."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from wareontology.redox.constants import Constants

if TYPE_CHECKING:
    import cantera

FUELS = ("wood", "charcoal")
SPECIES = ("O2", "N2", "CO", "CO2", "H2", "H2O", "CH4", "OH", "H", "O", "NO")
_NITROGEN_PER_OXYGEN = 0.7905 / 0.2095  # argon counted as nitrogen: neither takes part


@dataclass(frozen=True, slots=True)
class BurntGas:
    """What is there at equilibrium. Shares are of the gas by volume; `carbon_left` is solid carbon per carbon
    burnt."""

    log10_oxygen_bar: float
    carbon_monoxide: float
    carbon_dioxide: float
    hydrogen: float
    steam: float
    carbon_left: float


class Burner:
    """Holds the gas so that a table of many points does not read its data again for each."""

    def __init__(self) -> None:
        import cantera

        wanted = [s for s in cantera.Species.list_from_file("nasa_gas.yaml") if s.name in SPECIES]
        for one in wanted:  # TM-4513 refers to 1 bar; cantera's copy leaves its own default, 1 atm
            thermo = one.thermo
            one.thermo = cantera.NasaPoly2(thermo.min_temp, thermo.max_temp, 1e5, thermo.coeffs)
        self._gas_constant = cantera.gas_constant  # J/kmol/K
        self._gas = cantera.Solution(thermo="ideal-gas", species=wanted)
        solids = cantera.Species.list_from_file("nasa_condensed.yaml")
        self._carbon = next(s for s in solids if s.name == "C(gr)").thermo

    def burn(
        self, constants: Constants, fuel: str, fuel_air: float, temperature_c: float, pressure_bar: float
    ) -> BurntGas:
        """Equilibrium of one mole of carbon in `fuel` with air, NASA TM-4513 data, solid carbon allowed.

        `fuel_air` is the equivalence ratio: 1 burns fuel and air up exactly. Where the gas alone would hold
        more than unit activity of carbon, carbon is set aside as solid until it holds just that.
        """
        hydrogen, bound = (constants.value(fuel, symbol) for symbol in ("hydrogen", "oxygen"))
        air = (1 + hydrogen / 4 - bound / 2) / fuel_air
        elements = {"C": 1.0, "H": hydrogen, "O": bound + 2 * air, "N": 2 * air * _NITROGEN_PER_OXYGEN}
        # More carbon than oxygen atoms cannot all be gas, whatever the temperature.
        left = max(0.0, elements["C"] - elements["O"] * (1 - 1e-6))
        self._settle(elements, temperature_c, pressure_bar, left)
        if self._carbon_activity(temperature_c, pressure_bar) > 1:
            low, high = left, 1.0 - 1e-6
            for _ in range(50):
                left = (low + high) / 2
                self._settle(elements, temperature_c, pressure_bar, left)
                if self._carbon_activity(temperature_c, pressure_bar) > 1:
                    low = left
                else:
                    high = left
        share = dict(zip(self._gas.species_names, (float(x) for x in self._gas.X), strict=True))
        # Each side from what there is most of: free oxygen when lean, monoxide over dioxide when rich.
        lean = share["O2"] > share["CO"]
        oxygen = np.log10(share["O2"] * pressure_bar) if lean else self._oxygen(share, temperature_c)
        return BurntGas(
            float(oxygen),
            share["CO"], share["CO2"], share["H2"], share["H2O"], left,
        )  # fmt: skip

    def _settle(
        self, elements: dict[str, float], temperature_c: float, pressure_bar: float, left: float
    ) -> None:
        start = {
            "CO2": elements["C"] - left,
            "H2": elements["H"] / 2,
            "O2": elements["O"] / 2 - (elements["C"] - left),
            "N2": elements["N"] / 2,
        }
        if start["O2"] < 0:  # too little oxygen for all the carbon as dioxide: begin with monoxide
            start["CO"] = -2 * start["O2"]
            start["CO2"] += 2 * start["O2"]
            start["O2"] = 0.0
        self._gas.TPX = temperature_c + 273.15, pressure_bar * 1e5, start
        self._gas.equilibrate("TP", rtol=1e-12, max_steps=5000)

    def _carbon_activity(self, temperature_c: float, pressure_bar: float) -> float:
        """2 CO = C + CO2 at equilibrium."""
        share = dict(zip(self._gas.species_names, self._gas.X, strict=True))
        kelvin = temperature_c + 273.15
        monoxide, dioxide = (self._gas.species(name).thermo for name in ("CO", "CO2"))
        energy = (
            _gibbs(self._carbon, kelvin) + _gibbs(dioxide, kelvin) - 2 * _gibbs(monoxide, kelvin)
        ) / kelvin
        constant = np.exp(-energy / self._gas_constant)
        return float(constant * share["CO"] ** 2 * pressure_bar / share["CO2"])

    def _oxygen(self, share: dict[str, float], temperature_c: float) -> float:
        """log10 fO2 from CO2 = CO + 1/2 O2."""
        kelvin = temperature_c + 273.15
        monoxide, dioxide, oxygen = (self._gas.species(name).thermo for name in ("CO", "CO2", "O2"))
        energy = _gibbs(monoxide, kelvin) + _gibbs(oxygen, kelvin) / 2 - _gibbs(dioxide, kelvin)
        log10_constant = -energy / (self._gas_constant * kelvin * np.log(10))
        return float(2 * (log10_constant + np.log10(share["CO2"] / share["CO"])))


def _gibbs(thermo: "cantera.SpeciesThermo", kelvin: float) -> float:
    """H - T S in J/kmol."""
    return float(thermo.h(kelvin) - kelvin * thermo.s(kelvin))
