"""The heat of a covered pit against scipy's BDF with its sparse Jacobian on the same cells, at the same
error; and a thousand firings of the covered pit.

Both are held to a much finer course of the same cells: BDF is given the loosest tolerance at which its
worst error over the three places is no larger than ours. Ours is a member's share of a block of them, as
`simulate` steps it; both begin when the cover goes on, and setting up is not counted.
"""

import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from statistics import median
from typing import Final

import numpy as np

from tests.benchmarks import Ratio
from tests.firing.helpers_bdf import matrix, stepped
from wareontology.firing import heat
from wareontology.firing.beds import Bed, Pit, pit
from wareontology.firing.conduction import lengthening_steps_s, run
from wareontology.firing.plan import example
from wareontology.firing.simulate import simulate
from wareontology.redox.arrays import Floats

PIT: Final = Pit(0.4, 0.3, 0.1, 0.6, 5e5, 0.3, 1.2e6, 0.8, 1.6e6, 12)
HOURS: Final = 48.0
MEMBERS: Final = 200
TOLERANCES: Final = (1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 3e-6, 1e-6)
SKIPPED_S: Final = 60.0
TURNS: Final = 7


def ratios() -> Iterator[Ratio]:
    """Targets: 30 times; a thousand firings within ten seconds."""
    yield _heat()
    begun = _seconds(lambda: simulate(example("covered-pit"), 1000))
    yield Ratio("1,000 firings of the covered pit", begun, "what is allowed:", 10.0, 1, "at most")


def _heat() -> Ratio:
    bed, start = _covered(PIT)
    steps = lengthening_steps_s(HOURS * 3600)
    ours = run(bed.solid, start, steps, [bed.top, bed.middle, bed.bottom])
    equations, times = matrix(bed.solid), ours.time_s
    watch = np.stack([bed.top, bed.middle, bed.bottom])[..., 0].reshape(3, -1)
    exact = watch @ stepped(equations, start, times, 1e-8, 1e-5)
    error = _worst(ours.watched_c[..., 0] - exact, times)
    for tolerance in TOLERANCES:
        found = watch @ stepped(equations, start, times, tolerance, 1000 * tolerance)
        if _worst(found - exact, times) <= error:
            break
    many, many_start = _covered(replace(PIT, cover_depth_m=np.linspace(0.05, 0.2, MEMBERS)))
    watched = [many.top, many.middle, many.bottom]
    ours_s = [_seconds(lambda: run(many.solid, many_start, steps, watched)) / MEMBERS for _ in range(TURNS)]
    theirs_s = [
        _seconds(lambda: stepped(equations, start, times, tolerance, 1000 * tolerance)) for _ in range(TURNS)
    ]
    name = f"heat of a pit, {start.size} cells, {HOURS:g} h, to {error:.2f} K"
    return Ratio(name, median(ours_s), f"scipy BDF, rtol {tolerance:g}", median(theirs_s), 30, "at least")


def _covered(given: Pit) -> tuple[Bed, Floats]:
    """The cells, and their temperatures when the cover goes on."""
    bed = pit(given)
    members = bed.solid.shape[2]
    load = np.full((3, members), 750.0)
    return bed, heat.with_load(bed, heat.warmed_ground(bed, load.mean(axis=0), np.ones(members)), load)


def _seconds(job: Callable[[], object]) -> float:
    begun = time.perf_counter()
    job()
    return time.perf_counter() - begun


def _worst(error: Floats, times: Floats) -> float:
    return float(np.max(np.abs(error[:, times > SKIPPED_S])))
