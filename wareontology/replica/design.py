"""Which tiles to fire: the set that is expected to tell several hypotheses apart best.

Given a hypothesis the results of tiles are taken as independent. The expected information of a set is then
exact: I = H(hypotheses) - sum over all results of P(result) H(hypotheses | result). It grows less with each
tile added (it is submodular), so that taking the best tile again and again gives at least 1 - 1/e of the best
set (Nemhauser, Wolsey & Fisher 1978, from memory, unverified).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations_with_replacement
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from wareontology.errors import BreaksShape, Fault
from wareontology.technique.limits import limits

Floats: TypeAlias = NDArray[np.float64]

MOST_TILES: Final = 12
"""Tiles beyond this would need more results weighed than is worth it."""
REPEATS: Final = 3
"""So many tiles of one trial at most."""
_SUM: Final = 1e-6


@dataclass(frozen=True, slots=True)
class Trial:
    """A tile in a firing: result to its chance under each hypothesis, in the order of the hypotheses."""

    name: str
    tile: str
    firing: str
    results: Mapping[str, tuple[float, ...]]

    def table(self) -> Floats:
        """Shape (results, hypotheses)."""
        return np.array(list(self.results.values()), dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Question:
    """Hypotheses with their chances before, and the trials that could be made."""

    hypotheses: Mapping[str, float]
    trials: tuple[Trial, ...]

    def chances(self) -> Floats:
        """Chances of the hypotheses, put to a sum of one."""
        given = np.array(list(self.hypotheses.values()), dtype=np.float64)
        return np.asarray(given / given.sum())


@dataclass(frozen=True, slots=True)
class Chosen:
    """Trials in the order they were chosen, the bits expected of each set so far, and the entropy now."""

    trials: tuple[Trial, ...]
    bits: tuple[float, ...]
    entropy: float


def check(question: Question) -> Question:
    """The same question. Raises BreaksShape where it is none that can be designed for.

    >>> check(Question({"A": 1.0}, ()))
    Traceback (most recent call last):
    wareontology.errors.BreaksShape: design, column hypotheses: found '1'; would do: two or more
    """
    count = len(question.hypotheses)
    if count < 2:
        raise _refused("hypotheses", str(count), "two or more")
    if not all(np.isfinite(p) and p > 0 for p in question.hypotheses.values()):
        raise _refused("hypotheses", str(dict(question.hypotheses)), "a chance above 0 for each")
    if not question.trials:
        raise _refused("trials", "none", "one or more")
    for trial in question.trials:
        widths = {len(chances) for chances in trial.results.values()}
        if len(trial.results) < 2 or widths != {count}:
            raise _refused(
                trial.name,
                f"{len(trial.results)} results",
                "two or more, each with a chance for every hypothesis",
            )
        table = trial.table()
        if not np.isfinite(table).all() or (table < 0).any() or np.abs(table.sum(axis=0) - 1).max() > _SUM:
            raise _refused(trial.name, "chances that do not sum to 1", "a sum of 1 under each hypothesis")
    return question


def entropy(chances: Floats) -> float:
    """Bits. >>> entropy(np.array([0.5, 0.5])) gives 1."""
    kept = chances[chances > 0]
    return float(-(kept * np.log2(kept)).sum())


def expected_bits(question: Question, trials: Sequence[Trial]) -> float:
    """Expected information of a set of trials about the hypotheses, bits: 0 to their entropy.

    >>> sure = Trial("t", "tile", "fire", {"black": (1.0, 0.0), "red": (0.0, 1.0)})
    >>> expected_bits(Question({"A": 1, "B": 1}, (sure,)), [sure])
    1.0
    """
    now = question.chances()
    return _bits(_joint(now[None], trials), entropy(now))


def _joint(joint: Floats, trials: Sequence[Trial]) -> Floats:
    """Joint chance of results and hypotheses, shape (results of all, hypotheses)."""
    for trial in trials:
        joint = (joint[:, None] * trial.table()[None]).reshape(-1, joint.shape[1])
    return joint


def _bits(joint: Floats, now: float) -> float:
    total = joint.sum(axis=1)
    seen = total > 0
    after = joint[seen] / total[seen, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        each = -np.where(after > 0, after * np.log2(after), 0.0).sum(axis=1)
    return float(min(max(now - total[seen] @ each, 0.0), now))


def greedy(question: Question, most: int, firings: int | None = None) -> Chosen:
    """Tiles one by one, each the one that adds most; at most `most` (1 to 12), in at most `firings` firings.

    Of equals the first. It stops where no tile adds anything. Raises BreaksShape as `check` does.
    """
    check(question)
    _check_most(most, firings)
    now = question.chances()
    before = entropy(now)
    joint = now[None]
    chosen: list[Trial] = []
    bits: list[float] = []
    while len(chosen) < most:
        open_to = [trial for trial in question.trials if _allowed(trial, chosen, firings)]
        gains = [_bits(_joint(joint, [trial]), before) for trial in open_to]
        if not gains or max(gains) <= (bits[-1] if bits else 0.0) + _SUM:
            break
        best = open_to[int(np.argmax(gains))]
        joint = _merged(_joint(joint, [best]))
        chosen.append(best)
        bits.append(max(gains))
    return Chosen(tuple(chosen), tuple(bits), before)


def _merged(joint: Floats) -> Floats:
    """Results that say the same of the hypotheses taken as one: repeats do not multiply the table."""
    total = joint.sum(axis=1)
    kept = joint[total > 0]
    keys = np.round(kept / kept.sum(axis=1, keepdims=True), 12)
    _, place = np.unique(keys, axis=0, return_inverse=True)
    merged = np.zeros((int(place.max()) + 1, joint.shape[1]))
    np.add.at(merged, place.ravel(), kept)
    return merged


def best(question: Question, most: int, firings: int | None = None) -> Chosen:
    """The very best set, by trying them all: for few trials and few tiles, and as the check on `greedy`.

    Raises BreaksShape where there are more than 100,000 sets to try.
    """
    check(question)
    _check_most(most, firings)
    found: tuple[float, tuple[Trial, ...]] = (0.0, ())
    sets = combinations_with_replacement(question.trials, most)
    for number, chosen in enumerate(sets):
        if number > 100_000:
            raise _refused("trials", "more than 100,000 sets", "fewer trials or fewer tiles")
        repeats = all(chosen.count(trial) <= REPEATS for trial in set_of(chosen))
        if not repeats or (firings is not None and len({trial.firing for trial in chosen}) > firings):
            continue
        bits = expected_bits(question, chosen)
        if bits > found[0] + _SUM:
            found = bits, chosen
    return Chosen(found[1], (found[0],), entropy(question.chances()))


def set_of(trials: Sequence[Trial]) -> list[Trial]:
    """Each trial once, in order."""
    return [trial for place, trial in enumerate(trials) if trial not in trials[:place]]


def _allowed(trial: Trial, chosen: Sequence[Trial], firings: int | None) -> bool:
    if list(chosen).count(trial) >= REPEATS:
        return False
    used = {one.firing for one in chosen}
    return firings is None or trial.firing in used or len(used) < firings


@dataclass(frozen=True, slots=True)
class Reading:
    """What one result of one trial would do to the hypotheses: their chances after, which it refutes and
    which it speaks for."""

    trial: str
    result: str
    chance: float
    after: Mapping[str, float]
    refutes: tuple[str, ...]
    supports: tuple[str, ...]


def readings(question: Question, trials: Sequence[Trial]) -> tuple[Reading, ...]:
    """For every trial and each of its results what would follow from that result alone."""
    now = question.chances()
    names = list(question.hypotheses)
    found = []
    for trial in set_of(trials):
        for result, row in zip(trial.results, trial.table(), strict=True):
            joint = now * row
            chance = float(joint.sum())
            if chance <= 0:
                continue
            after = joint / chance
            ratio = (after / np.maximum(1 - after, 1e-12)) / (now / np.maximum(1 - now, 1e-12))
            refutes = tuple(
                n for n, r in zip(names, ratio, strict=True) if r <= 1 / limits()["design_refutes"]
            )
            supports = tuple(n for n, r in zip(names, ratio, strict=True) if r >= limits()["design_supports"])
            found.append(
                Reading(
                    trial.name,
                    result,
                    chance,
                    dict(zip(names, after.tolist(), strict=True)),
                    refutes,
                    supports,
                )
            )
    return tuple(found)


def _check_most(most: int, firings: int | None) -> None:
    if not 1 <= most <= MOST_TILES:
        raise _refused("tiles", str(most), f"1 to {MOST_TILES}")
    if firings is not None and firings < 1:
        raise _refused("firings", str(firings), "1 or more")


def _refused(column: str, found: str, would_do: str) -> BreaksShape:
    return BreaksShape([Fault("design", None, column, found, would_do)])
