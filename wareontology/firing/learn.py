"""A potter's own firings weigh the ensemble: what is not known of their paint, charcoal and cover, narrower.

Each simulated firing counts by how well it explains what was seen (importance weights). A law is the same in
every firing of a set, and in all firings learned from, so sets are weighed by all firings together, and the
fires within a set by their own. Where no simulated firing explains what was seen, nothing is learned and it
is said why.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from wareontology.errors import BreaksShape, Fault
from wareontology.firing import evidence, uncertain
from wareontology.firing.evidence import Piece
from wareontology.firing.log import Log
from wareontology.firing.outcome_read import Seen
from wareontology.firing.simulate import Simulation, quantile
from wareontology.redox.arrays import Floats, floats

DERIVED: Final = {
    "sealing_length_m": "how far oxygen must go into the paint (grain and sealing)",
    "at_cover_c": "heat of the load when it was covered",
}
"""What follows from the inputs and is shown with them; no range of its own is passed on."""


@dataclass(frozen=True, slots=True)
class Fired:
    """One firing to learn from: its simulation, what was seen, and its log, if there is one."""

    simulation: Simulation
    seen: tuple[Seen, ...]
    log: Log | None = None


@dataclass(frozen=True, slots=True)
class Moved:
    """One number not known, before and after: value, low and high are its middle and 5 and 95 in a hundred.

    shift: largest distance between its cumulative shares before and after, 0 to 1. of: the range it narrows,
    "" for what is derived. own: low, likeliest and high of the range to go on with, None where the shift may
    be luck. A law goes on as it was learned; what differs from fire to fire goes on mixed with what is
    usual.
    """

    name: str
    words: str
    before: Mapping[str, float]
    after: Mapping[str, float]
    shift: float
    is_law: bool
    weak: bool
    of: str
    own: tuple[float, float, float] | None


@dataclass(frozen=True, slots=True)
class Learned:
    """What was learned. refused: why nothing was, "" otherwise; then `after` is as `before`.

    before, after: the simulations, one a firing. pieces: its evidence, one tuple a firing. members, sets:
    effective sample sizes, of the firing that has least, and of the sets of laws. missed_bits: by how much
    the best simulated firing misses each piece, on the mean.
    """

    before: tuple[Simulation, ...]
    after: tuple[Simulation, ...]
    pieces: tuple[tuple[Piece, ...], ...]
    members: float
    sets: float
    missed_bits: float
    moved: tuple[Moved, ...]
    refused: str


def learn(fired: Sequence[Fired]) -> Learned:
    """What one or several firings of one potter teach. BreaksShape where nothing was seen that speaks.

    All simulations must share seed and sets (their laws are then the same draws).

    >>> from wareontology.firing.outcome_read import from_text
    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.simulate import simulate
    >>> before = simulate(example("covered-pit"), 1000)
    >>> found = learn([Fired(before, from_text("place,zone,colour\\nmid,outside,black\\n"))])
    >>> round(float(found.after[0].weights.sum()), 9), found.refused
    (1.0, '')
    >>> found.after[0].chance()[0] > before.chance()[0]
    True
    """
    before = tuple(one.simulation for one in fired)
    _hold_alike(before)
    told = tuple(evidence.pieces(one.simulation, one.seen, one.log) for one in fired)
    if not any(told):
        would_do = "a colour, smoke or softness at a place, or a log with heat at a place"
        raise BreaksShape([Fault("learn", None, None, "nothing that speaks", would_do)])
    fits = [sum((piece.log_likelihood for piece in one), np.zeros(before[0].members)) for one in told]
    weights = weigh([floats(fit) for fit in fits], before[0].sets)
    by_set = weights[0].reshape(before[0].sets, -1).sum(axis=1)
    members, sets = min(effective(one) for one in weights), effective(by_set)
    missed = _missed(told, fits)
    refused = _refused(told, fits, members, sets, missed)
    after = before if refused else tuple(
        replace(one, weights=weight) for one, weight in zip(before, weights, strict=True)
    )  # fmt: skip
    moved = () if refused else _moved(before, after, members, sets)
    return Learned(before, after, told, members, sets, missed, moved, refused)


def weigh(log_likelihoods: Sequence[Floats], sets: int) -> list[Floats]:
    """Weights of the members of each firing, each summing to 1, from their log likelihoods.

    A set counts by the product over firings of the mean likelihood of its fires; a fire within its set by its
    own.

    >>> weigh([np.log([1.0, 3, 2, 2])], 2)[0].round(3)
    array([0.125, 0.375, 0.25 , 0.25 ])
    """
    shares, of_set = [], np.zeros(sets)
    for one in log_likelihoods:
        rows = one.reshape(sets, -1)
        top = rows.max(axis=1, keepdims=True)
        likely = np.exp(rows - top)
        total = likely.sum(axis=1, keepdims=True)
        shares.append(likely / total)
        of_set = of_set + (top + np.log(total / rows.shape[1]))[:, 0]
    whole = np.exp(of_set - of_set.max())
    whole /= whole.sum()
    return [floats((share * whole[:, np.newaxis]).ravel()) for share in shares]


def effective(weights: Floats) -> float:
    """Effective sample size: how many evenly weighted draws tell as much.

    >>> effective(np.full(8, 1 / 8)), effective(np.array([1.0, 0, 0]))
    (8.0, 1.0)
    """
    return float(weights.sum() ** 2 / (weights**2).sum())


def _hold_alike(found: Sequence[Simulation]) -> None:
    if len({(one.seed, one.sets, one.fires) for one in found}) > 1:
        raise BreaksShape(
            [
                Fault(
                    "learn",
                    None,
                    None,
                    "simulations of other seeds or sizes",
                    "one seed, one number of members",
                )
            ]
        )


def _missed(told: Sequence[tuple[Piece, ...]], fits: Sequence[Floats]) -> float:
    """Bits by which the best member misses the best there could be, a piece on the mean, worst firing."""
    worst = 0.0
    for pieces, fit in zip(told, fits, strict=True):
        if pieces:
            best = sum(piece.best for piece in pieces)
            worst = max(worst, float((best - fit.max()) / np.log(2) / len(pieces)))
    return worst


def _refused(
    told: Sequence[tuple[Piece, ...]], fits: Sequence[Floats], members: float, sets: float, missed: float
) -> str:
    """Why nothing is learned; "" where it is."""
    limits = evidence.table()
    if missed > limits.value("refuse", "most_missed"):
        hard = [
            piece.words
            for pieces, fit in zip(told, fits, strict=True)
            for piece in pieces
            if piece.missed_bits(int(fit.argmax())) > 1
        ]
        return (
            "No simulated firing explains what was seen; the one that comes nearest misses"
            f" {'; '.join(hard[:4]) or 'each piece by a little'}. The plan is not what was done, a note is"
            " wrong, or the model lacks something. Nothing was learned."
        )
    if members < limits.value("refuse", "least_members") or sets < limits.value("refuse", "least_sets"):
        return (
            f"Too few simulated firings carry what was seen: as many as {members:.0f} even ones, of"
            f" {sets:.1f} sets of laws. A mean over so few is luck. Would do: more members, or fewer and"
            " surer readings. Nothing was learned."
        )
    return ""


def _moved(
    before: Sequence[Simulation], after: Sequence[Simulation], members: float, sets: float
) -> tuple[Moved, ...]:
    """Every number not known, those that moved most first."""
    luck = tuple(_may_be_luck(size) for size in (members, sets))
    known: dict[tuple[str, str], uncertain.Input] = {}
    for one in before:
        for each in uncertain.inputs(one.plan, one.table):
            known.setdefault((each.name, f"{each.range.data_set} {each.range.symbol}"), each)
    found = []
    for (name, of), each in known.items():
        pool = _pooled(name, of, before, after)
        if np.ptp(pool.values) > 0:
            found.append(_told(name, each.words, pool, each, of, luck[each.is_law]))
    for name, words in DERIVED.items():
        pool = _pooled(name, "", before, after)
        if np.ptp(pool.values) > 0:
            found.append(_told(name, words, pool, None, "", 0.0))
    return tuple(sorted(found, key=lambda one: -one.shift))


def _may_be_luck(size: float) -> float:
    """The shift up to which an input may have moved by luck alone."""
    limits = evidence.table()
    return max(limits.value("refuse", "moved"), limits.value("refuse", "luck") / float(np.sqrt(size)))


@dataclass(frozen=True, slots=True)
class _Pool:
    """Draws of a number over all firings that have it, with their weights before and after."""

    values: Floats
    old: Floats
    new: Floats
    firings: int


def _pooled(name: str, of: str, before: Sequence[Simulation], after: Sequence[Simulation]) -> _Pool:
    rows = [
        (one.drawn[name], one.weights, other.weights)
        for one, other in zip(before, after, strict=True)
        if not of or of in _ranges(one, name)
    ]
    values, old, new = (floats(np.concatenate(parts)) for parts in zip(*rows, strict=True))
    return _Pool(values, old / len(rows), new / len(rows), len(rows))


def _ranges(one: Simulation, name: str) -> set[str]:
    return {
        f"{each.range.data_set} {each.range.symbol}"
        for each in uncertain.inputs(one.plan, one.table)
        if each.name == name
    }


def _told(name: str, words: str, pool: _Pool, each: uncertain.Input | None, of: str, luck: float) -> Moved:
    from wareontology.firing.fitted import fitted

    order = np.argsort(pool.values, kind="stable")
    shift = float(np.abs(np.cumsum(pool.old[order]) - np.cumsum(pool.new[order])).max())
    own = None
    if each is not None and shift >= luck:
        usual = 0.0 if each.is_law else evidence.table().value("refuse", "usual_firings")
        onward = (usual * pool.old + pool.firings * pool.new) / (usual + pool.firings)
        own = fitted(pool.values, floats(onward), each.range)
    return Moved(
        name, words, _three(pool.values, pool.old), _three(pool.values, pool.new), shift,
        each is not None and each.is_law, each is not None and each.weak, of, own,
    )  # fmt: skip


def _three(values: Floats, weights: Floats) -> dict[str, float]:
    return {
        "value": quantile(values, 0.5, weights), "low": quantile(values, 0.05, weights),
        "high": quantile(values, 0.95, weights),
    }  # fmt: skip
