"""How the classes and the tree of a network are laid out, so that what is alike is worked through once.

Classes of fires with the same priors and the same local histories differ in their air alone: they are one
*row*. Rows whose local histories are the same share every likelihood of what was seen: they are one *course*.
All of it follows from the shape of a network and none of it from its numbers, and is kept.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np
from numpy.typing import NDArray

Places = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Stretch:
    """The rows that share all priors. prior: their place there; rows: where they lie; courses: theirs."""

    prior: int
    rows: slice
    courses: slice | Places


@dataclass(frozen=True, slots=True)
class Layout:
    """row_of: row of each class. order: classes in the order of their rows; starts: where each row begins in
    it. course_of: course of each row. history: shape (courses, states of the air)."""

    row_of: Places
    order: Places
    starts: Places
    course_of: Places
    history: Places
    stretches: tuple[Stretch, ...]


def layout(history: Places, prior_of: Places, apart: bool) -> Layout:
    """The layout of classes with these local histories (classes, states of the air) and places of priors.

    apart: keep every class as a row and a course of its own.
    """
    rows = tuple(map(tuple, history.tolist()))
    return _layout(rows, tuple(prior_of.tolist()), apart)


@lru_cache(maxsize=64)
def _layout(history: tuple[tuple[int, ...], ...], prior_of: tuple[int, ...], apart: bool) -> Layout:
    keys = [
        (prior, own, place if apart else 0)
        for place, (prior, own) in enumerate(zip(prior_of, history, strict=True))
    ]
    rows = sorted(dict.fromkeys(keys), key=lambda key: key[0])
    courses = list(dict.fromkeys(key[1:] for key in rows))
    row_of = np.array([rows.index(key) for key in keys])
    order = np.argsort(row_of, kind="stable")
    course_of = np.array([courses.index(key[1:]) for key in rows])
    return Layout(
        row_of,
        order,
        np.searchsorted(row_of[order], np.arange(len(rows))),
        course_of,
        np.array([own for own, _ in courses]),
        tuple(_stretches([prior for prior, *_ in rows], course_of)),
    )


def _stretches(priors: Sequence[int], course_of: Places) -> list[Stretch]:
    found = []
    for prior in dict.fromkeys(priors):
        first = priors.index(prior)
        rows = slice(first, first + priors.count(prior))
        courses = course_of[rows]
        run = slice(int(courses[0]), int(courses[0]) + len(courses))
        side_by_side = np.array_equal(courses, np.arange(run.start, run.stop))
        found.append(Stretch(prior, rows, run if side_by_side else courses))
    return found


def subset_index(history: Places, zones: int) -> Places:
    """For each course and own air state: rows of the subset table, a zone a place (last row = nothing)."""
    return _subset_index(tuple(map(tuple, history.tolist())), zones)


@lru_cache(maxsize=64)
def _subset_index(history: tuple[tuple[int, ...], ...], zones: int) -> Places:
    states = list(product(range(len(history[0])), repeat=zones))
    size = 2**zones
    index = np.full((zones, len(history), len(states)), -1)
    for place, own in enumerate(history):
        for number, state in enumerate(states):
            members: dict[int, int] = {}
            for bit, air in enumerate(state):
                members[own[air]] = members.get(own[air], 0) | 1 << bit
            for slot, (went_through, subset) in enumerate(members.items()):
                index[slot, place, number] = went_through * size + subset
    return index


Tree = tuple[tuple[str, str | None], ...]
"""Each unit and what it lies on."""


@lru_cache(maxsize=256)
def groups(tree: Tree, key: str, contrasts: frozenset[tuple[str, str]]) -> tuple[tuple[str, ...], ...]:
    """Children of a unit, those linked by a contrast together."""
    found: list[set[str]] = []
    for child in (unit for unit, ground in tree if ground == key):
        linked = [
            group for group in found if any({(child, other), (other, child)} & contrasts for other in group)
        ]
        merged = {child}.union(*linked)
        found = [group for group in found if group not in linked] + [merged]
    return tuple(tuple(sorted(group)) for group in found)


Blocks = tuple[tuple[str, ...], ...]


@lru_cache(maxsize=256)
def partitions(
    group: tuple[str, ...], contrasts: frozenset[tuple[str, str]]
) -> tuple[tuple[Blocks, tuple[tuple[int, int], ...]], ...]:
    """Ways of tying units together by subsets of the contrasting pairs, with (number of pairs, how many)."""
    pairs = [(a, b) for a in group for b in group if a < b and {(a, b), (b, a)} & contrasts]
    found: dict[Blocks, dict[int, int]] = {}
    for chosen in product((False, True), repeat=len(pairs)):
        block_of = {key: {key} for key in group}
        for take, (a, b) in zip(chosen, pairs, strict=True):
            if take and block_of[a] is not block_of[b]:
                merged = block_of[a] | block_of[b]
                for key in merged:
                    block_of[key] = merged
        blocks = tuple(sorted({tuple(sorted(block)) for block in block_of.values()}))
        terms = found.setdefault(blocks, {})
        terms[sum(chosen)] = terms.get(sum(chosen), 0) + 1
    return tuple((blocks, tuple(terms.items())) for blocks, terms in found.items())
