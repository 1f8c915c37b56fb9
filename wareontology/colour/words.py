"""The trade's colour words as soft classes: how far a chip is white, cream, buff, orange, red, brown ...

The words, and the prototype chips that stand for them, are data/colour_words.csv, read on first use.
"""

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from wareontology.colour.difference import ciede2000
from wareontology.colour.munsell import to_lab
from wareontology.colour.notation import Chip, parse
from wareontology.data_rows import rows


@dataclass(frozen=True, slots=True)
class _Prototypes:
    words: tuple[str, ...]
    labs: NDArray[np.float64]
    spreads: NDArray[np.float64]
    """In CIEDE2000 units: the difference at which a prototype's pull has fallen to 0.61."""
    log_weights: NDArray[np.float64]
    starts: NDArray[np.intp]
    """Row where each word's prototypes begin."""


def words() -> tuple[str, ...]:
    """The colour words, in the order of data/colour_words.csv.

    >>> words()[:3]
    ('white', 'cream', 'buff')
    """
    return _prototypes().words


def membership(chip: Chip) -> dict[str, float]:
    """How far a chip is each colour word: shares from 0 to 1 over all words, summing to 1.

    A word pulls by its strongest prototype, weight · exp(-(difference / spread)² / 2) with the CIEDE2000
    difference; the pulls are then made to sum to 1. Changing a chip a little changes the shares a little.
    The classes are soft, as the sources name one chip in different words: a chip says more than its word.
    Words, prototypes, spreads and weights: data/colour_words.csv, each with its basis.

    Raises OutOfRange for a chip beyond the Munsell table (value 1 to 9.5, chroma by hue and value).

    >>> shares = membership(Chip("10YR", 8, 1))
    >>> max(shares, key=shares.get), shares["white"] > 0.5
    ('white', True)
    """
    return dict(zip(words(), _shares(chip), strict=True))


@lru_cache(maxsize=4096)
def _shares(chip: Chip) -> tuple[float, ...]:
    known = _prototypes()
    differences = ciede2000(known.labs, to_lab(chip))
    pulls = known.log_weights - (differences / known.spreads) ** 2 / 2.0
    by_word = np.maximum.reduceat(pulls, known.starts)
    shares = np.exp(by_word - by_word.max())
    return tuple((shares / shares.sum()).tolist())


@cache
def _prototypes() -> _Prototypes:
    table = list(rows("colour_words.csv"))
    order = tuple(dict.fromkeys(row["word"] for row in table))
    table.sort(key=lambda row: order.index(row["word"]))
    starts = [next(i for i, row in enumerate(table) if row["word"] == word) for word in order]
    return _Prototypes(
        words=order,
        labs=np.array([to_lab(parse(row["munsell"])) for row in table]),
        spreads=np.array([float(row["spread"]) for row in table]),
        log_weights=np.log([float(row["weight"]) for row in table]),
        starts=np.array(starts, dtype=np.intp),
    )
