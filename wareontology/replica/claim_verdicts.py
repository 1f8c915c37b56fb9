"""The three verdicts on a claim: from reasons to states, by data/claim_reasons.csv."""

import csv
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

from wareontology.graph.vocabulary import scheme
from wareontology.paths import data

VERDICTS: Final = ("possible", "sufficient", "unique")
ORDER: Final = ("against", "not-shown", "undecided", "shown")
"""Of several reasons the one that comes first here decides the state."""
FIRST: Final = "possible-first"


@dataclass(frozen=True, slots=True)
class Verdict:
    """A state and the codes of the reasons that lead to it."""

    state: str
    because: tuple[str, ...]

    def reason(self) -> str:
        """The reasons as sentences."""
        return " ".join(scheme("claim-reason")[code].definition for code in self.because)


@cache
def bearings() -> Mapping[str, Mapping[str, str]]:
    """Reason to the verdicts it bears on, each with the state it leads to.

    >>> dict(bearings()["no-log"]), dict(bearings()["no-witness"])
    ({'sufficient': 'not-shown'}, {})
    """
    with data("claim_reasons.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return MappingProxyType(
        {row["reason"]: {name: row[name] for name in VERDICTS if row[name]} for row in rows}
    )


def speaks_for(code: str) -> bool:
    """Whether a reason is a good one: it leads to shown.

    >>> speaks_for("others-do-not"), speaks_for("no-log")
    (True, False)
    """
    return "shown" in bearings()[code].values()


def verdicts(codes: Iterable[str]) -> dict[str, Verdict]:
    """The three verdicts that reasons lead to.

    Where no reason speaks for a verdict it is not shown. Where possible is not shown the others stand no
    higher than it.

    >>> found = verdicts(["success-right-everywhere", "one-success"])
    >>> {name: one.state for name, one in found.items()}
    {'possible': 'shown', 'sufficient': 'not-shown', 'unique': 'not-shown'}
    """
    present = list(dict.fromkeys(codes))
    found = {name: _verdict(name, present) for name in VERDICTS}
    limit = found["possible"].state
    if limit != "shown":
        cap = "not-shown" if limit == "against" else limit
        for name in VERDICTS[1:]:
            if found[name].state == "shown" or (not found[name].because and cap != "not-shown"):
                found[name] = Verdict(cap, (FIRST,))
            elif not found[name].because:
                found[name] = Verdict("not-shown", (FIRST,))
    return found


def _verdict(name: str, codes: Iterable[str]) -> Verdict:
    states = {code: bearings()[code][name] for code in codes if name in bearings()[code]}
    state = min(states.values(), key=ORDER.index, default="not-shown")
    return Verdict(state, tuple(code for code, leads_to in states.items() if leads_to == state))
