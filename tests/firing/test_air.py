"""Oxygen under a cover: mass balance, second routes, directions, refusals."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology.errors import OutOfRange
from wareontology.firing import air
from wareontology.paths import data
from wareontology.redox import carbon, constants, cover
from wareontology.redox.arrays import Floats

CONSTANTS = constants.load(data("constants.csv"))
MOLAR = CONSTANTS.value("physical-constants", "M_carbon")
AIR = CONSTANTS.value("standard-atmosphere", "oxygen_share")
TIME = np.concatenate([[0.0], np.cumsum(np.full(200, 600.0))])
COOLING = (700 - 680 * (1 - np.exp(-TIME / 20000)))[np.newaxis, :, np.newaxis]


def under(
    depth_m: float = 0.1, charcoal_kg: float = 0.5, at_m: float = 0.005, area_m2: float = 0.5, **more: float
) -> air.Air:
    through = air.permeance_m_s(CONSTANTS, depth_m, 126.85)
    bed = air.Bed([charcoal_kg], [charcoal_kg / (50 * area_m2)], area_m2, more.get("per_oxygen", 1.0))
    return air.under_cover(CONSTANTS, TIME, COOLING, through, bed, [(0, at_m)])


def test_flux_is_that_of_the_cover_when_all_is_eaten() -> None:
    """Second route: redox.cover's flux, hot and with charcoal to spare."""
    through = air.permeance_m_s(CONSTANTS, 0.1, 126.85)
    bed = air.Bed([100], [4], 0.5)
    found = air.under_cover(CONSTANTS, [0, 100], np.full((1, 2, 1), 800.0), through, bed, [(0, 0.1)])
    flux = found.came_in_mol[0] / 100 / 0.5
    assert flux == pytest.approx(float(cover.oxygen_flux_mol_m2_s(CONSTANTS, 0.1, 126.85)), rel=0.02)


@settings(deadline=None, max_examples=25)
@given(st.floats(0.005, 0.4), st.floats(1.1, 4))
def test_flux_goes_as_one_over_depth(depth: float, more: float) -> None:
    thin, thick = (air.permeance_m_s(CONSTANTS, one, 126.85) for one in (depth, depth * more))
    assert thin / thick == pytest.approx(more, rel=1e-12)


@settings(deadline=None, max_examples=25)
@given(st.floats(0.01, 0.3), st.floats(0.01, 3), st.floats(1, 2))
def test_oxygen_that_came_in_is_carbon_that_burned(depth: float, charcoal: float, per_oxygen: float) -> None:
    found = under(depth, charcoal, per_oxygen=per_oxygen)
    burned = (charcoal - found.charcoal_left_kg[0, 0]) / MOLAR
    assert burned == pytest.approx(found.came_in_mol[0] * per_oxygen, rel=1e-6, abs=1e-9)
    assert 0 <= found.charcoal_left_kg[0, 0] <= charcoal


def profile(temperature_c: float, charcoal: list[float], thick: list[float]) -> tuple[air.Air, list[Floats]]:
    """Oxygen through every layer at one heat, and the depths it was watched at."""
    depths = [np.linspace(0, one, 401) for one in thick]
    watch = [(layer, depth) for layer, one in enumerate(depths) for depth in one]
    through = air.permeance_m_s(CONSTANTS, 0.1, 126.85)
    heat = np.full((len(thick), 2, 1), temperature_c)
    return air.under_cover(CONSTANTS, [0.0, 1.0], heat, through, air.Bed(charcoal, thick, 0.5), watch), depths


@pytest.mark.parametrize(
    ("charcoal", "thick"), [([0.5], [0.02]), ([0.2, 0.6, 0.1], [0.01, 0.1, 0.2]), ([0.0, 0.4], [0.05, 0.05])]
)
def test_what_comes_through_is_what_the_bed_eats(charcoal: list[float], thick: list[float]) -> None:
    """Second route: the appetite of every layer summed slice by slice over its own profile."""
    found, depths = profile(380.0, charcoal, thick)
    share = found.oxygen_share[:, 0, 0].reshape(len(thick), -1) / AIR
    rate = float(carbon.rate_per_s(CONSTANTS, 380.0))
    eaten = [
        float(np.trapezoid(one, depth)) * mass / depth[-1] / MOLAR * rate
        for one, depth, mass in zip(share, depths, charcoal, strict=True)
    ]
    assert found.came_in_mol[0] == pytest.approx(sum(eaten), rel=1e-3)
    assert np.all(np.diff(share.ravel()) <= 1e-12)


