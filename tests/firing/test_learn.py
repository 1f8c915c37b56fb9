"""Learning: weights that sum to 1, what says nothing changes nothing, order does not matter, the truth is
found again, and what cannot be explained is refused."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology.errors import BreaksShape
from wareontology.firing import evidence, log_read, outcome_read
from wareontology.firing.learn import Fired, Learned, effective, learn, weigh
from wareontology.firing.outcome_read import Seen
from wareontology.firing.plan import example
from wareontology.firing.simulate import Simulation, simulate
from wareontology.paths import data

PLACES, ZONES, COLOURS = ("top", "mid", "bottom"), ("outside", "inside"), ("black", "brown", "red")
SEEN = st.builds(
    Seen,
    st.sampled_from(PLACES), st.sampled_from(ZONES), st.integers(1, 9), st.sampled_from(("", *COLOURS)),
    st.sampled_from((None, True, False)), st.sampled_from((None, True, False)), st.just(""), st.just(""),
)  # fmt: skip


@cache
def ran(members: int = 400, name: str = "covered-pit") -> Simulation:
    return simulate(example(name), members, 11)


@cache
def of_the_demo() -> Learned:
    log = log_read.read(data("demo", "firing_log.csv")).log
    return learn([Fired(ran(4000), outcome_read.read(data("demo", "outcome.csv")), log)])


def weights_of(seen: list[Seen]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    fits = sum((piece.log_likelihood for piece in evidence.pieces(ran(), seen)), np.zeros(ran().members))
    (found,) = weigh([fits], ran().sets)
    return found


# ---- weights ----


@given(st.lists(st.floats(-700, 0), min_size=40, max_size=40))
def test_weights_sum_to_one(logs: list[float]) -> None:
    (found,) = weigh([np.array(logs)], 4)
    assert found.sum() == pytest.approx(1.0, abs=1e-12)
    assert found.min() >= 0
    assert 1 - 1e-9 <= effective(found) <= 40 + 1e-9


@given(st.lists(st.floats(-40, 0), min_size=12, max_size=12))
def test_for_one_firing_they_are_the_plain_importance_weights(logs: list[float]) -> None:
    # second route: likelihood over the sum of likelihoods, member by member
    likely = [np.exp(one) for one in logs]
    plain = [one / sum(likely) for one in likely]
    assert weigh([np.array(logs)], 3)[0] == pytest.approx(plain, rel=1e-9)


@given(
    st.lists(st.floats(-20, 0), min_size=6, max_size=6), st.lists(st.floats(-20, 0), min_size=6, max_size=6)
)
def test_two_firings_share_their_laws_and_not_their_luck(one: list[float], other: list[float]) -> None:
    # second route: sum over every pair of fires of the same set, 2 sets of 3 fires
    pairs = {
        (law, a, b): np.exp(one[3 * law + a] + other[3 * law + b])
        for law in range(2) for a in range(3) for b in range(3)
    }  # fmt: skip
    total = sum(pairs.values())
    first, second = weigh([np.array(one), np.array(other)], 2)
    for law in range(2):
        for fire in range(3):
            mine = sum(value for (at, a, _), value in pairs.items() if (at, a) == (law, fire)) / total
            theirs = sum(value for (at, _, b), value in pairs.items() if (at, b) == (law, fire)) / total
            assert first[3 * law + fire] == pytest.approx(mine, rel=1e-9)
            assert second[3 * law + fire] == pytest.approx(theirs, rel=1e-9)


# ---- evidence ----


@settings(deadline=None, max_examples=25)
@given(st.lists(SEEN, min_size=1, max_size=6), st.randoms(use_true_random=False))
def test_the_order_of_evidence_does_not_matter(seen: list[Seen], random: object) -> None:
    shuffled = list(seen)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    assert np.array_equal(weights_of(seen), weights_of(shuffled))


@settings(deadline=None, max_examples=25)
@given(st.lists(SEEN, min_size=1, max_size=6))
def test_no_piece_is_better_than_its_best(seen: list[Seen]) -> None:
    for piece in evidence.pieces(ran(), seen):
        assert piece.log_likelihood.max() <= piece.best + 1e-12


def test_evidence_that_fits_everything_changes_nothing() -> None:
    same = replace(ran(), course=replace(ran().course, peak_c=np.full_like(ran().course.peak_c, 900.0)))
    found = learn([Fired(same, outcome_read.from_text("place,zone,soft\ntop,,no\nmid,,no\n"))])
    assert found.refused == ""
    assert found.after[0].weights == pytest.approx(np.full(400, 1 / 400), rel=1e-12)
    assert all(one.shift < 1e-9 and one.own is None for one in found.moved)
    assert found.after[0].chance() == pytest.approx(same.chance(), abs=1e-12)


def test_many_tiles_of_one_place_are_not_many_witnesses() -> None:
    few, many = (
        outcome_read.from_text(f"place,zone,tiles,colour\nmid,inside,{tiles},black\n") for tiles in (3, 300)
    )
    (one,), (other,) = evidence.pieces(ran(), few), evidence.pieces(ran(), many)
    assert one.log_likelihood == pytest.approx(other.log_likelihood)


def test_a_colour_moves_the_chance_its_way() -> None:
    before = ran(2000).chance()[0]
    black, red = (
        learn([Fired(ran(2000), outcome_read.from_text(f"place,zone,colour\nmid,outside,{colour}\n"))])
        for colour in ("black", "brown")
    )
    assert red.after[0].chance()[0] < before < black.after[0].chance()[0]
    sealing = {one.name: one for one in black.moved}["sealing_length_m"]
    assert sealing.after["value"] > sealing.before["value"]  # what stays black is the better sealed


# ---- the truth is found again ----


@pytest.mark.parametrize("truth", [37, 411, 1203])
def test_a_firing_of_the_ensemble_is_found_from_its_log_and_tiles(truth: int) -> None:
    found = ran(4000)
    course = found.course
    shut = course.temperature_c[:, course.shut, truth]
    rows = [{"time": "0", "event": "covered"}]
    for hour in (0.1, 0.5, 1, 2, 4, 8):
        for row, place in enumerate(PLACES):
            heat = np.interp(hour * 3600, course.shut_time_s[:, truth], shut[row])
            rows.append({"time": f"{60 * hour:.2f}", "place": place, "temperature_c": f"{heat:.1f}"})
    black = found.outcome.black(found.drawn)[:, :, truth]
    seen = [
        Seen(place, zone, 2, "black" if black[side, row] else "brown", None, None, "", "")
        for side, zone in enumerate(ZONES)
        for row, place in enumerate(PLACES)
    ]
    learned = learn([Fired(found, tuple(seen), log_read.from_rows(rows).log)])
    assert learned.refused == ""
    assert learned.after[0].weights[truth] > 3 / found.members
    covering = {one.name: one for one in learned.moved}["at_cover_c"]
    true_c = found.drawn["at_cover_c"][truth]
    width = {
        when: getattr(covering, when)["high"] - getattr(covering, when)["low"] for when in ("before", "after")
    }
    assert covering.after["low"] <= true_c <= covering.after["high"]
    assert width["after"] < width["before"]


# ---- refused ----


def test_what_no_firing_explains_is_refused_in_words() -> None:
    hot = log_read.from_rows(
        [{"time": "0", "event": "covered"}] + [
            {"time": f"{minutes}", "place": place, "temperature_c": "900"}
            for minutes in (5, 60, 600) for place in PLACES
        ]
    ).log  # fmt: skip
    found = learn([Fired(ran(), (), hot)])
    assert found.refused.startswith("No simulated firing explains what was seen")
    assert "900 °C 10.0 h after covering" in found.refused
    assert found.moved == ()
    assert np.array_equal(found.after[0].weights, ran().weights)


def test_too_few_members_are_refused_with_what_would_do() -> None:
    log = log_read.read(data("demo", "firing_log.csv")).log
    found = learn([Fired(ran(100), outcome_read.read(data("demo", "outcome.csv")), log)])
    assert found.refused.startswith("Too few simulated firings")
    assert "more members" in found.refused


def test_nothing_seen_is_refused() -> None:
    with pytest.raises(BreaksShape, match="nothing that speaks"):
        learn([Fired(ran(), outcome_read.from_text("place,note\nmid,pretty\n"))])


def test_simulations_of_other_draws_do_not_go_together() -> None:
    seen = outcome_read.from_text("place,zone,colour\nmid,outside,black\n")
    other = replace(ran(), seed=12)
    with pytest.raises(BreaksShape, match="one seed"):
        learn([Fired(ran(), seen), Fired(other, seen)])


# ---- what is passed on ----


def test_the_invented_firing_teaches_what_was_to_be_learned() -> None:
    found = of_the_demo()
    assert found.refused == ""
    assert found.members > 20
    moved = {one.name: one for one in found.moved}
    assert {"sealing_length_m", "char_kj_mol", "cover_gaps", "at_cover_c"} <= set(moved)
    assert moved["grain_m"].own is not None
    assert moved["char_kj_mol"].own is None or moved["char_kj_mol"].shift > 0.1
    for one in found.moved:
        if one.own is not None:
            low, likeliest, high = one.own
            assert low <= likeliest <= high
