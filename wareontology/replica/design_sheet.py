"""Tiles made ready to fire: blind labels, controls in every firing, and a randomised place in the pit."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from wareontology.replica.design import Trial

CONTROLS: Final = ("bare body", "slip without paint", "a paint of known behaviour, as in every firing")
"""In every firing (common practice): they tell what the fire did where no hypothesis is at stake."""
_LETTERS: Final = "ACDEFHJKLMNPRTUVWXY"
"""Letters that are not taken for each other or for figures when scratched into clay."""
_FIGURES: Final = "34679"
_RING: Final = 6


@dataclass(frozen=True, slots=True)
class Placed:
    """One tile: its blind label, its firing, its place, and what only the key tells."""

    label: str
    firing: str
    place: str
    tile: str
    control: bool


def laid_out(trials: Sequence[Trial], seed: int) -> tuple[Placed, ...]:
    """Every tile and every control with a label that says nothing and a place drawn at random.

    Places are rings about the middle, six in the first, six more in each further one; a firing's tiles are
    dealt out over them. Sorted by firing and place, so that the list tells nothing of the order of choice.
    """
    generator = np.random.default_rng(seed)
    firings = list(dict.fromkeys(trial.firing for trial in trials))
    tiles = [(trial.firing, trial.tile, False) for trial in trials]
    tiles += [(firing, control, True) for firing in firings for control in CONTROLS]
    labels = _labels(len(tiles), generator)
    placed = []
    for firing in firings:
        own = [one for one in range(len(tiles)) if tiles[one][0] == firing]
        places = list(_places(len(own)))
        for one, place in zip(own, generator.permutation(len(places)), strict=True):
            placed.append(
                (
                    firings.index(firing),
                    int(place),
                    Placed(labels[one], firing, places[place], *tiles[one][1:]),
                )
            )
    return tuple(one for *_, one in sorted(placed, key=lambda item: item[:2]))


def _labels(count: int, generator: np.random.Generator) -> list[str]:
    every = [f"{a}{b}{c}" for a in _LETTERS for b in _LETTERS for c in _FIGURES]
    return [every[place] for place in generator.permutation(len(every))[:count]]


def _places(count: int) -> Iterator[str]:
    ring, left = 1, count
    while left > 0:
        here = min(left, _RING * ring)
        yield from (f"ring {ring}, place {place}" for place in range(1, here + 1))
        ring, left = ring + 1, left - here
