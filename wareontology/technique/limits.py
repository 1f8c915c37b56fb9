"""Limits that an answer draws somewhere, as data/limits.csv says and founds them."""

import csv
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from wareontology import paths


@cache
def limits() -> Mapping[str, float]:
    """Every limit by name, in the unit its row names.

    >>> limits()["known_there"]
    0.1
    """
    with paths.data("limits.csv").open(encoding="utf-8", newline="") as file:
        return MappingProxyType({row["limit"]: float(row["value"]) for row in csv.DictReader(file)})
