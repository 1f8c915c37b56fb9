"""Plain facts from refiring a chip and from pXRF, each against bare ground beside the paint."""

from collections.abc import Mapping
from math import exp, log
from typing import Final

from wareontology.graph.namespaces import TERM, WO
from wareontology.sherd.record import Row, Seen
from wareontology.technique.fact_book import Element
from wareontology.technique.fact_store import Facts
from wareontology.technique.units import Unit

REFIRED_TO: Final = WO + "refiredTo"
REFIRING: Final = WO + "refiring"
BESIDE_GROUND: Final = WO + "refiredBesideGround"
GONE: Final = ("gone", "ghost")
EXCESS: Final = WO + "excessOf"
NO_EXCESS: Final = WO + "noExcessOf"


def refiring(found: Facts, unit: Unit) -> None:
    """What refiring did to one layer: its colour after the hottest step, gone or left, against its ground."""
    steps = [row for row in unit.rows if row.get("refire_colour") is not None]
    last = max(steps, key=lambda row: (_heat_c(row), row.zone))
    cell = last.seen["refire_colour"]
    if sum(cell.share(word) for word in GONE) > 0.5 and not cell.doubtful:
        found.add(unit.key, REFIRING, WO + "Gone", (last,))
        return
    word = cell.word()
    if word is None:
        why = f"refired colour {'doubtful' if cell.doubtful else 'between words'} ({cell.text})"
        found.doubt(unit.key, REFIRED_TO, why)
        found.doubt(unit.key, REFIRING, why)
        return
    found.add(unit.key, REFIRED_TO, f"{TERM}colour/{word}", (last,))
    if _heat_c(last) >= found.book.hot_c:
        found.add(unit.key, REFIRING, WO + "Left", (last,))
    else:
        heat = last.get("refire_c")
        why = f"refired only at {heat.text} °C" if heat is not None else "refiring heat not given"
        found.doubt(unit.key, REFIRING, why, WO + "Left")
    _against_ground(found, unit, last, cell)


def _against_ground(found: Facts, unit: Unit, last: Row, cell: Seen) -> None:
    ground = last.get("refire_ground_colour")
    if ground is None or not ground.words or ground.doubtful:
        return
    step = found.book.rank_step
    redder = _rank(cell, found.book.redness) - _rank(ground, found.book.redness) >= step
    darker = _rank(cell, found.book.darkness) - _rank(ground, found.book.darkness) >= step
    if redder:
        found.add(unit.key, BESIDE_GROUND, WO + "RedderThanGround", (last,))
    if darker:
        found.add(unit.key, BESIDE_GROUND, WO + "DarkerThanGround", (last,))
    if not redder and not darker:
        found.add(unit.key, BESIDE_GROUND, WO + "LikeGround", (last,))


def _heat_c(row: Row) -> float:
    heat = row.get("refire_c")
    return heat.number if heat is not None and heat.number is not None else 0.0


def _rank(cell: Seen, ranks: Mapping[str, float]) -> float:
    return sum(share * ranks.get(word, 0.0) for word, share in cell.words)


def pxrf(found: Facts, unit: Unit) -> None:
    """Which elements stand well above the ground, and which plainly do not; readings between say nothing."""
    for element in found.book.elements:
        said = [(row, bounds) for row in unit.rows if (bounds := _ratio(row, element.column)) is not None]
        if not said:
            continue
        rows = [row for row, _ in said]
        lows = [low for _, (low, _) in said]
        mean = exp(sum(map(log, lows)) / len(lows)) if min(lows) > 0.0 else 0.0
        if mean >= element.excess_ratio:
            found.add(unit.key, EXCESS, element.address, rows)
        elif all(high <= element.like_ratio for _, (_, high) in said):
            found.add(unit.key, NO_EXCESS, element.address, rows)
        else:
            found.doubt(unit.key, EXCESS, _unclear(element), element.address)
            found.doubt(unit.key, NO_EXCESS, _unclear(element), element.address)


def _unclear(element: Element) -> str:
    return f"{element.label} neither well above the ground nor like it"


def _ratio(row: Row, column: str) -> tuple[float, float] | None:
    """Least and most that paint over ground can be; below detection lies between 0 and the limit."""
    paint, ground = row.get(column), row.get(column + "_ground")
    if paint is None or ground is None or paint.number is None or ground.number is None:
        return None
    if paint.doubtful or ground.doubtful:
        return None
    if paint.below and ground.below:
        return 0.0, 1.0  # found in neither
    if ground.number <= 0.0:
        return (0.0, 1.0) if paint.number <= 0.0 else None  # over nothing there is no ratio
    ratio = paint.number / ground.number
    return (0.0 if paint.below else ratio), (float("inf") if ground.below else ratio)
