"""Replicas with originals, trait by trait: the spread of the one against the spread of the other.

For each trait the distances between sherds of the two groups are set against those within each group:
excess = mean between - (mean within originals + mean within replicas) / 2, half the energy distance of
Székely & Rizzo (from memory, unverified; CIEDE2000 is no metric, so the excess may be a little below 0).
What chance alone makes of it is told by dealing the sherds out to the two groups anew.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import comb
from typing import Final, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from wareontology.colour.difference import ciede2000
from wareontology.colour.munsell import to_lab
from wareontology.colour.notation import NotMunsell, parse_range
from wareontology.errors import BreaksShape, Fault, OutOfRange
from wareontology.replica.traits import Shares, Trait, mean, overlap, pooled
from wareontology.sherd.record import Row, Seen, Sherd

Floats: TypeAlias = NDArray[np.float64]
Unit: TypeAlias = Literal["CIEDE2000", "share"]

DEALS: Final = 2000
"""So many deals are drawn where there are more than can all be made."""
SEED: Final = 20261125
FEWEST_DEALS: Final = 20
"""With fewer ways to deal the sherds out, chance alone gives anything one time in less than twenty."""
_INTERVAL: Final = (5, 95)
_EVERY: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Spread:
    """Distances of one trait. unit: CIEDE2000 between chips, or the share of words not in common.

    low and high: what holds nine in ten of the excesses that chance alone makes; p: share of deals that make
    the excess or more. reading: `alike so far`, `apart`, or `too few` sherds to say.
    """

    trait: Trait
    unit: Unit
    originals: int
    replicas: int
    between: float
    within_originals: float | None
    within_replicas: float | None
    excess: float | None
    low: float | None
    high: float | None
    p: float | None
    reading: str
    words_originals: Shares
    words_replicas: Shares


def compared(originals: Sequence[Sherd], replicas: Sequence[Sherd]) -> tuple[Spread, ...]:
    """Every trait seen on both, fresh breaks and refired chips first, then what lasts, then what ages.

    Raises BreaksShape where one group is empty or they have no trait in common.
    """
    if not originals or not replicas:
        found = f"{len(originals)} originals and {len(replicas)} replicas"
        raise BreaksShape([Fault("comparison", None, None, found, "one of each, better five")])
    words = pooled(originals), pooled(replicas)
    chips = _chips(originals), _chips(replicas)
    spreads = []
    for trait in words[0]:
        if trait not in words[1]:
            continue
        theirs, ours = words[0][trait], words[1][trait]
        labs = chips[0].get(trait, []), chips[1].get(trait, [])
        if labs[0] and labs[1]:
            matrix, counts, unit = _by_colour(*labs)
        else:
            matrix, counts, unit = _by_words(theirs, ours)
        spreads.append(_spread(trait, matrix, counts, unit, mean(theirs), mean(ours)))
    if not spreads:
        fault = Fault(
            "comparison", None, None, "no trait seen on both", "the same zones and layers described"
        )
        raise BreaksShape([fault])
    return tuple(sorted(spreads, key=lambda one: _order(one.trait)))


def compared_labs(trait: Trait, originals: Sequence[Floats], replicas: Sequence[Floats]) -> Spread:
    """The same for measured colours, L*, a*, b* each."""
    matrix, counts, unit = _by_colour(originals, replicas)
    return _spread(trait, matrix, counts, unit, {}, {})


def _order(trait: Trait) -> tuple[int, str, str, str, int]:
    return (trait.rank(), trait.zone, trait.layer, trait.trait, trait.refired or 0)


def _chips(sherds: Iterable[Sherd]) -> dict[Trait, list[Floats]]:
    """L*, a*, b* of each sherd that has a chip, the mean over its rows of one place."""
    found: dict[Trait, list[Floats]] = {}
    for sherd in sherds:
        rows: dict[Trait, list[Floats]] = {}
        for row in sherd.rows:
            lab = _lab(row)
            if lab is not None:
                rows.setdefault(Trait(row.zone, row.layer, "colour"), []).append(lab)
        for trait, labs in rows.items():
            found.setdefault(trait, []).append(np.mean(labs, axis=0))
    return found


def _lab(row: Row) -> Floats | None:
    cell: Seen | None = row.get("munsell")
    if cell is None or row.get("refire_c") is not None:
        return None
    try:
        ends = [to_lab(chip) for chip in parse_range(cell.text.rstrip("?"))]
    except (NotMunsell, OutOfRange):  # a chip beyond the table has words but no measured colour
        return None
    return np.asarray(np.mean(np.array(ends), axis=0))


def _by_colour(theirs: Sequence[Floats], ours: Sequence[Floats]) -> tuple[Floats, tuple[int, int], Unit]:
    labs = np.array([*theirs, *ours])
    return ciede2000(labs[:, None], labs[None]), (len(theirs), len(ours)), "CIEDE2000"


def _by_words(theirs: Sequence[Shares], ours: Sequence[Shares]) -> tuple[Floats, tuple[int, int], Unit]:
    both = [*theirs, *ours]
    matrix = np.array([[1 - overlap(one, other) for other in both] for one in both])
    return np.maximum(matrix, 0.0), (len(theirs), len(ours)), "share"


def _spread(
    trait: Trait, matrix: Floats, counts: tuple[int, int], unit: Unit, theirs: Mapping[str, float],
    ours: Mapping[str, float],
) -> Spread:  # fmt: skip
    first = np.arange(len(matrix)) < counts[0]
    between = float(matrix[np.ix_(first, ~first)].mean())
    within = [_within(matrix[np.ix_(group, group)]) for group in (first, ~first)]
    low = high = excess = p = None
    reading = "too few"
    if within[0] is not None and within[1] is not None:
        excess = float(_excesses(matrix, first[None])[0])
        dealt = _excesses(matrix, _deals(len(matrix), counts[0]))
        low, high = (float(end) for end in np.percentile(dealt, _INTERVAL))
        p = float((dealt >= excess - _EVERY).mean())
        if comb(len(matrix), counts[0]) >= FEWEST_DEALS:
            reading = "apart" if excess > high + _EVERY else "alike so far"
    return Spread(
        trait, unit, counts[0], counts[1], between, within[0], within[1], excess, low, high, p, reading,
        theirs, ours,
    )  # fmt: skip


def _within(block: Floats) -> float | None:
    """Mean distance of two different sherds of a group; None where there is but one."""
    n = len(block)
    return float(block.sum() / (n * (n - 1))) if n > 1 else None


def _excesses(matrix: Floats, groups: NDArray[np.bool_]) -> Floats:
    """Excess for each way of dealing the sherds out, a row a way."""
    one = groups.astype(float)
    other = 1.0 - one
    n, m = one.sum(axis=1), other.sum(axis=1)
    from_one, from_other = one @ matrix, other @ matrix
    between = (from_one * other).sum(axis=1) / (n * m)
    own = (from_one * one).sum(axis=1) / (n * (n - 1))
    rest = (from_other * other).sum(axis=1) / (m * (m - 1))
    return np.asarray(between - (own + rest) / 2)


def _deals(count: int, first: int) -> NDArray[np.bool_]:
    """Every way to deal `count` sherds out, or DEALS drawn ones with the dealing that is so."""
    if comb(count, first) <= DEALS:
        groups = np.zeros((comb(count, first), count), dtype=bool)
        for row, chosen in enumerate(combinations(range(count), first)):
            groups[row, list(chosen)] = True
        return groups
    generator = np.random.default_rng(SEED)
    order = generator.permuted(np.tile(np.arange(count), (DEALS, 1)), axis=1)
    order[0] = np.arange(count)
    return np.asarray(order < first)
