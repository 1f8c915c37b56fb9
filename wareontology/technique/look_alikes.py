"""Which published traditions a sherd looks like: what is seen on both, and how well the answer fits.

Only stated fields count. Each trait and each conclusion that both have is one vote between 0 and 1: for a
trait the share of words they have in common, for a conclusion the odds the answer gives to what was stated. A
slip or a paint that only one of the two has votes low. The fit is the geometric mean of the votes and of two
doubtful ones, so that one flat contradiction weighs and a few votes say less than many. It is a likeness, not
a probability that the sherd is of that ware, and published wares are not a random sample of pottery.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from math import exp, log
from typing import Any, Final

from wareontology.graph.traditions import Tradition, traditions
from wareontology.graph.vocabulary import region_path
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.technique import hypotheses
from wareontology.technique.tradition_sherd import labels_of, sherd_of

MOST: Final = 3
ENOUGH: Final = 0.35
"""Least fit that is shown (judgement): below it a tradition is no look-alike."""
FEWEST: Final = 3
"""Votes without which nothing is said: a white slip alone looks like half the world."""
_FLOOR: Final = 0.02  # one flat contradiction lowers a fit, it does not end it: descriptions err too
_DOUBT: Final = (0.5, 0.5)
_LACKING: Final = 0.4  # a paint that only one of the two has: a sherd may lack what its ware had
_AGREE: Final = 0.5
_ELSEWHERE: Final = 0.7  # of the same world only
_TRAITS: Final = (
    "edge",
    "relief",
    "lustre",
    "sintered",
    "finish",
    "core",
    "patches",
    "rubs_off",
    "refire_colour",
)
_QUESTIONS: Final = ("atmosphere", "ending", "space")


@dataclass(frozen=True, slots=True)
class Vote:
    """One thing compared: what it is, how well it agrees (0 to 1), and the words on either side."""

    what: str
    agrees: float
    here: str
    there: str
    trait: bool = False
    """Whether it was seen, and not concluded."""

    @property
    def alike(self) -> bool:
        return self.agrees >= _AGREE or self.here in self.there.split(" or ")


def look_alikes(
    sherd: Sherd, answer: Mapping[str, Any], published: Iterable[Tradition] | None = None, most: int = MOST
) -> list[dict[str, Any]]:
    """The nearest traditions, likest first, with why and what differs; empty where none fits.

    answer: keys `materials`, `families` and the questions of a whole answer.

    >>> look_alikes(Sherd("K 1", None, {}, ()), {"materials": {}, "families": {}})
    []
    """
    found = []
    for tradition in traditions().values() if published is None else published:
        votes = list(_votes(sherd, answer, tradition))
        alike = any(vote.trait and vote.alike for vote in votes)
        if alike and len(votes) >= FEWEST and (fit := _fit(votes)) >= ENOUGH:
            found.append((fit, tradition, votes))
    found.sort(key=lambda one: (-one[0], one[1].id))
    return [_shown(fit, tradition, votes) for fit, tradition, votes in found[:most]]


def _fit(votes: list[Vote]) -> float:
    shares = [*(max(vote.agrees, _FLOOR) for vote in votes), *_DOUBT]
    return exp(sum(map(log, shares)) / len(shares))


def _shown(fit: float, tradition: Tradition, votes: list[Vote]) -> dict[str, Any]:
    return {
        "tradition": tradition.id,
        "label": tradition.label,
        "region": tradition.region,
        "fit": round(fit, 3),
        "why": "; ".join(f"{vote.what}: {vote.there}" for vote in votes if vote.alike),
        "differs": "; ".join(
            f"{vote.what}: {vote.there} there, {vote.here} here" for vote in votes if not vote.alike
        ),
    }


@cache
def _described(tradition: Tradition) -> tuple[Sherd | None, Mapping[str, frozenset[str]]]:
    return sherd_of(tradition), labels_of(tradition)


def _votes(sherd: Sherd, answer: Mapping[str, Any], tradition: Tradition) -> Iterator[Vote]:
    there, labels = _described(tradition)
    if there is None:
        return
    for layer in ("body", "slip"):
        yield from _layer(layer, list(sherd.rows_of(layer)), list(there.rows_of(layer)))
    if bool(_seen(sherd, "slip")) != bool(_seen(there, "slip")):
        here = bool(_seen(sherd, "slip"))
        yield Vote("slip", _LACKING, "a slip" if here else "none seen", "none told of" if here else "a slip")
    yield from _paints(sherd, there, answer, labels)
    for layer in ("body", "slip"):
        if stated := labels.get(f"materials:{layer}"):
            yield from _conclusion(f"clay of the {layer}", answer["materials"].get(layer), stated)
    for question in _QUESTIONS:
        if stated := labels.get(question):
            yield from _conclusion(question, answer.get(question), stated)
    if sherd.region is not None:
        yield _place(sherd.region, tradition.region)


def _seen(sherd: Sherd, layer: str) -> list[Row]:
    return [row for row in sherd.rows_of(layer) if row.colour() is not None]


def _layer(name: str, here: list[Row], there: list[Row]) -> Iterator[Vote]:
    """Traits of one layer, zone by zone where both have the zone, else over all of it."""
    if not here or not there:
        return
    for trait in ("colour", *_TRAITS):
        ours = {row.zone: cell for row in here if (cell := _cell(row, trait)) is not None}
        theirs = {row.zone: cell for row in there if (cell := _cell(row, trait)) is not None}
        zones = sorted(ours.keys() & theirs.keys())
        pairs = [(ours[zone], theirs[zone]) for zone in zones]
        if not pairs and ours and theirs and "break" not in ours.keys() | theirs.keys():
            pairs = [(ours[min(ours)], theirs[min(theirs)])]
        for mine, other in pairs:
            yield Vote(
                f"{trait.replace('_', ' ')} of the {name}", _common(mine, other), mine.text, other.text, True
            )


def _cell(row: Row, trait: str) -> Seen | None:
    return row.colour() if trait == "colour" else row.get(trait)


def _common(mine: Seen, other: Seen) -> float:
    """Share of words in common; a description that gives a range is met anywhere in it."""
    words = {word for word, _ in other.words}
    return min(sum(share for word, share in mine.words if word in words), 1.0)


def _paints(
    sherd: Sherd, there: Sherd, answer: Mapping[str, Any], labels: Mapping[str, frozenset[str]]
) -> Iterator[Vote]:
    """Paints matched by colour: each of ours with the likest of theirs."""
    ours, theirs = _by_name(sherd), _by_name(there)
    left = dict(theirs)
    for name, rows in ours.items():
        likest = max(left, key=lambda other: (_likeness(rows, left[other]), other), default=None)
        if likest is None or _likeness(rows, left[likest]) == 0:
            if any(row.colour() for row in rows):
                yield Vote("paint", _LACKING / 2, f"a {_colours(rows)} paint", "none like it told of")
            continue
        yield from _layer(f"{_colours(rows)} paint", rows, left.pop(likest))
        unit = f"paint:{name}" if name else "paint"
        stated = labels.get(f"materials:paint:{likest}" if likest else "materials:paint")
        if stated:
            yield from _conclusion(f"{_colours(rows)} paint", _paint_odds(answer, unit, stated), stated)
    for rows in left.values():
        if ours and any(row.colour() for row in rows):
            yield Vote("paint", _LACKING, "none like it", f"a {_colours(rows)} paint too")


def _paint_odds(answer: Mapping[str, Any], unit: str, stated: frozenset[str]) -> Mapping[str, float] | None:
    """Odds of a paint's material, with those of its family where a source names only the family."""
    materials = answer["materials"].get(unit)
    if materials is None:
        return None
    families = set(hypotheses.FAMILY.values())
    return {**materials, **answer["families"].get(unit, {})} if stated & families else materials


