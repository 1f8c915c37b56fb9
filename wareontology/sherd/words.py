"""Words as a person types them in a cell, and which values of a column they mean."""

import re
from collections.abc import Callable, Iterable
from difflib import get_close_matches
from functools import lru_cache
from typing import Final

from wareontology.sherd.columns import Column

_BETWEEN: Final = re.compile(r"\s*(?:/|–|—|\bto\b)\s*", re.IGNORECASE)
_LISTED: Final = re.compile(r"\s*(?:[,;/+&]|\band\b)\s*", re.IGNORECASE)
_OPEN_ENDS: Final = "-–—_/,;+&"
"""A cell that starts or ends with one of these was not written to its end."""
_MOST_PARTS: Final = 24
"""A cell of more parts than this is no list of words."""
LONGEST: Final = 200
"""Nor is a cell of more characters; both bound the time and memory spent on one cell."""

_ALIKE: Final = {
    "no": ("no", "n", "none", "absent", "false"),
    "yes": ("yes", "y", "true"),
    "none": ("none", "no", "absent"),
}
"""What may be typed for a plain yes, no or none, where the column has that value."""


@lru_cache(maxsize=65536)
def resolve(column: Column, text: str) -> str | None:
    """The value of a column that was meant: its own words first, then labels and alternate labels.

    Case, spaces, hyphens and underscores do not matter.

    >>> from wareontology.sherd.columns import column
    >>> resolve(column("relief"), "Soaked in"), resolve(column("slakes"), "N"), resolve(column("edge"), "x")
    ('soaked-in', 'no', None)
    """
    known = _known(column).get(_key(text))
    if known is not None or not _key(text):
        return known
    from wareontology.graph import vocabulary

    for scheme in column.schemes:
        try:
            found = vocabulary.resolve(scheme, text)
        except KeyError:  # a column whose own words are all there is
            continue
        if found is not None and (found in column.choices or not column.choices):
            return found
    return None


def between(column: Column, text: str) -> tuple[str, ...] | None:
    """The values of a range (`cream-buff`, `cream to buff`, `cream/buff`), or the one value.

    The whole text is tried first, so that a value written with a hyphen is never split; then the parts
    between strokes, dashes and `to`; then each way of parting at hyphens. None where a part is no value.

    >>> from wareontology.sherd.columns import column
    >>> between(column("colour"), "brown-black"), between(column("relief"), "soaked-in-flat")
    (('brown', 'black'), ('soaked-in', 'flat'))
    """
    if len(text) > LONGEST or text.strip(_OPEN_ENDS) != text:
        return None
    whole = resolve(column, text)
    if whole is not None:
        return (whole,)
    return _each(column, _BETWEEN.split(text), lambda part: part.split("-"), "-")


def listed(column: Column, text: str) -> tuple[str, ...] | None:
    """The values of a list (`interior exterior`, `interior, break`), in the column's order.

    >>> from wareontology.sherd.columns import column
    >>> listed(column("looked"), "outer margin exterior, break")
    ('exterior', 'break', 'outer-margin')
    """
    if len(text) > LONGEST or text.strip(_OPEN_ENDS) != text:
        return None
    whole = resolve(column, text)
    if whole is not None:
        return (whole,)
    found = _each(column, filter(None, _LISTED.split(text)), str.split, " ")
    return found and tuple(sorted(found, key=column.choices.index))


def nearest(column: Column, text: str) -> tuple[str, ...]:
    """Values spelt most like what was typed, likest first; empty where none is near.

    >>> from wareontology.sherd.columns import column
    >>> nearest(column("lustre"), "glosy")
    ('glossy',)
    """
    if len(text) > LONGEST:
        return ()
    own = get_close_matches(_key(text), _known(column), n=3, cutoff=0.6)
    found = [_known(column)[name] for name in own]
    if not found:
        from wareontology.graph import vocabulary

        for scheme in column.schemes:
            try:
                found += vocabulary.nearest(scheme, text)
            except KeyError:
                continue
    return tuple(dict.fromkeys(word for word in found if word in column.choices or not column.choices))[:3]


def _each(
    column: Column, parts: Iterable[str], cut: Callable[[str], list[str]], joint: str
) -> tuple[str, ...] | None:
    found: list[str] = []
    for part in parts:
        words = _parted(column, cut(part), joint)
        if words is None:
            return None
        found += words
    return tuple(dict.fromkeys(found)) or None


def _parted(column: Column, pieces: list[str], joint: str) -> list[str] | None:
    """Pieces joined into values, the longest first; None where some piece belongs to no value."""
    if not pieces or len(pieces) > _MOST_PARTS:
        return None
    ways: list[list[str] | None] = [None] * len(pieces) + [[]]  # ways[i]: the pieces from i on, as values
    for start in range(len(pieces) - 1, -1, -1):
        for end in range(len(pieces), start, -1):
            rest = ways[end]
            word = resolve(column, joint.join(pieces[start:end])) if rest is not None else None
            if word is not None and rest is not None:
                ways[start] = [word, *rest]
                break
    return ways[0]


@lru_cache(maxsize=256)
def _known(column: Column) -> dict[str, str]:
    known = {_key(alike): value for value in column.choices for alike in _ALIKE.get(value, ())}
    return known | {_key(choice): choice for choice in column.choices}


def _key(text: str) -> str:
    return "-".join(text.casefold().replace("-", " ").replace("_", " ").split())
