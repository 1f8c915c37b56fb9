"""The gas of a fire: a switch between air and fuel, named in one way only, and the same with cantera or
without."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import BreaksShape, OutOfRange, Unreadable
from wareontology.paths import data
from wareontology.redox import buffers, fire_gas, gas
from wareontology.redox.constants import Constants
from wareontology.redox.fire_gas import GasTable

from .strategies import TABLE

GAS = fire_gas.load(data("gas.csv"))


@pytest.mark.parametrize(
    ("fuel_air", "expected"),
    # trial calculation (cantera GRI-3.0, wood, 800 degC)
    [(0.95, -2.0), (1.0, -6.7), (1.02, -15.2), (1.5, -18.0)],
)
def test_wood_and_air_switch(
    constants: Constants, gas_table: GasTable, fuel_air: float, expected: float
) -> None:
    found = fire_gas.state(constants, gas_table, 800, fuel_air=fuel_air)
    assert found.log10_oxygen_bar == pytest.approx(expected, abs=0.06)


@pytest.mark.parametrize(("fuel_air", "monoxide"), [(1.02, 0.004), (1.5, 0.09)])
def test_carbon_monoxide_beside_it(gas_table: GasTable, fuel_air: float, monoxide: float) -> None:
    # trial calculation: 0.4 % and 9 %: already deadly, safety text must say so
    found = gas_table.look_up("carbon_monoxide", "wood", fuel_air, 800, 1.01325)
    assert found == pytest.approx(monoxide, rel=0.05)


def test_the_line_of_iron_lies_in_the_gap(constants: Constants, gas_table: GasTable) -> None:
    line = buffers.log10_oxygen(constants, "hematite-magnetite", 800)
    lean, rich = (
        fire_gas.state(constants, gas_table, 800, fuel_air=ratio).log10_oxygen_bar for ratio in (0.999, 1.001)
    )
    assert rich < line - 2
    assert line + 5 < lean


def test_charcoal_in_plenty_reaches_carbon_and_no_further(constants: Constants, gas_table: GasTable) -> None:
    """Second route: carbon and its gases at the pressure of the two in air-blown charcoal, about 0.35 bar."""
    found = fire_gas.state(constants, gas_table, [700, 750, 800], fuel_air=2.5, fuel="charcoal")
    expected = gas.log10_oxygen_over_carbon(constants, [700, 750, 800], 0.35)
    assert found.log10_oxygen_bar == pytest.approx(expected, abs=0.12)


def test_on_the_switch_the_spread_is_the_switch(constants: Constants, gas_table: GasTable) -> None:
    found = fire_gas.state(constants, gas_table, 800, fuel_air=1.0)
    assert found.high - found.low > 8
    assert any("stands on the switch" in note for note in found.notes)
    beside = fire_gas.state(constants, gas_table, 800, fuel_air=1.1)
    assert beside.high - beside.low < 0.4


def test_below_600_the_gas_says_no_verdict_hangs_on_it(constants: Constants, gas_table: GasTable) -> None:
    assert any("no verdict" in note for note in fire_gas.state(constants, gas_table, 550, co_co2=1).notes)
    assert not fire_gas.state(constants, gas_table, 700, co_co2=1).notes
    assert not fire_gas.state(constants, gas_table, 550, oxygen=0.2).notes  # free oxygen needs no equilibrium


@given(
    st.sampled_from(GAS.fuels),
    st.floats(500, 1200),
    st.floats(0.51, 1.0),
    st.floats(0.3, 3),
    st.floats(0.3, 3),
)
def test_more_fuel_never_means_more_oxygen(
    fuel: str, temperature_c: float, pressure_bar: float, one: float, other: float
) -> None:
    lean, rich = sorted((one, other))
    oxygen = GAS.look_up("log10_oxygen_bar", fuel, [lean, rich], temperature_c, pressure_bar)
    assert oxygen[1] <= oxygen[0] + 0.01  # the table has three decimals, and solid carbon holds oxygen level


@given(st.floats(0, 4000), st.floats(0.4, 0.95))
def test_height_takes_oxygen_from_a_lean_fire_as_from_the_air(altitude_m: float, fuel_air: float) -> None:
    high, sea = (
        fire_gas.state(TABLE, GAS, 800, fuel_air=fuel_air, altitude_m=height).log10_oxygen_bar
        for height in (altitude_m, 0.0)
    )
    expected = np.log10(gas.air_pressure_bar(TABLE, altitude_m) / gas.air_pressure_bar(TABLE, 0))
    assert high - sea == pytest.approx(expected, abs=0.01)


def test_a_gas_is_named_once(constants: Constants, gas_table: GasTable) -> None:
    with pytest.raises(BreaksShape, match="found 'co_co2 and oxygen'; would do: one of co_co2"):
        fire_gas.state(constants, gas_table, 800, co_co2=1e-4, oxygen=0.1)
    with pytest.raises(BreaksShape, match="found 'no gas named'"):
        fire_gas.state(constants, gas_table, 800)


@pytest.mark.parametrize(
    ("given_gas", "temperature_c", "message"),
    [
        ({"oxygen": -0.1}, 800, "oxygen: found -0.1; would do: 1e-06 to 1"),
        ({"co_co2": -1e-4}, 800, "co_co2: found -0.0001; would do: 1e-09 to 1e"),
        ({"fuel_air": -1}, 800, "fuel_air: found -1; would do: 0.3 to 3 .*cantera"),
        ({"fuel_air": 1.5}, -280, "temperature_c: found -280; would do: 500 to 1200 .*cantera"),
        ({"co_co2": 1e-4}, -280, "temperature_c: found -280"),
        ({"oxygen": 0.2, "altitude_m": 9000}, 800, "altitude_m: found 9000"),
    ],
)
def test_what_no_source_covers_is_refused(  # type: ignore[no-untyped-def]
    constants: Constants, gas_table: GasTable, given_gas, temperature_c: float, message: str
) -> None:
    with pytest.raises(OutOfRange, match=message):
        fire_gas.state(constants, gas_table, temperature_c, **given_gas)


def test_free_oxygen_at_an_impossible_temperature_is_refused_too(
    constants: Constants, gas_table: GasTable
) -> None:
    with pytest.raises(OutOfRange, match="temperature_c: found -300"):
        fire_gas.state(constants, gas_table, -300, oxygen=0.2)


def test_an_unknown_fuel_is_named(constants: Constants, gas_table: GasTable) -> None:
    with pytest.raises(BreaksShape, match="'peat'; would do: wood or charcoal"):
        fire_gas.state(constants, gas_table, 800, fuel_air=1, fuel="peat")


def test_a_table_with_a_hole_is_unreadable() -> None:
    head = ",".join(fire_gas.COLUMNS)
    rows = [f"wood,{p},{t},{r},-1,0,0" for p in (0.5, 1) for t in (500, 600) for r in (0.5, 2)]
    with pytest.raises(Unreadable, match="7 rows where a full grid has 8"):
        fire_gas.read([head, *rows[:-1]])
    with pytest.raises(Unreadable, match="columns found"):
        fire_gas.read(["fuel,ratio", "wood,1"])