def test_one_layer_cut_in_two_is_the_same() -> None:
    whole, _ = profile(380.0, [0.5], [0.02])
    halves, _ = profile(380.0, [0.25, 0.25], [0.01, 0.01])
    assert halves.oxygen_share[400, 0] == pytest.approx(whole.oxygen_share[200, 0], rel=1e-9)
    assert halves.oxygen_share[-1, 0] == pytest.approx(whole.oxygen_share[-1, 0], rel=1e-9)
    assert halves.came_in_mol == pytest.approx(whole.came_in_mol, rel=1e-9)


def test_no_charcoal_leaves_the_air_that_is_above() -> None:
    assert under(charcoal_kg=0.0).oxygen_share == pytest.approx(AIR)


def test_once_the_charcoal_is_gone_the_air_is_there() -> None:
    found = under(depth_m=0.03, charcoal_kg=0.05)
    assert found.oxygen_share[0, 0, 0] < 1e-3
    assert found.charcoal_left_kg[0, 0] == pytest.approx(0, abs=1e-12)
    assert found.oxygen_share[0, -1, 0] == pytest.approx(AIR)


@settings(deadline=None, max_examples=20)
@given(st.floats(0.02, 0.2), st.floats(0.05, 1), st.floats(1.2, 3))
def test_more_cover_or_more_charcoal_never_lets_more_oxygen_to_the_pot(
    depth: float, charcoal: float, more: float
) -> None:
    base = under(depth, charcoal).oxygen_share
    assert np.all(under(depth * more, charcoal).oxygen_share <= base + 1e-9)
    # the pot lies beneath all of the charcoal, however much that is
    beneath = under(depth, charcoal, at_m=1.0).oxygen_share
    assert np.all(under(depth, charcoal * more, at_m=1.0).oxygen_share <= beneath + 1e-9)


# A trial calculation of another hand, so a range: oxygen at 5 cm in a deep bed passes 1 % at 312, 337, 364
# degC
@pytest.mark.parametrize(("activation", "at_c"), [(100.0, 312), (130.0, 337), (183.0, 364)])
def test_the_heat_at_which_charcoal_lets_oxygen_by(activation: float, at_c: float) -> None:
    falling = np.arange(700.0, 200.0, -1.0)[np.newaxis, :, np.newaxis]
    bed = air.Bed([9000], [360], 0.5, 1, activation)
    through = air.permeance_m_s(CONSTANTS, 0.1, 126.85)
    found = air.under_cover(CONSTANTS, np.arange(500) * 1e-6, falling, through, bed, [(0, 0.05)])
    assert falling[0, np.argmax(found.oxygen_share[0, :, 0] > 0.01), 0] == pytest.approx(at_c, abs=30)


def test_a_crack_lets_in_more_than_the_whole_cover() -> None:
    tight = air.permeance_m_s(CONSTANTS, 0.1, 126.85)
    cracked = air.permeance_m_s(CONSTANTS, 0.1, 126.85, open_share=1e-3, draught_m_s=1)
    assert cracked - tight == pytest.approx(1e-3)
    assert cracked > 5 * tight


def test_the_draught_is_that_of_a_chimney_without_losses() -> None:
    # second route: sqrt(2 x 9.80665 x 0.3 x 480 / 293.15) = 3.104
    assert air.stack_draught_m_s(CONSTANTS, 0.3, 500) == pytest.approx(3.104, abs=1e-3)
    assert air.stack_draught_m_s(CONSTANTS, 0.3, 10) == 0


@pytest.mark.parametrize(
    ("call", "named"),
    [
        (lambda: air.permeance_m_s(CONSTANTS, -0.1, 100), "cover_depth_m"),
        (lambda: air.permeance_m_s(CONSTANTS, 0.1, 100, open_share=2), "open_share"),
        (lambda: air.permeance_m_s(CONSTANTS, 0.1, 100, draught_m_s=-1), "draught_m_s"),
        (lambda: under(charcoal_kg=-1), "charcoal_kg"),
    ],
)  # fmt: skip
def test_what_lies_outside_is_refused(call: object, named: str) -> None:
    with pytest.raises(OutOfRange, match=named):
        call()  # type: ignore[operator]
