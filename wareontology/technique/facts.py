"""Plain facts about one sherd, as the rules read them; what a small grammar cannot say is derived here.

A fact is (node, predicate, value). Nodes are the sherd and its layers. Which facts there are, where each
comes from and how it is said, is declared in shapes/rules.ttl.
"""

from itertools import combinations
from typing import Final

from wareontology.graph.namespaces import RDF, TERM, WO
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.technique.fact_book import Fact, FactBook, fact_book
from wareontology.technique.fact_store import (
    CONTRASTS,
    HAS_UNIT,
    LIES_ON,
    RED_ON,
    SHERD_NODE,
    TO_NODES,
    Facts,
)
from wareontology.technique.fact_tests import (
    BESIDE_GROUND,
    EXCESS,
    NO_EXCESS,
    REFIRED_TO,
    REFIRING,
    pxrf,
    refiring,
)
from wareontology.technique.hypotheses import SURFACES
from wareontology.technique.units import Unit, Units

TYPE: Final = RDF + "type"
CLASS: Final = {"body": WO + "Body", "slip": WO + "Slip", "paint": WO + "Paint"}
COLOUR: Final = WO + "colour"
LOOKED: Final = WO + "lookedWhole"
PAINTED_IN: Final = WO + "paintedIn"
DERIVED: Final = frozenset(
    (*TO_NODES, COLOUR, LOOKED, PAINTED_IN, REFIRED_TO, REFIRING, BESIDE_GROUND, EXCESS, NO_EXCESS)
)
"""Facts that come from no one column."""
LEAD: Final = 0.1
"""Two words nearer than this in share are a near tie, as in `Seen.word`."""


def facts(sherd: Sherd, units: Units, book: FactBook | None = None) -> Facts:
    """The plain facts of one sherd; the order of its rows never matters.

    A trait gives a fact only where it has one word: a doubtful cell and a near tie go to `doubts`. Colours
    that a later change hides (soot, crust, burning after breakage) give none either. Absence is a fact only
    where it was written (`none`, `no`) or where the zone was looked at whole.

    >>> from wareontology.sherd.record import Row, Seen, Sherd
    >>> from wareontology.technique.units import units
    >>> cream = Seen("colour", "cream-white", (("cream", 0.5), ("white", 0.5)))
    >>> shown = Sherd("K 1", None, {}, (Row("interior", "slip", None, {"colour": cream}),))
    >>> facts(shown, units(shown)).doubts[("slip", COLOUR)]
    {'': 'between cream and white'}
    """
    found = Facts(sherd, book or fact_book())
    _of_sherd(found, sherd, units)
    hidden: set[str] = set()
    for unit in units.all():
        _of_layer(found, unit, hidden)
    _of_zones(found, sherd, hidden)
    for one, other in combinations(units.paints, 2):
        if None not in (sides := {one.contrast(), other.contrast()}) and len(sides) == 2:
            found.add(one.key, CONTRASTS, other.key)
            found.add(other.key, CONTRASTS, one.key)
    return found


def _of_sherd(found: Facts, sherd: Sherd, units: Units) -> None:
    found.nodes[SHERD_NODE] = {
        TYPE: {WO + "Sherd": []},
        HAS_UNIT: {unit.key: [] for unit in units.all()},
    }
    for fact in found.book.of_sherd:
        cell = sherd.seen.get(fact.column)
        if cell is not None:
            _take(found, SHERD_NODE, fact, cell, ())
    zones = {row.zone for paint in units.paints for row in paint.rows}
    for zone in sorted(zones):
        found.add(SHERD_NODE, PAINTED_IN, f"{TERM}zone/{zone}")


def _of_zones(found: Facts, sherd: Sherd, hidden: set[str]) -> None:
    for zone in sorted(sherd.looked):
        value = f"{TERM}zone/{zone}"
        if zone in hidden:
            why = f"colours of the {zone} hidden by what came after the firing"
            found.doubt(SHERD_NODE, LOOKED, why, value)
        else:
            found.add(SHERD_NODE, LOOKED, value)


