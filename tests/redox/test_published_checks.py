"""Every row of tests/published/redox_checks.csv, by its kind: published and independent rows validate, model
rows are ranges, regression rows pin. A row is either checked here or named as belonging elsewhere; none is
skipped silently."""

import csv
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from wareontology.redox import buffers, cooling, cover, gas, phases, reoxidation
from wareontology.redox.arrays import crossing
from wareontology.redox.constants import Constants

FILE = Path(__file__).parents[1] / "published" / "redox_checks.csv"
AIR = math.log10(0.209)  # the pressure the rows name
AIR_2500_M = math.log10(0.156)

# Conduction through walls, spheres, soil and pits: run in tests/firing/test_published_heat.py.
BELONGS_TO_FIRING_HEAT = {f"H{number:02d}" for number in range(4, 13)}


def _rows() -> dict[str, dict[str, str]]:
    lines = [line for line in FILE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return {row["id"]: row for row in csv.DictReader(lines)}


def _line(pair: str, temperature_c: float, data_set: str | None = None) -> Callable[[Constants], float]:
    return lambda constants: float(buffers.log10_oxygen(constants, pair, temperature_c, data_set))


def _turns(pair: str, log10_oxygen: float, data_set: str | None = None) -> Callable[[Constants], float]:
    return lambda constants: buffers.temperature_at_c(constants, pair, log10_oxygen, data_set)


def _co_co2_at(pair: str, temperature_c: float) -> Callable[[Constants], float]:
    return lambda constants: float(
        gas.co_co2(constants, temperature_c, buffers.log10_oxygen(constants, pair, temperature_c))
    )


def _carbon_meets(pair: str, data_set: str) -> Callable[[Constants], float]:
    def found(constants: Constants) -> float:
        def gap(temperature_c: float) -> float:
            line = buffers.log10_oxygen(constants, pair, temperature_c, data_set)
            return float(gas.log10_oxygen_over_carbon(constants, temperature_c) - line)

        return _found(crossing(gap, 565, 1000))

    return found


def _found(value: float | None) -> float:
    assert value is not None
    return value


def _radiation_only(end_c: float) -> Callable[[Constants], float]:
    def seconds(constants: Constants) -> float:
        plate = replace(
            cooling.bowl(constants), density_kg_m3=1900, heat_capacity_j_kg_k=1000, heat_capacity_slope=0,
            emissivity=0.9, inside_share=0,
        )  # fmt: skip
        return float(cooling.curve(constants, 800, end_c, plate, convection=False)[0][-1])

    return seconds


def _middle_of_sources(constants: Constants) -> float:
    line = buffers.spread(constants, "hausmannite-manganosite", 800)
    return float((line.low + line.high) / 2)


def _heating_record(pair: str) -> Callable[[Constants], float]:
    return lambda constants: float(
        phases.heating_record_c(constants, buffers.temperature_at_c(constants, pair, AIR))[0]
    )


def _pulled_at(start_c: float) -> Callable[[Constants], float]:
    return lambda constants: float(
        reoxidation.oxidised_share(constants, *cooling.curve(constants, start_c, 30), 1e-6)[-1]
    )


def _heated(share: float) -> Callable[[Constants], float]:
    return lambda constants: reoxidation.heating_temperature_c(constants, share, 5e-6, 10)


def _half_and_half(constants: Constants) -> float:
    return _found(crossing(lambda t: float(gas.boudouard_monoxide_share(constants, t)) - 0.5, 400, 1000))


CHECKS: dict[str, Callable[[Constants], float]] = {
    "T01": _line("hematite-magnetite", 800, "frost-1991"),
    "T02": _line("hematite-magnetite", 600, "frost-1991"),
    "T03": _line("hematite-magnetite", 700, "frost-1991"),
    "T04": _line("hematite-magnetite", 1000, "frost-1991"),
    "T05": _line("magnetite-wuestite", 800, "frost-1991"),
    "T06": _line("magnetite-wuestite", 600, "frost-1991"),
    "T07": _line("magnetite-iron", 500, "frost-1991"),
    "T08": buffers.eutectoid_c,
    "T09": _line("cuprite-copper", 800, "oneill-pownceby-1993"),
    "T10": _line("tenorite-cuprite", 800),
    "T11": _line("tenorite-cuprite", 1364 - 273.15),
    "T12": _line("litharge-lead", 800),
    "T13": _line("bixbyite-hausmannite", 800, "hahn-muan-1960"),
    "T14": _line("bixbyite-hausmannite", 900, "hahn-muan-1960"),
    "T15": _middle_of_sources,
    "T16": _turns("bixbyite-hausmannite", AIR, "hahn-muan-1960"),
    "T17": _turns("bixbyite-hausmannite", AIR_2500_M, "hahn-muan-1960"),
    "T18": _heating_record("bixbyite-hausmannite"),
    "T19": _turns("pyrolusite-bixbyite", AIR),
    "T20": _heating_record("pyrolusite-bixbyite"),
    "T21": _turns("tenorite-cuprite", AIR),
    # Frost's line ends at 1100 degC; LEPR's reaches the temperature the row asks for.
    "T22": _turns("hematite-magnetite", AIR, "lepr-2008"),
    "T23": lambda constants: float(gas.log10_k_carbon_monoxide(constants, 800)),
    "T24": lambda constants: float(gas.log10_k_steam(constants, 800)),
    "T25": lambda constants: _found(
        crossing(lambda t: float(gas.water_gas_shift_log10_k(constants, t)), 600, 1000)
    ),
    "T26": _co_co2_at("hematite-magnetite", 800),
    "T27": _co_co2_at("hematite-magnetite", 600),
    "T28": _co_co2_at("hematite-magnetite", 700),
    "T29": _co_co2_at("hematite-magnetite", 850),
    "T30": _co_co2_at("magnetite-wuestite", 800),
    "T31": lambda constants: float(
        gas.h2_h2o(constants, 800, buffers.log10_oxygen(constants, "hematite-magnetite", 800))
    ),
    "T32": _half_and_half,
    "T33": _carbon_meets("magnetite-wuestite", "frost-1991"),
    "T34": _carbon_meets("wuestite-iron", "oneill-pownceby-1993"),
    "T35": lambda constants: float(gas.log10_oxygen_of_pure_dioxide(constants, 800)),
    "T36": lambda constants: float(gas.log10_oxygen_over_carbon(constants, 800)),
    "H01": lambda constants: float(cooling.lumped_seconds(1, 25, 199, 200)),
    "H02": _radiation_only(500),
    "H03": _radiation_only(300),
    "H13": lambda constants: cooling.seconds_to(constants, 800, 500),
    "H14": lambda constants: cooling.seconds_to(constants, 800, 300),
    "H15": lambda constants: float(cover.oxygen_flux_mol_m2_s(constants, 0.1, 400 - 273.15, 0.45)),
    "H16": lambda constants: float(cover.lag_s(0.1, 1.188e-5)),
    "H17": lambda constants: float(cover.contraction_air_mol(constants, 0.05, 800, 100)),
    "K01": lambda constants: float(reoxidation.isothermal_seconds(constants, 300, 1e-6)),
    "K02": lambda constants: float(reoxidation.isothermal_seconds(constants, 800, 1e-6)),
    "K03a": _heated(0.05),
    "K03b": _heated(0.50),
    "K03c": _heated(0.95),
    "K04": lambda constants: float(reoxidation.isothermal_share(constants, 520, 12 * 3600, 10e-6)),
    "K05": _pulled_at(800),
    "K06": _pulled_at(250),
}


def test_every_row_is_checked_or_belongs_elsewhere() -> None:
    rows = _rows()
    assert len(rows) == 61
    assert set(CHECKS) | BELONGS_TO_FIRING_HEAT == set(rows)
    assert not set(CHECKS) & BELONGS_TO_FIRING_HEAT


@pytest.mark.parametrize(
    "row", [row for row in _rows().values() if row["id"] in CHECKS], ids=lambda row: row["id"]
)
def test_row_lies_within_its_range(constants: Constants, row: dict[str, str]) -> None:
    found = CHECKS[row["id"]](constants)
    where = f"{row['kind']} {row['id']} {row['quantity']}, {row['condition']} ({row['source']})"
    assert float(row["low"]) <= found <= float(row["high"]), f"{where}: got {found:g}, row {row['value']}"


def test_each_source_of_the_manganosite_line_lies_in_the_published_spread(constants: Constants) -> None:
    row = _rows()["T15"]
    for data_set in buffers.data_sets(constants, "hausmannite-manganosite"):
        found = buffers.log10_oxygen(constants, "hausmannite-manganosite", 800, data_set)
        assert float(row["low"]) <= found <= float(row["high"]), data_set


def test_radiation_only_agrees_with_the_closed_form(constants: Constants) -> None:
    """Second route: rho c L / (4 eps sigma T0^3) x [ln((T+T0)/(T-T0)) + 2 atan(T/T0)] between the ends."""
    sigma, ambient = constants.value("physical-constants", "sigma"), 293.15

    def part(temperature_c: float) -> float:
        t = temperature_c + 273.15
        return math.log((t + ambient) / (t - ambient)) + 2 * math.atan(t / ambient)

    scale = 1900 * 1000 * 0.005 / (4 * 0.9 * sigma * ambient**3)
    for end in (500.0, 300.0, 200.0):
        exact = scale * (part(end) - part(800))
        assert _radiation_only(end)(constants) == pytest.approx(exact, rel=1e-7)


# a trial calculation, so a range and not a validation: seconds from 800 degC
TRIAL_COOLING = {
    "base": (28, 52, 91, 155, 277, 578),
    "outside only loses": (42, 79, 136, 233, 416, 867),
    "both faces see the sky": (21, 39, 68, 116, 208, 433),
    "4 mm": (22, 42, 73, 124, 222, 462),
    "8 mm": (45, 84, 145, 248, 443, 925),
    "emissivity 0.8": (31, 58, 100, 170, 303, 625),
}


@pytest.mark.parametrize("case", TRIAL_COOLING)
def test_bowl_cools_as_in_the_trial_calculation(constants: Constants, case: str) -> None:
    vessel = cooling.bowl(constants)
    changed = {
        "outside only loses": replace(vessel, inside_share=0),
        "both faces see the sky": replace(vessel, inside_share=1),
        "4 mm": replace(vessel, wall_m=0.004),
        "8 mm": replace(vessel, wall_m=0.008),
        "emissivity 0.8": replace(vessel, emissivity=0.8),
    }.get(case, vessel)  # fmt: skip
    times, temperatures = cooling.curve(constants, 800, 90, changed)
    found = np.interp([-600, -500, -400, -300, -200, -100], -temperatures, times)
    assert found == pytest.approx(TRIAL_COOLING[case], rel=0.03)
