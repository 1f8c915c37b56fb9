"""Which rows of the tables an answer rests on, and with what basis."""

from collections.abc import Iterator
from typing import Final

from wareontology.technique.case import Case, material_odds, top
from wareontology.technique.likelihoods.tables import Given, Tables

TABLES_OF: Final = {
    "colour": ("paint_colour", "clay_colour"), "patches": ("patches",), "edge and relief": ("edge_relief",),
    "lustre and finish": ("lustre_sintered", "finish"), "white specks": ("white_specks",),
    "rubs off": ("rubs_off",), "applied": ("applied_seen",), "streak": ("streak_on_paper",),
    "scum": ("scum",),
    "acid": ("acid",), "magnet": ("magnet",), "pXRF": ("pxrf_mean",), "phases": ("phase",),
    "refiring": ("refire_turns", "refire_after"), "broken edge": ("core", "wall"), "hardness": ("hardness",),
    "ring": ("ring",), "slakes": ("slakes",), "lime pops": ("lime_pops",), "no red paint": ("no_red_paint",),
    "structure": ("structure", "fire_clouds", "marks", "kiln_evidence"),
}  # fmt: skip
"""Tables that each trait is read from."""


def bases(case: Case) -> list[tuple[str, str]]:
    """(source key, basis) of every sourced row that the evidence and the priors of this sherd rest on."""
    found = {(entry.source, entry.basis) for given in _rows(case) for entry in given.entries if entry.source}
    return sorted(found)


def _rows(case: Case) -> Iterator[Given]:
    tables: Tables = case.model.tables
    likeliest = {unit.key: top(material_odds(unit, case.marginals))[0] for unit in case.units.all()}
    for item in case.items:
        material = likeliest.get(item.unit)
        for table in TABLES_OF[item.trait]:
            yield from (given for given in tables.rows(table) if _concerns(given, material))
    for table in ("atmosphere", "ending", "slip", "paint"):
        yield from (given for given in tables.rows(table) if given.region in case.model.regions)


def _concerns(given: Given, material: str | None) -> bool:
    words = {word for words in given.given for word in words}
    return material is None or material in words or "*" in given.given[0]
