"""Type K held to the table of ITS-90; both ways; what is refused."""

import csv
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import OutOfRange
from wareontology.firing.thermocouple import HIGHEST_C, LOWEST_C, emf_mv, temperature_c

PUBLISHED = Path(__file__).parents[1] / "published" / "typeK_its90.csv"


def rows() -> list[tuple[float, float]]:
    lines = [line for line in PUBLISHED.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return [(float(row["T_C"]), float(row["E_mV"])) for row in csv.DictReader(lines)]


@pytest.mark.parametrize(("heat", "emf"), rows())
def test_the_table_to_a_thousandth_of_a_millivolt(heat: float, emf: float) -> None:
    # published: NIST ITS-90 reference function (Monograph 175, 1993), printed to 0.0001 mV
    assert float(emf_mv(heat)) == pytest.approx(emf, abs=0.001)
    # the table read backwards: 0.0001 mV is less than 0.01 °C anywhere in it
    assert float(temperature_c(emf, 0.0)) == pytest.approx(heat, abs=0.01)


def test_the_cold_end_is_added_as_emf_not_as_degrees() -> None:
    # independent: 35.000 mV with its cold end at 25 °C is 866.999 °C (three public packages agree);
    # 25 °C added to the reading would give 867.28
    assert float(temperature_c(35.0, 25.0)) == pytest.approx(866.999, abs=0.001)


@given(st.floats(LOWEST_C, HIGHEST_C))
def test_there_and_back(heat: float) -> None:
    assert float(temperature_c(emf_mv(heat), 0.0)) == pytest.approx(heat, abs=1e-5)


@given(st.floats(0, 1200), st.floats(-40, 85))
def test_any_cold_end_gives_the_same_heat(heat: float, cold: float) -> None:
    read = float(emf_mv(heat)) - float(emf_mv(cold))
    assert float(temperature_c(read, cold)) == pytest.approx(heat, abs=1e-5)


def test_the_emf_rises_all_the_way() -> None:
    assert np.all(np.diff(emf_mv(np.linspace(LOWEST_C, HIGHEST_C, 20_001))) > 0)


@pytest.mark.parametrize(("emf", "cold"), [(60.0, 20.0), (-7.0, 20.0), (54.5, 60.0), (float("nan"), 20.0)])
def test_beyond_the_function_is_refused(emf: float, cold: float) -> None:
    with pytest.raises(OutOfRange, match="emf_mv"):
        temperature_c(emf, cold)


def test_a_cold_end_where_none_can_be_is_refused() -> None:
    with pytest.raises(OutOfRange, match="cold_junction_c"):
        temperature_c(20.0, 300.0)
    with pytest.raises(OutOfRange, match="temperature_c"):
        emf_mv(1500)
