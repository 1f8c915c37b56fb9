"""A claim as the page's form holds it, and back: names of fields as `part.number.key`, blanks left out."""

from collections.abc import Mapping
from typing import Any, Final

from werkzeug.datastructures import MultiDict

ROWS: Final[Mapping[str, int]] = {
    "material": 3,
    "step": 4,
    "series": 1,
    "ground": 2,
    "layer": 2,
    "comparison": 1,
}
_OWN: Final = ("ware", "region", "writer", "ware_from", "ware_to", "permission", "permission_from", "date")
_FIRE: Final = ("atmosphere", "ending", "temperature", "structure")
_KEYS: Final[Mapping[str, tuple[str, ...]]] = {
    "material": ("is", "note"),
    "step": ("kind", "what"),
    "series": ("what", "firings", "fired", "came_out", "failed", "tiles_kept", "log", "witness"),
    "ground": ("structure", "found", "where"),
    "layer": ("layer", "name", "zones", "made_of"),
    "comparison": ("what", "originals", "replicas", "by"),
}
_YES: Final[Mapping[str, tuple[str, ...]]] = {
    "material": ("modern",),
    "series": ("failures_shown",),
    "comparison": ("fresh_breaks",),
}
_EVIDENCE: Final = ("grade", "by", "from", "document")
_WITH_EVIDENCE: Final = ("step", "series")
EXAMPLE: Final[Mapping[str, Any]] = {
    "ware": "Ketterwain Pale (invented)", "region": "colorado-plateau", "writer": "Adda Brenning (invented)",
    "ware_from": "1000", "ware_to": "1200", "by_their_means": "yes", "says": ["possible", "sufficient"],
    "technique.atmosphere": "reducing", "technique.ending": "sealed", "technique.temperature": "800-900",
    "technique.structure": "covered-pit", "layer.0.layer": "paint", "layer.0.name": "line",
    "layer.0.zones": "interior", "layer.0.made_of": "iron", "layer.1.layer": "slip",
    "layer.1.zones": "interior", "layer.1.made_of": "light-firing", "material.0.is": "red-ochre",
    "material.0.note": "dug and ground (invented)", "step.0.kind": "firing",
    "step.0.what": "fired in a pit, covered with earth at top heat, opened cold the next day",
    "step.1.kind": "slip-fit-tile", "step.1.what": "six tiles of slip in three thicknesses",
    "step.1.grade": "documented", "step.1.by": "Adda Brenning (invented)",
    "step.1.document": "tile sheet 3 (invented)", "permission": "surface",
    "permission_from": "Ketterwain store (invented)",
    "comparison.0.what": "fresh breaks side by side, then surfaces", "comparison.0.originals": "3",
    "comparison.0.replicas": "5", "comparison.0.fresh_breaks": "yes",
    "comparison.0.by": "Adda Brenning (invented)",
    "step.0.grade": "seen",
    "step.0.by": "Adda Brenning (invented)", "series.0.what": "spring firings",
    "series.0.firings": "3", "series.0.fired": "20", "series.0.came_out": "17", "series.0.failed": "3",
    "series.0.tiles_kept": "20", "series.0.failures_shown": "yes", "series.0.log": "road_log.csv (invented)",
    "series.0.witness": "Corvin Dale (invented)", "series.0.grade": "seen",
    "series.0.by": "Adda Brenning (invented)", "ground.0.structure": "updraft-kiln",
    "ground.0.found": "none-found", "ground.0.where": "all slopes of Ketterwain Ledge (invented)",
}  # fmt: skip
"""An invented claim to look at. Its tables are data/demo/originals.csv and replicas.csv."""


def raw(form: MultiDict[str, str]) -> dict[str, Any]:
    """The claim a form holds, not yet checked.

    >>> raw(MultiDict({"ware": "A", "writer": "B", "technique.ending": "sealed", "step.1.kind": "firing"}))
    {'ware': 'A', 'writer': 'B', 'by_their_means': False, 'technique': {'ending': 'sealed'}, \
'step': [{'kind': 'firing'}]}
    """
    found: dict[str, Any] = _said(form, _OWN, "")
    found["by_their_means"] = "by_their_means" in form
    if says := [one for one in form.getlist("says") if one]:
        found["says"] = says
    if fire := _said(form, _FIRE, "technique."):
        found["technique"] = fire
    for part, rows in ROWS.items():
        listed = [one for number in range(rows) if (one := _part(form, part, number))]
        found |= {part: listed} if listed else {}
    return found


def _part(form: MultiDict[str, str], part: str, number: int) -> dict[str, Any]:
    """One row of the form; empty where nothing in it was filled in."""
    head = f"{part}.{number}."
    found: dict[str, Any] = _said(form, _KEYS[part], head)
    evidence = _said(form, _EVIDENCE, head) if part in _WITH_EVIDENCE else {}
    if not found and not evidence:
        return {}
    if part == "layer" and set(found) == {"layer"}:
        return {}
    found |= {"evidence": [evidence]} if evidence else {}
    return found | {key: head + key in form for key in _YES.get(part, ())}


def _said(form: MultiDict[str, str], keys: tuple[str, ...], head: str) -> dict[str, str]:
    return {key: text for key in keys if (text := form.get(head + key, "").strip())}
