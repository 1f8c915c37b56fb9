"""Directions of re-oxidation and re-reduction: the sign must be right over the whole ensemble."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from wareontology.redox import cooling, reduction, reoxidation

from .strategies import (
    BOWL,
    TABLE,
    activations_kj_mol,
    grains_m,
    hot_c,
    pit,
    reduction_activations,
    reduction_rates,
    references_m2_s,
    sealing_m,
)


@given(references_m2_s, activations_kj_mol, grains_m, st.floats(1.01, 5), st.floats(200, 900))
def test_coarser_grains_keep_more_black(
    reference: float, activation: float, grain: float, times_as_coarse: float, pulled_c: float
) -> None:
    start = int(np.searchsorted(-BOWL[1], -pulled_c))
    course = reoxidation.oxidised_share(
        TABLE, BOWL[0][start:], BOWL[1][start:], [grain, grain * times_as_coarse],
        reference_m2_s=[reference, reference], activation_kj_mol=[activation, activation],
    )  # fmt: skip
    fine, coarse = course[:, -1]
    assert coarse <= fine
    assert coarse < fine or fine == 1


@given(references_m2_s, activations_kj_mol, grains_m, hot_c, st.floats(1, 300))
def test_pulled_hotter_loses_more(
    reference: float, activation: float, grain: float, pulled_c: float, step: float
) -> None:
    opened = [int(np.searchsorted(-BOWL[1], -min(t, 999.0))) for t in (pulled_c, pulled_c + step)]
    cool, hot = (
        reoxidation.oxidised_share(
            TABLE,
            BOWL[0][start:],
            BOWL[1][start:],
            grain,
            reference_m2_s=reference,
            activation_kj_mol=activation,
        )[-1]
        for start in opened
    )
    assert cool <= hot + 1e-12


@given(references_m2_s, activations_kj_mol, grains_m, st.floats(250, 740))
def test_slow_cooling_with_a_leak_is_worse_than_quick_cooling_from_the_same_heat(
    reference: float, activation: float, grain: float, opened_c: float
) -> None:
    shares = []
    for times, temperatures in (BOWL, pit()):
        start = int(np.searchsorted(-temperatures, -opened_c))
        course = reoxidation.oxidised_share(
            TABLE,
            times[start:],
            temperatures[start:],
            grain,
            reference_m2_s=reference,
            activation_kj_mol=activation,
        )
        shares.append(course[-1])
    quick, slow = shares
    assert slow >= quick


@given(references_m2_s, activations_kj_mol, grains_m, st.floats(1, 60), st.floats(1, 100))
def test_longer_in_air_before_the_cover_oxidises_more(
    reference: float, activation: float, grain: float, delay_s: float, more_s: float
) -> None:
    times, temperatures = cooling.curve(TABLE, 800)
    course = reoxidation.oxidised_share(
        TABLE, times, temperatures, grain, reference_m2_s=reference, activation_kj_mol=activation
    )
    shorter, longer = np.interp([delay_s, delay_s + more_s], times, course)
    assert longer >= shorter


@given(
    references_m2_s, activations_kj_mol, grains_m, reduction_rates, reduction_activations, st.floats(1, 120),
    st.floats(1, 100),
)  # fmt: skip
def test_ten_minutes_under_cover_leave_more_red_the_longer_the_delay(
    reference: float,
    activation: float,
    grain: float,
    rate: float,
    energy: float,
    delay_s: float,
    more_s: float,
) -> None:
    """Delay oxidises more and leaves less heat to reduce it again."""
    times, temperatures = cooling.curve(TABLE, 800)
    course = reoxidation.oxidised_share(
        TABLE, times, temperatures, grain, reference_m2_s=reference, activation_kj_mol=activation
    )
    left = []
    for delay in (delay_s, delay_s + more_s):
        covered_c = float(cooling.after_delay_c(TABLE, 800, delay))
        under = reduction.reduce(
            TABLE, [0, 600], [covered_c, covered_c], start_share=np.interp(delay, times, course),
            rate_at_600_per_s=rate, activation_kj_mol=energy,
        )  # fmt: skip
        left.append(under.oxidised[-1])
    assert left[1] >= left[0]


@given(references_m2_s, activations_kj_mol, grains_m, sealing_m)
def test_a_sealed_paint_may_be_opened_hotter(
    reference: float, activation: float, grain: float, sealing: float
) -> None:
    open_c, sealed_c = reoxidation.safe_opening_c(
        TABLE, *BOWL, [grain, sealing], 0.1, [reference, reference], [activation, activation]
    )
    assert sealed_c > open_c


@given(references_m2_s, activations_kj_mol, grains_m, st.floats(0, 0.02), st.floats(0, 0.02))
def test_less_oxygen_never_oxidises_more(
    reference: float, activation: float, grain: float, one: float, other: float
) -> None:
    poor, rich = sorted((one, other))
    shares = [
        reoxidation.oxidised_share(
            TABLE, *BOWL, grain, reference_m2_s=reference, activation_kj_mol=activation, oxygen_share=oxygen
        )[-1]
        for oxygen in (poor, rich)
    ]
    assert shares[0] <= shares[1]
