"""One tradition whole: what is stated of it and by which source, and apart from that what is from memory."""

from typing import Any, Final

from wareontology.graph.traditions import Statement, Tradition, groups, traditions
from wareontology.graph.vocabulary import region_path, scheme
from wareontology.report.traditions import brief, cited, place_words, region_label

_BASES: Final = ("stated", "inferred", "memory")
_ORDER: Final = ("seen", "concluded", "describing")
_WARNING: Final = (
    "Where a statement names several sources, which of them said it may not have been noted. Coordinates are"
    " whole degrees of an area, never of a site."
)


def show(tradition: Tradition) -> dict[str, Any]:
    """All that is said of a tradition, by basis.

    Keys of `brief`, and regions, groups (name, label, definition), twins, influenced_by, influenced (id,
    label), stated, inferred, memory (field, label, side, where, value, terms, sources as numbers from 1,
    inferred_from, note), note, sources, warning.

    >>> from wareontology.graph.traditions import tradition
    >>> found = show(tradition("us-tusayan-white"))
    >>> [one["value"] for one in found["stated"] if one["field"] == "edge"]
    ['soft']
    """
    keys = [key for said in _sorted(tradition.statements) for key in said.sources]
    sources = cited(keys)
    number = {str(source["id"]): place for place, source in enumerate(sources, start=1)}
    kin = {name: _named(getattr(tradition, name)) for name in ("twins", "influenced_by", "influenced")}
    named = groups()
    return {
        **brief(tradition),
        "regions": [region_label(region) for region in region_path(tradition.region)],
        "groups": [
            {"name": name, "label": named[name].label, "definition": named[name].definition}
            for name in tradition.groups
        ],
        **kin,
        **{
            basis: [_entry(said, number) for said in _sorted(tradition.statements) if said.basis == basis]
            for basis in _BASES
        },
        "note": tradition.note,
        "sources": sources,
        "warning": _WARNING,
    }


def _sorted(statements: tuple[Statement, ...]) -> list[Statement]:
    """As a sherd is looked at: what is seen, then what was concluded, then the rest; layers together."""
    layers = ("body", "slip", "paint", None)
    return sorted(
        statements,
        key=lambda said: (_ORDER.index(said.side), layers.index(said.layer), said.name or ""),
    )


def _entry(said: Statement, number: dict[str, int]) -> dict[str, Any]:
    return {
        "field": said.field,
        "label": scheme("field")[said.field].label,
        "side": said.side,
        "where": place_words(said),
        "value": said.value,
        "terms": list(said.terms),
        "sources": [number[key] for key in said.sources],
        "inferred_from": said.inferred_from,
        "note": said.note,
    }


def _named(ids: tuple[str, ...]) -> list[dict[str, str]]:
    return [{"id": one, "label": traditions()[one].label} for one in ids]
