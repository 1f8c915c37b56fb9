"""Masses of atoms: against three libraries and against mass balances worked elsewhere."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import BreaksShape
from wareontology.replica.oxides import OXIDES, REPORTED, atoms, factor, fired, molar_mass
from wareontology.replica.roast import roast

PUBLISHED = Path(__file__).parents[1] / "published"


def rows(name: str) -> list[dict[str, str]]:
    with (PUBLISHED / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.mark.parametrize("row", rows("molar_masses.csv"), ids=lambda row: row["formula"])
def test_molar_mass_agrees_with_three_libraries(row: dict[str, str]) -> None:
    for library in ("molmass", "periodictable", "chemicals"):
        assert molar_mass(row["formula"]) == pytest.approx(float(row[library]), rel=1e-4)


@pytest.mark.parametrize("row", rows("element_to_oxide.csv"), ids=lambda row: row["oxide"])
def test_gravimetric_factor(row: dict[str, str]) -> None:
    assert factor(row["element"], row["oxide"]) == pytest.approx(float(row["factor"]), rel=1e-4)


def loss_percent(raw: str, moles: float, left: str) -> float:
    return 100 * (1 - moles * molar_mass(left) / molar_mass(raw))


def fired_percent(formula: str, oxide: str) -> float:
    return 100 * fired(formula).oxides[oxide]


COMPUTED = {
    ("galena roast 2PbS+3O2=2PbO+2SO2", "PbO per PbS (mass)"): lambda: roast(1).lead_oxide_g,
    ("", "O2 per PbS"): lambda: roast(1).oxygen_g,
    ("", "SO2 per PbS"): lambda: roast(1).sulphur_dioxide_g,
    ("galena", "Pb wt%"): lambda: roast(100).lead_g,
    ("galena to anglesite", "PbSO4 per PbS"): lambda: molar_mass("PbSO4") / molar_mass("PbS"),
    ("cerussite->PbO", "loss %"): lambda: 100 * fired("PbCO3").loss,
    ("malachite->2CuO", "loss %"): lambda: 100 * fired("Cu2CO3(OH)2").loss,
    ("malachite", "Cu wt%"): lambda: fired_percent("Cu2CO3(OH)2", "CuO") / factor("Cu", "CuO"),
    ("malachite", "CO2 %"): lambda: 100 * molar_mass("CO2") / molar_mass("Cu2CO3(OH)2"),
    ("malachite", "H2O %"): lambda: 100 * molar_mass("H2O") / molar_mass("Cu2CO3(OH)2"),
    ("azurite->3CuO", "loss %"): lambda: 100 * fired("Cu3(CO3)2(OH)2").loss,
    ("2CuO->Cu2O", "loss %"): lambda: loss_percent("CuO", 0.5, "Cu2O"),
    ("siderite->FeO (inert)", "loss %"): lambda: loss_percent("FeCO3", 1, "FeO"),
    ("siderite->1/2 Fe2O3 (air)", "loss %"): lambda: 100 * fired("FeCO3").loss,
    ("siderite->1/3 Fe3O4", "loss %"): lambda: loss_percent("FeCO3", 1 / 3, "Fe3O4"),
    ("calcite->CaO", "loss %"): lambda: 100 * fired("CaCO3").loss,
    ("dolomite", "loss %"): lambda: 100 * fired("CaMg(CO3)2").loss,
    ("rhodochrosite->Mn3O4", "loss %"): lambda: loss_percent("MnCO3", 1 / 3, "Mn3O4"),
    ("goethite->1/2 Fe2O3", "loss %"): lambda: 100 * fired("FeOOH").loss,
    ("limonite as Fe2O3.1.5H2O", "loss %"): lambda: 100 * fired("2Fe2O3.3H2O").loss,
    ("pyrolusite->1/2 Mn2O3", "loss %"): lambda: loss_percent("MnO2", 0.5, "Mn2O3"),
    ("MnO2->1/3 Mn3O4", "loss %"): lambda: loss_percent("MnO2", 1 / 3, "Mn3O4"),
    ("Mn2O3->2/3 Mn3O4", "loss %"): lambda: loss_percent("Mn2O3", 2 / 3, "Mn3O4"),
    ("hematite->2/3 Fe3O4", "loss %"): lambda: loss_percent("Fe2O3", 2 / 3, "Fe3O4"),
    ("Fe2O3->2FeO", "loss %"): lambda: loss_percent("Fe2O3", 2, "FeO"),
    ("FeO->Fe2O3 factor", "x"): lambda: factor("Fe", "Fe2O3") / factor("Fe", "FeO"),
    ("kaolinite", "SiO2 %"): lambda: fired_percent("Al2Si2O5(OH)4", "SiO2"),
    ("kaolinite", "Al2O3 %"): lambda: fired_percent("Al2Si2O5(OH)4", "Al2O3"),
    ("kaolinite", "H2O % (LOI)"): lambda: 100 * fired("Al2Si2O5(OH)4").loss,
    ("metakaolin", "SiO2 %"): lambda: fired("Al2Si2O5(OH)4").percent()["SiO2"],
    ("metakaolin", "Al2O3 %"): lambda: fired("Al2Si2O5(OH)4").percent()["Al2O3"],
    ("jacobsite", "MnO %"): lambda: fired_percent("MnFe2O4", "MnO"),
    ("jacobsite", "Fe2O3 %"): lambda: fired_percent("MnFe2O4", "Fe2O3"),
    ("hercynite", "FeO %"): lambda: (
        fired_percent("FeAl2O4", "Fe2O3") / factor("Fe", "Fe2O3") * factor("Fe", "FeO")
    ),
}
SINGLE = [row for row in rows("stoichiometry.csv") if not row["reaction"].startswith("MIX")]


@pytest.mark.parametrize("row", SINGLE, ids=lambda row: f"{row['reaction']} {row['quantity']}")
def test_mass_balance(row: dict[str, str]) -> None:
    got = COMPUTED[row["reaction"], row["quantity"]]()
    assert got == pytest.approx(float(row["value"]), rel=2e-4)  # the table's last figure


@given(st.sampled_from([row["formula"] for row in rows("molar_masses.csv")]))
def test_oxides_and_loss_make_a_whole(formula: str) -> None:
    if set(atoms(formula)) & set(REPORTED):
        left = fired(formula)
        assert sum(left.oxides.values()) + left.loss == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize("oxide", OXIDES)
def test_an_oxide_as_reported_loses_nothing(oxide: str) -> None:
    assert fired(oxide).loss == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("text", ["", "  ", "fe2o3", "Fe2O3.1.5H2O", "Fe2O3.nH2O", "X2O3", "rust", "UO2"])
def test_what_is_no_formula_is_refused(text: str) -> None:
    with pytest.raises(BreaksShape, match="would do"):
        fired(text)


def test_an_oxide_of_another_metal_is_refused() -> None:
    with pytest.raises(BreaksShape, match="holds Fe"):
        factor("Fe", "MnO")
