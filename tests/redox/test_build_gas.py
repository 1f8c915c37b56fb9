"""What cantera wrote into data/ is what cantera writes now. Skipped where the extra `gas` is not
installed."""

import numpy as np
import pytest

from wareontology.paths import data
from wareontology.redox import build_gas, gas
from wareontology.redox.constants import Constants
from wareontology.redox.fire_gas import GasTable

cantera = pytest.importorskip("cantera", reason="needs the extra `gas` (cantera)")


def test_gas_table_is_what_cantera_computes(constants: Constants) -> None:
    written, kept = (
        [line.split(",") for line in text.splitlines() if not line.startswith("#")][1:]
        for text in (build_gas.gas_text(constants), data("gas.csv").read_text(encoding="utf-8"))
    )
    assert [row[:4] for row in written] == [row[:4] for row in kept]
    now, then = (np.array([row[4:] for row in rows], dtype=float) for rows in (written, kept))
    assert now[:, 0] == pytest.approx(then[:, 0], abs=0.005)
    assert now[:, 2] == pytest.approx(then[:, 2], abs=0.001)
    assert np.log10(now[:, 1]) == pytest.approx(np.log10(then[:, 1]), abs=0.005)


def test_between_its_points_the_table_follows_cantera(constants: Constants, gas_table: GasTable) -> None:
    from wareontology.redox.equilibrium import Burner

    burner = Burner()
    generator = np.random.default_rng(4)
    for _ in range(60):
        ratio = float(generator.choice([generator.uniform(0.4, 0.985), generator.uniform(1.003, 2.9)]))
        temperature, pressure = float(generator.uniform(500, 1150)), float(generator.uniform(0.55, 1.01))
        exact = burner.burn(constants, "wood", ratio, temperature, pressure).log10_oxygen_bar
        found = gas_table.look_up("log10_oxygen_bar", "wood", ratio, temperature, pressure)
        # Coarsest where solid carbon begins, below 700 degC.
        assert found == pytest.approx(exact, abs=0.15 if temperature < 700 else 0.05), (ratio, temperature)


def test_computed_constants_are_what_cantera_ships() -> None:
    before = data("constants.csv").read_text(encoding="utf-8")
    assert build_gas.constants_text(before) == before


def test_gas_constants_agree_with_cantera_gas(constants: Constants) -> None:
    """Second route to CO/CO2 against oxygen: the equilibrated gas itself."""
    from wareontology.redox.equilibrium import Burner

    burnt = Burner().burn(constants, "wood", 1.2, 800, 1.0)
    found = gas.log10_oxygen_of_co_co2(constants, 800, burnt.carbon_monoxide / burnt.carbon_dioxide)
    assert found == pytest.approx(burnt.log10_oxygen_bar, abs=0.002)
    found = gas.log10_oxygen_of_h2_h2o(constants, 800, burnt.hydrogen / burnt.steam)
    assert found == pytest.approx(burnt.log10_oxygen_bar, abs=0.002)


def test_trap_iron_oxides_of_cantera_would_move_the_line_of_iron(constants: Constants) -> None:
    """NASA condensed Fe2O3 and Fe3O4 (JANAF 1965): 0.6 above Frost at 800 degC. Were they used, this would be
    nought."""
    solids = {s.name: s.thermo for s in cantera.Species.list_from_file("nasa_condensed.yaml")}
    gases = {s.name: s.thermo for s in cantera.Species.list_from_file("nasa_gas.yaml")}
    kelvin = 1073.15

    def energy(thermo) -> float:  # type: ignore[no-untyped-def]
        return float(thermo.h(kelvin) - kelvin * thermo.s(kelvin))

    change = 4 * energy(solids["Fe3O4(s)"]) + energy(gases["O2"]) - 6 * energy(solids["Fe2O3(s)"])
    line = -change / (cantera.gas_constant * kelvin * np.log(10))
    assert line == pytest.approx(-8.79, abs=0.02)  # trial calculation
    from wareontology.redox import buffers

    assert line - float(buffers.log10_oxygen(constants, "hematite-magnetite", 800)) > 0.5
