"""Evidence from a magnet, acid, pXRF and phases named by a laboratory."""

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from wareontology.sherd.record import Row
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.materials import PAINT_OF, by_state, places
from wareontology.technique.likelihoods.reading import (
    Context,
    distinct,
    doubted,
    mean_log,
    said,
    shares,
    surface_of,
)
from wareontology.technique.likelihoods.schema import ELEMENTS, MAGNET, PHASES
from wareontology.technique.limits import limits
from wareontology.technique.network import Item, Slot
from wareontology.technique.units import Unit

Floats = NDArray[np.float64]


def chemistry(context: Context, unit: Unit) -> Iterator[Item]:
    """All such evidence of one unit, each test once."""
    yield from magnet(context, unit)
    yield from acid(context, unit)
    if unit.layer == "paint":
        yield from pxrf(context, unit)
        yield from phases(context, unit)


def magnet(context: Context, unit: Unit) -> Iterator[Item]:
    """A pull counts for a paint where it is stronger than on bare ground; where several zones were tried
    each counts its share, so that the test counts once."""
    rows = [row for row in distinct(unit.rows, "magnet", "magnet_ground") if surface_of(row.zone)]
    told = [row for row in rows if row.get("magnet") is not None and not _ground_pulls_alike(row)]
    table = by_state(context, unit, context.model.tables.array("magnet"))
    factors: dict[Slot, Floats] = {}
    for row in told:
        cell = row.get("magnet")
        assert cell is not None
        likelihood = np.swapaxes(table @ shares(cell, MAGNET), 1, 2)
        likelihood = doubted(likelihood, cell, context.doubt, axis=(1, 2)) ** (1 / len(told))
        slot = Slot("zone", unit.key, surface_of(row.zone) or "")
        factors[slot] = factors[slot] * likelihood if slot in factors else likelihood
    if factors:
        yield _item(unit, "magnet", told, ("magnet", "magnet_ground"), factors)


def _ground_pulls_alike(row: Row) -> bool:
    paint, ground = row.word("magnet"), row.word("magnet_ground")
    if paint is None or ground is None or paint == "none":
        return False
    return MAGNET.index(ground) >= MAGNET.index(paint)


def acid(context: Context, unit: Unit) -> Iterator[Item]:
    """Fizz in dilute acid: carbonate; burial lime fizzes too."""
    rows = distinct(unit.rows, "acid")
    table = context.model.tables.array("acid")[:, places(unit)]
    factors = []
    for row in rows:
        cell = row.get("acid")
        assert cell is not None
        factors.append(doubted(table @ shares(cell, ("none", "fizz")), cell, context.doubt))
    if factors:
        yield _item(unit, "acid", rows, ("acid",), {Slot("unit", unit.key): mean_log(factors)[:, None]})


def pxrf(context: Context, unit: Unit) -> Iterator[Item]:
    """Paint over bare ground beside it, by element, as logs of ratios; a reading below detection bounds
    the ratio from one side; one chance in all that the spot missed the paint."""
    columns = tuple(f"pxrf_{element}{ground}" for element in ELEMENTS for ground in ("", "_ground"))
    rows = [row for row in distinct(unit.rows, *columns) if any(_ratio(row, el) for el in ELEMENTS)]
    factors = [_in_doubt(context, row, columns, _pxrf_row(context, unit, row)) for row in rows]
    if factors:
        yield _item(unit, "pXRF", rows, columns, {Slot("link", unit.key): mean_log(factors)})


def _in_doubt(context: Context, row: Row, columns: tuple[str, ...], likelihood: Floats) -> Floats:
    """Half flat where any of the columns that were read ends in a question mark."""
    doubtful = next((cell for column in columns if (cell := row.get(column)) and cell.doubtful), None)
    return likelihood if doubtful is None else doubted(likelihood, doubtful, context.doubt)


