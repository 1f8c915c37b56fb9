"""Labels that a person gives to sherds, and how well the answers foretold them."""

import csv
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.technique import hypotheses as h
from wareontology.technique.scoring import (
    Prediction,
    brier,
    calibration,
    calibration_error,
    log_score,
    probability_of,
    top,
)

Answer = Mapping[str, Any]

HEADING: Final = ("sherd", "question", "value")
WHOLE: Final[Mapping[str, tuple[str, ...]]] = {
    "atmosphere": h.ATMOSPHERE, "ending": h.ENDING, "temperature": h.TEMPERATURE, "space": h.SPACE,
}  # fmt: skip
LAYERS: Final[Mapping[str, tuple[str, ...]]] = {
    "body": h.BODY, "slip": h.SLIP, "paint": (*h.PAINT, *dict.fromkeys(h.FAMILY.values())),
}  # fmt: skip
BINS: Final = 10


@dataclass(frozen=True, slots=True)
class Label:
    """What is known of one question of a sherd: any of the values is right."""

    sherd: str
    question: str
    values: frozenset[str]
    row: int


def read_labels(path: str | Path) -> list[Label]:
    """The labels of a CSV with the columns sherd, question, value; values between bars are any right.

    question: atmosphere, ending, temperature, space, body, slip, paint, or a layer by its name (paint:line).
    Raises Unreadable where it is no such CSV, BreaksShape for a value that no question has.
    """
    name = str(path)
    try:
        with Path(path).open(encoding="utf-8-sig", newline="") as file:
            lines = csv.DictReader(file)
            if tuple(lines.fieldnames or ()) != HEADING:
                found = ", ".join(lines.fieldnames or ()) or "nothing"
                raise Unreadable(f"{name}: found the heading {found}; would do: {', '.join(HEADING)}")
            read = [_label(line, row, name) for row, line in enumerate(lines, start=2)]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        would_do = "a CSV with the columns sherd, question and value"
        raise Unreadable(f"{name}: found no labels ({error}); would do: {would_do}") from None
    faults = [one for one in read if isinstance(one, Fault)]
    if faults:
        raise BreaksShape(faults)
    return [one for one in read if isinstance(one, Label)]


def score(answers: Iterable[Answer], labels: Sequence[Label], name: str = "labels") -> dict[str, Any]:
    """Log score, Brier and share of right top answers, question by question, and for all together.

    log_score_bits: mean of log2 P(label): 0 is perfect. blind_bits: the same for one who holds all values
    alike. Raises BreaksShape for a label of a sherd or a layer that the answers have not; for several
    observers of a sherd each answer is scored.
    """
    by_sherd: dict[str, list[Answer]] = {}
    for answer in answers:
        by_sherd.setdefault(answer["sherd"], []).append(answer)
    scored: dict[str, list[tuple[Prediction, frozenset[str]]]] = {}
    faults = []
    for label in labels:
        odds = [_odds(answer, label) for answer in by_sherd.get(label.sherd, ())]
        found = [one for one in odds if one is not None]
        if not found:
            there = "that layer is not on it" if odds else "no such sherd was answered"
            would_do = "a sherd of the table and a layer of it"
            shown = f"{label.sherd}, {label.question}"
            faults.append(Fault(name, label.row, "question", shown, would_do, label.sherd, there))
        for one in found:
            scored.setdefault(label.question.partition(":")[0], []).append((one, label.values))
    if faults:
        raise BreaksShape(faults)
    everything = [pair for pairs in scored.values() for pair in pairs]
    return {
        "all": _scores(everything),
        "questions": {question: _scores(pairs) for question, pairs in scored.items()},
    }


def _scores(pairs: Sequence[tuple[Prediction, frozenset[str]]]) -> dict[str, Any]:
    if not pairs:
        return {"labels": 0}
    odds = [probability_of(prediction, values) for prediction, values in pairs]
    right = [top(prediction) in values for prediction, values in pairs]
    blind = [len(values & prediction.keys()) / len(prediction) for prediction, values in pairs]
    tops = [(prediction[top(prediction)], hit) for (prediction, _), hit in zip(pairs, right, strict=True)]
    return {
        "labels": len(pairs),
        "top_right": sum(right),
        "log_score_bits": round(log_score(odds), 4),
        "blind_bits": round(log_score(blind), 4),
        "brier": round(brier([prediction for prediction, _ in pairs], [values for _, values in pairs]), 4),
        "calibration_error": round(calibration_error(calibration(tops, BINS)), 4),
    }


def _odds(answer: Answer, label: Label) -> Prediction | None:
    """Odds of the question; of a paint its families where the label names one."""
    if label.question in WHOLE:
        odds: Prediction = answer[label.question]
        return odds
    families: Prediction | None = answer["families"].get(label.question)
    if families is not None and not label.values <= set(h.PAINT):
        named = [one for one in label.values if one in families]
        return families if len(named) == len(label.values) else None
    materials: Prediction | None = answer["materials"].get(label.question)
    return materials


def _label(line: Mapping[str, Any], row: int, name: str) -> Label | Fault:
    sherd, question, value = (str(line[column] or "").strip() for column in HEADING)
    if not sherd:
        return Fault(name, row, "sherd", "", "the sherd's name, as in the table")
    allowed = WHOLE.get(question) or LAYERS.get(question.partition(":")[0])
    if allowed is None:
        return Fault(name, row, "question", question, ", ".join((*WHOLE, *LAYERS)), sherd)
    values = frozenset(part.strip() for part in value.split("|"))
    if not values <= set(allowed):
        return Fault(name, row, "value", value, " | ".join(allowed), sherd)
    return Label(sherd, question, values, row)
