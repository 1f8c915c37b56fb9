"""Draws of the unknown: seeded, inside their ranges, likeliest at the table's value."""

import numpy as np

from wareontology.redox import ensemble
from wareontology.redox.constants import Constants


def test_the_same_seed_gives_the_same_draws(constants: Constants) -> None:
    one, again, other = (ensemble.draw(constants, 50, seed) for seed in (7, 7, 8))
    assert np.array_equal(one.grain_m, again.grain_m)
    assert not np.array_equal(one.grain_m, other.grain_m)


def test_draws_fill_their_ranges_and_no_more(constants: Constants) -> None:
    drawn = ensemble.draw(constants, 20000, 3)
    for values, symbol in (
        (drawn.reference_m2_s, "D_reference"), (drawn.activation_kj_mol, "E"), (drawn.grain_m, "R"),
    ):  # fmt: skip
        low, high = constants.one("magnetite-reoxidation", symbol).span()
        assert low <= values.min()
        assert values.max() <= high
        assert values.min() < low * 1.1
        assert values.max() > high / 1.1


def test_the_likeliest_draw_is_the_tables_value(constants: Constants) -> None:
    """Mean of a triangular draw is (low + likeliest + high) / 3, here of the logarithm."""
    drawn = ensemble.draw(constants, 200000, 5)
    row = constants.one("magnetite-reoxidation", "R")
    expected = np.mean(np.log([*row.span(), row.value]))
    assert abs(np.log(drawn.grain_m).mean() - expected) < 0.01


def test_a_sealed_paint_draws_its_sealing_length(constants: Constants) -> None:
    assert ensemble.draw(constants, 100, 1, sealed=True).grain_m.min() >= 2e-4
