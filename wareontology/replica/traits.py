"""What several sherds show, place by place and trait by trait, as shares of words."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final, TypeAlias

from wareontology.sherd.record import Row, Sherd

Shares: TypeAlias = Mapping[str, float]
Place: TypeAlias = tuple[str, str]
"""Zone and layer."""

LOOK: Final = ("colour", "patches", "edge", "relief", "lustre", "sintered", "finish", "core")
"""Traits of a look; the rest of a table tells how a thing was tested or what became of it."""
AGEING: Final = frozenset({"patches", "lustre", "finish"})
"""Traits that wear, burial and handling change most (common practice), with every colour of a surface."""


@dataclass(frozen=True, slots=True)
class Trait:
    """One trait at one place. refired: °C of the step, None as found."""

    zone: str
    layer: str
    trait: str
    refired: int | None = None

    def rank(self) -> int:
        """Order of trust: fresh breaks and refired chips, then traits that last, then surfaces that age.

        >>> Trait("break", "body", "colour").rank(), Trait("interior", "slip", "colour").rank()
        (0, 2)
        """
        if self.zone in ("break", "inner-margin", "outer-margin") or self.refired is not None:
            return 0
        return 2 if self.trait == "colour" or self.trait in AGEING else 1


def seen(sherd: Sherd) -> dict[Trait, Shares]:
    """Every trait of the look seen on one sherd; rows of one place are averaged."""
    found: dict[Trait, list[Shares]] = {}
    for row in sherd.rows:
        for trait, shares in _of_row(row):
            found.setdefault(trait, []).append(shares)
    return {trait: mean(shares) for trait, shares in found.items()}


def _of_row(row: Row) -> Iterable[tuple[Trait, Shares]]:
    step = row.get("refire_c")
    if step is not None and step.number is not None:
        cell = row.get("refire_colour")
        if cell is not None and cell.words:
            yield Trait(row.zone, row.layer, "colour", round(step.number)), dict(cell.words)
        return
    for name in LOOK:
        cell = row.colour() if name == "colour" else row.get(name)
        if cell is not None and cell.words:
            yield Trait(row.zone, row.layer, name), dict(cell.words)


def pooled(sherds: Iterable[Sherd]) -> dict[Trait, list[Shares]]:
    """The same for several sherds, a list with one entry for each sherd that shows the trait."""
    found: dict[Trait, list[Shares]] = {}
    for sherd in sherds:
        for trait, shares in seen(sherd).items():
            found.setdefault(trait, []).append(shares)
    return found


def mean(shares: Iterable[Shares]) -> dict[str, float]:
    """The mean of several shares, each weighing alike.

    >>> mean([{"white": 1.0}, {"white": 0.5, "grey": 0.5}])
    {'white': 0.75, 'grey': 0.25}
    """
    rows = list(shares)
    total: dict[str, float] = {}
    for row in rows:
        for word, share in row.items():
            total[word] = total.get(word, 0.0) + share / len(rows)
    return total


def overlap(one: Shares, other: Shares) -> float:
    """What two shares have in common: 1 where they are alike, 0 where no word is in both.

    >>> overlap({"white": 0.75, "grey": 0.25}, {"white": 1.0})
    0.75
    """
    return sum(min(share, other.get(word, 0.0)) for word, share in one.items())
