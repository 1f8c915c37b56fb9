"""Evidence of a chip refired in air, one step or a series."""

import math
import re
from collections.abc import Iterator, Sequence
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from wareontology.sherd.record import Row, Seen
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.materials import PAINT_OF
from wareontology.technique.likelihoods.model import BODY_STATES, SLIP_STATES, clay_of
from wareontology.technique.likelihoods.reading import (
    Context,
    doubted,
    observed_colour,
    said,
    shares,
)
from wareontology.technique.likelihoods.schema import CLAY, REFIRE_STEPS, REFIRED
from wareontology.technique.likelihoods.tables import Tables
from wareontology.technique.network import Item, Slot
from wareontology.technique.units import Unit

Floats = NDArray[np.float64]

USUAL_MINUTES = 30.0
"""Soak that data/likelihoods.csv's steps are stated for."""


def refiring(context: Context, unit: Unit) -> Iterator[Item]:
    """A series has one latent step at which the layer turns; its colour after that is drawn once."""
    rows = _refired(unit, "refire_colour")
    factors: dict[Slot, Floats] = {}
    if rows and unit.layer == "paint":
        factors[Slot("unit", unit.key)] = _paint(context, unit, rows)[:, None, PAINT_OF]
    elif rows:
        factors[Slot("unit", unit.key)] = _clay(context, unit.layer, _hottest(rows, "refire_colour"))
    if unit.ground is not None:
        bare = _refired(unit, "refire_ground_colour")
        if bare:
            ground = context.units[unit.ground]
            beside = [other for other in context.units.paints if other.ground == unit.ground]
            times = max(sum(bool(_refired(other, "refire_ground_colour")) for other in beside), 1)
            seen = _clay(context, ground.layer, _hottest(bare, "refire_ground_colour"))
            factors[Slot("unit", unit.ground)] = seen ** (1 / times)  # one ground, however many paints on it
            rows = rows or bare
    if factors:
        columns = ("refire_c", "refire_minutes", "refire_colour", "refire_ground_colour")
        text = "; ".join(dict.fromkeys(said(row, *columns) for row in rows))
        yield Item(
            unit.key, "refiring", text, factors,
            tuple(row.number for row in rows), tuple(sorted({row.zone for row in rows})),
        )  # fmt: skip


def _refired(unit: Unit, column: str) -> list[Row]:
    return [row for row in unit.rows if row.get("refire_c") and row.get(column)]


def _heat_c(row: Row) -> float:
    cell = row.get("refire_c")
    return cell.number if cell is not None and cell.number is not None else 0.0


def _hottest(rows: Sequence[Row], column: str) -> list[Seen]:
    """What the hottest step of a series showed."""
    last = max(rows, key=_heat_c)
    return [cell for cell in (last.get(column),) if cell is not None]


def _clay(context: Context, layer: str, cells: Sequence[Seen]) -> Floats:
    """A chip of clay refired in air has its colour of air, shape (n, 1, states)."""
    table = context.model.tables.array("clay_colour")[:, :, h.HISTORIES.index("oxidised")]
    clays = [clay for clay, _ in BODY_STATES] if layer == "body" else [clay_of(s) for s in SLIP_STATES]
    by_state = table[:, [CLAY.index(clay) for clay in clays]]
    likelihood = np.ones((1, by_state.shape[1]))
    for cell in cells:
        likelihood = likelihood * (by_state @ observed_colour(context, cell)[:, :, None])[..., 0]
    return likelihood[:, None, :]


