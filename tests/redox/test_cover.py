"""Oxygen through a cover: the trial's numbers, cantera's diffusivity, directions, and what is refused."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import OutOfRange
from wareontology.redox import cover
from wareontology.redox.constants import Constants

from .strategies import TABLE, altitudes_m, depths_m, porosities

Call = Callable[[Constants], object]


def test_free_diffusivity(constants: Constants) -> None:
    # cantera gri30, 1 atm, at 298, 1073, 1173 K: 0.2064, 1.833, 2.126 cm2/s (run apart)
    found = 1e4 * cover.free_diffusivity_m2_s(constants, [25, 800, 900])
    assert found == pytest.approx([0.2064, 1.833, 2.126], rel=0.01)


@pytest.mark.parametrize(
    ("depth_m", "flux", "grams"), [(0.05, 1.51e-3, 65), (0.1, 7.57e-4, 33), (0.2, 3.78e-4, 16)]
)
def test_flux_through_dry_earth(constants: Constants, depth_m: float, flux: float, grams: float) -> None:
    # trial calculation: porosity 0.45, 400 K; grams of carbon an hour and square metre, to carbon dioxide
    found = cover.oxygen_flux_mol_m2_s(constants, depth_m, 126.85)
    assert found == pytest.approx(flux, rel=0.02)
    assert found * 12.011 * 3600 == pytest.approx(grams, rel=0.03)


@pytest.mark.parametrize(("air_filled", "ratio"), [(0.30, 0.26), (0.20, 0.067)])
def test_damp_cover(constants: Constants, air_filled: float, ratio: float) -> None:
    # trial calculation
    dry, damp = (
        cover.effective_diffusivity_m2_s(constants, 126.85, 0.45, filled) for filled in (None, air_filled)
    )
    assert damp / dry == pytest.approx(ratio, rel=0.03)


def test_dry_limit_of_millington_and_quirk(constants: Constants) -> None:
    """Second route: in dry earth the form is the power 4/3 of porosity."""
    porosity = np.array([0.2, 0.3, 0.4, 0.5])
    ratio = cover.effective_diffusivity_m2_s(constants, 25, porosity) / cover.free_diffusivity_m2_s(
        constants, 25
    )
    assert ratio == pytest.approx(porosity ** (4 / 3))


def test_contraction_is_little_beside_diffusion(constants: Constants) -> None:
    # trial calculation: 1.07 mol air, 0.22 mol oxygen, 2.7 g carbon for 50 L from 800 to 100 degC
    drawn = cover.contraction_air_mol(constants, 0.05, 800, 100)
    assert drawn * 0.2095 * 12.011 == pytest.approx(2.7, abs=0.05)
    hour = cover.oxygen_flux_mol_m2_s(constants, 0.1, 126.85) * 0.5 * 3600
    assert drawn * 0.2095 < hour
    assert cover.contraction_air_mol(constants, 0.05, 100, 800) == 0


def test_charcoal_reserve(constants: Constants) -> None:
    # trial calculation: 0.5 m2 and 10 cm; 0.5 kg about 30 h, 50 g about 3 h; none is eaten at once
    flux = cover.oxygen_flux_mol_m2_s(constants, 0.1, 126.85)
    found = cover.charcoal_reserve_h(constants, [0, 0.05, 0.5], 0.5, flux)
    assert found == pytest.approx([0, 3, 31], rel=0.04)
    assert cover.charcoal_reserve_h(constants, 0.5, 0.5, flux, to_monoxide=True) == pytest.approx(
        found[2] / 2
    )


@given(depths_m, st.floats(1.01, 4), porosities, st.floats(20, 600), altitudes_m)
def test_flux_goes_with_one_over_depth(
    depth_m: float, times: float, porosity: float, temperature_c: float, altitude_m: float
) -> None:
    thin, thick = cover.oxygen_flux_mol_m2_s(
        TABLE, [depth_m, depth_m * times], temperature_c, porosity, altitude_m=altitude_m
    )
    assert thin / thick == pytest.approx(times)


@given(depths_m, st.floats(1.01, 4), porosities)
def test_lag_goes_with_the_square_of_depth(depth_m: float, times: float, porosity: float) -> None:
    diffusivity = cover.effective_diffusivity_m2_s(TABLE, 126.85, porosity)
    assert cover.lag_s(depth_m * times, diffusivity) / cover.lag_s(depth_m, diffusivity) == pytest.approx(
        times**2
    )


@given(depths_m, porosities, st.floats(0.1, 0.99), st.floats(20, 600))
def test_a_damper_cover_lets_in_less(
    depth_m: float, porosity: float, filled: float, temperature_c: float
) -> None:
    dry, damp = (
        cover.oxygen_flux_mol_m2_s(TABLE, depth_m, temperature_c, porosity, porosity * part)
        for part in (1, filled)
    )
    assert damp < dry


@given(st.floats(0, 5), st.floats(0.01, 5), st.floats(0.1, 3), depths_m)
def test_more_charcoal_and_a_deeper_cover_last_longer(
    charcoal_kg: float, more_kg: float, area_m2: float, depth_m: float
) -> None:
    thin, thick = cover.oxygen_flux_mol_m2_s(TABLE, [depth_m, 1.5 * depth_m], 126.85)
    less, more = cover.charcoal_reserve_h(TABLE, [charcoal_kg, charcoal_kg + more_kg], area_m2, thin)
    assert less < more
    assert cover.charcoal_reserve_h(TABLE, charcoal_kg + more_kg, area_m2, thick) > more


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda c: cover.oxygen_flux_mol_m2_s(c, 0, 100), "cover_depth_m: found 0"),
        (lambda c: cover.oxygen_flux_mol_m2_s(c, 0.1, -300), "temperature_c: found -300"),
        (lambda c: cover.effective_diffusivity_m2_s(c, 100, -0.2), "porosity: found -0.2"),
        (
            lambda c: cover.effective_diffusivity_m2_s(c, 100, 0.4, 0.5),
            "air_filled: found 0.5; would do: 0 to 0.4",
        ),
        (lambda c: cover.contraction_air_mol(c, -1, 800, 100), "void_m3: found -1"),
        (lambda c: cover.charcoal_reserve_h(c, -1, 1, 1e-3), "charcoal_kg: found -1"),
    ],
)
def test_what_cannot_be_is_refused(constants: Constants, call: Call, message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        call(constants)
