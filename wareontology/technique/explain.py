"""Why a question has its answer: what each item of evidence moved its odds, step by step.

Odds are of the likeliest value against all others together, in decibans: 10 log10 of the odds, so that +3
doubles them and +10 makes them ten times. The items are taken in one order, and a step is what its item
moves after all before it: the steps are differences along one chain and add up to the whole.
"""

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

from wareontology.technique import computed_source
from wareontology.technique.case import Case, Odds, material_odds
from wareontology.technique.likelihoods.table_file import Given
from wareontology.technique.likelihoods.whole import TRAITS
from wareontology.technique.network import Item
from wareontology.technique.posterior import Marginals
from wareontology.technique.trail import Trail, basis_words

ORDER: Final = (
    "the body, slips and paints by name, then the sherd as a whole; the traits of each as they are read"
)
_PLACES: Final = 10


def explain(case: Case, question: str, value: str, trail: Trail | None = None) -> dict[str, Any]:
    """What moved the odds of `value`, the answer to `question`, from what is usual to what is concluded.

    value: of a paint its family or its material. Decibans are kept to ten places, each level rounded before
    the steps are taken, so that prior and steps sum to the posterior. `left_out` is what the odds of the
    whole would fall by without the item: where it differs from the step, items lean on one another.

    Raises KeyError for a question or value that the sherd has not.

    >>> from wareontology.sherd.record import Row, Seen, Sherd
    >>> grey = Row("break", "body", None, {"colour": Seen("colour", "grey", (("grey", 1.0),))})
    >>> found = explain(Case.of(Sherd("x", None, {}, (grey,))), "atmosphere", "reducing")
    >>> [step["trait"] for step in found["steps"]], found["steps"][0]["decibans"] > 0
    (['broken edge'], True)
    """
    items, count = case.items, len(case.items)
    chain = [items[:place] for place in range(count + 1)]
    without = [(*items[:place], *items[place + 1 :]) for place in range(count)]
    sets = (*chain, *without)
    result = case.given(sets)
    odds = _odds(case, question, value, result)
    bare = odds if question != "space" else _odds(_without_structure(case), question, value, result)
    level = [
        _level(odds if any(item.trait == "structure" for item in chosen) else bare, value, place)
        for place, chosen in enumerate(sets)
    ]
    trail = trail or Trail(case)
    return {
        "question": question,
        "value": value,
        "order": ORDER,
        "prior": _reached(bare, value, 0, level),
        "steps": [
            _step(item, level, place, count, trail.rows(item)) for place, item in enumerate(items, start=1)
        ],
        "posterior": _reached(odds, value, count, level),
    }


def _reached(odds: Odds, value: str, place: int, level: list[float]) -> dict[str, float]:
    return {"p": round(float(odds[value][place]), 6), "decibans": level[place]}


def _step(item: Item, level: list[float], place: int, count: int, rows: tuple[Given, ...]) -> dict[str, Any]:
    return {
        "unit": item.unit,
        "trait": item.trait,
        "said": item.said,
        "rows": list(item.rows),
        "decibans": round(level[place] - level[place - 1], _PLACES),
        "reached": level[place],
        "left_out": round(level[count] - level[count + place], _PLACES),
        "rests_on": [_row(given) for given in rows],
    }


def _row(given: Given) -> dict[str, Any]:
    """A row of the tables with its bases and sources, and where a curve of it can be seen."""
    entries = {(basis_words(entry), entry.source): None for entry in given.entries}
    return {
        "table": given.table,
        "given": ";".join("|".join(words) for words in given.given),
        "rests": [{"basis": basis, "source": source} for basis, source in entries],
        "curve": computed_source.curve(given),
    }


def _level(odds: Odds, value: str, place: int) -> float:
    """Decibans of a value against all others."""
    against = sum(float(p[place]) for other, p in odds.items() if other != value)
    return round(10 * math.log10(float(odds[value][place]) / against), _PLACES)


def _odds(case: Case, question: str, value: str, result: Marginals) -> Mapping[str, Any]:
    odds = case.odds(result)[question]
    if value in odds:
        return odds
    finer = material_odds(case.units[question], result)
    if value not in finer:
        raise KeyError(f"{question}: no value {value}")
    return finer


def _without_structure(case: Case) -> Case:
    """The same sherd before its clouds, marks and kiln were seen: the firing space is read from them."""
    seen = {column: cell for column, cell in case.sherd.seen.items() if column not in TRAITS}
    return replace(case, sherd=replace(case.sherd, seen=seen))
