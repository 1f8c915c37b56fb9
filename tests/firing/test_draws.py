"""The stratified draws of what is not known."""

import numpy as np
import pytest

from wareontology.firing.draws import Draws, joined, triangular
from wareontology.paths import data
from wareontology.redox.constants import Constants, load

TABLES = joined([load(data(name)) for name in ("constants.csv", "fire_histories.csv")])
DRAWS = Draws(TABLES, 8, 32, 1)


def test_each_set_is_stratified() -> None:
    """By definition of a Latin hypercube: one draw in each thirty-second part, in every set."""
    parts = DRAWS.by_set((DRAWS.even("soak") * 32).astype(float)).astype(int)
    assert np.array_equal(np.sort(parts, axis=1), np.tile(np.arange(32), (8, 1)))


def test_a_law_is_one_number_a_set_and_the_sets_are_stratified() -> None:
    drawn = DRAWS.by_set(DRAWS.of_law("magnetite-reoxidation", "E"))
    assert np.all(drawn == drawn[:, :1])
    assert len(np.unique(drawn)) == 8


def test_a_quantity_hangs_on_its_own_name_and_the_seed() -> None:
    again, other = Draws(TABLES, 8, 32, 1), Draws(TABLES, 8, 32, 2)
    assert np.array_equal(again.even("wall"), DRAWS.even("wall"))
    assert not np.array_equal(other.even("wall"), DRAWS.even("wall"))
    assert not np.array_equal(DRAWS.even("soak"), DRAWS.even("wall"))


@pytest.mark.parametrize("row", load(data("fire_histories.csv")).rows, ids=lambda row: str(row.symbol))
def test_every_quantity_stays_in_its_range_and_says_what_it_rests_on(row: object) -> None:
    constant = TABLES.one(row.data_set, row.symbol)  # type: ignore[attr-defined]
    low, high = constant.span()
    drawn = triangular(np.linspace(0, 1, 101), constant)
    assert low - 1e-9 * abs(low) <= drawn.min()
    assert drawn.max() <= high + 1e-9 * abs(high)
    assert constant.source
    assert constant.provenance != "seen"  # none of it is a published number


def test_a_triangle_in_the_logarithm() -> None:
    """By hand: below its mode lies (mode - low) / (high - low) of a triangle, in the logarithm of a time."""
    soak = TABLES.one("fire-course", "soak")
    low, high = np.log(soak.span())
    share = float((triangular(np.linspace(0, 1, 100_001), soak) < soak.value).mean())
    assert share == pytest.approx((np.log(soak.value) - low) / (high - low), abs=1e-4)


def test_joined_tables_hold_the_rows_of_both() -> None:
    assert isinstance(TABLES, Constants)
    assert len(TABLES.rows) == sum(len(load(data(n)).rows) for n in ("constants.csv", "fire_histories.csv"))
