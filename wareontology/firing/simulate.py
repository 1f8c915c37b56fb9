"""An ensemble of one plan's firings: the chance that black stays black and the white is not smoked, what
decides it, when it may be opened, and what the ground shows.

Members are sets of laws with some fires each (firing.draws): the chance is over all; its low and high are the
fifth and ninety-fifth in a hundred of the sets' own chances, so they span what is not known of the laws,
and a little of the luck of a set's few fires.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

import numpy as np

from wareontology.errors import OutOfRange
from wareontology.firing import courses, outcomes, uncertain
from wareontology.firing.courses import Course
from wareontology.firing.draws import Draws
from wareontology.firing.gases import Drawn
from wareontology.firing.outcomes import Outcome
from wareontology.firing.plan import Plan
from wareontology.firing.uncertain import FIRES_A_SET, Own
from wareontology.redox.arrays import Floats, floats
from wareontology.redox.constants import Constants

MEMBERS: Final = 1000
SEED: Final = 7
LEAST, MOST = 100, 20_000
_SPREAD: Final = (5, 95)
_CLASSES: Final = 5


@dataclass(frozen=True, slots=True)
class Cause:
    """An input that moves the chance. share: of the variance of a member's outcome that it explains alone;
    direction: rank correlation with the outcome, above 0 where more of it helps."""

    name: str
    words: str
    share: float
    direction: float
    weak: bool


@dataclass(frozen=True, slots=True)
class Simulation:
    """A plan's ensemble. `drawn`: input to its draw for every member; `success`: chance of the target of each
    member, 0 to 1 over its places; `weights`: how much each member counts, summing to 1."""

    plan: Plan
    seed: int
    sets: int
    fires: int
    table: Constants
    drawn: Drawn
    course: Course
    outcome: Outcome
    success: Floats
    weights: Floats

    @property
    def members(self) -> int:
        return self.sets * self.fires

    def chance(self) -> tuple[float, float, float]:
        """Chance of the target with its low and high.

        >>> from wareontology.firing.plan import example
        >>> value, low, high = simulate(example("covered-pit"), 200).chance()
        >>> 0 <= low <= value <= high <= 1
        True
        """
        by_set = self.success.reshape(self.sets, self.fires)
        weights = self.weights.reshape(self.sets, self.fires)
        of_set = weights.sum(axis=1)
        means = (by_set * weights).sum(axis=1) / np.maximum(of_set, 1e-300)
        value = float((self.success * self.weights).sum())
        low, high = (quantile(means, end / 100, of_set) for end in _SPREAD)
        return value, min(low, value), max(high, value)

    def spread(self, values: Floats, ends: tuple[float, float] = _SPREAD) -> dict[str, float | None]:
        """Middle, low and high of a number of each member; None where it is not reached."""
        found = {
            "value": quantile(values, 0.5, self.weights),
            "low": quantile(values, ends[0] / 100, self.weights),
            "high": quantile(values, ends[1] / 100, self.weights),
        }
        return {name: None if not np.isfinite(one) else one for name, one in found.items()}

    def mean(self, values: Floats) -> float:
        """Mean over members, weighted; places before them are averaged evenly."""
        flat = values.reshape(-1, values.shape[-1]).mean(axis=0)
        return float((flat * self.weights).sum())


def simulate(
    plan: Plan,
    members: int = MEMBERS,
    seed: int = SEED,
    *,
    own: Own | None = None,
    table: Constants | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Simulation:
    """The ensemble of a plan's firings. The same plan, members and seed give the same answer.

    members: 100 to 20,000 (OutOfRange beyond), rounded up to whole sets of FIRES_A_SET. own: a user's own
    ranges by name of input. progress: called with steps done and steps in all.

    >>> from wareontology.firing.plan import example
    >>> one, two = (simulate(example("pull-and-cover"), 100, 3) for _ in range(2))
    >>> one.chance() == two.chance()
    True
    """
    if not LEAST <= members <= MOST:
        raise OutOfRange("members", members, LEAST, MOST, "firings that can be told apart and wait for")
    tell = progress or (lambda done, of: None)
    table = table or uncertain.tables()
    sets = -(-members // FIRES_A_SET)
    tell(0, 3)
    drawn = uncertain.draw(plan, table, Draws(table, sets, FIRES_A_SET, seed), own)
    tell(1, 3)
    passed = courses.course(plan, table, drawn)
    tell(2, 3)
    found = outcomes.outcome(plan, table, drawn, passed)
    drawn["at_cover_c"] = passed.at_cover_c.mean(axis=0)
    tell(3, 3)
    size = sets * FIRES_A_SET
    return Simulation(
        plan,
        seed,
        sets,
        FIRES_A_SET,
        table,
        drawn,
        passed,
        found,
        success(plan, drawn, found),
        np.full(size, 1 / size),
    )


def success(plan: Plan, drawn: Drawn, found: Outcome) -> Floats:
    """Chance of the target of each member: the share of its places where the wanted surfaces are all
    right."""
    kept = found.kept(drawn)
    wanted = {"outside": kept[0], "inside": kept[1], "both": kept[0] * kept[1]}[plan.target_zone]
    return floats(wanted.mean(axis=0))


def quantile(values: Floats, share: float, weights: Floats | None = None) -> float:
    """A weighted quantile; infinite values count as the largest.

    >>> quantile(np.array([3.0, 1.0, 2.0]), 0.5)
    2.0
    """
    order = np.argsort(values, kind="stable")
    weight = np.ones(values.shape) if weights is None else weights
    place = np.cumsum(weight[order]) - weight[order] / 2
    place /= weight.sum()
    at = float(np.interp(share, place, np.arange(values.size)))
    low, high = values[order[int(np.floor(at))]], values[order[int(np.ceil(at))]]
    return float(low if low == high or not np.isfinite(high) else low + (at % 1) * (high - low))


def causes(found: Simulation, most: int = 8) -> tuple[Cause, ...]:
    """What decides the outcome, most first: the share of its variance each input explains alone.

    First-order share by means of the outcome in classes of the input, less what luck would give. A law is
    the same for all fires of a set, so it is weighed over sets. A share that luck gives one time in forty
    is left out. Two inputs that matter only together show little.

    >>> from wareontology.firing.plan import example
    >>> ranked = causes(simulate(example("covered-pit"), 500))
    >>> [one.share for one in ranked] == sorted((one.share for one in ranked), reverse=True)
    True
    """
    total = float(found.success.var())
    ranked = []
    for one in uncertain.inputs(found.plan, found.table):
        values, outcome = found.drawn[one.name], found.success
        if one.is_law:
            values = values.reshape(found.sets, -1)[:, 0]
            outcome = outcome.reshape(found.sets, -1).mean(axis=1)
        if np.ptp(values) == 0 or np.ptp(outcome) == 0:
            continue
        share = _explained(values, outcome) * float(outcome.var()) / total
        if share > 0:
            direction = _rank_correlation(values, outcome)
            ranked.append(Cause(one.name, one.words, round(share, 4), round(direction, 3), one.weak))
    return tuple(sorted(ranked, key=lambda cause: -cause.share)[:most])


def _explained(values: Floats, outcome: Floats) -> float:
    """Share of the outcome's variance between classes of an input, less that of luck; 0 where luck would
    do."""
    classes = max(2, min(_CLASSES, values.size // 10))
    groups = np.array_split(outcome[np.argsort(values, kind="stable")], classes)
    between = sum(group.size * (group.mean() - outcome.mean()) ** 2 for group in groups) / outcome.size
    luck = (classes - 1) / (outcome.size - 1)
    share = float(between / outcome.var())
    surely = luck * (1 + 2 * np.sqrt(2 / (classes - 1)))
    return share - luck if share > surely else 0.0


def _rank_correlation(one: Floats, other: Floats) -> float:
    return float(np.corrcoef(_ranks(one), _ranks(other))[0, 1])


def _ranks(values: Floats) -> Floats:
    """Ranks, ties sharing their mean."""
    order = np.argsort(np.argsort(values, kind="stable"), kind="stable").astype(np.float64)
    _, back = np.unique(values, return_inverse=True)
    return floats((np.bincount(back, order) / np.bincount(back))[back])
