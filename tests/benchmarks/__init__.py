"""How fast it is: ratios of two things measured in one run, never times on their own, never an assertion.

A benchmark is a function in a module of this folder that yields `Ratio`s; `python -m tests.benchmarks` prints
them as one table, `python -m tests.benchmarks start` those of one module.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Ratio:
    """One comparison.

    ours, reference: seconds, measured in turns in one run. target: the ratio to reach; `sense` says whether
    ours may take at most that many times the reference (`at most`, ratio = ours / reference) or must be at
    least that many times faster (`at least`, ratio = reference / ours).
    """

    name: str
    ours_s: float
    reference: str
    reference_s: float
    target: float
    sense: Literal["at most", "at least"]

    @property
    def ratio(self) -> float:
        if self.sense == "at most":
            return self.ours_s / self.reference_s
        return self.reference_s / self.ours_s

    @property
    def met(self) -> bool:
        """Whether the target is reached.

        >>> Ratio("answer", 0.2, "nothing", 0.1, 2.5, "at most").met
        True
        >>> Ratio("answer", 0.2, "slow", 2.0, 25, "at least").met
        False
        """
        return self.ratio <= self.target if self.sense == "at most" else self.ratio >= self.target


def table(ratios: Iterable[Ratio]) -> str:
    """The ratios as a table of text.

    >>> print(table([Ratio("answer", 0.2, "nothing", 0.1, 2.5, "at most")]))
    name    ours   reference      ratio  target       met
    answer  0.2 s  nothing 0.1 s  2.0    at most 2.5  yes
    """
    rows = [("name", "ours", "reference", "ratio", "target", "met")]
    rows += [
        (
            one.name,
            f"{one.ours_s:.3g} s",
            f"{one.reference} {one.reference_s:.3g} s",
            f"{one.ratio:.1f}",
            f"{one.sense} {one.target:g}",
            "yes" if one.met else "no",
        )
        for one in ratios
    ]
    return "\n".join(_line(row, rows) for row in rows)


def _line(row: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    widths = [max(len(other[place]) for other in rows) for place in range(len(row))]
    return "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
