"""The fields of a claim: what each means and what it takes. Read from data/claim_fields.csv."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType
from typing import Any, Final, TypeAlias

from wareontology.graph.namespaces import BASE, WO
from wareontology.paths import data

FILE: Final = "claim_fields.csv"
CLAIM: Final = WO + "Claim"
FIELD: Final = WO + "claim/"
"""Properties of a claim and of its parts: this and the key."""
ADDRESS: Final = BASE + "claim/"

Form: TypeAlias = Mapping[str, Any]
"""A claim, or a part of it: key to text, number, yes or no, another part, or a tuple of these."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field. kind: text, number (0 or more), year, yes (true or false), word (of a scheme in `takes`),
    person, material, sherd, or node (a part, whose fields are those of `takes`)."""

    of: str
    key: str
    kind: str
    takes: tuple[str, ...]
    many: bool
    meaning: str
    example: str


@cache
def fields(of: str) -> Mapping[str, Field]:
    """The fields of a claim (`claim`) or of one of its parts (`series`, `evidence`), by key, in order.

    >>> fields("evidence")["grade"].takes
    ('evidence-grade',)
    """
    with data(FILE).open(encoding="utf-8", newline="") as file:
        rows = [_field(row) for row in csv.DictReader(file) if row["of"] == of]
    return MappingProxyType({field.key: field for field in rows})


def nearest(of: str, key: str) -> str:
    """The field spelt most like a key, or all there are.

    >>> nearest("series", "came_oot")
    'came_out'
    """
    close = get_close_matches(key.casefold(), fields(of), 1)
    return "".join(close) or ", ".join(fields(of))


def _field(row: Mapping[str, str]) -> Field:
    return Field(
        row["of"], row["key"], row["kind"], tuple(row["takes"].split()), row["many"] == "yes",
        row["meaning"], row["example"],
    )  # fmt: skip
