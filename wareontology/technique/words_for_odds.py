"""A probability as a person says it, never with more than two figures."""

from collections.abc import Mapping
from typing import Final

_LADDER: Final = (
    (0.015, "hardly possible"),
    (0.035, "about 1 in 40"),
    (0.075, "about 1 in 20"),
    (0.15, "about 1 in 10"),
    (0.25, "about 2 in 10"),
    (0.35, "about 3 in 10"),
    (0.45, "about 4 in 10"),
    (0.55, "about even"),
    (0.65, "about 6 in 10"),
    (0.75, "about 7 in 10"),
    (0.85, "about 8 in 10"),
    (0.925, "about 9 in 10"),
    (0.965, "about 19 in 20"),
    (0.985, "about 39 in 40"),
)
"""Up to (not including) each probability, the words for it; the words are a choice of style, not a fact."""


def odds_words(p: float) -> str:
    """A probability from 0 to 1 in words. Raises ValueError outside it.

    >>> odds_words(0.71), odds_words(0.93), odds_words(0.995)
    ('about 7 in 10', 'about 19 in 20', 'nearly certain')
    """
    if not 0.0 <= p <= 1.0:
        raise ValueError(f"found a probability of {p!r}; would do: 0 to 1")
    return next((words for below, words in _LADDER if p < below), "nearly certain")


def ranked(odds: Mapping[str, float]) -> list[tuple[str, float]]:
    """Values with the likeliest first; of equals the first by name.

    >>> ranked({"sealed": 0.3, "in-air": 0.3, "smudged": 0.4})
    [('smudged', 0.4), ('in-air', 0.3), ('sealed', 0.3)]
    """
    return sorted(odds.items(), key=lambda pair: (-pair[1], pair[0]))


def together(odds: Mapping[str, float], values: tuple[str, ...]) -> float:
    """Probability of any of some values, kept from passing 1 by rounding.

    >>> together({"reducing": 0.6, "neutral": 0.3, "oxidising": 0.1}, ("reducing", "neutral"))
    0.9
    """
    return min(1.0, round(sum(odds.get(value, 0.0) for value in values), 12))
