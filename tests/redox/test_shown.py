"""What the redox physics must show, each as one test."""

import numpy as np

from wareontology.paths import data
from wareontology.redox import colours, cooling, fire_gas, gas, phases, reoxidation
from wareontology.redox.constants import Constants
from wareontology.redox.fire_gas import GasTable


def test_800_degrees_and_a_trace_of_monoxide(constants: Constants, gas_table: GasTable) -> None:
    """Magnetite; the green manganosite line named; copper metal."""
    found = fire_gas.state(constants, gas_table, 800, co_co2=1e-4)
    fields = {
        element: phases.field(constants, element, 800, found.log10_oxygen_bar, found.low, found.high)
        for element in phases.ELEMENTS
    }
    assert fields["iron"].name() == "magnetite"
    assert bool(fields["iron"].certain)
    assert fields["copper"].name() == "copper"
    manganese = fields["manganese"]
    assert {manganese.name(), *manganese.neighbours()} == {"hausmannite", "manganosite"}
    assert not manganese.certain
    said = " ".join(phases.notes(constants, manganese, 800))
    assert "hausmannite-manganosite" in said
    assert "Manganosite is green" in said


def test_open_air_at_900_browns_pure_manganese_and_says_so(constants: Constants) -> None:
    found = phases.field(constants, "manganese", 900, gas.log10_oxygen_of_air(constants))
    assert found.name() == "hausmannite"
    words = colours.load(data("phase_colours.csv"))["hausmannite", "opaque"]
    assert words[0].word == "brown"
    assert "Pure manganese browns here." in " ".join(phases.notes(constants, found, 900))


def test_a_bowl_pulled_at_800_is_red_and_at_250_black(constants: Constants) -> None:
    shares = {
        pulled: reoxidation.oxidised_share(constants, *cooling.curve(constants, pulled, 30), 1e-6)[-1]
        for pulled in (800, 250)
    }
    assert shares[800] > 0.9
    assert shares[250] < 0.1


def test_slow_cooling_under_a_leaky_cover_is_worse_than_quick_cooling(constants: Constants) -> None:
    hours = np.linspace(0, 8, 500)
    slow_c = 390 - (390 - 220) * hours / 8  # trial calculation: 390 to 220 degC under a leaky cover
    slow = reoxidation.oxidised_share(constants, hours * 3600, slow_c, 1e-6)[-1]
    quick = reoxidation.oxidised_share(constants, *cooling.curve(constants, 390, 30), 1e-6)[-1]
    assert slow > constants.value("oxidised-colour", "red_above")
    assert quick < constants.value("oxidised-colour", "black_below")


def test_a_refired_chip_of_iron_black_turns_red_at_800_in_half_an_hour(constants: Constants) -> None:
    coarsest = constants.one("magnetite-reoxidation", "R").span()[1]
    assert reoxidation.isothermal_share(constants, 800, 1800, coarsest) > 0.99
