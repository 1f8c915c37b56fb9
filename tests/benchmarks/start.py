"""Cold `infer` of one sherd against a process that only imports rdflib.

Cold means a new process each time. Compiled modules lie ready for both, as after a first use. The two take
turns, so that what else the machine does falls on both; the median of seven counts.
"""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from statistics import median
from typing import Final

from tests.benchmarks import Ratio

ROOT: Final = Path(__file__).resolve().parents[2]
TURNS: Final = 7
_INFER: Final = ("-m", "wareontology", "infer", "data/demo/one_sherd.csv")
_RUNS: Final = {
    "rdflib": ("-c", "import rdflib"),
    "plain": (*_INFER, "--draws", "0"),
    "drawn": _INFER,
}


def ratios() -> Iterator[Ratio]:
    """Targets: 2.5 times without the draws of the uncertain numbers, 5 times with them."""
    with tempfile.TemporaryDirectory() as compiled:
        kept = {name: value for name, value in os.environ.items() if name not in _NOISE}
        times = in_turns(_RUNS, {**kept, "PYTHONPYCACHEPREFIX": compiled})
    reference = ("import rdflib", median(times["rdflib"]))
    yield Ratio("cold infer, --draws 0", median(times["plain"]), *reference, 2.5, "at most")
    yield Ratio("cold infer", median(times["drawn"]), *reference, 5, "at most")


_NOISE: Final = ("PYTHONDONTWRITEBYTECODE", "PYTHONUNBUFFERED")
"""Settings of a test machine under which no user runs."""


def in_turns(runs: Mapping[str, Sequence[str]], environment: Mapping[str, str]) -> dict[str, list[float]]:
    """Seconds of each run, TURNS times in turn, after one that is not counted."""
    times: dict[str, list[float]] = {name: [] for name in runs}
    for turn in range(TURNS + 1):
        for name, arguments in runs.items():
            begun = time.perf_counter()
            subprocess.run(
                [sys.executable, *arguments],
                cwd=ROOT,
                env=environment,
                stdout=subprocess.DEVNULL,
                check=True,
            )
            if turn:
                times[name].append(time.perf_counter() - begun)
    return times
