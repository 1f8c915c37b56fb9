"""Evidence of colour and of patches, zone by zone."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from wareontology.sherd.record import Row, Seen
from wareontology.technique import hypotheses as h
from wareontology.technique.fact_book import fact_book
from wareontology.technique.likelihoods.materials import by_state
from wareontology.technique.likelihoods.reading import (
    Context,
    distinct,
    doubted,
    mean_log,
    observed_colour,
    said,
    shares,
    surface_of,
)
from wareontology.technique.likelihoods.schema import AFTER_FIRING, PATCHES
from wareontology.technique.network import Item, Slot
from wareontology.technique.units import CONTRAST, Unit

Floats = NDArray[np.float64]


def colour(context: Context, unit: Unit) -> Iterator[Item]:
    """Colour and Munsell are one observation; a unit's zones are one item, since its colour is drawn once
    for each local history."""
    factors: dict[Slot, Floats] = {}
    rows = [row for row in unit.rows if row.colour() is not None and not overrun(context, row)]
    for zone in sorted({zone for row in rows if (zone := surface_of(row.zone))}):
        here = [row for row in rows if surface_of(row.zone) == zone]
        factors[Slot("colour", unit.key, zone)] = _zone(context, here)
    if unit.layer != "body" and (section := [row for row in rows if surface_of(row.zone) is None]):
        factors[Slot("unit", unit.key)] = _in_section(context, unit, section)
    if factors:
        yield Item(
            unit.key, "colour", _said(rows), factors,
            tuple(row.number for row in rows), tuple(sorted({row.zone for row in rows})),
        )  # fmt: skip


def overrun(context: Context, row: Row) -> bool:
    """True where the colour runs over a broken edge, so that it is later than the firing."""
    if row.word("crosses_break") == "yes":
        return True
    return (
        row.zone == "break"
        and row.layer == "body"
        and any(other.word("crosses_break") == "yes" for other in context.sherd.rows)
    )


def flattened(context: Context, row: Row) -> Floats:
    """Share of a row's colour evidence lost to what happened after the firing, shape (n,)."""
    lost: Floats = np.zeros(1)
    table = context.model.tables.scalars("after_firing")
    for other in context.sherd.rows:
        cell = other.get("after_firing")
        if cell is not None and other.zone == row.zone:
            for word, _ in cell.words:
                if word in AFTER_FIRING:
                    lost = np.maximum(lost, table[:, AFTER_FIRING.index(word)])
    return lost


def _row(context: Context, row: Row) -> Floats:
    cell = row.colour()
    assert cell is not None
    likelihood = observed_colour(context, cell)
    lost = flattened(context, row)[:, None]
    return np.asarray((1 - lost) * likelihood + lost * likelihood.mean(axis=1, keepdims=True))


def _zone(context: Context, rows: list[Row]) -> Floats:
    return mean_log([_row(context, row) for row in distinct(rows, "munsell", "colour")])


def _in_section(context: Context, unit: Unit, rows: list[Row]) -> Floats:
    """A slip or paint whose colour was seen on the broken edge: the wall's history, shape (n, classes, m)."""
    colours = context.model.slip_colours if unit.layer == "slip" else context.model.paint_colours
    seen = colours @ _zone(context, rows)[:, None, :, None]
    return np.asarray(context.model.wall_by_class @ np.swapaxes(seen[..., 0], 1, 2))


def _said(rows: list[Row]) -> str:
    parts: dict[str, list[str]] = {}
    for row in rows:
        cell = row.colour()
        if cell is not None and row.zone not in parts.get(cell.text, []):
            parts.setdefault(cell.text, []).append(row.zone)
    return "; ".join(f"{text} ({', '.join(sorted(zones))})" for text, zones in sorted(parts.items()))


def patches(context: Context, unit: Unit) -> Iterator[Item]:
    """Patches of another colour. In a zone seen whole a blank cell reads as none."""
    factors: dict[Slot, Floats] = {}
    used: list[Row] = []
    for zone in sorted({zone for row in unit.rows if (zone := surface_of(row.zone))}):
        rows = [row for row in unit.rows if row.zone == zone]
        written = distinct(rows, "patches")
        seen = [(row, cell) for row in written if (cell := row.get("patches")) is not None]
        if not seen and zone in context.sherd.looked and rows:
            seen = [(rows[0], Seen("patches", "none", (("none", 1.0),)))]
        found = [f for row, cell in seen if (f := _patch(context, unit, row, cell)) is not None]
        if found:
            factors[Slot("zone", unit.key, zone)] = mean_log(found)
            used += [row for row, _ in seen]
    if factors:
        text = "; ".join(
            dict.fromkeys(f"{said(row, 'patches') or 'patches none'} ({row.zone})" for row in used)
        )
        yield Item(
            unit.key, "patches", text, factors,
            tuple(row.number for row in used), tuple(sorted({row.zone for row in used})),
        )  # fmt: skip


def _patch(context: Context, unit: Unit, row: Row, cell: Seen) -> Floats | None:
    """Likelihood of one patches cell, shape (n, histories, states); None where it says nothing."""
    if overrun(context, row):
        return None
    vector = shares(cell, PATCHES, lambda word: CONTRAST.get(word, word))
    clouds = context.sherd.word("fire_clouds") in ("few", "most")
    if not vector.any() or (clouds and vector[PATCHES.index("dark")] == vector.max()):
        return None  # fire clouds were counted already
    table = by_state(context, unit, context.model.tables.array("patches"))
    likelihood = np.swapaxes(table @ vector, 1, 2)
    lost = flattened(context, row)[:, None, None]
    likelihood = (1 - lost) * likelihood + lost * likelihood.mean(axis=(1, 2), keepdims=True)
    return doubted(np.asarray(likelihood), cell, context.doubt, axis=(1, 2))


def _red_share(cell: Seen) -> float:
    return sum(share for word, share in cell.words if CONTRAST.get(word) == "red")


def no_red_paint(context: Context) -> Iterator[Item]:
    """A painted sherd seen whole, inside and outside, with no red paint anywhere: evidence of the fire."""
    sherd = context.sherd
    if not context.units.paints or not {"interior", "exterior"} <= sherd.looked:
        return
    for row in sherd.rows_of("paint"):
        for cell in (row.colour(), row.get("patches")):
            if cell is not None and _red_share(cell) >= fact_book().red_share:
                return
    absent = context.model.tables.array("no_red_paint")[..., 0]
    yield Item(
        "sherd", "no red paint", "no red paint anywhere, inside and outside looked at whole",
        {Slot("fire"): np.repeat(absent, len(h.TEMPERATURE), axis=1)},
        zones=tuple(sorted(sherd.looked)),
    )  # fmt: skip