def _of_layer(found: Facts, unit: Unit, hidden: set[str]) -> None:
    said = found.nodes[unit.key] = {TYPE: {CLASS[unit.layer]: []}}
    if unit.ground is not None:
        said[LIES_ON] = {unit.ground: []}
    colours: list[tuple[Row, Seen]] = []
    refired = measured = False
    by_column = found.book.by_column
    for row in unit.rows:
        seen = row.seen
        later = _later(found.book, row)
        for column, cell in seen.items():
            if column == "munsell" or (column == "colour" and "munsell" not in seen):
                if later:
                    hidden.add(row.zone)
                    _hide(found, unit.key, row, later)
                    continue
                colours.append((row, cell))
                column = "colour"
            for fact in by_column.get(column, ()):
                if fact.zone is None or fact.zone == row.zone:
                    _take(found, unit.key, fact, cell, (row,))
            refired = refired or column == "refire_colour"
            measured = measured or column.startswith("pxrf_")
        if not later and unit.applied != "after-firing":
            _red(found, unit, row)
    _whole_colour(found, unit, colours)
    if refired:
        refiring(found, unit)
    if measured:
        pxrf(found, unit)


def _take(found: Facts, node: str, fact: Fact, cell: Seen, rows: tuple[Row, ...]) -> None:
    words = cell.words
    if not words:
        return
    listed = len(words) > 1 and words[0][1] == words[1][1] == 1.0  # a list of words, each of them so
    if cell.doubtful or (len(words) > 1 and not listed and cell.word() is None):
        found.doubt(node, fact.address, why_no_word(cell))
        return
    taken = tuple(word for word, _ in words) if listed or len(words) == 1 else (cell.word() or "",)
    values = found.nodes[node].setdefault(fact.address, {})
    for word in taken:
        values.setdefault(fact.values[word], []).extend(rows)


def why_no_word(cell: Seen) -> str:
    """Why a cell gives no one word: `between cream and white`, or that it was marked doubtful."""
    if cell.doubtful:
        return f"{cell.column.replace('_', ' ')} doubtful ({cell.text})"
    return between(dict(cell.words))


def between(shares: dict[str, float]) -> str:
    """The words in a near tie.

    >>> between({"white": 0.5, "cream": 0.5})
    'between cream and white'
    """
    ranked = sorted(shares, key=lambda word: (-shares[word], word))
    return "between " + " and ".join(ranked[:2])


def _later(book: FactBook, row: Row) -> str:
    cell = row.seen.get("after_firing")
    words = cell.words if cell is not None else ()
    return next((word for word, _ in words if word in book.colour_lost_by), "")


def _hide(found: Facts, node: str, row: Row, later: str) -> None:
    why = f"colour of the {row.zone} came after the firing ({later.replace('-', ' ')})"
    found.doubt(node, COLOUR, why)
    for fact in found.book.by_column.get("colour", ()):
        if fact.zone == row.zone:
            found.doubt(node, fact.address, why)


def _red(found: Facts, unit: Unit, row: Row) -> None:
    """Red, or perhaps red: a claim that nothing is red must outlive every doubt."""
    if row.word("crosses_break") == "yes" or row.word("applied") == "after-firing":
        return
    for cell in (row.seen.get("patches"), row.colour()):
        if cell is not None and cell.share("red") + cell.share("orange") >= found.book.red_share:
            found.add(SHERD_NODE, RED_ON, unit.key, (row,))
            return


def _whole_colour(found: Facts, unit: Unit, colours: list[tuple[Row, Seen]]) -> None:
    """The one colour of a layer: shares averaged by zone, then over the surfaces (else the break)."""
    surfaces = [pair for pair in colours if pair[0].zone in SURFACES] or colours
    sure = [pair for pair in surfaces if not pair[1].doubtful and pair[1].words]
    if not sure:
        for _, cell in surfaces[:1]:
            found.doubt(unit.key, COLOUR, why_no_word(cell))
        return
    shares = _mean_shares(sure)
    ranked = sorted(shares, key=lambda word: (-shares[word], word))
    if len(ranked) > 1 and shares[ranked[0]] - shares[ranked[1]] < LEAD:
        found.doubt(unit.key, COLOUR, between(shares))
        return
    rows = [row for row, cell in sure if cell.share(ranked[0]) > 0.0]
    found.add(unit.key, COLOUR, f"{TERM}colour/{ranked[0]}", rows)


def _mean_shares(cells: list[tuple[Row, Seen]]) -> dict[str, float]:
    first = cells[0][1].words
    if all(cell.words == first for _, cell in cells):
        return dict(first)
    by_zone: dict[str, list[Seen]] = {}
    for row, cell in cells:
        by_zone.setdefault(row.zone, []).append(cell)
    total: dict[str, float] = {}
    for zone in sorted(by_zone):
        seen = by_zone[zone]
        for cell in seen:
            for word, share in cell.words:
                total[word] = total.get(word, 0.0) + share / len(seen) / len(by_zone)
    return total
