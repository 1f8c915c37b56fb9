"""Published identifications of paint, air and fire against the answer from what a person sees.

sherds.csv holds what was told of the sherds and nothing else; labels.csv what was published of each, scored
or not and why; known_failures.csv the scored labels that the answer does not reach, kept visible.
"""

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from wareontology.sherd.record import Sherd
from wareontology.sherd.table import read
from wareontology.technique import hypotheses
from wareontology.technique.answer import answer
from wareontology.technique.scoring import (
    Prediction,
    brier,
    calibration,
    calibration_error,
    log_score,
    probability_of,
    top,
)

HERE = Path(__file__).parent
LEAST_SEEN = 2
"""A label is scored from this many traits on."""
NOT_TRAITS = frozenset({"on", "method", "applied", "colour_state"})
TESTS = ("refire", "pxrf", "magnet", "acid", "phases")
"""How the columns of a test begin: what a test shows is not what a person sees."""
BINS = 5

Line = Mapping[str, str]


def table(name: str) -> list[Line]:
    with (HERE / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(line for line in lines if not line.startswith("#")))


LABELS = table("labels.csv")
SCORED = [line for line in LABELS if line["scored"] == "yes"]
KNOWN_FAILURES = {(line["sherd"], line["question"]): line["reason"] for line in table("known_failures.csv")}


@cache
def sherds() -> Mapping[str, Sherd]:
    reading = read(HERE / "sherds.csv")
    assert not reading.faults, reading.faults
    return {sherd.sherd: sherd for sherd in reading.sherds}


@cache
def answered(sherd: str) -> Mapping[str, Any]:
    found: Mapping[str, Any] = answer(sherds()[sherd])
    return found


def label_of(line: Line) -> frozenset[str]:
    return frozenset(line["label"].split("|"))


def prediction(line: Line) -> Prediction:
    """The odds the answer gives on the question of a label, by family where the label is one."""
    key, _, unit = line["question"].partition(":")
    found = answered(line["sherd"])
    families = found["families"].get(unit, {})
    if key == "materials" and label_of(line) <= set(families):
        key = "families"
    odds: Prediction = found[key][unit] if unit else found[key]
    return odds


def cases() -> list[Any]:
    marked = []
    for line in SCORED:
        reason = KNOWN_FAILURES.get((line["sherd"], line["question"]))
        marks = [pytest.mark.xfail(strict=True, reason=reason)] if reason else []
        marked.append(pytest.param(line, id=f"{line['sherd']}-{line['question']}", marks=marks))
    return marked


@pytest.mark.parametrize("line", cases())
def test_the_top_answer_is_what_was_published(line: Line) -> None:
    odds = prediction(line)
    assert top(odds) in label_of(line), {value: round(p, 3) for value, p in odds.items()}


def test_log_score_and_count() -> None:
    """The scores over all scored labels, failures included, held to score.csv (regression)."""
    odds = [prediction(line) for line in SCORED]
    labels = [label_of(line) for line in SCORED]
    claims = [(one[top(one)], top(one) in label) for one, label in zip(odds, labels, strict=True)]
    found = {
        "labels scored": len(SCORED),
        "sherds scored": len({line["sherd"] for line in SCORED}),
        "top answer right": sum(right for _, right in claims),
        "log score, mean log2 P(label), bits": log_score(
            [probability_of(one, label) for one, label in zip(odds, labels, strict=True)]
        ),
        "Brier, sum over classes, 0 to 2": brier(odds, labels),
        f"calibration error of the top answer, {BINS} bins": calibration_error(calibration(claims, BINS)),
    }
    for quantity, value in found.items():
        print(f"{quantity}: {value:.4f}")
    assert (HERE / "score.csv").exists(), f"write tests/published/score.csv (quantity,value): {found}"
    held = {line["quantity"]: float(line["value"]) for line in table("score.csv")}
    assert found == pytest.approx(held, abs=5e-4)  # regression: four figures are kept in score.csv


# --- the tables themselves ---


def test_each_known_failure_is_a_scored_label_with_a_reason() -> None:
    scored = {(line["sherd"], line["question"]) for line in SCORED}
    assert set(KNOWN_FAILURES) <= scored
    assert all(reason.strip() for reason in KNOWN_FAILURES.values())


def seen_traits(sherd: Sherd) -> int:
    return sum(
        1
        for row in sherd.rows
        for column in row.seen
        if column not in NOT_TRAITS and not column.startswith(TESTS)
    )


def test_scored_means_two_traits_seen_and_no_reason_against() -> None:
    for line in LABELS:
        seen = seen_traits(sherds()[line["sherd"]])
        assert int(line["seen_traits"]) == seen, line
        assert line["scored"] in {"yes", "no"}, line
        assert bool(line["why_not"]) == (line["scored"] == "no"), line
        assert seen >= LEAST_SEEN or line["scored"] == "no", line
        assert line["source"], line


def test_every_sherd_has_a_label_and_every_label_a_sherd() -> None:
    assert {line["sherd"] for line in LABELS} == set(sherds())
    questions = [(line["sherd"], line["question"]) for line in LABELS]
    assert len(set(questions)) == len(questions)


def test_what_a_label_rests_on_is_no_input() -> None:
    for name, sherd in sherds().items():
        columns = {column for row in sherd.rows for column in row.seen}
        assert not {column for column in columns if column.startswith(("phases", "pxrf"))}, name
        assert "applied" not in columns, name


def test_every_published_line_is_listed() -> None:
    listed = {part.strip() for line in LABELS for part in line["listed_as"].split(";")}
    paints = {f"paint label {i}" for i in range(1, len(table("paint_phase_labels.csv")) + 1)}
    hard = {f"hard case {line['number']}" for line in table("hard_cases.csv")}
    assert listed == paints | hard


def test_labels_are_values_of_the_hypotheses() -> None:
    allowed = {
        "atmosphere": set(hypotheses.ATMOSPHERE),
        "ending": set(hypotheses.ENDING),
        "temperature": set(hypotheses.TEMPERATURE),
        "carbon:body": set(hypotheses.CARBON),
        "materials:body": set(hypotheses.BODY),
        "materials:slip": set(hypotheses.SLIP),
        "materials:paint": set(hypotheses.PAINT) | set(hypotheses.FAMILY.values()),
        "applied:paint": set(hypotheses.APPLIED),
    }
    for line in LABELS:
        if line["label"]:
            question = ":".join(line["question"].split(":")[:2])
            assert label_of(line) <= allowed[question], line
