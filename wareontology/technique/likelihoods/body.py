"""Evidence of the body: its broken edge, and what its heat left."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from wareontology.sherd.record import Row
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.colours import flattened, overrun
from wareontology.technique.likelihoods.model import BODY_STATES, FIRES, REGIME_OF_FIRE
from wareontology.technique.likelihoods.reading import (
    Context,
    distinct,
    doubted,
    mean_log,
    observed_colour,
    said,
    shares,
)
from wareontology.technique.likelihoods.schema import CORE, YES_NO
from wareontology.technique.network import Item, Slot
from wareontology.technique.units import Unit

Floats = NDArray[np.float64]

_TEMPERATURE_OF = np.array([h.TEMPERATURE.index(temperature) for *_, temperature in FIRES])
_CARBON_OF = np.array([h.CARBON.index(carbon) for _, carbon in BODY_STATES])
_CLAY_OF = np.array([h.BODY.index(clay) for clay, _ in BODY_STATES])


def broken_edge(context: Context, unit: Unit) -> Iterator[Item]:
    """Core and body colour are joint: the colour in the break is the core's where there is one."""
    if unit.layer != "body":
        return
    rows = [
        row
        for row in distinct(unit.rows, "core", "munsell", "colour")
        if row.zone == "break" and not overrun(context, row)
    ]
    if rows:
        factor = mean_log([_edge(context, row) for row in rows])
        text = "; ".join(
            dict.fromkeys(said(row, "core", "munsell" if row.get("munsell") else "colour") for row in rows)
        )
        numbers = tuple(row.number for row in rows)
        yield Item("body", "broken edge", text, {Slot("heat"): factor}, numbers, ("break",))


def _edge(context: Context, row: Row) -> Floats:
    """Shape (n, fires, body states)."""
    model, tables = context.model, context.model.tables
    cell, core_cell = row.colour(), row.get("core")
    colour = observed_colour(context, cell) if cell is not None else np.ones((1, len(h.COLOURS)))
    seen = shares(core_cell, CORE) if core_cell is not None else np.ones(len(CORE))
    if core_cell is not None and core_cell.doubtful:
        doubt = float(context.doubt[0])
        seen = (1 - doubt) * seen + doubt * np.full(len(CORE), seen.mean())
    through = np.einsum("nbhc,nc->nhb", model.through_colours, colour)
    dark = np.einsum("nc,nc->n", tables.array("core_colour")[:, 0], colour)
    core = tables.array("core") * seen  # carbon, history, temperature, core
    dark_share = core[..., 1:].sum(axis=-1)[:, _CARBON_OF]
    plain_share = core[..., 0][:, _CARBON_OF]
    # states b, histories h, temperatures t
    by_history = np.einsum("nbht,nhb->nbht", plain_share, through) + dark_share * dark[:, None, None, None]
    by_regime = np.einsum("nrh,nbht->nrtb", model.wall, by_history)
    factor = np.asarray(by_regime[:, REGIME_OF_FIRE, _TEMPERATURE_OF])
    lost = flattened(context, row)[:, None, None]
    return np.asarray((1 - lost) * factor + lost * factor.mean(axis=(1, 2), keepdims=True))


def heat(context: Context) -> Iterator[Item]:
    """Hardness, ring, slaking and lime pops: traits of the heat the body saw."""
    tables, sherd = context.model.tables, context.sherd
    for column, outcomes in (
        ("hardness", ("soft", "medium", "hard")),
        ("ring", ("dull", "clear")),
        ("slakes", YES_NO),
    ):
        cell = sherd.seen.get(column)
        if cell is not None and (vector := shares(cell, outcomes)).any():
            by_heat = doubted(tables.array(column) @ vector, cell, context.doubt)[:, _TEMPERATURE_OF]
            yield Item("body", column, f"{column} {cell.text}", {Slot("heat"): by_heat[:, :, None]})
    cell = sherd.seen.get("lime_pops")
    if cell is not None and (vector := shares(cell, YES_NO)).any():
        table = doubted(tables.array("lime_pops") @ vector, cell, context.doubt, axis=(1, 2))
        factor = table[:, _CLAY_OF][:, :, _TEMPERATURE_OF].swapaxes(1, 2)
        yield Item("body", "lime pops", f"lime pops {cell.text}", {Slot("heat"): factor})
