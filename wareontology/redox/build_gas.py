"""Writes data/gas.csv and the computed rows of data/constants.csv with cantera (optional extra `gas`).

    python -m wareontology.redox.build_gas

The same cantera gives the same bytes.
"""

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from wareontology.paths import data
from wareontology.redox.constants import COLUMNS, Constants, load
from wareontology.redox.equilibrium import FUELS, Burner
from wareontology.redox.fire_gas import COLUMNS as GAS_COLUMNS

PRESSURES_BAR = (0.5, 1.01325)
TEMPERATURES_C = tuple(range(500, 1201, 50))
FUEL_AIR = (
    0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.998, 0.999, 1.0, 1.001, 1.002, 1.005,
    1.01, 1.02, 1.05, 1.1, 1.2, 1.35, 1.5, 1.75, 2.0, 2.5, 3.0,
)  # fmt: skip
BUILT_SETS = ("nasa-tm4513", "air-transport")
_REACTIONS = "stoichiometry"  # rows of a built set that are written by hand

# Our name of a substance: the file it stands in, and its forms from cold to hot.
_SUBSTANCES: dict[str, tuple[str, tuple[str, ...]]] = {
    "O2": ("nasa_gas.yaml", ("O2",)),
    "CO": ("nasa_gas.yaml", ("CO",)),
    "CO2": ("nasa_gas.yaml", ("CO2",)),
    "H2": ("nasa_gas.yaml", ("H2",)),
    "H2O": ("nasa_gas.yaml", ("H2O",)),
    "C": ("nasa_condensed.yaml", ("C(gr)",)),
    "Cu": ("nasa_condensed.yaml", ("Cu(cr)",)),
    "Cu2O": ("nasa_condensed.yaml", ("Cu2O(s)",)),
    "CuO": ("nasa_condensed.yaml", ("CuO(s)",)),
    "Pb": ("nasa_condensed.yaml", ("Pb(cr)", "Pb(L)")),
    "PbO": ("nasa_condensed.yaml", ("PbO(rd)", "PbO(yw)", "PbO(L)")),
}


def gas_text(constants: Constants) -> str:
    """The whole of data/gas.csv."""
    import cantera

    burner = Burner()
    out = io.StringIO()
    out.write(
        f"# Equilibrium gas of wood or charcoal burnt with air, computed with cantera {cantera.__version__} "
        "(NASA TM-4513 data, solid carbon allowed)\n"
        "# Written by python -m wareontology.redox.build_gas; a summary of a switch, not a published table.\n"
        "# wood CH1.44O0.66, charcoal C, dry; air 20.95 % oxygen. fuel_air = 1 burns both up exactly. "
        "log10_oxygen_bar: oxygen fugacity;\n"
        "# carbon_monoxide: share of the gas by volume; carbon_left: solid carbon per carbon of the fuel.\n"
    )
    table = csv.writer(out, lineterminator="\n")
    table.writerow(GAS_COLUMNS)
    for fuel in FUELS:
        for pressure in PRESSURES_BAR:
            for temperature in TEMPERATURES_C:
                for ratio in FUEL_AIR:
                    burnt = burner.burn(constants, fuel, ratio, temperature, pressure)
                    table.writerow(
                        (
                            fuel, pressure, temperature, ratio, f"{burnt.log10_oxygen_bar:.3f}",
                            f"{burnt.carbon_monoxide:.3g}", f"{burnt.carbon_left:.4f}",
                        )
                    )  # fmt: skip
    return out.getvalue()


def computed_rows() -> Iterator[tuple[Any, ...]]:
    """The rows of data/constants.csv that cantera writes: NASA polynomials as it ships them, and air's
    transport."""
    import cantera

    version = f"cantera {cantera.__version__}"
    files = {
        file: {s.name: s for s in cantera.Species.list_from_file(file)} for file, _ in _SUBSTANCES.values()
    }
    for name, (file, forms) in _SUBSTANCES.items():
        for form in forms:
            thermo = files[file][form].input_data["thermo"]
            limits = thermo["temperature-ranges"]
            source = (
                f"McBride et al. 1993 NASA TM-4513 as {version} ships it ({file} {form}, {thermo['note']})"
            )
            for low, high, coefficients in zip(limits, limits[1:], thermo["data"], strict=False):
                if low == high:  # one-range forms carry an empty second range
                    continue
                for number, coefficient in enumerate(coefficients, 1):
                    yield (
                        name, f"a{number}", repr(float(coefficient)), "", "", "1; T in K",
                        round(low - 273.15, 2), round(high - 273.15, 2), "nasa-tm4513", source, "seen",
                    )  # fmt: skip
    air = cantera.Solution("air.yaml")
    for temperature in range(0, 1201, 100):
        air.TPX = temperature + 273.15, 101325, "O2:0.21,N2:0.78,AR:0.01"
        for symbol, value, unit in (
            ("conductivity", air.thermal_conductivity, "W/m/K"),
            ("viscosity", air.viscosity, "Pa s"),
            ("heat_capacity", air.cp_mass, "J/kg/K"),
        ):
            yield (
                "air at 1 atm", symbol, f"{value:.4g}", "", "", unit, temperature, temperature,
                "air-transport", f"{version} air.yaml mixture-averaged transport", "computed",
            )  # fmt: skip


def constants_text(before: str) -> str:
    """data/constants.csv with its computed rows written afresh and every other line as it was."""
    kept = [line for line in before.splitlines() if not _is_computed(line)]
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(computed_rows())
    return "\n".join(kept) + "\n" + out.getvalue()


def _is_computed(line: str) -> bool:
    if line.startswith("#"):
        return False
    cells = next(csv.reader([line]))
    return cells[COLUMNS.index("data_set")] in BUILT_SETS and not cells[COLUMNS.index("source")].startswith(
        _REACTIONS
    )


def main() -> None:
    """Write both files where the package keeps its data."""
    constants: Path = data("constants.csv")
    constants.write_text(constants_text(constants.read_text(encoding="utf-8")), encoding="utf-8")
    data("gas.csv").write_text(gas_text(load(constants)), encoding="utf-8")


if __name__ == "__main__":
    main()
