"""The interval of a share of pots that came out."""

from math import sqrt
from statistics import NormalDist

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import OutOfRange
from wareontology.replica.success_share import share


@given(st.integers(1, 500), st.data(), st.floats(0.5, 0.999))
def test_at_its_ends_the_normal_test_just_fails(fired: int, data: st.DataObject, confidence: float) -> None:
    came_out = data.draw(st.integers(0, fired))
    found = share(came_out, fired, confidence)
    assert 0 <= found.low <= found.value <= found.high <= 1
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    for end in (found.low, found.high):  # second route: the definition of the score interval
        if end not in (0, 1):
            assert abs(found.value - end) / sqrt(end * (1 - end) / fired) == pytest.approx(z, rel=1e-6)


def test_more_pots_narrow_it() -> None:
    few, many = share(4, 5, 0.95), share(400, 500, 0.95)
    assert many.high - many.low < few.high - few.low


@pytest.mark.parametrize(("came_out", "fired"), [(0, 0), (3, 2), (-1, 4)])
def test_counts_that_cannot_be_are_refused(came_out: int, fired: int) -> None:
    with pytest.raises(OutOfRange):
        share(came_out, fired, 0.95)
