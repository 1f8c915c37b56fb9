"""From a cell as it was seen to the likelihood of each true value."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.model import Model
from wareontology.technique.units import Units

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Context:
    """What a reader of one sherd's traits needs at hand."""

    sherd: Sherd
    units: Units
    model: Model

    @property
    def doubt(self) -> Floats:
        """Share of a doubtful cell that says nothing, shape (n,)."""
        return self.model.tables.scalar("doubtful")


MARGIN_OF: Final = {"inner-margin": "interior", "outer-margin": "exterior"}
"""A margin shows what the air did at its own surface."""


def surface_of(zone: str) -> str | None:
    """Surface whose air a row's zone shared; None for the broken edge.

    >>> surface_of("inner-margin"), surface_of("rim"), surface_of("break")
    ('interior', 'rim', None)
    """
    zone = MARGIN_OF.get(zone, zone)
    return zone if zone in h.SURFACES else None


def shares(cell: Seen, outcomes: Sequence[str], rename: Callable[[str], str] = str) -> Floats:
    """Shares of a cell's words over a table's outcomes, shape (outcomes,); all 0 where none is among them."""
    vector = np.zeros(len(outcomes))
    for word, share in cell.words:
        if rename(word) in outcomes:
            vector[outcomes.index(rename(word))] += share
    return vector


def doubted(likelihood: Floats, cell: Seen, doubt: Floats, axis: int | tuple[int, ...] = -1) -> Floats:
    """Half its table, half flat, where the cell ended in a question mark. `axis` runs over hypotheses."""
    if not cell.doubtful:
        return likelihood
    share = doubt.reshape(-1, *(1,) * (likelihood.ndim - 1))
    return np.asarray((1 - share) * likelihood + share * likelihood.mean(axis=axis, keepdims=True))


def observed_colour(context: Context, cell: Seen) -> Floats:
    """Likelihood of each true colour given what was written, shape (n, 13); alike where it is no colour."""
    noise, seen = context.model.tables.array("observed_colour"), shares(cell, h.COLOURS)
    if not seen.any():  # a layer of clay refired to "gone" names no colour
        return np.ones((1, len(h.COLOURS)))
    return doubted(noise @ seen, cell, context.doubt)


def mean_log(factors: Sequence[Floats]) -> Floats:
    """Where rows disagree their logs are averaged: the trait counts once."""
    if len(factors) == 1:
        return factors[0]
    return np.asarray(np.exp(sum(np.log(factor) for factor in factors) / len(factors)))


def distinct(rows: Iterable[Row], *columns: str) -> list[Row]:
    """Rows that say something in the columns, one for each different thing said in a zone.

    A row that says no more than part of what another says is left out: it agrees, and takes nothing away.
    """
    found: dict[tuple[str, frozenset[tuple[str, str]]], Row] = {}
    for row in rows:
        said = frozenset((column, cell.text) for column in columns if (cell := row.get(column)) is not None)
        if said:
            found.setdefault((row.zone, said), row)
    everything = [said for _, said in found]
    return [row for (_, said), row in found.items() if not any(said < other for other in everything)]


def said(row: Row, *columns: str) -> str:
    """What a row says in some columns, in words for a reader."""
    parts = [
        f"{column.replace('_', ' ')} {cell.text}"
        for column in columns
        if (cell := row.get(column)) is not None
    ]
    return ", ".join(parts)
