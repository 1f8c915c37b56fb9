"""Reduction: a rate that says it is an assumption, or the flag that it was assumed complete."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import OutOfRange
from wareontology.redox import reduction
from wareontology.redox.constants import Constants

from .strategies import TABLE, reduction_activations, reduction_rates


def test_each_answer_carries_its_basis(constants: Constants) -> None:
    followed = reduction.reduce(constants, [0, 60], [700, 700])
    assert "no source" in followed.basis
    complete = reduction.assume_complete([0, 60])
    assert complete.basis == "assumed complete"
    assert not complete.oxidised.any()


def test_nothing_is_reduced_while_the_gas_is_not_reducing(constants: Constants) -> None:
    found = reduction.reduce(constants, [0, 60, 120], [700, 700, 700], reducing=[0, 0, 0], start_share=0.4)
    assert found.oxidised == pytest.approx(0.4)


def test_held_heat_is_a_plain_exponential(constants: Constants) -> None:
    """Second route: exp(-k t) with k at 600 degC straight from the table's row."""
    found = reduction.reduce(constants, [0, 50], [600, 600], rate_at_600_per_s=[0.01, 0.1])
    assert found.oxidised[:, -1] == pytest.approx(np.exp([-0.5, -5]))


@given(reduction_rates, reduction_activations, st.floats(300, 900), st.floats(1, 100), st.floats(1, 600))
def test_hotter_or_longer_leaves_less(
    rate: float, energy: float, temperature_c: float, hotter: float, seconds: float
) -> None:
    def left(time: float, held_c: float) -> float:
        found = reduction.reduce(
            TABLE, [0, time], [held_c, held_c], rate_at_600_per_s=rate, activation_kj_mol=energy
        )
        return float(found.oxidised[-1])

    base = left(seconds, temperature_c)
    assert left(seconds, temperature_c + hotter) <= base
    assert left(2 * seconds, temperature_c) <= base


def test_impossible_shares_and_temperatures_are_refused(constants: Constants) -> None:
    with pytest.raises(OutOfRange, match=r"oxidised_share: found -0.1"):
        reduction.reduce(constants, [0, 1], [600, 600], start_share=-0.1)
    with pytest.raises(OutOfRange, match=r"temperature_c: found -400.*assumption of ours with no source"):
        reduction.rate_per_s(constants, -400)
