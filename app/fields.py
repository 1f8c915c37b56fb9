"""Which columns the bench asks for, where, and under what label; what a column may hold is the library's."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

from wareontology.sherd.columns import FIELDS, Column, column, columns

ZONES: Final = ("interior", "exterior", "rim", "base", "break", "inner-margin", "outer-margin")
LAYERS: Final = ("body", "slip", "paint")

_FIRST: Final = {
    "body": ("colour", "munsell", "patches", "finish"),
    "slip": ("name", "colour", "munsell", "patches", "lustre", "finish"),
    "paint": ("name", "on", "colour", "munsell", "patches", "edge", "relief", "lustre"),
}
"""What is asked first of each layer; everything else is asked under a line that opens."""
_OF_THE_BREAK: Final = ("colour", "munsell", "core")
_SHERD_FIRST: Final = ("sherd", "region", "form", "permission")
_NOT_ASKED: Final = ("looked", "zone", "layer")
"""Asked once for each zone, or known by where the layer stands."""

LABELS: Final = {
    "sherd": "Name or number", "sherd_part": "Part of the pot", "diameter_cm": "Diameter", "wall_mm": "Wall",
    "rim_percent": "Share of the rim", "weight_g": "Weight", "date_from": "Earliest year",
    "date_to": "Latest year", "fire_clouds": "Fire clouds", "lime_pops": "Lime pops",
    "observer": "Who looked",
    "kiln_evidence": "Kiln remains", "permission": "What the owner allows", "name": "Name of your own",
    "on": "Lies on", "applied": "Put on", "munsell": "Munsell chip", "colour_state": "Read wet or dry",
    "polish_order": "Polished", "slip_mm": "Thickness of the slip", "slip_crazed": "Slip crazed",
    "slip_peels": "Slip peels", "paint_dragged": "Paint dragged", "rubs_off": "Rubs off",
    "streak_on_paper": "Streaks on paper", "white_specks": "White specks", "after_firing": "After the firing",
    "crosses_break": "Runs over the broken edge", "magnet": "Magnet", "magnet_ground": "Magnet, bare ground",
    "acid": "Weak acid", "refire_c": "Refired at", "refire_minutes": "Held for",
    "refire_colour": "Colour refired", "refire_ground_colour": "Bare ground refired beside it",
    "phases": "Minerals found", "core": "Dark core",
    **{
        f"pxrf_{element}{ground}": f"pXRF {words}{', bare ground' if ground else ''}"
        for element, words in (("fe", "iron"), ("mn", "manganese"), ("cu", "copper"), ("pb", "lead"))
        for ground in ("", "_ground")
    },
}  # fmt: skip
"""How the bench names a column; where none is given the column's own name with a capital."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The columns asked of a layer or of the sherd: at once, under *more*, and under *tests*."""

    first: tuple[Column, ...]
    more: tuple[Column, ...]
    tests: tuple[Column, ...] = ()


def label(column: Column) -> str:
    """A column's label.

    >>> from wareontology.sherd.columns import column
    >>> label(column("refire_c")), label(column("edge"))
    ('Refired at', 'Edge')
    """
    return LABELS.get(column.name) or column.name.replace("_", " ").capitalize()


@cache
def of_sherd() -> Asked:
    """What is asked of the sherd as a whole; the observer too, who is one for all its rows."""
    first = _SHERD_FIRST
    more = [each for each in columns() if each.of == "sherd" and each.name not in (*first, *_NOT_ASKED)]
    return Asked(tuple(map(column, first)), (column("observer"), *more))


@cache
def of_layer(zone: str, layer: str) -> Asked:
    """What is asked of a layer in a zone.

    >>> [column.name for column in of_layer("break", "body").first]
    ['colour', 'munsell', 'core']
    """
    first = _OF_THE_BREAK if (zone, layer) == ("break", "body") else _FIRST[layer]
    kept = {*first, *_NOT_ASKED, "sherd", "observer"} | ({"core"} if "core" not in first else set())
    return Asked(
        tuple(map(column, first)),
        _others("layer", kept),
        _others("test", kept),
    )


def _others(of: str, kept: Sequence[str] | set[str]) -> tuple[Column, ...]:
    return tuple(each for each in columns() if each.of == of and each.name not in kept and not _told(each))


def _told(each: Column) -> bool:
    return each.name in FIELDS and each.name != "name"
