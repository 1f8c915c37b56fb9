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
_TRAITS_ALIKE: Final = 2  # traits seen on both and alike, without which nothing is said
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
    ours = Layers.of(sherd)
    for tradition in traditions().values() if published is None else published:
        votes = list(_votes(sherd, ours, answer, tradition))
        alike = sum(vote.trait and vote.alike for vote in votes)
        if alike >= _TRAITS_ALIKE and len(votes) >= FEWEST and (fit := _fit(votes)) >= ENOUGH:
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


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer as it is compared. cells: trait to what was seen of it in each zone."""

    cells: Mapping[str, Mapping[str, Seen]]
    colours: tuple[Seen, ...]

    @staticmethod
    def of(rows: Iterable[Row]) -> "Layer":
        own = list(rows)
        coloured = [(row.zone, cell) for row in own if (cell := row.colour()) is not None]
        cells = {"colour": dict(coloured)}
        for trait in _TRAITS:
            cells[trait] = {row.zone: row.seen[trait] for row in own if trait in row.seen}
        said = {trait: by_zone for trait, by_zone in cells.items() if by_zone}
        return Layer(said, tuple(cell for _, cell in coloured))

    @property
    def coloured(self) -> bool:
        return bool(self.colours)

    @property
    def colour(self) -> str:
        """What to call a paint: the word that leads in its colour, the first of the alphabet where two do."""
        words = next((cell.words for cell in self.colours if cell.words), None)
        return "nameless" if words is None else max(sorted(words), key=lambda pair: pair[1])[0]


@dataclass(frozen=True, slots=True)
class Layers:
    """A sherd laid out for comparing."""

    body: Layer
    slip: Layer
    paints: Mapping[str | None, Layer]

    @staticmethod
    def of(sherd: Sherd) -> "Layers":
        paints: dict[str | None, list[Row]] = {}
        for row in sherd.rows_of("paint"):
            paints.setdefault(row.name, []).append(row)
        named = {name: Layer.of(rows) for name, rows in paints.items()}
        return Layers(Layer.of(sherd.rows_of("body")), Layer.of(sherd.rows_of("slip")), named)


@cache
def _described(tradition: Tradition) -> tuple[Layers | None, Mapping[str, frozenset[str]]]:
    there = sherd_of(tradition)
    return None if there is None else Layers.of(there), labels_of(tradition)


def _votes(sherd: Sherd, ours: Layers, answer: Mapping[str, Any], tradition: Tradition) -> Iterator[Vote]:
    there, labels = _described(tradition)
    if there is None:
        return
    yield from _layer("body", ours.body, there.body)
    yield from _layer("slip", ours.slip, there.slip)
    here = ours.slip.coloured
    if here != there.slip.coloured:
        yield Vote("slip", _LACKING, "a slip" if here else "none seen", "none told of" if here else "a slip")
    yield from _paints(ours.paints, there.paints, answer, labels)
    for layer in ("body", "slip"):
        if stated := labels.get(f"materials:{layer}"):
            yield from _conclusion(f"clay of the {layer}", answer["materials"].get(layer), stated)
    for question in _QUESTIONS:
        if stated := labels.get(question):
            yield from _conclusion(question, answer.get(question), stated)
    if sherd.region is not None:
        yield _place(sherd.region, tradition.region)


def _layer(name: str, here: Layer, there: Layer) -> Iterator[Vote]:
    """Traits of one layer, zone by zone where both have the zone, else over all of it."""
    for trait, ours in here.cells.items():
        theirs = there.cells.get(trait)
        if theirs is None:
            continue
        zones = sorted(ours.keys() & theirs.keys())
        pairs = [(ours[zone], theirs[zone]) for zone in zones]
        if not pairs and "break" not in ours and "break" not in theirs:
            pairs = [(ours[min(ours)], theirs[min(theirs)])]
        for mine, other in pairs:
            yield Vote(
                f"{trait.replace('_', ' ')} of the {name}", _common(mine, other), mine.text, other.text, True
            )


def _common(mine: Seen, other: Seen) -> float:
    """Share of words in common; a description that gives a range is met anywhere in it."""
    words = {word for word, _ in other.words}
    return min(sum(share for word, share in mine.words if word in words), 1.0)


def _paints(
    ours: Mapping[str | None, Layer], theirs: Mapping[str | None, Layer], answer: Mapping[str, Any],
    labels: Mapping[str, frozenset[str]],
) -> Iterator[Vote]:  # fmt: skip
    """Paints matched by colour: each of ours with the likest of theirs."""
    left = dict(theirs)
    for name, paint in ours.items():
        likest = max(left, key=lambda other: (_likeness(paint, left[other]), other), default=None)
        if likest is None or _likeness(paint, left[likest]) == 0:
            if paint.coloured:
                yield Vote("paint", _LACKING / 2, f"a {paint.colour} paint", "none like it told of")
            continue
        yield from _layer(f"{paint.colour} paint", paint, left.pop(likest))
        unit = f"paint:{name}" if name else "paint"
        stated = labels.get(f"materials:paint:{likest}" if likest else "materials:paint")
        if stated:
            yield from _conclusion(f"{paint.colour} paint", _paint_odds(answer, unit, stated), stated)
    for paint in left.values():
        if ours and paint.coloured:
            yield Vote("paint", _LACKING, "none like it", f"a {paint.colour} paint too")


def _paint_odds(answer: Mapping[str, Any], unit: str, stated: frozenset[str]) -> Mapping[str, float] | None:
    """Odds of a paint's material, with those of its family where a source names only the family."""
    materials = answer["materials"].get(unit)
    if materials is None:
        return None
    families = set(hypotheses.FAMILY.values())
    return {**materials, **answer["families"].get(unit, {})} if stated & families else materials


def _likeness(mine: Layer, other: Layer) -> float:
    return max((_common(one, two) for one in mine.colours for two in other.colours), default=0.0)


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