def _paint(context: Context, unit: Unit, rows: Sequence[Row]) -> Floats:
    """Likelihood of the series for each paint material, shape (n, 13)."""
    tables = context.model.tables
    turns = tables.array("refire_turns")
    after = tables.array("refire_after")
    seen = [_observed(context, row) for row in rows]
    reached = [_steps_reached(context, row) for row in rows]
    kept = [_kept(context, unit, row, vector) for row, vector in zip(rows, seen, strict=True)]
    total: Floats = np.zeros((1, len(h.PAINT)))
    for step in range(len(REFIRE_STEPS)):
        before: Floats = np.ones(1)
        turned: Floats = np.ones((1, len(REFIRED)))
        for vector, steps, unchanged in zip(seen, reached, kept, strict=True):
            passed = steps[:, step]  # chance that this row's heat reached the step
            before = before * np.where(passed, 1.0, unchanged)
            turned = turned * np.where(passed[:, None], vector, 1.0)
        colour = (after @ turned[:, :, None])[..., 0]
        total = total + turns[:, :, step] * before[:, None] * colour
    reached_last = reached[max(range(len(rows)), key=lambda place: _heat_c(rows[place]))]
    return _like_ground(rows, (turns * reached_last[:, None, :]).sum(axis=-1), total)


def _observed(context: Context, row: Row) -> Floats:
    """Likelihood of each true outcome (13 colours, gone, ghost) for what was written, shape (n, 15)."""
    cell = row.get("refire_colour")
    assert cell is not None
    noise = _noise(context.model.tables)
    return doubted(noise @ shares(cell, REFIRED), cell, context.doubt)


@lru_cache(maxsize=8)
def _noise(tables: Tables) -> Floats:
    """Chance of each outcome to be written for each that is true, shape (n, 15, 15)."""
    colours = tables.array("observed_colour")
    width = len(h.COLOURS)
    noise = np.zeros((len(colours), len(REFIRED), len(REFIRED)))
    noise[:, :width, :width] = colours * (1 - 2 * tables.leak)
    noise[:, :width, width:] = tables.leak
    noise[:, width:] = tables.array("refire_observed")
    return noise


def _steps_reached(context: Context, row: Row) -> NDArray[np.bool_]:
    """Which steps the row's heat reached, a longer soak counting as more heat, shape (n, steps)."""
    cell, soak = row.get("refire_c"), row.get("refire_minutes")
    assert cell is not None
    assert cell.number is not None
    minutes = soak.number if soak is not None and soak.number else USUAL_MINUTES
    gain = context.model.tables.scalar("refire_minutes")
    heat = cell.number + gain * math.log2(max(minutes, 1.0) / USUAL_MINUTES)
    return np.asarray(heat[:, None] >= _middles())


def _middle_c(step: str) -> float:
    """Heat at which a paint of this step has turned.

    >>> _middle_c("below-500"), _middle_c("600-700"), _middle_c("never")
    (450.0, 650.0, inf)
    """
    numbers = [float(number) for number in re.findall(r"\d+", step)]
    if not numbers:
        return math.inf
    return numbers[0] - 50.0 if len(numbers) == 1 else sum(numbers) / 2


@cache
def _middles() -> Floats:
    return np.array([_middle_c(step) for step in REFIRE_STEPS])


def _kept(context: Context, unit: Unit, row: Row, vector: Floats) -> Floats:
    """Chance of what was written if the paint did not change from the colour it has on the sherd, (n,)."""
    colours = [cell for other in unit.rows if (cell := other.colour()) is not None]
    if not colours:
        return np.asarray(vector[:, : len(h.COLOURS)].mean(axis=1))
    own = np.mean([shares(cell, h.COLOURS) for cell in colours], axis=0)
    return np.asarray(vector[:, : len(h.COLOURS)] @ own)


def _like_ground(rows: Sequence[Row], turned: Floats, likelihood: Floats) -> Floats:
    """A paint that ends like its refired ground says nothing among the paints that have turned by that heat.

    turned: chance that each material has, shape (n, 13).
    """
    last = max(rows, key=_heat_c)
    colour, ground = (_likeliest(last.get(column)) for column in ("refire_colour", "refire_ground_colour"))
    if colour is None or colour != ground:
        return likelihood
    changing = turned > 0.5
    total = np.where(changing, likelihood, 0).sum(axis=1, keepdims=True)
    mean = total / np.maximum(changing.sum(axis=1, keepdims=True), 1)
    return np.where(changing, mean, likelihood)


def _likeliest(cell: Seen | None) -> str | None:
    """The word with the largest share, in doubt or not."""
    return max(cell.words, key=lambda pair: pair[1])[0] if cell is not None and cell.words else None
