"""Which other fires and paints would give the look of the originals, by the reasoner."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from wareontology.replica.claim_fields import Form
from wareontology.sherd.record import Sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case, applied_odds, material_odds, regime_odds
from wareontology.technique.likelihoods.model import FIRES
from wareontology.technique.network import Item, Slot
from wareontology.technique.next_test import ALLOWED, Planned, gains_over, plans
from wareontology.technique.posterior import Marginals
from wareontology.technique.units import Unit

Floats = NDArray[np.float64]
Way = tuple[str, str, str | None]
"""Atmosphere, ending and paint material; no paint where none was seen."""

Rank = tuple[float, float, int]
"""Bits a test tells, less harm, earlier sherd: the greatest is the best."""

DRAWS: Final = 200
MOST: Final = 24
"""Originals that are asked: beyond so many the mean hardly moves."""
MOST_DRAWN: Final = 6
"""Of these so many are asked again with the uncertain numbers drawn anew, and for the test that tells."""
_TELLS: Final = 0.005
"""Bits from which on a test is said to tell at all."""


@dataclass(frozen=True, slots=True)
class Claimed:
    """What a claim leaves open of the fire and of its first paint."""

    atmosphere: frozenset[str]
    ending: frozenset[str]
    paint: frozenset[str]
    name: str | None

    def holds(self, way: Way) -> bool:
        """Whether a way is one that the claim claims."""
        atmosphere, ending, paint = way
        return (
            atmosphere in self.atmosphere and ending in self.ending and (paint is None or paint in self.paint)
        )

    def differs(self, way: Way) -> tuple[str, ...]:
        """The questions a rival answers otherwise: atmosphere, ending, paint."""
        atmosphere, ending, paint = way
        apart = {
            "atmosphere": atmosphere not in self.atmosphere,
            "ending": ending not in self.ending,
            "paint": paint is not None and paint not in self.paint,
        }
        return tuple(question for question, other in apart.items() if other)


def claimed(form: Form) -> Claimed:
    """What a claim's form claims. A field it leaves out is left open.

    >>> sorted(claimed({"technique": {"ending": ("sealed",)}}).atmosphere)
    ['neutral', 'oxidising', 'reducing']
    """
    fire = form.get("technique", {})
    paints = [one for one in form.get("layer", ()) if one.get("layer") == "paint"]
    said = paints[0].get("made_of", ()) if paints else ()
    materials = {m for m in h.PAINT for one in said if one in (m, h.family_of(m))}
    return Claimed(
        frozenset(fire.get("atmosphere", h.ATMOSPHERE)),
        frozenset(fire.get("ending", h.ENDING)),
        frozenset(materials or h.PAINT),
        paints[0].get("name") if paints else None,
    )


@dataclass(frozen=True)
class Weighed:
    """Ways with their probability, mean over the sherds: regional, under flat firings, and before the look.

    kept: share of the draws of the uncertain numbers in which the claimed way stays likelier than not.
    """

    odds: Mapping[Way, float]
    flat: Mapping[Way, float]
    prior: Mapping[Way, float]
    kept: float
    count: int

    def claimed(self, by: Claimed) -> tuple[float, float, float]:
        """Probability of the claimed way: regional, flat, before the look."""
        tables = (self.odds, self.flat, self.prior)
        odds, flat, prior = (sum(p for way, p in one.items() if by.holds(way)) for one in tables)
        return float(odds), float(flat), float(prior)


def weighed(sherds: Sequence[Sherd], by: Claimed) -> Weighed:
    """The ways to the look of several sherds, each asked for itself; ways are averaged, not multiplied:
    sherds of one ware share a technique and are no independent witnesses of it."""
    asked = sherds[:MOST]
    tables: dict[str, list[Mapping[Way, float]]] = {"odds": [], "flat": [], "prior": []}
    again = asked[:MOST_DRAWN]
    kept = sum((_drawn(Case.of(sherd, DRAWS), by) for sherd in again), np.zeros(DRAWS)) / len(again)
    for sherd in asked:
        case = Case.of(sherd)
        tables["odds"].append(_ways(case, by, case.items))
        tables["prior"].append(_ways(case, by, ()))
        flat = Case.of(sherd, flat=True)
        tables["flat"].append(_ways(flat, by, flat.items))
    means = {name: _mean(found) for name, found in tables.items()}
    return Weighed(**means, kept=float((kept > 0.5).mean()), count=len(asked))


def _mean(found: Sequence[Mapping[Way, float]]) -> dict[Way, float]:
    ways = dict.fromkeys(way for one in found for way in one)
    return {way: sum(one.get(way, 0.0) for one in found) / len(found) for way in ways}


def _ways(case: Case, by: Claimed, items: Sequence[Item]) -> dict[Way, float]:
    """Joint odds of regime and paint: the evidence with each regime held fast in turn."""
    held = [
        (
            *items,
            Item("sherd", "held", "", {Slot("fire"): np.array([[float(fire[:2] == r) for fire in FIRES]])}),
        )
        for r in h.REGIMES
    ]
    result = case.given(held)
    weight = result.evidence / result.evidence.sum()
    unit = way_case(case, by)
    if unit is None:
        return {(*regime, None): float(w) for regime, w in zip(h.REGIMES, weight, strict=True)}
    odds = material_odds(unit, result)
    return {
        (*regime, material): float(weight[place] * p[place])
        for place, regime in enumerate(h.REGIMES)
        for material, p in odds.items()
    }


def _drawn(case: Case, by: Claimed) -> Floats:
    """In each draw: the lesser of the chance of the claimed regimes and that of the claimed paint."""
    regimes = regime_odds(case.marginals)
    claims = [place for place, r in enumerate(h.REGIMES) if r[0] in by.atmosphere and r[1] in by.ending]
    least = regimes[:, claims].sum(axis=1)
    unit = way_case(case, by)
    if unit is not None:
        odds = material_odds(unit, case.marginals)
        least = np.minimum(least, sum((p for m, p in odds.items() if m in by.paint), np.zeros(1)))
    return np.broadcast_to(least, (DRAWS,))


def way_case(case: Case, by: Claimed) -> Unit | None:
    """The paint of the sherd that the claim's first paint is: the one of its name, else the first fired."""
    paints = case.units.paints
    named = [one for one in paints if by.name is not None and one.key == f"paint:{by.name}"]
    fired = [one for one in paints if float(applied_odds(one, case.prior)["after"][0]) < 0.5]
    return next(iter((*named, *fired)), None)