def _ratio(row: Row, element: str) -> tuple[str, float] | None:
    """(kind, log10 of paint over ground): exact, at-least, at-most; None where it bounds nothing."""
    paint, ground = row.get(f"pxrf_{element}"), row.get(f"pxrf_{element}_ground")
    if paint is None or ground is None or not paint.number or not ground.number:
        return None
    if paint.below and ground.below:
        return None
    kind = "at-most" if paint.below else "at-least" if ground.below else "exact"
    return kind, math.log10(paint.number / ground.number)


def _pxrf_row(context: Context, unit: Unit, row: Row) -> Floats:
    tables, on_slip = context.model.tables, unit.ground is not None and unit.ground.startswith("slip")
    grounds = context.model.iron_rich(on_slip)
    hit: Floats = np.ones((1, len(grounds), len(PAINT_OF)))
    missed: Floats = np.ones((1, 1, 1))
    for place, element in enumerate(ELEMENTS):
        ratio = _ratio(row, element)
        if ratio is None:
            continue
        mean = tables.scalars("pxrf_mean")[:, :, grounds, place][:, PAINT_OF].swapaxes(1, 2)
        spread = tables.scalars("pxrf_spread")[:, :, grounds, place][:, PAINT_OF].swapaxes(1, 2)
        hit = hit * _chance(*ratio, mean, spread)
        missed = missed * _chance(*ratio, np.zeros(1), tables.scalar("pxrf_missed_spread"))[:, None, None]
    likeliest = np.maximum(hit.max(axis=(1, 2), keepdims=True), 1e-300)
    hit = (1 - tables.leak) * hit + tables.leak * likeliest  # no reading rules a material out alone
    share = tables.scalar("pxrf_missed")[:, None, None]
    return np.asarray((1 - share) * hit + share * missed)


_erf = np.vectorize(math.erf, otypes=[float])


def _chance(kind: str, log_ratio: float, mean: Floats, spread: Floats) -> Floats:
    """Normal density for a ratio, its tail for a bound.

    Where a material brings the element, more than its mean speaks for it as much as the mean does.
    """
    distance = (log_ratio - mean) / spread
    if kind == "exact":
        distance = np.where(mean >= limits()["pxrf_brings"], np.minimum(distance, 0.0), distance)
        return np.asarray(np.exp(-0.5 * distance**2) / spread / math.sqrt(2 * math.pi))
    below = 0.5 * (1 + _erf(distance / math.sqrt(2)))
    floor = 1e-12  # a bound is never quite impossible
    return np.asarray(np.maximum(below if kind == "at-most" else 1 - below, floor))


def phases(context: Context, unit: Unit) -> Iterator[Item]:
    """Phases a laboratory named in the paint; what it did not name is not counted against anything."""
    rows = distinct(unit.rows, "phases")
    found = sorted({phase for row in rows for phase in named_phases(row)})
    if not found:
        return
    table = context.model.tables.array("phase")[..., 0]
    chance = np.ones((len(table), len(h.PAINT)))
    for phase in found:
        chance = chance * table[:, :, PHASES.index(phase)]
    for row in rows:
        chance = _in_doubt(context, row, ("phases",), chance)
    yield _item(unit, "phases", rows, ("phases",), {Slot("unit", unit.key): chance[:, None, PAINT_OF]})


def named_phases(row: Row) -> list[str]:
    """Phases of the table that a row's text names.

    >>> from wareontology.sherd.record import Seen
    >>> named_phases(Row("interior", "paint", None, {"phases": Seen("phases", "Jacobsite; hematite")}))
    ['hematite', 'jacobsite']
    """
    cell = row.get("phases")
    text = cell.text.lower() if cell is not None else ""
    return [phase for phase in PHASES if phase in text]


def _item(
    unit: Unit, trait: str, rows: list[Row], columns: tuple[str, ...], factors: dict[Slot, Floats]
) -> Item:
    text = "; ".join(dict.fromkeys(said(row, *columns) for row in rows))
    return Item(
        unit.key, trait, text, factors,
        tuple(row.number for row in rows), tuple(sorted({row.zone for row in rows})),
    )  # fmt: skip
