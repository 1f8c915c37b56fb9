"""What a unit would say had it been seen otherwise. What was read once is kept: a lot repeats itself."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from wareontology.sherd.record import Row
from wareontology.technique.case import Case
from wareontology.technique.likelihoods import evidence
from wareontology.technique.likelihoods.reading import Context
from wareontology.technique.likelihoods.schema import ELEMENTS
from wareontology.technique.network import Item
from wareontology.technique.units import Unit

COLUMNS_OF: Final[dict[str, tuple[str, ...]]] = {
    "colour": ("colour", "munsell", "crosses_break"),
    "patches": ("patches", "crosses_break"),
    "edge and relief": ("edge", "relief"),
    "white specks": ("white_specks",),
    "rubs off": ("rubs_off",),
    "applied": ("applied",),
    "lustre and finish": ("lustre", "finish", "sintered"),
    "streak": ("streak_on_paper",),
    "scum": ("scum",),
    "magnet": ("magnet", "magnet_ground"),
    "acid": ("acid",),
    "pXRF": tuple(f"pxrf_{element}{side}" for element in ELEMENTS for side in ("", "_ground")),
    "phases": ("phases",),
    "refiring": (
        "refire_c", "refire_minutes", "refire_colour", "refire_ground_colour", "colour", "munsell",
    ),
    "broken edge": ("core", "colour", "munsell", "crosses_break"),
}  # fmt: skip
"""Columns of a unit's own rows that each trait is read from, the traits in the order they are read."""
KEPT: Final = 2048
"""So many readings are kept; with more they are begun anew."""

_known: dict[object, tuple[Item, ...]] = {}


def seen_as(
    case: Case, unit: Unit, rows: tuple[Row, ...], traits: Iterable[str] = COLUMNS_OF
) -> tuple[Item, ...]:
    """Some traits of a unit seen with other rows than its own; `rows` are all of the sherd as it then is.

    The items are for weighing only: the numbers of their rows may be those of another sherd.
    """
    wanted = tuple(traits)
    key = _key(case, unit, rows, wanted)
    if key not in _known:
        if len(_known) >= KEPT:
            _known.clear()
        sherd = replace(case.sherd, rows=rows)
        context = Context(sherd, case.with_rows(unit, sherd).units, case.model)
        _known[key] = tuple(evidence.unit_items(context, unit, frozenset(wanted)))
    return _known[key]


def _key(case: Case, unit: Unit, rows: tuple[Row, ...], traits: tuple[str, ...]) -> object:
    """All that the readers look at: the unit's own cells, and what of the sherd bears on them.

    Of the model they take likelihoods alone, which are the same in every region and under flat firings.
    """
    columns = dict.fromkeys(column for trait in traits for column in COLUMNS_OF[trait])
    own = tuple((row.zone, *map(row.seen.get, columns)) for row in unit.rows)
    later = tuple((row.zone, row.seen["after_firing"]) for row in rows if "after_firing" in row.seen)
    overrun = any(row.word("crosses_break") == "yes" for row in rows)
    grounds = tuple(
        other.ground
        for other in (unit if paint.key == unit.key else paint for paint in case.units.paints)
        if any(row.get("refire_c") and row.get("refire_ground_colour") for row in other.rows)
    )
    whole = (case.sherd.seen.get("looked"), case.sherd.seen.get("fire_clouds"))
    return (
        case.model.tables,
        case.model.painted,
        unit.key,
        unit.ground,
        traits,
        own,
        later,
        overrun,
        grounds,
        whole,
    )
