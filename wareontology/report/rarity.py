"""How often a combination of stated fields stands together in the published traditions, as plain data."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from wareontology.graph.traditions import Tradition, traditions
from wareontology.graph.vocabulary import region_path, scheme, schemes
from wareontology.report.browse import material_asked
from wareontology.report.traditions import region_asked, region_label, unknown
from wareontology.technique.scoring import wilson

_EXAMPLE: Final = ("paint=organic", "slip:colour=white", "atmosphere=reducing")
_WARNINGS: Final = (
    "Published wares are no random sample: what is striking, much dug or much analysed is published more, and"
    " what is plain seldom has a stated fire. This is a share of what was written, not of what was made.",
    "Traditions that are stated on only part of the combination are left out, not taken as lacking it.",
    "The interval is for chance alone (Wilson, 95 %), as if the sample were random, which it is not.",
)


@dataclass(frozen=True, slots=True)
class Wanted:
    """One part of a combination: a field, the layer where one was said, and values of which any will do."""

    text: str
    field: str
    layer: str | None
    values: frozenset[str]

    def stated(self, one: Tradition) -> frozenset[str]:
        """All values that are stated of this field, in any zone."""
        found = one.of(self.field, layer=self.layer) if self.layer else one.of(self.field)
        return frozenset(term for said in found for term in said.terms)


def rarity(combination: Sequence[str], region: str | None = None) -> dict[str, Any]:
    """How many of the traditions that are stated on every part have the whole combination.

    combination: parts such as `paint=organic`, `slip:colour=white`. region: count in this region alone.
    Keys asked, region, of (traditions looked through), told (stated on every part), found, share, interval
    (Wilson, 95 %), each (told and found, part by part), by_region, traditions, warnings. share is None where
    none is told. Raises BreaksShape for a part that cannot be read.

    >>> counted = rarity(["paint=organic"])
    >>> 0 < counted["found"] <= counted["told"] <= counted["of"]
    True
    """
    wanted = [_wanted(part) for part in combination]
    among = region_asked(region, "rarity") if region is not None else None
    looked = [one for one in traditions().values() if among is None or among in region_path(one.region)]
    told = [one for one in looked if all(part.stated(one) for part in wanted)]
    found = [one for one in told if all(part.stated(one) & part.values for part in wanted)]
    told_in, found_in = Counter(one.region for one in told), Counter(one.region for one in found)
    return {
        "asked": [_asked(part) for part in wanted],
        "region": among,
        "of": len(looked),
        "told": len(told),
        "found": len(found),
        "share": round(len(found) / len(told), 4) if told else None,
        "interval": [round(end, 4) for end in wilson(len(found), len(told))],
        "each": [_each(part, looked) for part in wanted],
        "by_region": [
            {"region": name, "label": region_label(name), "told": told_in[name], "found": found_in[name]}
            for name in scheme("region").notations()
            if name in told_in
        ],
        "traditions": [{"id": one.id, "label": one.label, "region": one.region} for one in found],
        "warnings": list(_WARNINGS),
    }


def _asked(part: Wanted) -> dict[str, Any]:
    return {"text": part.text, "field": part.field, "layer": part.layer, "values": sorted(part.values)}


def _each(part: Wanted, looked: Sequence[Tradition]) -> dict[str, Any]:
    told = [one for one in looked if part.stated(one)]
    return {
        "text": part.text, "told": len(told),
        "found": sum(bool(part.stated(one) & part.values) for one in told),
    }  # fmt: skip


def _wanted(text: str) -> Wanted:
    name, equals, value = text.partition("=")
    if not equals or not value.strip():
        raise unknown("rarity", "part", text, _EXAMPLE, "a part is a field, = and a value")
    layer, colon, field_text = name.partition(":")
    field = scheme("field").resolve(field_text if colon else layer)
    on = scheme("layer").resolve(layer) if colon else None
    if field is None or (colon and on is None):
        near = scheme("field").nearest(field_text if colon else layer) or _EXAMPLE
        raise unknown("rarity", "part", name.strip(), near, "no such field or layer")
    return Wanted(text.strip(), field, on, _values(field, value))


def _values(field: str, text: str) -> frozenset[str]:
    if field in ("paint", "slip", "body"):
        return material_asked(text, "rarity")
    if field not in schemes():
        raise unknown("rarity", "part", field, _EXAMPLE, "a field that has no fixed values")
    found = scheme(field).resolve(text)
    if found is None:
        would_do = scheme(field).nearest(text) or scheme(field).leaves()
        raise unknown("rarity", field, text.strip(), would_do, "no such value")
    return frozenset((found,))
