"""How well the answers foretell what published sources state, against what one would say without the sherd.

Each tradition is read as a sherd from its stated traits, and every stated label is scored. Leave-one-out: the
priors for a tradition are counted from the others; the blind set is never counted. Three baselines answer the
same labels: the rules alone, what is usual in the world, and what is usual in the region. Log score and Brier
are means over labels; intervals are 95 % of bootstrap draws over clusters of kindred wares, since wares of
one workshop are no independent witnesses.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from wareontology.graph.traditions import Tradition, traditions
from wareontology.sherd.record import Sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.blind_set import BlindWare
from wareontology.technique.case import (
    Case,
    applied_odds,
    carbon_odds,
    family_odds,
    material_odds,
    whole_odds,
)
from wareontology.technique.count_traditions import countable, tables_from
from wareontology.technique.likelihoods.model import Model
from wareontology.technique.likelihoods.tables import Tables
from wareontology.technique.posterior import Marginals
from wareontology.technique.rules import evaluate
from wareontology.technique.scoring import (
    Prediction,
    brier,
    calibration,
    calibration_error,
    log_score,
    probability_of,
    top,
)
from wareontology.technique.tradition_sherd import labels_of, sherd_of
from wareontology.technique.units import units

QUESTIONS: Final = ("atmosphere", "ending", "temperature", "space")
DRAWS: Final = 1000
SEED: Final = 20261125
BINS: Final = 5
SAID: Final = 0.8
"""What a bare rule is taken to give to what it concludes, the rest shared alike (judgement)."""


@dataclass(frozen=True, slots=True)
class Scored:
    """One label of one tradition with the prediction of each way of answering, by name."""

    tradition: str
    cluster: str
    question: str
    label: frozenset[str]
    predictions: Mapping[str, Prediction]


def score(ware: Tradition, tables: Tables, cluster: str = "") -> Iterator[Scored]:
    """Every stated label of a tradition that the answer has a question for.

    >>> from wareontology.graph.traditions import traditions
    >>> from wareontology.technique.likelihoods.shipped import shipped_tables
    >>> found = list(score(traditions()["us-tusayan-white"], shipped_tables()))
    >>> sorted(one.question for one in found)
    ['atmosphere', 'materials:paint:black']
    """
    sherd = sherd_of(ware)
    if sherd is None:
        return
    asked = _Asked(sherd, tables)
    for question, label in sorted(labels_of(ware).items()):
        found = asked.predictions(question, label)
        if found is not None and not label >= set(next(iter(found.values()))):
            yield Scored(ware.id, cluster or ware.id, question, label, found)


class _Asked:
    """One sherd asked under some tables, with its baselines."""

    def __init__(self, sherd: Sherd, tables: Tables) -> None:
        found = units(sherd)
        self.case = Case(sherd, found, Model.of(tables, sherd.region, False, bool(found.paints)))
        self.world = Case(sherd, found, Model.of(tables, None, False, bool(found.paints)))
        self.findings, _ = evaluate(sherd, found)

    def predictions(self, question: str, label: frozenset[str]) -> dict[str, Prediction] | None:
        """Odds of the answer, of the region and of the world before anything was seen, and of the rules."""
        answer = odds_on(self.case, self.case.marginals, question, label)
        if answer is None:
            return None
        region = odds_on(self.case, self.case.prior, question, label)
        world = odds_on(self.world, self.world.prior, question, label)
        assert region is not None
        assert world is not None
        return {"answer": answer, "region": region, "world": world, "rules": self._rules(question, answer)}

    def _rules(self, question: str, values: Iterable[str]) -> Prediction:
        """What the rules conclude of a question: SAID on it; all values alike where none speaks."""
        names = sorted(values)
        left = set(names)
        unit = question.partition(":")[2]
        for finding in self.findings:
            asked, _, said = finding.concludes.partition(": ")
            if finding.kind == "cautions" or asked != (unit or question):
                continue
            words = set(said.removeprefix("not ").split(" or "))
            among = {name for name in names if name in words or h.FAMILY.get(name) in words}
            kept = left - among if finding.kind == "excludes" else left & among
            left = kept or left
        if len(left) == len(names):
            return dict.fromkeys(names, 1 / len(names))
        others = len(names) - len(left)
        return {name: SAID / len(left) if name in left else (1 - SAID) / others for name in names}


def odds_on(case: Case, result: Marginals, question: str, label: frozenset[str]) -> Prediction | None:
    """Odds on the question of a label, by family where the label is one; None where the answer has none."""
    kind, _, key = question.partition(":")
    if kind in QUESTIONS:
        odds = whole_odds(case.model, case.sherd, result)[kind]
    elif kind == "carbon":
        odds = carbon_odds(result)
    elif kind not in ("materials", "applied") or (unit := _unit(case, key)) is None:
        return None
    elif kind == "applied":
        odds = applied_odds(unit, result)
    else:
        families = family_odds(unit, result) if unit.layer == "paint" else {}
        odds = families if families and label <= set(families) else material_odds(unit, result)
    found = {value: float(p[0]) for value, p in odds.items()}
    return found if label & set(found) else None


def _unit(case: Case, key: str) -> Any:
    return next((unit for unit in case.units.all() if unit.key == key), None)


def leave_one_out(
    published: Sequence[Tradition], clusters: Mapping[str, str] | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> list[Scored]:  # fmt: skip
    """Each tradition scored with priors counted from the others that may be counted."""
    named = clusters or {}
    found: list[Scored] = []
    for number, ware in enumerate(published, start=1):
        mine = named.get(ware.id, ware.id)
        others = [one for one in countable() if one.id != ware.id]
        found += score(ware, tables_from(others), mine)
        if progress is not None:
            progress(number, len(published))
    return found


def blind(wares: Mapping[str, BlindWare], tables: Tables) -> list[Scored]:
    """The blind set under some tables, in which none of it is counted."""
    return [
        one for name, ware in wares.items() for one in score(traditions()[name], tables, ware.cluster or name)
    ]


def summary(found: Sequence[Scored], way: str = "answer") -> dict[str, Any]:
    """Labels, wares, top-1, log score, Brier and calibration of one way of answering, with intervals.

    >>> one = Scored("a", "a", "q", frozenset({"x"}), {"answer": {"x": 0.5, "y": 0.5}})
    >>> summary([one])["log_score"]["value"]
    -1.0
    """
    predictions = [one.predictions[way] for one in found]
    labels = [one.label for one in found]
    floor = [max(probability_of(p, label), 1e-9) for p, label in zip(predictions, labels, strict=True)]
    right = [top(p) in label for p, label in zip(predictions, labels, strict=True)]
    briers = [brier([p], [label]) for p, label in zip(predictions, labels, strict=True)]
    tops = [(p[top(p)], hit) for p, hit in zip(predictions, right, strict=True)]
    bins = calibration(tops, BINS)
    clusters = [one.cluster for one in found]
    return {
        "labels": len(found),
        "wares": len({one.tradition for one in found}),
        "top_right": int(sum(right)),
        "top_share": _interval([float(hit) for hit in right], clusters),
        "log_score": _interval([log_score([p]) for p in floor], clusters),
        "brier": _interval(briers, clusters),
        "calibration_error": round(calibration_error(bins), 4),
        "reliability": [
            {
                "low": b.low,
                "high": b.high,
                "count": b.count,
                "mean": round(b.mean, 3),
                "true": round(b.true, 3),
            }
            for b in bins
        ],
    }


def _interval(values: Sequence[float], clusters: Sequence[str]) -> dict[str, float]:
    """Mean with 2.5 and 97.5 per cent of draws of whole clusters with replacement."""
    names = sorted(set(clusters))
    sums = np.array([sum(v for v, c in zip(values, clusters, strict=True) if c == name) for name in names])
    counts = np.array([clusters.count(name) for name in names])
    picks = np.random.default_rng(SEED).integers(0, len(names), (DRAWS, len(names)))
    means = sums[picks].sum(axis=1) / counts[picks].sum(axis=1)
    low, high = np.percentile(means, [2.5, 97.5])
    return {
        "value": round(float(np.mean(values)), 4),
        "low": round(float(low), 4),
        "high": round(float(high), 4),
    }
