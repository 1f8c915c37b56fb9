"""Evidence of how a layer's surface looks and feels: edge, relief, lustre, finish, rubbing, specks."""

from collections.abc import Callable, Iterator, Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.sherd.record import Row
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.materials import AFTER, PAINT_OF, places
from wareontology.technique.likelihoods.model import PAINT_STATES, SLIP_STATES, clay_of
from wareontology.technique.likelihoods.reading import Context, distinct, mean_log, said, shares
from wareontology.technique.likelihoods.schema import CLAY, EDGE, FINISH, LUSTRE, RELIEF, SINTERED, YES_NO
from wareontology.technique.network import Item, Slot
from wareontology.technique.units import Unit

Floats = NDArray[np.float64]

TRAITS: Final = frozenset(
    {"edge and relief", "white specks", "rubs off", "applied", "lustre and finish", "streak", "scum"}
)


def surface(context: Context, unit: Unit) -> Iterator[Item]:
    """All evidence of a unit's surface, each trait once a unit."""
    tables = context.model.tables
    if unit.layer == "paint":
        yield from _once(context, unit, "edge and relief", ("edge", "relief"), _edge_relief)
        yield from _once(context, unit, "white specks", ("white_specks",), _paint_yes_no("white_specks"))
        yield from _once(context, unit, "rubs off", ("rubs_off",), _by_applied("rubs_off"))
        yield from _once(context, unit, "applied", ("applied",), _by_applied("applied_seen"))
    yield from _once(context, unit, "lustre and finish", ("lustre", "finish", "sintered"), _lustre_finish)
    if unit.layer != "body":
        yield from _once(context, unit, "streak", ("streak_on_paper",), _streak)
    if unit.layer == "slip":
        own = tables.array("scum")[:, [CLAY.index(clay_of(state)) for state in SLIP_STATES]]
        yield from _once(
            context,
            unit,
            "scum",
            ("scum",),
            lambda context, _unit, row: own @ _words(context, row, "scum", YES_NO),
        )


Reader = Callable[[Context, Unit, Row], Floats]


def _once(context: Context, unit: Unit, trait: str, columns: Sequence[str], read: Reader) -> Iterator[Item]:
    rows = distinct(unit.rows, *columns)
    factors = []
    for row in rows:
        factors.append(read(context, unit, row))
    if factors:
        text = "; ".join(dict.fromkeys(said(row, *columns) for row in rows))
        yield Item(
            unit.key, trait, text, {Slot("unit", unit.key): mean_log(factors)[:, None, :]},
            tuple(row.number for row in rows), tuple(sorted({row.zone for row in rows})),
        )  # fmt: skip


def _words(context: Context, row: Row, column: str, outcomes: Sequence[str]) -> Floats:
    """Shares over outcomes; a blank cell allows any, a doubtful one half its word and half any."""
    cell = row.get(column)
    vector = shares(cell, outcomes) if cell is not None else np.ones(len(outcomes))
    if not vector.any():
        return np.ones(len(outcomes))
    if cell is not None and cell.doubtful:
        doubt = float(context.doubt[0])
        vector = (1 - doubt) * vector + doubt / len(outcomes)
    return vector


def _edge_relief(context: Context, _unit: Unit, row: Row) -> Floats:
    joint = np.outer(_words(context, row, "edge", EDGE), _words(context, row, "relief", RELIEF)).ravel()
    tables = context.model.tables
    before = tables.array("edge_relief")[:, PAINT_OF] @ joint
    after = tables.array("after_fired_edge_relief") @ joint
    return np.where(AFTER, after, before)


def _lustre_finish(context: Context, unit: Unit, row: Row) -> Floats:
    layer = h.LAYERS.index(unit.layer)
    tables = context.model.tables
    joint = tables.array("lustre_sintered")[:, layer][:, places(unit)]
    joint = joint.reshape(*joint.shape[:2], len(LUSTRE), len(SINTERED))
    by_lustre = (joint @ _words(context, row, "sintered", SINTERED)) * _words(context, row, "lustre", LUSTRE)
    finish = tables.array("finish")[:, layer][:, places(unit)] @ _words(context, row, "finish", FINISH)
    return np.asarray((by_lustre * finish).sum(axis=-1))


def _paint_yes_no(table: str) -> Reader:
    def read(context: Context, _unit: Unit, row: Row) -> Floats:
        return np.asarray(
            context.model.tables.array(table)[:, PAINT_OF] @ _words(context, row, table, YES_NO)
        )

    return read


def _by_applied(table: str) -> Reader:
    column = "applied" if table == "applied_seen" else table
    outcomes = ("before-firing", "after-firing") if column == "applied" else ("no", "dry", "wet")

    def read(context: Context, _unit: Unit, row: Row) -> Floats:
        by_time = context.model.tables.array(table) @ _words(context, row, column, outcomes)
        return by_time[:, [h.APPLIED.index(applied) for _, applied in PAINT_STATES]]

    return read


def _streak(context: Context, unit: Unit, row: Row) -> Floats:
    table = context.model.tables.array("streak_on_paper")[:, places(unit)]
    return np.asarray(table @ _words(context, row, "streak_on_paper", YES_NO))
