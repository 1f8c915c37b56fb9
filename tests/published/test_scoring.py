"""The scores against published and independently computed values (bayes_checks.csv names each source)."""

import csv
import math
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.technique.scoring import (
    brier,
    calibration,
    calibration_error,
    log_score,
    murphy,
    probability_of,
    top,
)

HERE = Path(__file__).parent


def check(case: str) -> list[float]:
    """Numbers of one row of bayes_checks.csv."""
    with (HERE / "bayes_checks.csv").open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    value = next(row["value"] for row in rows if row["case"].startswith(case))
    return [float(number) for number in re.findall(r"\d*\.\d+", value)]


def test_brier_of_two_classes_is_twice_the_common_form() -> None:
    claims = zip([0, 1, 1, 0], [0.1, 0.9, 0.8, 0.3], strict=True)
    pairs = [({"yes": p, "no": 1 - p}, {"yes"} if y else {"no"}) for y, p in claims]
    found = brier([p for p, _ in pairs], [label for _, label in pairs])
    assert found / 2 == pytest.approx(check("Brier")[0], abs=1e-12)  # independent: scikit-learn


def test_log_score_in_bits_against_the_log_loss_in_nats() -> None:
    # P(label) of the four examples of scikit-learn's page for log_loss
    assert -log_score([0.9, 0.9, 0.8, 0.65]) * math.log(2) == pytest.approx(check("Log loss")[0], abs=1e-8)


def test_brier_of_three_classes_is_the_sum_form() -> None:
    found = brier([{"a": 0.7, "b": 0.2, "c": 0.1}], [{"a"}])
    assert found == pytest.approx(check("Multi-class")[0], abs=1e-12)  # by definition


def test_murphy_and_calibration_error() -> None:
    claims = [(p, i < hits) for p, hits in ((0.1, 1), (0.4, 5), (0.8, 8)) for i in range(10)]
    bins = calibration(claims, bins=10)
    score, reliability, resolution, uncertainty, error = check("Murphy")
    # independent: netcal gave the calibration error; the three parts were run beside it
    assert murphy(bins) == pytest.approx((reliability, resolution, uncertainty), abs=1e-5)
    assert calibration_error(bins) == pytest.approx(error, abs=1e-5)
    assert reliability - resolution + uncertainty == pytest.approx(score, abs=1e-5)


probabilities = st.lists(st.floats(0.01, 1.0), min_size=2, max_size=6)


@given(probabilities, st.integers(0, 5))
def test_ranges(weights: list[float], which: int) -> None:
    total = sum(weights)
    prediction = {str(i): w / total for i, w in enumerate(weights)}
    label = {str(which % len(weights))}
    assert 0.0 <= brier([prediction], [label]) <= 2.0
    assert log_score([probability_of(prediction, label)]) <= 1e-9
    assert probability_of(prediction, prediction) == pytest.approx(1.0)
    assert prediction[top(prediction)] == max(prediction.values())


@given(st.lists(st.tuples(st.sampled_from((0.05, 0.35, 0.65, 0.95)), st.booleans()), min_size=1, max_size=40))
def test_the_parts_add_up_to_the_score(claims: list[tuple[float, bool]]) -> None:
    bins = calibration(claims)
    assert sum(b.count for b in bins) == len(claims)
    reliability, resolution, uncertainty = murphy(bins)
    # second route: the two-class score itself
    direct = sum((p - came_true) ** 2 for p, came_true in claims) / len(claims)
    assert reliability - resolution + uncertainty == pytest.approx(direct, abs=1e-12)


def test_a_label_held_impossible_and_an_empty_list_are_refused() -> None:
    with pytest.raises(ValueError, match="held impossible"):
        log_score([0.0])
    with pytest.raises(ValueError, match="nothing to score"):
        log_score([])
    with pytest.raises(ValueError, match="nothing to score"):
        brier([], [])
