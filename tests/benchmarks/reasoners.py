"""The two reasoners against the general engines that the tests hold them equal to.

The posterior of one sherd, asked alone and as one of a batch, against pgmpy's queries for the same marginals
on the same network (building pgmpy's model is not counted). A batch is of sherds that differ in all that was
seen, on one network: the shown sherd's likelihoods sharper and blunter. The findings of the demo's sherds
against pySHACL on the same rules.
"""

import time
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median
from typing import Final

from tests.benchmarks import Ratio
from tests.technique.helpers_pgmpy import Engine, names
from wareontology.sherd.table import read
from wareontology.technique import rules
from wareontology.technique.case import Case
from wareontology.technique.network import Factors, combine, stack
from wareontology.technique.posterior import marginals
from wareontology.technique.units import units

ROOT: Final = Path(__file__).resolve().parents[2]
SHOWN: Final = ROOT / "tests" / "cases" / "shown"
TURNS: Final = 7
BATCH: Final = 64


def seconds(job: Callable[[], object], times: int = 1) -> float:
    """Mean seconds of one call."""
    begun = time.perf_counter()
    for _ in range(times):
        job()
    return (time.perf_counter() - begun) / times


def ratios() -> Iterator[Ratio]:
    """Targets: 25 times pgmpy a distinct sherd, 100 times pySHACL a sherd."""
    for name in ("plain_case", "black_and_red_on_cream"):
        yield from _posterior(name)
    yield _findings()


def _posterior(name: str) -> Iterator[Ratio]:
    case = Case.of(read(SHOWN / f"{name}.csv").sherds[0])
    network, factors = case.network, combine(case.items)
    engine = Engine(network, factors)

    def asked() -> None:
        for variable in names(network).values():
            engine.marginal(variable)

    batch = stack([_sharpened(factors, 0.5 + place / BATCH) for place in range(BATCH)])
    alone, together, theirs = [], [], []
    for _ in range(TURNS):
        alone.append(seconds(lambda: marginals(network, factors), 20))
        together.append(seconds(lambda: marginals(network, batch), 3) / BATCH)
        theirs.append(seconds(asked))
    said, reference = f"posterior, {name.replace('_', ' ')}", ("pgmpy", median(theirs))
    yield Ratio(f"{said}, of {BATCH}", median(together), *reference, 25, "at least")
    yield Ratio(f"{said}, alone", median(alone), *reference, 25, "at least")


def _sharpened(factors: Factors, power: float) -> Factors:
    return {slot: factor**power for slot, factor in factors.items()}


def _findings() -> Ratio:
    sherds = [(sherd, units(sherd)) for sherd in read(ROOT / "data" / "demo" / "sherds.csv").sherds]
    ours = seconds(lambda: [rules.evaluate(*one) for one in sherds], 5) / len(sherds)
    theirs = seconds(lambda: rules.by_standard_engine(sherds)) / len(sherds)
    return Ratio("findings a sherd, 45 in one graph", ours, "pySHACL", theirs, 100, "at least")
