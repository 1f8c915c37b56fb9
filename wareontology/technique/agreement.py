"""How far two observers saw the same on the same sherds, trait by trait: which traits to trust."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final

from wareontology.sherd.columns import ABOUT, columns
from wareontology.sherd.compare import place_of
from wareontology.sherd.record import Seen, Sherd
from wareontology.technique.scoring import wilson

KINDS: Final = ("word", "colour", "munsell")
"""Kinds of columns whose cells come down to one word, which two observers may share."""

Pair = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Agreement:
    """Two observers on one trait.

    both: cells that both saw as one word. one: cells that only one of them looked at. unclear: cells that
    either saw as more than one word or in doubt; they are not counted. kappa: agreement beyond what their own
    frequencies would give by chance (Cohen 1960), None where chance alone would make them agree always.
    """

    observers: Pair
    column: str
    both: int
    same: int
    one: int
    unclear: int
    low: float
    high: float
    kappa: float | None

    @property
    def share(self) -> float:
        """Share of the cells seen by both on which they agree."""
        return self.same / self.both


def agreements(sherds: Iterable[Sherd]) -> list[Agreement]:
    """Every pair of observers and trait with at least one cell that both saw, the weakest agreement first."""
    by_sherd: dict[str, dict[str, Sherd]] = {}
    for sherd in sherds:
        by_sherd.setdefault(sherd.sherd, {})[sherd.observer or ""] = sherd
    cells: dict[tuple[Pair, str], list[tuple[Seen | None, Seen | None]]] = {}
    for seen in by_sherd.values():
        for first, second in combinations(sorted(seen), 2):
            for column, one, other in _cells(seen[first], seen[second]):
                cells.setdefault(((first, second), column), []).append((one, other))
    found = [_agreement(pair, column, seen) for (pair, column), seen in cells.items()]
    counted = [one for one in found if one is not None]
    return sorted(counted, key=lambda one: (one.share, one.column, one.observers))


def kappa(pairs: Sequence[Pair]) -> float | None:
    """Cohen's kappa of two observers' words; None where both only ever used one and the same word.

    >>> kappa([("soft", "soft"), ("soft", "sharp"), ("sharp", "sharp"), ("sharp", "sharp")])
    0.5
    """
    n = len(pairs)
    same = sum(one == other for one, other in pairs)
    first, second = [one for one, _ in pairs], [other for _, other in pairs]
    chance = sum(first.count(word) * second.count(word) for word in sorted(set(first)))
    if chance == n * n:
        return None
    return round((same * n - chance) / (n * n - chance), 12)


def _cells(one: Sherd, other: Sherd) -> list[tuple[str, Seen | None, Seen | None]]:
    traits = [column for column in columns() if column.kind in KINDS and column.name not in ABOUT]
    names = [column.name for column in traits if column.of != "sherd"]
    whole = [column.name for column in traits if column.of == "sherd"]
    rows, others = ({place_of(row): row.seen for row in each.rows} for each in (one, other))
    found = [(name, one.seen.get(name), other.seen.get(name)) for name in whole]
    for place in dict.fromkeys((*rows, *others)):
        mine, theirs = rows.get(place, {}), others.get(place, {})
        found += [(name, mine.get(name), theirs.get(name)) for name in names]
    return [cell for cell in found if cell[1] is not None or cell[2] is not None]


def _agreement(pair: Pair, column: str, cells: Sequence[tuple[Seen | None, Seen | None]]) -> Agreement | None:
    seen = [(one, other) for one, other in cells if one is not None and other is not None]
    words = [(one.word(), other.word()) for one, other in seen]
    clear = [(one, other) for one, other in words if one is not None and other is not None]
    if not clear:
        return None
    same = sum(one == other for one, other in clear)
    low, high = wilson(same, len(clear))
    one_only, unclear = len(cells) - len(seen), len(seen) - len(clear)
    return Agreement(pair, column, len(clear), same, one_only, unclear, low, high, kappa(clear))
