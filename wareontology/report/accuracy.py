"""The accuracy report: how the answers fare on published traditions, generated as data/accuracy.json.

The first score on the blind set, with the tables frozen before it was looked for, is kept in
data/blind_first_score.json and never made anew; all else is computed from the data as they are.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, Final

from wareontology.graph.traditions import traditions
from wareontology.paths import data
from wareontology.technique.accuracy import Scored, blind, leave_one_out, summary
from wareontology.technique.answer import data_hash
from wareontology.technique.blind_set import blind_set
from wareontology.technique.count_traditions import countable, tables_from
from wareontology.technique.scoring import probability_of, top

FILE: Final = "accuracy.json"
FIRST: Final = "blind_first_score.json"
WAYS: Final = ("answer", "region", "world", "rules")
NOTES: Final = (
    "Published wares are no random sample of pottery; reduced, painted and glazed ones were sought.",
    "A ware is read from its description: few of its traits are stated, so a sherd in the hand tells more.",
    "Where several values are right, their odds count together; a label that allows every value is left out.",
    "Intervals: 95 % of bootstrap draws of clusters of kindred wares.",
)


def accuracy(progress: Callable[[int, int], None] | None = None) -> dict[str, Any]:
    """The whole report, computed anew: about half a minute. progress is told wares done and in all."""
    wares = list(traditions().values())
    known = blind_set()
    clusters = {name: ware.cluster for name, ware in known.items()}
    now = blind(known, tables_from(countable()))
    everything = leave_one_out(wares, clusters, progress)
    sure = [one for one in now if not known[one.tradition].doubt]
    return {
        "data_hash": data_hash(),
        "wares": len(wares),
        "blind": {
            "first": summary(first_score()),
            "now": summary(now),
            "without_doubtful": summary(sure),
            "baselines": {way: summary(now, way) for way in WAYS[1:]},
        },
        "leave_one_out": {
            "answer": summary(everything),
            "baselines": {way: summary(everything, way) for way in WAYS[1:]},
            "by_question": _by_question(everything),
        },
        "labels": [_label(one, "blind") for one in now]
        + [_label(one, "leave one out") for one in everything],
        "notes": list(NOTES),
    }


def _by_question(found: Sequence[Scored]) -> dict[str, Any]:
    kinds = sorted({_kind(one.question) for one in found})
    return {kind: summary([one for one in found if _kind(one.question) == kind]) for kind in kinds}


def _kind(question: str) -> str:
    return ":".join(question.split(":")[:2])


def _label(one: Scored, how: str) -> dict[str, Any]:
    prediction = one.predictions["answer"]
    return {
        "how": how, "tradition": one.tradition, "question": one.question, "label": sorted(one.label),
        "probability": round(probability_of(prediction, one.label), 4), "top": top(prediction),
        "right": top(prediction) in one.label,
    }  # fmt: skip


@cache
def first_score() -> tuple[Scored, ...]:
    """The first score on the blind set, as it was computed with the frozen tables.

    >>> first_score()[0].predictions.keys() == {"answer"}
    True
    """
    clusters = {name: ware.cluster for name, ware in blind_set().items()}
    found: list[Mapping[str, Any]] = json.loads(data(FIRST).read_text(encoding="utf-8"))
    return tuple(
        Scored(
            one["tradition"], clusters[one["tradition"]], one["question"], frozenset(one["label"]),
            {"answer": one["prediction"]},
        )
        for one in found
    )  # fmt: skip


@cache
def shipped() -> Mapping[str, Any]:
    """The report as shipped.

    >>> shipped()["blind"]["first"]["labels"] > 100
    True
    """
    found: Mapping[str, Any] = json.loads(data(FILE).read_text(encoding="utf-8"))
    return found


def build(target: Path | None = None, progress: Callable[[int, int], None] | None = None) -> Path:
    """Write data/accuracy.json; the same data give the same bytes."""
    path = data(FILE) if target is None else target
    report = accuracy(progress)
    labels = ",\n".join(json.dumps(one, ensure_ascii=False) for one in report.pop("labels"))
    text = json.dumps(report, indent=1, ensure_ascii=False)[:-2]
    path.write_text(f'{text},\n "labels": [\n{labels}\n ]\n}}\n', encoding="utf-8")
    return path
