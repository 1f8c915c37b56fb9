"""Heat told without a meter: cones and words for a glow, with how far either may be out."""

from collections.abc import Mapping
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType
from typing import Final

from wareontology.data_rows import rows

CONE_GIVE_OR_TAKE_C: Final = 20.0
GLOW_GIVE_OR_TAKE_C: Final = 75.0
_FASTEST_FIRST: Final = ("small_300C_h", "old_large_150C_h", "ssb_150C_h", "ssb_60C_h", "ssb_15C_h")
"""An open fire heats faster than any column: the fastest that a cone has is taken."""


def cone_c(cone: str) -> float | None:
    """Temperature at which a cone falls, °C, 20 either way; None for one that is not in the table.

    Taken at the fastest heating that is published for it (data/cones.csv). In a fire that heats by tens of
    degrees a minute it falls later still, so it reads low.

    >>> cone_c("010"), cone_c("4"), cone_c("99")
    (919.0, 1186.0, None)
    """
    return cones().get(cone.strip().lower().removeprefix("cone").strip())


def glow_c(words: str) -> float | None:
    """Temperature of a pot from the words for its glow, °C, 75 either way; None for words not in the table.

    >>> glow_c("Cherry red"), glow_c("mauve")
    (740.0, None)
    """
    return _glows().get(" ".join(words.casefold().split()))


def glow_words() -> tuple[str, ...]:
    """The words of the table, coolest first.

    >>> glow_words()[1]
    'dark red'
    """
    return tuple(row["word"] for row in rows("glow_words.csv"))


def near_cones(text: str) -> tuple[str, ...]:
    """Cones named like it, or some of each end."""
    return tuple(get_close_matches(text.strip(), tuple(cones()), 3, 0.5)) or ("022", "010", "4")


def near_glows(text: str) -> tuple[str, ...]:
    """Words like those, or all of the table."""
    return tuple(get_close_matches(text.casefold().strip(), glow_words(), 2, 0.5)) or glow_words()


@cache
def cones() -> Mapping[str, float]:
    """Every cone with its temperature, coolest first."""
    found = {}
    for row in rows("cones.csv"):
        found[row["cone"]] = next(float(row[column]) for column in _FASTEST_FIRST if row[column])
    return MappingProxyType(found)


@cache
def _glows() -> Mapping[str, float]:
    return {
        word: float(row["temperature_c"])
        for row in rows("glow_words.csv")
        for word in (row["word"], *row["alternates"].split("|"))
        if word
    }
