"""Experiment design: information by brute force, its bounds, controls, blind labels and the sheet."""

import json
from itertools import product
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers_cli import DEMO, run
from wareontology.errors import BreaksShape, Unreadable
from wareontology.replica.claim_read import read as read_claim
from wareontology.replica.design import (
    MOST_TILES,
    REPEATS,
    Question,
    Trial,
    best,
    check,
    entropy,
    expected_bits,
    greedy,
    readings,
)
from wareontology.replica.design_ask import LIKE, from_claim, read
from wareontology.replica.design_sheet import CONTROLS, laid_out

TWO: Final = '[[hypothesis]]\nname="A"\n[[hypothesis]]\nname="B"\n[[trial]]\nname="t"\nfiring="f"\n'


@st.composite
def questions(draw: st.DrawFn) -> Question:
    count = draw(st.integers(2, 4))
    weights = draw(st.lists(st.floats(0.05, 1), min_size=count, max_size=count))
    trials = []
    for number in range(draw(st.integers(1, 4))):
        kinds = draw(st.integers(2, 3))
        table = np.array(draw(st.lists(st.floats(0.02, 1), min_size=kinds * count, max_size=kinds * count)))
        table = table.reshape(kinds, count) / table.reshape(kinds, count).sum(axis=0)
        results = {f"r{place}": tuple(row) for place, row in enumerate(table.tolist())}
        trials.append(Trial(f"t{number}", f"tile {number}", f"fire {number % 2}", results))
    return Question({f"h{place}": weight for place, weight in enumerate(weights)}, tuple(trials))


def by_hand(question: Question, trials: tuple[Trial, ...]) -> float:
    """Second route: every course of results one by one, information as entropy lost."""
    now = question.chances()
    left = 0.0
    for course in product(*(range(len(trial.results)) for trial in trials)):
        joint = now.copy()
        for trial, place in zip(trials, course, strict=True):
            joint = joint * trial.table()[place]
        if joint.sum() > 0:
            left += joint.sum() * entropy(joint / joint.sum())
    return entropy(now) - left


@settings(max_examples=60, deadline=None)
@given(questions(), st.integers(1, 3))
def test_information_is_exact_and_within_its_bounds(question: Question, most: int) -> None:
    chosen = tuple((question.trials * most)[:most])
    bits = expected_bits(question, chosen)
    assert bits == pytest.approx(by_hand(question, chosen), abs=1e-9)
    assert 0 <= bits <= entropy(question.chances()) + 1e-12


@settings(max_examples=40, deadline=None)
@given(questions(), st.integers(1, 3), st.sampled_from([None, 1]))
def test_greedy_is_never_far_from_the_best(question: Question, most: int, firings: int | None) -> None:
    one_by_one, all_tried = greedy(question, most, firings), best(question, most, firings)
    reached = one_by_one.bits[-1] if one_by_one.bits else 0.0
    assert reached <= all_tried.bits[0] + 1e-5
    if most == 1:
        assert reached == pytest.approx(all_tried.bits[0], abs=1e-5)
    if firings is None:  # the bound for a submodular gain
        assert reached >= (1 - 1 / np.e) * all_tried.bits[0] - 1e-5
    assert expected_bits(question, one_by_one.trials) == pytest.approx(reached, abs=1e-6)
    assert len({trial.firing for trial in one_by_one.trials}) <= (firings or 99)


@settings(max_examples=30, deadline=None)
@given(questions())
def test_each_tile_adds_and_adds_less(question: Question) -> None:
    bits = greedy(question, 5).bits
    steps = np.diff([0.0, *bits])
    assert (steps > 0).all()
    assert all(list(greedy(question, 5).trials).count(trial) <= REPEATS for trial in question.trials)


@settings(max_examples=30, deadline=None)
@given(questions())
def test_what_a_result_would_do_is_bayes(question: Question) -> None:
    found = readings(question, question.trials)
    for trial in question.trials:
        own = [one for one in found if one.trial == trial.name]
        assert sum(one.chance for one in own) == pytest.approx(1)
        for place, name in enumerate(question.hypotheses):  # the mean after is what was before
            after = sum(one.chance * one.after[name] for one in own)
            assert after == pytest.approx(question.chances()[place])


def test_a_tile_that_tells_nothing_is_not_fired() -> None:
    dull = Trial("dull", "tile", "fire", {"black": (0.5, 0.5), "red": (0.5, 0.5)})
    assert greedy(Question({"A": 1, "B": 1}, (dull,)), 4).trials == ()


