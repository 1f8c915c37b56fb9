"""Jander's law: the trial's own tables (model ranges), second routes, and what is refused."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import OutOfRange
from wareontology.redox import cooling, reoxidation
from wareontology.redox.constants import Constants

from .strategies import BOWL, pit

Call = Callable[[Constants], object]

GRAINS_M = np.array([0.5, 1, 2.5, 5]) * 1e-6


@pytest.mark.parametrize(
    ("pulled_c", "oxidised", "red"),
    [  # model: trial calculation (bowl of 5 mm in still air), R 0.5, 1, 2.5, 5 um
        (800, (1.00, 1.00, 0.75, 0.46), (1.00, 1.00, 0.71, 0.43)),
        (700, (1.00, 0.93, 0.55, 0.31), (0.98, 0.82, 0.45, 0.25)),
        (600, (0.96, 0.70, 0.35, 0.19), (0.28, 0.18, 0.08, 0.04)),
        (500, (0.69, 0.41, 0.18, 0.09), (0, 0, 0, 0)),
        (400, (0.33, 0.18, 0.07, 0.04), (0, 0, 0, 0)),
        (300, (0.10, 0.05, 0.02, 0.01), (0, 0, 0, 0)),
        (200, (0.02, 0.01, 0.00, 0.00), (0, 0, 0, 0)),
    ],
)
def test_bowl_pulled_into_air(
    constants: Constants, pulled_c: float, oxidised: tuple[float, ...], red: tuple[float, ...]
) -> None:
    times, temperatures = cooling.curve(constants, pulled_c, 30)
    share = reoxidation.oxidised_share(constants, times, temperatures, GRAINS_M)
    assert share[:, -1] == pytest.approx(oxidised, abs=0.015)
    assert reoxidation.red_share(constants, times, temperatures, share)[:, -1] == pytest.approx(red, abs=0.02)


@pytest.mark.parametrize(
    ("share", "quick", "slow"),
    [  # model: trial calculation, quick in air and slow in a pit that lets air in
        (0.1, (299, 349, 430, 507), (171, 201, 247, 288)),
        (0.3, (389, 457, 573, 691), (225, 262, 320, 375)),
    ],
)
def test_safe_opening(
    constants: Constants, share: float, quick: tuple[float, ...], slow: tuple[float, ...]
) -> None:
    assert reoxidation.safe_opening_c(constants, *BOWL, GRAINS_M, share) == pytest.approx(quick, abs=3)
    # The pit's course is drawn through five printed points only.
    assert reoxidation.safe_opening_c(constants, *pit(), GRAINS_M, share) == pytest.approx(slow, abs=6)


@pytest.mark.parametrize(("share", "low_c", "high_c"), [(0.1, 271, 400), (0.3, 351, 542)])
def test_safe_opening_with_one_unknown_at_its_limit(
    constants: Constants, share: float, low_c: float, high_c: float
) -> None:
    # model: trial calculation, R 1 um, diffusivity or energy alone at its limit (both at once: wider)
    rows = [constants.one("magnetite-reoxidation", name) for name in ("D_reference", "E")]
    references = [*rows[0].span(), rows[0].value, rows[0].value]
    energies = [rows[1].value, rows[1].value, *rows[1].span()]
    found = reoxidation.safe_opening_c(constants, *BOWL, 1e-6, share, references, energies)
    assert found.min() == pytest.approx(low_c, abs=3)
    assert found.max() == pytest.approx(high_c, abs=3)


@pytest.mark.parametrize(
    ("grain_um", "seconds"),
    [  # model: trial calculation, time to 90 % at 200, 250, 300, 350, 400, 500, 600, 800 degC
        (0.25, (9.0e4, 1.0e4, 1660, 364, 100, 12.5, 2.5, 0.25)),
        (1, (1.4e6, 1.6e5, 2.7e4, 5820, 1600, 200, 40, 4)),
        (5, (3.6e7, 4.0e6, 6.6e5, 1.5e5, 4.0e4, 5000, 1010, 100)),
    ],
)
def test_time_to_nine_tenths(constants: Constants, grain_um: float, seconds: tuple[float, ...]) -> None:
    temperature = [200, 250, 300, 350, 400, 500, 600, 800]
    found = reoxidation.isothermal_seconds(constants, temperature, grain_um * 1e-6)
    assert found == pytest.approx(seconds, rel=0.04)


@pytest.mark.parametrize(
    ("temperature_c", "days", "grain_m", "share", "tolerance"),
    [  # not fitted: trial calculation; a mixture after 350 degC (Hyperfine Interact. 148-149:153)
        (350, 0.5, 2e-6, 0.98, 0.01),
        (350, 0.5, 10e-6, 0.38, 0.01),
        (20, 30, 5e-9, 0.34, 0.02),
        (20, 240 * 365, 1e-6, 0.10, 0.01),
    ],
)
def test_held_at_one_temperature(
    constants: Constants, temperature_c: float, days: float, grain_m: float, share: float, tolerance: float
) -> None:
    found = reoxidation.isothermal_share(constants, temperature_c, days * 86400, grain_m)
    assert found == pytest.approx(share, abs=tolerance)


def test_a_sealed_gloss_outlasts_an_air_finish(constants: Constants) -> None:
    """Attic black: 0.1 um grains would go in a blink at 800 degC, sealed they keep nine tenths for 20 min."""
    assert reoxidation.isothermal_seconds(constants, 800, 1e-7) == pytest.approx(0.04, rel=0.05)
    sealed = constants.value("magnetite-reoxidation", "R_sealed")
    assert reoxidation.isothermal_share(constants, 800, 1200, sealed) < 0.101


def test_history_agrees_with_the_closed_form_when_the_heat_is_held(constants: Constants) -> None:
    """Second route: the integral over a history of one temperature is the isothermal law."""
    times = np.linspace(0, 3600, 7)
    course = reoxidation.oxidised_share(constants, times, np.full(7, 450.0), [1e-6, 3e-6])
    for grain, found in zip((1e-6, 3e-6), course, strict=True):
        assert found == pytest.approx(reoxidation.isothermal_share(constants, 450, times, grain), abs=1e-12)


def test_a_coarse_history_comes_near_a_fine_one(constants: Constants) -> None:
    """Second route for the integral: 3000 steps by the mean against 25 steps with the rate exponential in
    between."""
    fine_time, fine = pit()
    coarse = slice(0, None, 125)
    found = reoxidation.oxidised_share(constants, fine_time[coarse], fine[coarse], 5e-6)[-1]
    rate = 2 * reoxidation.diffusivity_m2_s(constants, fine) / 25e-12
    exact = reoxidation.share_of_term(np.trapezoid(rate[: 24 * 125 - 124], fine_time[: 24 * 125 - 124]))
    assert found == pytest.approx(exact, abs=0.005)


def test_a_tenth_of_the_oxygen_needed_takes_ten_times_as_long(constants: Constants) -> None:
    """Below 1 % the rate goes with supply (an assumption): 0.1 % for 1000 s is 1 % for 100 s."""
    poor = reoxidation.oxidised_share(constants, [0, 1000], [500, 500], 2e-6, oxygen_share=[0.001, 0.001])
    enough = reoxidation.oxidised_share(constants, [0, 100], [500, 500], 2e-6, oxygen_share=[0.01, 0.01])
    assert poor[-1] == pytest.approx(enough[-1])


def test_a_history_taken_in_two_parts_is_the_history(constants: Constants) -> None:
    times, temperatures = BOWL
    whole = reoxidation.oxidised_share(constants, times, temperatures, 3e-6)
    half = len(times) // 2
    second = reoxidation.oxidised_share(
        constants, times[half:], temperatures[half:], 3e-6, start_share=whole[half]
    )
    assert second[-1] == pytest.approx(whole[-1], abs=1e-12)


def test_many_histories_at_once(constants: Constants) -> None:
    times = np.linspace(0, 600, 50)
    temperatures = np.linspace([500, 600, 700], [300, 300, 300], 50).T
    together = reoxidation.oxidised_share(
        constants, times, temperatures, [1e-6, 2e-6, 3e-6], reference_m2_s=[1e-19, 2e-19, 3e-20],
        activation_kj_mol=[80, 90, 100],
    )  # fmt: skip
    assert together.shape == (3, 50)
    alone = reoxidation.oxidised_share(
        constants, times, temperatures[1], 2e-6, reference_m2_s=2e-19, activation_kj_mol=90
    )
    assert together[1] == pytest.approx(alone, abs=1e-12)


@given(st.floats(0, 1))
def test_term_and_share_are_inverse(share: float) -> None:
    assert reoxidation.share_of_term(reoxidation.term_of_share(share)) == pytest.approx(share, abs=1e-9)


def test_red_never_outruns_what_is_oxidised(constants: Constants) -> None:
    share = reoxidation.oxidised_share(constants, *BOWL, GRAINS_M)
    red = reoxidation.red_share(constants, *BOWL, share)
    assert np.all(red <= share + 1e-12)
    assert np.all(np.diff(red, axis=-1) >= -1e-12)


# What is refused


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda c: reoxidation.diffusivity_m2_s(c, -300),
            "temperature_c: found -300; would do: -40 to 1100 .*not a",
        ),
        (lambda c: reoxidation.diffusivity_m2_s(c, 1500), "temperature_c: found 1500"),
        (lambda c: reoxidation.oxygen_factor(c, -0.1), "oxygen_share: found -0.1"),
        (lambda c: reoxidation.term_of_share(1.2), "oxidised_share: found 1.2"),
        (lambda c: reoxidation.isothermal_share(c, 500, -1, 1e-6), "seconds: found -1"),
        (lambda c: reoxidation.oxidised_share(c, [0, 1], [500, 500], 0), "grain_m: found 0"),
        (lambda c: reoxidation.oxidised_share(c, [1, 0], [500, 500], 1e-6), "time_s: found -1"),
        (lambda c: reoxidation.safe_opening_c(c, [0, 1], [400, 500], 1e-6), "temperature_c: found 500"),
        (lambda c: reoxidation.heating_temperature_c(c, 0.9, 1e-2, 1e4), "oxidised_share: found 0.9"),
    ],
)
def test_what_the_law_does_not_cover_is_refused(constants: Constants, call: Call, message: str) -> None:
    with pytest.raises(OutOfRange, match=message):
        call(constants)


def test_a_course_that_ends_hot_is_refused_and_one_that_is_all_safe_says_so(constants: Constants) -> None:
    with pytest.raises(OutOfRange, match="end of the course, degC: found 700"):
        reoxidation.safe_opening_c(constants, *cooling.curve(constants, 900, 700), 1e-6)
    assert reoxidation.safe_opening_c(constants, *cooling.curve(constants, 900), 1e-2, 0.5) == 900
