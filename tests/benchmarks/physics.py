"""The ensemble of fires against the same law taken one member at a time, and the posterior with its table."""

import math
from collections.abc import Callable, Iterator
from functools import partial
from statistics import median
from typing import Final

import numpy as np

from tests.benchmarks import Ratio
from tests.benchmarks.reasoners import SHOWN, seconds
from wareontology.firing.histories import Leg
from wareontology.redox.arrays import Floats
from wareontology.sherd.table import read
from wareontology.technique.case import Case
from wareontology.technique.likelihoods.model import Model
from wareontology.technique.network import combine
from wareontology.technique.physics.ensemble import Ensemble
from wareontology.technique.physics.laws import Laws, Passed
from wareontology.technique.posterior import marginals

MEMBERS: Final = 24
"""How many members the reference takes; its time is scaled to the whole ensemble."""
TURNS: Final = 5


def ratios() -> Iterator[Ratio]:
    """Targets: 10 times scipy's quad a member; the posterior with heat at most 6 times that without."""
    yield _ensemble()
    yield _posterior()


def _ensemble() -> Ratio:
    """Jander's term of every member over a leg under a leaky cover, by arrays and by adaptive quadrature."""
    made = Ensemble()
    fire = made.fire("reducing", "800-900")
    leg = made.history(fire, "reducing", "sealed", "leaked").end[-1].leg
    members = list(_members(leg, made.laws))  # drawn beforehand: the reference is charged for the law alone
    ours = median(seconds(lambda: Passed(leg, made.laws).diffused) for _ in range(TURNS))
    reference = median(seconds(lambda: [one() for one in members]) for _ in range(TURNS))
    found = Passed(leg, made.laws).diffused[: len(members), -1]
    assert np.allclose(found, [one() for one in members], rtol=0.02)  # the same law
    return Ratio(
        f"re-oxidation of {made.draws.size} fires", ours, "scipy quad, a fire at a time",
        reference * made.draws.size / len(members), 10, "at least",
    )  # fmt: skip


def _members(leg: Leg, laws: Laws) -> Iterator[Callable[[], float]]:
    """Jander's term of some members, each by scipy's quad."""
    set_, constants = "magnetite-reoxidation", laws.constants
    references, slopes = laws.of(set_, "D_reference"), 1000 * laws.of(set_, "E")
    slopes = slopes / constants.value("physical-constants", "R")
    cold = 1 / (constants.value(set_, "T_reference") + 273.15)
    factors = np.minimum(leg.gas.oxygen_share / constants.value(set_, "oxygen_limit"), 1.0)
    for member in range(MEMBERS):
        reference, slope = float(references[member] * factors[member]), float(slopes[member])

        yield partial(_by_quadrature, leg.time_s[member], leg.temperature_c[member], reference, slope, cold)


def _by_quadrature(times: Floats, temperatures: Floats, reference: float, slope: float, cold: float) -> float:
    from scipy.integrate import quad

    def speed(time: float) -> float:
        kelvin = float(np.interp(time, times, temperatures)) + 273.15
        return 2 * reference * math.exp(-slope * (1 / kelvin - cold))

    return float(quad(speed, times[0], times[-1], limit=200)[0])


def _posterior() -> Ratio:
    """One painted sherd with classes of fires by heat, against the same sherd with none."""
    sherd = read(SHOWN / "black_and_red_on_cream.csv").sherds[0]
    fine = Case.of(sherd)
    plain = Case(sherd, fine.units, Model.of(fine.model.tables, sherd.region, False, False))
    ours: list[float] = []
    reference: list[float] = []
    for _ in range(TURNS):
        for case, times in ((fine, ours), (plain, reference)):
            network, factors = case.network, combine(case.items)
            times.append(seconds(partial(marginals, network, factors), 20))
    return Ratio("posterior by heat", median(ours), "one class a regime", median(reference), 6, "at most")
