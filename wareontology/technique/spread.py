"""How far the odds of a sherd run when the uncertain numbers are drawn anew."""

from collections.abc import Mapping
from typing import Final

import numpy as np

from wareontology.sherd.record import Sherd
from wareontology.technique.case import Case, Odds, family_odds, material_odds, whole_odds
from wareontology.technique.likelihoods.tables import DRAWS

SHARES: Final = (0.1, 0.9)
"""The spread runs from the draw that a tenth lie below to the one that a tenth lie above."""

Spread = Mapping[str, Mapping[str, tuple[float, float]]]


def spread(sherd: Sherd, draws: int = DRAWS) -> Spread:
    """(low, high) of every value of every question over the draws; the same draws as `robust` in the answer.

    See `spread_of`.
    """
    return spread_of(Case.of(sherd, draws))


def spread_of(case: Case) -> Spread:
    """The spread of a case under its draws.

    Questions are the fire's (atmosphere, ending, temperature, space, structure), each unit's materials, and
    for a paint its families too.
    """
    result = case.marginals
    whole = whole_odds(case.model, case.sherd, result)
    found = {question: _ranges(odds) for question, odds in whole.items()}
    for unit in case.units.all():
        found[unit.key] = _ranges(material_odds(unit, result))
    for unit in case.units.paints:
        found[unit.key] = {**found[unit.key], **_ranges(family_odds(unit, result))}
    return found


def _ranges(odds: Odds) -> dict[str, tuple[float, float]]:
    ranges = {}
    for value, drawn in odds.items():
        low, high = np.quantile(drawn, SHARES)
        ranges[value] = (float(low), float(high))
    return ranges
