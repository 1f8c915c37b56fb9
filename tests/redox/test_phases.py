"""Which oxide, how surely, and what must be said of it."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import BreaksShape, OutOfRange
from wareontology.redox import gas, phases
from wareontology.redox.constants import Constants

from .strategies import TABLE


@pytest.mark.parametrize(
    ("log10_oxygen", "expected"),
    [  # trial calculation: 800 degC, pure oxides (iron, manganese, copper, lead)
        (-0.7, ("hematite", "bixbyite", "tenorite", "litharge")),  # air
        (-1.5, ("hematite", "hausmannite", "tenorite", "litharge")),  # 3 % oxygen
        (-3.0, ("hematite", "hausmannite", "cuprite", "litharge")),  # 0.1 % oxygen
        (-6.3, ("hematite", "hausmannite", "cuprite", "litharge")),  # pure carbon dioxide or steam
        (-10.4, ("magnetite", "manganosite", "copper", "litharge")),  # CO/CO2 1e-4, on the manganosite line
        (-12.4, ("magnetite", "manganosite", "copper", "lead")),  # CO/CO2 1e-3
        (-17.4, ("magnetite", "manganosite", "copper", "lead")),  # CO/CO2 0.3
        (-18.4, ("wuestite", "manganosite", "copper", "lead")),  # CO/CO2 1
        (-19.5, ("iron", "manganosite", "copper", "lead")),  # sealed with charcoal
    ],
)
def test_outcome_at_800(constants: Constants, log10_oxygen: float, expected: tuple[str, ...]) -> None:
    found = tuple(phases.field(constants, element, 800, log10_oxygen).name() for element in phases.ELEMENTS)
    assert found == expected


@pytest.mark.parametrize(
    ("temperature_c", "share"), [(700, 0.005), (750, 0.015), (800, 0.044), (850, 0.115), (883, 0.209)]
)
def test_oxygen_that_keeps_manganese_black(constants: Constants, temperature_c: float, share: float) -> None:
    # trial calculation: share needed to stay bixbyite (Hahn and Muan 1960; extrapolated below 845)
    more, less = (gas.log10_oxygen_of_share(share * factor, 1.0) for factor in (1.1, 0.9))
    assert phases.field(constants, "manganese", temperature_c, more).name() == "bixbyite"
    assert phases.field(constants, "manganese", temperature_c, less).name() == "hausmannite"


def test_there_is_no_wuestite_below_its_eutectoid(constants: Constants) -> None:
    oxygen = np.linspace(-45, -10, 3000)
    for temperature_c in (400, 560, 566, 569):
        found = phases.field(constants, "iron", temperature_c, oxygen)
        assert "wuestite" not in {found.names[index] for index in np.unique(found.phase)}, temperature_c
        assert "iron" in {found.names[index] for index in np.unique(found.phase)}
    warm = phases.field(constants, "iron", 600, oxygen)
    assert "wuestite" in {warm.names[index] for index in np.unique(warm.phase)}


def test_pyrolusite_is_never_the_phase_of_a_fired_paint(constants: Constants) -> None:
    # trial calculation: not above 420 to 440 degC in air
    temperature = np.arange(450.0, 1100, 50)
    air = np.full(temperature.shape, np.log10(0.209))
    assert not np.any(phases.field(constants, "manganese", temperature, air).phase == 0)
    cool = phases.field(constants, "manganese", 350, np.log10(0.209))
    assert cool.name() == "pyrolusite"
    assert any("not proof of a cool fire" in note for note in phases.notes(constants, cool, 350))


def test_a_phase_far_from_any_line_is_certain_and_one_near_it_is_not(constants: Constants) -> None:
    middle = phases.field(constants, "iron", 800, -13)
    assert bool(middle.certain)
    assert middle.neighbours() == ()
    near = phases.field(constants, "iron", 800, -9.5)
    assert not near.certain
    assert near.neighbours() == ("hematite",)


def test_a_wide_gas_makes_a_phase_uncertain(constants: Constants) -> None:
    found = phases.field(constants, "iron", 800, -13, low=-14, high=-4)
    assert not found.certain
    assert found.neighbours() == ("hematite",)


def test_nothing_is_certain_below_600(constants: Constants) -> None:
    found = phases.field(constants, "iron", [599, 600], [-20, -20])
    assert found.certain.tolist() == [False, True]
    one = phases.field(constants, "iron", 550, -20)
    assert any("no verdict" in note for note in phases.notes(constants, one, 550))


def test_glaze_metals_are_said_to_contradict_the_trade(constants: Constants) -> None:
    # trial calculation: copper goes to metal before iron blackens, lead within a decade after
    for element in ("copper", "lead"):
        said = phases.notes(constants, phases.field(constants, element, 800, -13), 800)
        assert any("common practice, not thermodynamics" in note for note in said)


@given(st.sampled_from(phases.ELEMENTS), st.floats(300, 1080), st.floats(-40, 0), st.floats(0, 10))
def test_less_oxygen_never_oxidises(element: str, temperature_c: float, oxygen: float, step: float) -> None:
    found = phases.field(TABLE, element, temperature_c, [oxygen, oxygen - step])
    assert found.phase[0] <= found.phase[1]
    assert np.all(found.most_oxidised <= found.phase)
    assert np.all(found.phase <= found.most_reduced)


@given(
    st.sampled_from(phases.ELEMENTS),
    st.floats(300, 1080),
    st.floats(-40, 0),
    st.floats(0, 3),
    st.floats(0, 3),
)
def test_a_wider_gas_leaves_no_fewer_phases_open(
    element: str, temperature_c: float, oxygen: float, below: float, above: float
) -> None:
    sharp = phases.field(TABLE, element, temperature_c, oxygen)
    wide = phases.field(TABLE, element, temperature_c, oxygen, low=oxygen - below, high=oxygen + above)
    assert set(sharp.neighbours()) <= set(wide.neighbours())


def test_what_no_source_covers_is_refused(constants: Constants) -> None:
    with pytest.raises(OutOfRange, match=r"temperature_c: found -300; would do: 300 to 1100 .*Frost"):
        phases.field(constants, "iron", -300, -10)
    with pytest.raises(
        OutOfRange, match=r"temperature_c: found 1090; would do: 300 to 1080 .cuprite-copper: O.Neill"
    ):
        phases.field(constants, "copper", 1090, -10)
    with pytest.raises(BreaksShape, match="'tin'; would do: iron or manganese or copper or lead"):
        phases.field(constants, "tin", 800, -10)