def _by_name(sherd: Sherd) -> dict[str | None, list[Row]]:
    found: dict[str | None, list[Row]] = {}
    for row in sherd.rows_of("paint"):
        found.setdefault(row.name, []).append(row)
    return found


def _likeness(mine: list[Row], other: list[Row]) -> float:
    pairs = [(one.colour(), two.colour()) for one in mine for two in other]
    return max((_common(one, two) for one, two in pairs if one is not None and two is not None), default=0.0)


def _colours(rows: list[Row]) -> str:
    """What to call a paint: the word that leads in its colour, the first of the alphabet where two do."""
    cells = [cell for row in rows if (cell := row.colour()) is not None and cell.words]
    return max(sorted(cells[0].words), key=lambda pair: pair[1])[0] if cells else "nameless"


def _conclusion(what: str, odds: Mapping[str, float] | None, stated: frozenset[str]) -> Iterator[Vote]:
    if odds:
        likest = max(odds, key=lambda value: odds[value])
        yield Vote(what, min(sum(odds.get(value, 0.0) for value in stated), 1.0), likest, _either(stated))


def _either(values: Iterable[str]) -> str:
    return " or ".join(sorted(values))


def _place(here: str, there: str) -> Vote:
    """One region, or one within the other; of the same world only otherwise."""
    near = there in region_path(here) or here in region_path(there)
    return Vote("region", 1.0 if near else _ELSEWHERE, here, there)
