"""Which sherds of a lot to test next, within so many tests: where a test is expected to tell most."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from wareontology.technique.next_test import examinations


@dataclass(frozen=True, slots=True)
class Chosen:
    """One test on one sherd. gain_bits: what it is expected to tell; net_bits: less weighed cost and harm."""

    sherd: str
    observer: str | None
    test: str
    label: str
    where: str
    gain_bits: float
    net_bits: float
    destroys: str
    caution: str
    needs_leave: bool


def sample(answers: Iterable[Mapping[str, Any]], most: int) -> list[Chosen]:
    """The tests with the highest net gain, at most one a sherd.

    Only one, as what a second test on a sherd tells depends on what the first one showed: after the results
    the lot is asked again. A test that costs more than it tells is not chosen. most: 1 or more.
    """
    best = [found for answer in answers for found in [_best(answer)] if found is not None]
    return sorted(best, key=lambda one: (-one.net_bits, one.sherd, one.observer or ""))[:most]


def _best(answer: Mapping[str, Any]) -> Chosen | None:
    offered = [
        Chosen(
            answer["sherd"], answer["observer"], test["test"], test["label"], test["where"],
            test["gain_bits"], round(test["gain_bits"] - test["cost"] - _harm()[test["test"]], 4),
            test["destroys"], test["caution"], test["needs_leave"],
        )
        for test in answer["next_tests"]
    ]  # fmt: skip
    worth = [one for one in offered if one.net_bits > 0]
    return max(worth, key=lambda one: one.net_bits, default=None)


@cache
def _harm() -> dict[str, float]:
    return {examination.test: examination.harm for examination in examinations()}
