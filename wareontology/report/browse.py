"""Traditions picked by region, technique, material and period, as plain data."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from wareontology.graph.traditions import Tradition, groups, traditions
from wareontology.graph.vocabulary import region_path, scheme
from wareontology.report.traditions import ANY, STATED, brief, period_asked, region_asked, unknown
from wareontology.technique.hypotheses import FAMILY

_FIRE: Final = ("ending", "atmosphere", "structure", "applied", "carbon")
_LAYERS: Final = ("paint", "slip", "body")
_NOTES: Final = (
    "What is stated was read in a text; what is from memory is unverified and is never counted.",
    "Published wares are no random sample of what was made.",
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What is looked for; None asks for nothing. memory: count also what is from memory or inferred."""

    region: str | None = None
    technique: str | None = None
    material: str | None = None
    period: str | None = None
    memory: bool = False


def browse(asked: Asked) -> dict[str, Any]:
    """The traditions that fit, sorted by region and name.

    Keys asked, count, of, only_from_memory (how many more would fit on what is from memory or inferred),
    traditions, notes. Raises BreaksShape, with the nearest names, for a word that names nothing.

    >>> [one["id"] for one in browse(Asked("Colorado Plateau", material="organic"))["traditions"]][-1]
    'us-tusayan-white'
    """
    fitting = chosen(asked)
    known = {one.id for one in fitting}
    more = [one for one in _fitting(asked, ANY) if one.id not in known]
    bases = ANY if asked.memory else STATED
    return {
        "asked": {
            name: value
            for name in ("region", "technique", "material", "period", "memory")
            if (value := getattr(asked, name))
        },
        "count": len(fitting),
        "of": len(traditions()),
        "only_from_memory": len(more),
        "traditions": [brief(one, bases) for one in fitting],
        "notes": list(_NOTES),
    }


def chosen(asked: Asked) -> list[Tradition]:
    """The traditions that fit, in the order of the regions and then of their names."""
    return _fitting(asked, ANY if asked.memory else STATED)


def _fitting(asked: Asked, bases: Sequence[str]) -> list[Tradition]:
    tests = list(_tests(asked, bases))
    order = {name: place for place, name in enumerate(scheme("region").notations())}
    found = [one for one in traditions().values() if all(test(one) for test in tests)]
    return sorted(found, key=lambda one: (order[one.region], one.label, one.id))


def _tests(asked: Asked, bases: Sequence[str]) -> Iterable[Callable[[Tradition], bool]]:
    if asked.region is not None:
        region = region_asked(asked.region, "browse")
        yield lambda one: region in region_path(one.region)
    if asked.technique is not None:
        group, terms = _technique(asked.technique)
        yield lambda one: group in one.groups or _says(one, terms, bases)
    if asked.material is not None:
        wanted = frozenset((field, value) for value in material_asked(asked.material) for field in _LAYERS)
        yield lambda one: _says(one, wanted, bases)
    if asked.period is not None:
        start, end = period_asked(asked.period, "browse")
        yield lambda one: _made_within(one, start, end, bases)


def _technique(text: str) -> tuple[str | None, frozenset[tuple[str, str]]]:
    """A technology group, and values of the fire, by that name; at least one of them."""
    plain = _plain(text)
    group = next(
        (one.name for one in groups().values() if plain in (_plain(one.name), _plain(one.label))), None
    )
    terms = frozenset((field, value) for field in _FIRE if (value := scheme(field).resolve(text)) is not None)
    if group is None and not terms:
        near = [name for field in _FIRE for name in scheme(field).nearest(text)]
        would_do = dict.fromkeys([*_near_groups(plain), *near]) or list(groups()) or ["reducing"]
        raise unknown("browse", "technique", text, list(would_do)[:5], "no such technique")
    return group, terms


def material_asked(text: str, command: str = "browse") -> frozenset[str]:
    """The paints or clays meant; a family is all that belong to it.

    >>> sorted(material_asked("manganese family"))
    ['iron-manganese', 'manganese', 'manganese-family']
    """
    found: set[str] = set()
    for name in ("paint-material", "paint-family", "clay"):
        value = scheme(name).resolve(text)
        if value is not None:
            found |= {value, *(member for member, family in FAMILY.items() if family == value)}
    if not found:
        near = [value for name in ("paint-material", "clay") for value in scheme(name).nearest(text)]
        would_do = near or scheme("paint-material").leaves()
        raise unknown(command, "material", text, would_do, "no such material")
    return frozenset(found)


def _says(one: Tradition, wanted: frozenset[tuple[str, str]], bases: Sequence[str]) -> bool:
    return any(
        (said.field, term) in wanted for said in one.statements if said.basis in bases for term in said.terms
    )


def _made_within(one: Tradition, start: int, end: int, bases: Sequence[str]) -> bool:
    entry = brief(one)
    first, last = entry["date_from"], entry["date_to"]
    if first is None or last is None or entry["dates_basis"] not in bases:
        return False
    return bool(first <= end and last >= start)


def _near_groups(plain: str) -> list[str]:
    from difflib import get_close_matches  # only needed once something was mistyped

    names = {_plain(name): one.name for one in groups().values() for name in (one.name, one.label)}
    return [names[near] for near in get_close_matches(plain, names, n=3, cutoff=0.5)]


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())