def test_what_result_would_refute_what() -> None:
    question = read(DEMO / "hypotheses.toml")
    gone = next(one for one in readings(question, question.trials) if one.result == "gone")
    assert gone.refutes == ("iron, covered", "umber, open")
    assert gone.supports == ("plant juice, covered",)
    assert greedy(question, 1).trials[0].tile == "original chip"


def test_every_firing_has_its_controls_and_every_tile_a_place_of_its_own() -> None:
    question = read(DEMO / "hypotheses.toml")
    placed = laid_out(greedy(question, 6).trials, seed=7)
    firings = {one.firing for one in placed}
    for firing in firings:
        own = [one for one in placed if one.firing == firing]
        assert sorted(one.tile for one in own if one.control) == sorted(CONTROLS)
        assert len({one.place for one in own}) == len(own)
    assert len({one.label for one in placed}) == len(placed)


def test_labels_and_places_come_from_the_seed_alone() -> None:
    trials = read(DEMO / "hypotheses.toml").trials
    assert laid_out(trials, 3) == laid_out(trials, 3)
    assert laid_out(trials, 3) != laid_out(trials, 4)


def test_places_are_dealt_out_evenly() -> None:
    """No tile is oftener in the first place than another: 600 seeds, four tiles and controls."""
    trials = read(DEMO / "hypotheses.toml").trials[:1]
    first = [
        next(one.tile for one in laid_out(trials, seed) if one.place.endswith("place 1"))
        for seed in range(600)
    ]
    counts = [first.count(tile) for tile in {*CONTROLS, trials[0].tile}]
    assert min(counts) > 150 - 4 * np.sqrt(600 * 0.25 * 0.75)


def test_a_claim_and_its_rivals_as_hypotheses() -> None:
    question = from_claim(read_claim(DEMO / "claim.toml"))
    assert len(question.hypotheses) >= 3
    assert next(iter(question.hypotheses)) == "iron; reducing, sealed from air"
    for trial in question.trials:
        assert set(trial.results) == {LIKE, "unlike them"}
    own = next(trial for trial in question.trials if trial.name == "iron; reducing, sealed from air")
    assert own.results[LIKE][0] > own.results[LIKE][1]


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("[[hypothesis", Unreadable),
        ("a = 1", BreaksShape),
        ('[[hypothesis]]\nname="A"\n[[trial]]\nname="t"\nfiring="f"\nresults={x={A=1}}', BreaksShape),
        (f"{TWO}results={{x={{A=1,B=1}},y={{A=1,B=0}}}}", BreaksShape),
        (f"{TWO}results={{x={{A=1}}}}", BreaksShape),
        (f"{TWO}results={{x={{A=1,B=1}}}}", BreaksShape),
    ],
)  # fmt: skip
def test_what_is_no_question_is_refused(tmp_path: Path, text: str, error: type[Exception]) -> None:
    path = tmp_path / "own.toml"
    path.write_text(text)
    with pytest.raises(error):
        read(path)


@pytest.mark.parametrize("most", [0, MOST_TILES + 1])
def test_too_few_and_too_many_tiles_are_refused(most: int) -> None:
    with pytest.raises(BreaksShape):
        greedy(check(read(DEMO / "hypotheses.toml")), most)


def test_the_sheet_is_blind_and_twice_the_same(tmp_path: Path) -> None:
    sheets = []
    for name in ("a.html", "b.html"):
        found = run(
            "claim", str(DEMO / "hypotheses.toml"), "--tiles", "4", "--sheet", str(tmp_path / name), "--json"
        )
        assert found.exit_code == 0
        sheets.append((tmp_path / name).read_bytes())
    assert sheets[0] == sheets[1]
    answer = json.loads(found.stdout)
    assert 0 < answer["expected_bits"] <= answer["entropy_bits"]
    to_fire, to_read, key = sheets[0].decode().split('<section class="page')
    assert "original chip" not in to_fire + to_read
    assert "original chip" in key
    assert all(one["firing"] not in to_read for one in answer["tiles"])
    assert all(one["label"] in to_read and "tile" not in one for one in answer["tiles"])


def test_the_command_says_what_is_wrong() -> None:
    assert run("claim", str(DEMO / "claim.toml"), "--sheet", "x.html").exit_code == 2
    assert run("claim", str(DEMO / "hypotheses.toml"), "--tiles", "99").exit_code == 1
    said = run("claim", str(DEMO / "claim.toml"), "--tiles", "4", "--firings", "2").stdout
    assert "The key." in said
    assert "What a result would do." in said
