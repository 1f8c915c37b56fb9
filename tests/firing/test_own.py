"""Own numbers: triangles that give back what they were fitted to, files there and back, what is refused."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.firing.test_learn import of_the_demo
from wareontology.errors import BreaksShape, Unreadable
from wareontology.firing import own
from wareontology.firing.draws import triangular
from wareontology.firing.fitted import fitted
from wareontology.firing.plan import example
from wareontology.firing.simulate import simulate
from wareontology.redox.constants import Constant


def constant(low: float, value: float, high: float, unit: str) -> Constant:
    return Constant("x", "x", value, low, high, unit, None, None, "x", "invented", "judgement")


@settings(deadline=None, max_examples=30)
@given(st.floats(0.02, 0.98), st.sampled_from(["1", "m"]))
def test_even_weights_give_the_old_triangle_back(mode: float, unit: str) -> None:
    was = constant(1.0, 1 + 9 * mode, 10.0, unit)
    drawn = triangular((np.arange(2000) + 0.5) / 2000, was)
    low, likeliest, high = fitted(drawn, np.full(2000, 1 / 2000), was)
    # second route: quantiles of the fitted triangle against those it was fitted to
    again = triangular(np.array([0.05, 0.5, 0.95]), constant(low, likeliest, high, unit))
    assert again == pytest.approx(np.quantile(drawn, [0.05, 0.5, 0.95]), rel=0.02)


def test_a_fit_never_leaves_the_old_range() -> None:
    was = constant(1.0, 2.0, 10.0, "1")
    drawn = triangular((np.arange(500) + 0.5) / 500, was)
    for end in (slice(0, 20), slice(480, 500)):
        weights = np.zeros(500)
        weights[end] = 1 / 20
        low, likeliest, high = fitted(drawn, weights, was)
        assert 1.0 <= low <= likeliest <= high <= 10.0


def test_what_was_learned_is_written_read_and_changes_the_next_simulation() -> None:
    text = own.to_toml(of_the_demo())
    mine = own.from_text(text)
    plan = example("covered-pit")
    ranges = mine.of_plan(plan)
    assert "grain_m" in ranges
    before, after = (simulate(plan, 400, 7, own=one) for one in (None, ranges))
    assert after.chance()[0] > before.chance()[0]  # the invented firing came out black
    assert np.median(after.drawn["grain_m"]) > np.median(before.drawn["grain_m"])


def test_a_range_of_another_paint_or_cover_is_left_aside() -> None:
    mine = own.from_text(own.to_toml(of_the_demo()))
    other = mine.of_plan(example("pull-and-cover"))
    assert "spread_k" not in other  # of the covered pit
    assert "grain_m" in other  # a law of the paint


def test_own_numbers_without_of_hold_for_any_plan() -> None:
    mine = own.from_text("[cover_gaps]\nlow = 1e-5\nlikeliest = 1e-4\nhigh = 1e-3\n")
    assert mine.of_plan(example("covered-pit")) == {"cover_gaps": (1e-5, 1e-4, 1e-3)}
    assert mine.of_plan(example("open-fire")) == {}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[grain]\nlow = 1\nlikeliest = 2\nhigh = 3\n", "grain_m"),
        ("[grain_m]\nlow = 3\nlikeliest = 2\nhigh = 1\n", "rising"),
        ("[grain_m]\nlow = 1\nhigh = 2\n", "as numbers"),
        ('[grain_m]\nlow = "1"\nlikeliest = 2\nhigh = 3\n', "as numbers"),
        ("grain_m = 3\n", "as numbers"),
        ("[grain_m]\nlow = nan\nlikeliest = 2\nhigh = 3\n", "rising"),
        ("[grain_m]\nlow = 1\nlikeliest = 2\nhigh = 3\nmode = 4\n", "as numbers"),
    ],
)
def test_what_is_no_range_is_refused(text: str, said: str) -> None:
    with pytest.raises(BreaksShape, match=said):
        own.from_text(text)


def test_what_is_no_toml_is_refused() -> None:
    with pytest.raises(Unreadable, match="would do"):
        own.from_text("grain_m: 3")
