"""pXRF: ratios of paint over ground, detection limits, and that a reading does not decide alone."""

import warnings
from collections.abc import Mapping

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.technique.helpers_sherds import chances, item, painted, row
from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case
from wareontology.technique.network import Slot

Floats = NDArray[np.float64]
LINE = "paint:line"
LEAK = 0.005
"""Least share of the likeliest material's chance that any material keeps (design; judgement)."""
MISSED = 0.03
"""Chance that the spot missed the paint: data/likelihoods.csv, `pxrf_missed` (design; judgement)."""


def likelihood(cells: Mapping[str, str]) -> Floats:
    """Likelihood of a reading for each state of the ground and each paint material."""
    one = item(painted(cells), LINE, "pXRF")
    assert one is not None
    return one.factors[Slot("link", LINE)][0, :, : len(h.PAINT)]


def reading(paint: str, ground: str = "100", element: str = "mn") -> dict[str, str]:
    return {f"pxrf_{element}": paint, f"pxrf_{element}_ground": ground}


def of(material: str, table: Floats) -> float:
    """The mean over the states of the ground."""
    return float(table[:, h.PAINT.index(material)].mean())


def test_only_the_ratio_counts() -> None:
    """Any one unit will do."""
    assert likelihood(reading("900", "100")) == pytest.approx(likelihood(reading("0.9", "0.1")))


def test_a_density_at_its_mean_by_hand() -> None:
    """Manganese: mean 0.95, spread 0.35 in log10; a spot that missed the paint: mean 0, spread 0.13."""
    at_mean = likelihood(reading(f"{10**0.95}", "1"))[0, h.PAINT.index("manganese")]
    normal = 1 / np.sqrt(2 * np.pi)
    missed = normal / 0.13 * np.exp(-0.5 * (0.95 / 0.13) ** 2)
    likeliest = (
        normal / 0.32
    )  # manganese with iron has the narrower spread, and more than its mean is as good
    hit = (1 - LEAK) * normal / 0.35 + LEAK * likeliest
    assert at_mean == pytest.approx((1 - MISSED) * hit + MISSED * missed)


def test_a_reading_below_detection_bounds_the_ratio_from_one_side() -> None:
    """By hand: the mass of the density on the side that is left; a bound that leaves all in says nothing."""
    at_most = likelihood(reading("<1000", "1"))
    at_least = likelihood(reading("1", "<1000"))
    assert at_most == pytest.approx(np.ones_like(at_most), abs=1e-6)
    assert at_least == pytest.approx(np.ones_like(at_least), abs=1e-6)
    half = likelihood(reading(f"<{10**0.95}", "1"))[0, h.PAINT.index("manganese")]
    assert half == pytest.approx((1 - MISSED) * ((1 - LEAK) * 0.5 + LEAK) + MISSED, abs=1e-6)


def test_the_tighter_the_bound_the_more_it_says() -> None:
    """Manganese against the rest, as the paint's detection limit comes down to the ground."""
    tables = [likelihood(reading(f"<{limit}")) for limit in (5000, 1000, 500, 200, 100)]
    share = [of("manganese", table) / of("organic", table) for table in tables]
    assert share == sorted(share, reverse=True)
    assert share[0] > 0.9
    assert share[-1] < 0.1


def test_the_ground_matters_for_iron() -> None:
    """Iron stands out less on a ground that is rich in it."""
    table = likelihood(reading("1500", "1000", "fe"))[:, h.PAINT.index("iron")]
    assert table.max() > 1.5 * table.min()


def test_a_reading_like_the_ground_does_not_decide_alone() -> None:
    """The spot may have missed: what is not found lowers a material's odds by no more than 1 / 0.03, whatever
    the material and the number of elements."""
    cells = reading("100")
    for element in ("fe", "cu", "pb"):
        cells |= reading("100", element=element)
        table = likelihood(cells)
        assert table.max() / table.min() <= 1 / MISSED + 1e-9


@pytest.mark.parametrize("paint", ["500", "900", "5000", "20", "<10"])
def test_a_reading_far_from_the_ground_does_not_decide_alone(paint: str) -> None:
    """No likelihood is zero: between any two materials a reading counts at most as 1 over the leak."""
    table = likelihood(reading(paint))
    assert table.max() / table.min() <= 1 / LEAK + 1e-9


def test_a_rich_glaze_read_in_two_zones_is_read_without_a_warning() -> None:
    """Lead 30 % and copper 5 % on a ground of 10 ppm each (made up)."""
    rich = reading("300000", "10", "pb") | reading("50000", "10", "cu")
    again = row("rim", "paint", "line", on="slip", **(rich | {"pxrf_pb": "290000"}))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert chances(painted(rich, again), "material paint:line")["lead-copper-glaze"] > 0.5


def test_draws_of_a_reading_are_finite() -> None:
    """The drawn spreads are narrower at times: the sum over materials stays above zero."""
    extreme = reading("500000", "1", "pb") | reading("500000", "1", "fe")
    assert (Case.of(painted(extreme), draws=50).marginals.evidence > 0).all()