def rivals(found: Weighed, by: Claimed, least: float) -> list[tuple[Way, float, float]]:
    """Ways that are not claimed, with regional and flat odds, those of at least `least` in one of them."""
    others = [
        (way, found.odds[way], found.flat[way])
        for way in found.odds
        if not by.holds(way) and max(found.odds[way], found.flat[way]) >= least
    ]
    return sorted(others, key=lambda one: (-max(one[1:]), one[0][0], one[0][1], one[0][2] or ""))


def telling(sherds: Sequence[Sherd], by: Claimed, ways: Sequence[Way]) -> list[Mapping[str, Any] | None]:
    """For each rival the allowed test on one of the sherds expected to tell it best from the claimed way.

    gain_bits: between the two alone, as if both were as likely now, over the fire and the paint where the
    rival has others. None where no test tells.
    """
    best: list[tuple[Rank, Planned, Sherd] | None] = [None] * len(ways)
    for place, sherd in enumerate(sherds[:MOST_DRAWN]):
        case = Case.of(sherd)
        planned = [one for one in plans(case) if one.test.needs in ALLOWED[sherd.permission]]
        gained = gains_over(case, planned, lambda here, result: _apart(here, result, by, ways))
        for one, gains in zip(planned, gained, strict=True):
            for number in range(len(ways)):
                gain = gains[2 * number] + gains[2 * number + 1]
                rank = (round(gain, 9), -one.test.harm, -place)
                known = best[number]
                if known is None or rank > known[0]:
                    best[number] = (rank, one, sherd)
    return [None if one is None or one[0][0] < _TELLS else _test(*one) for one in best]


def _test(rank: Rank, one: Planned, sherd: Sherd) -> dict[str, Any]:
    return {
        "sherd": sherd.sherd, "test": one.test.test, "label": one.test.label, "where": one.where,
        "gain_bits": round(rank[0], 4), "destroys": one.test.destroys, "caution": one.test.caution,
        "cost": one.test.cost, "needs_leave": one.test.needs != "looking",
    }  # fmt: skip


def _apart(case: Case, result: Marginals, by: Claimed, ways: Sequence[Way]) -> list[Floats]:
    """For each rival two variables, its fire and its paint, each as two columns: the claimed and the rival's.

    Where the rival has the claimed fire, or paint, the columns are one and the same and tell nothing.
    """
    regimes = regime_odds(result)
    claims = [place for place, r in enumerate(h.REGIMES) if r[0] in by.atmosphere and r[1] in by.ending]
    ours = regimes[:, claims].sum(axis=1)
    unit = way_case(case, by)
    odds = material_odds(unit, result) if unit is not None else {}
    painted = sum((p for m, p in odds.items() if m in by.paint), np.zeros(len(regimes)))
    found = []
    for atmosphere, ending, paint in ways:
        rival = atmosphere not in by.atmosphere or ending not in by.ending
        found.append(_even(ours, regimes[:, h.REGIMES.index((atmosphere, ending))] if rival else ours))
        other = paint is not None and paint not in by.paint and paint in odds
        found.append(_even(painted, odds[paint] if other and paint is not None else painted))
    return found


def _even(ours: Floats, theirs: Floats) -> Floats:
    """Two columns as if both were as likely before the test: each over its value without it."""
    columns = np.stack([ours, theirs], axis=1)
    return columns / np.maximum(columns[:1], 1e-300)
