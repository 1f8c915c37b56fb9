"""What may be called decided, and how far the answer holds when the uncertain numbers are drawn anew."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case, Odds, material_odds, top, tops
from wareontology.technique.limits import limits

DECIDED: Final = 0.80
ROBUST: Final = 0.90
MORE_THAN_PRIOR: Final = 3.0
"""Posterior odds must be this many times the region's prior odds: a verdict is not the prior said again."""

PROVED_BY: Final = {"lead-copper-glaze": "pXRF"}
"""Materials that looking cannot decide, unless the region is known for them: the test that can."""


def robust(case: Case, drawn: Case) -> dict[str, float]:
    """Share of the common draws that keep each question's top answer. A paint's is that of its family."""
    now = {question: top(odds)[0] for question, odds in case.odds(case.marginals).items()}
    varied = drawn.odds(drawn.marginals)
    return {question: _share(tops(varied[question]), value) for question, value in now.items()}


def _share(values: Sequence[str], value: str) -> float:
    return round(sum(other == value for other in values) / len(values), 4)


def verdicts(
    case: Case, shares: Mapping[str, float] | None, conflict: Mapping[str, Any], drawn: Case | None
) -> dict[str, dict[str, Any]]:
    """A verdict for every question: decided or undecided, the value, its probability and the reason.

    Decided: probability at least 0.80, kept in at least 0.90 of the draws (where they were made), posterior
    odds at least 3 times the region's prior odds, and no item in conflict that flips it. Space is never
    decided from a sherd alone. A paint's value is its material where that is decided, else its family.
    """
    odds, prior = case.odds(case.marginals), case.odds(case.prior)
    flipped = {question for item in conflict["items"] for question in item["flips"]}
    found = {}
    for question in case.questions():
        share = shares[question] if shares is not None else None
        found[question] = _verdict(question, odds[question], prior[question], share, question in flipped)
    for paint in case.units.paints:
        material, before = material_odds(paint, case.marginals), material_odds(paint, case.prior)
        value = top(material)[0]
        kept = None
        if drawn is not None:
            kept = _share(tops(material_odds(paint, drawn.marginals)), value)
        finer = _verdict(paint.key, material, before, kept, paint.key in flipped)
        if finer["state"] == "decided":
            found[paint.key] = finer
        _hold_back(found[paint.key], case, paint.key, before)
    found["temperature"]["interval"] = interval(odds["temperature"])
    return found


def _hold_back(found: dict[str, Any], case: Case, unit: str, prior: Odds) -> None:
    """A material that looking alone cannot decide stays undecided, with the test that can."""
    test = PROVED_BY.get(found["value"])
    if found["state"] == "undecided" or test is None:
        return
    tested = any(item.key == (unit, test) for item in case.items)
    if not tested and float(prior[found["value"]][0]) < limits()["known_there"]:
        found["state"] = "undecided"
        found["reason"] = f"looking cannot decide it where the region is not known for it: {test} can"


def _verdict(question: str, odds: Odds, prior: Odds, share: float | None, flipped: bool) -> dict[str, Any]:
    value, p = top(odds)
    before = float(prior[value][0])
    ratio = _odds(p) / _odds(before)
    lacks = []
    if p < DECIDED:
        lacks.append(f"its odds are below {DECIDED:.2f}")
    if question == "space":
        lacks.append("a sherd alone tells one space from two only in part")
    if share is not None and share < ROBUST:
        lacks.append(f"it holds in only {share:.2f} of the draws of the uncertain numbers")
    if ratio < MORE_THAN_PRIOR:
        lacks.append("the evidence adds little to what is usual in the region")
    if flipped:
        lacks.append("an item in conflict with the rest would change it")
    if lacks:
        return {"state": "undecided", "value": value, "p": round(p, 4), "reason": "; ".join(lacks)}
    reason = "the evidence is strong" + ("" if share is None else f" and holds in {share:.2f} of the draws")
    return {"state": "decided", "value": value, "p": round(p, 4), "reason": reason}


def _odds(p: float) -> float:
    return p / max(1 - p, 1e-12)


def interval(odds: Odds) -> list[str]:
    """The shortest run of temperature bands that holds at least 0.80; of equal runs the likelier.

    >>> import numpy as np
    >>> bands = dict(zip(h.TEMPERATURE, map(np.array, ([0.02], [0.1], [0.5], [0.3], [0.05], [0.03]))))
    >>> interval(bands)
    ['700-800', '800-900']
    """
    p = [float(odds[band][0]) for band in h.TEMPERATURE]
    runs = [
        (last - first, -sum(p[first : last + 1]), first, last)
        for first in range(len(p))
        for last in range(first, len(p))
        if sum(p[first : last + 1]) >= DECIDED
    ]
    _, _, first, last = min(runs)
    return [h.TEMPERATURE[first], h.TEMPERATURE[last]]
