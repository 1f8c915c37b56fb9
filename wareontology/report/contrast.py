"""Two traditions side by side: what differs as stated, and what would tell them apart on a sherd."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any, Final

from wareontology.graph.traditions import Statement, Tradition
from wareontology.graph.vocabulary import scheme
from wareontology.report.traditions import brief, cited, place_words
from wareontology.technique.tell_apart import Labels, tell_apart
from wareontology.technique.tradition_sherd import labels_of

Place = tuple[str, str | None]
_UNWEIGHED: Final = frozenset(("structure", "space"))
"""Stated, but no test of a sherd's traits rests on them alone."""
_COUNTED: Final = (
    "Bits: how much the outcome is expected to tell of a sherd that is one of the two at even odds; 1 would"
    " settle it, 0 tells nothing. Under this program's tables, of which many are judged."
)
_FEW: Final = "What is not stated is left open alike for both, so a test may be worth more than is told here."


def contrast(first: Tradition, second: Tradition) -> dict[str, Any]:
    """What two traditions differ in, and each test by what it is expected to tell of which one a sherd is.

    Keys first, second (`brief`), rests_on (the stated labels of each), differs, alike, in_words (told of
    both, of one in words that fit none of our values), only_first, only_second (field, label, where, first,
    second), tests, notes, sources.

    >>> from wareontology.graph.traditions import tradition
    >>> found = contrast(tradition("us-tusayan-white"), tradition("us-chuska-mineral"))
    >>> found["tests"][0]["test"]
    'refire'
    """
    renamed = _paired(first, second)
    labels = [_renamed(labels_of(one), new) for one, new in zip((first, second), renamed, strict=True)]
    places = [_layers(one, new) for one, new in zip((first, second), renamed, strict=True)]
    weighed = [{name for name in one if name not in _UNWEIGHED} for one in labels]
    shared = sorted(places[0] & places[1], key=str)
    tests = tell_apart(labels[0], labels[1], shared) if any(weighed) else ()
    said = _side_by_side(first, second, renamed)
    return {
        "first": brief(first),
        "second": brief(second),
        "rests_on": {
            name: {question: sorted(values) for question, values in one.items()}
            for name, one in zip(("first", "second"), labels, strict=True)
        },
        **said,
        "tests": [_test(asdict(told)) for told in tests],
        "notes": list(_notes(first, second, labels, bool(tests))),
        "sources": cited([*first.source_keys(), *second.source_keys()]),
    }


def _test(told: dict[str, Any]) -> dict[str, Any]:
    outcomes = [
        {"seen": one["seen"], "first": round(one["first"], 4), "second": round(one["second"], 4)}
        for one in told["outcomes"]
    ]
    return {**told, "bits": round(told["bits"], 4), "outcomes": outcomes}


def _notes(first: Tradition, second: Tradition, labels: list[Labels], told: bool) -> list[str]:
    notes = [
        f"Nothing is stated of how {one.label} was made that a test could be weighed by."
        for one, known in zip((first, second), labels, strict=True)
        if not known.keys() - _UNWEIGHED
    ]
    if second.id in first.influenced_by or first.id in second.influenced_by:
        notes.append("A source says that one of them took its technique from the other.")
    if second.id in first.twins:
        notes.append("Wares of one workshop or tradition that differ by recipe or fire, as a source says.")
    if not told:
        return [*notes, "No test is expected to tell them apart on what is stated."]
    return [*notes, _COUNTED, _FEW]


def _paired(first: Tradition, second: Tradition) -> tuple[dict[Place, Place], dict[Place, Place]]:
    """Layers of each that are to be held against each other under one name.

    Layers of one name are one already. A single slip or paint that is left over on each side is held against
    the other's, whatever they are called.
    """
    own = [_layers(one, {}) for one in (first, second)]
    new: tuple[dict[Place, Place], dict[Place, Place]] = ({}, {})
    for layer in ("slip", "paint"):
        left = [[place for place in mine - other if place[0] == layer] for mine, other in (own, own[::-1])]
        if [len(side) for side in left] == [1, 1]:
            (mine,), (other,) = left
            name = f"{mine[1] or layer} or {other[1] or layer}"
            new[0][mine] = new[1][other] = (layer, name)
    return new


def _layers(one: Tradition, new: Mapping[Place, Place]) -> set[Place]:
    found = {
        (said.layer, said.name)
        for said in one.statements
        if said.basis == "stated" and said.layer in ("slip", "paint")
    }
    return {new.get(place, place) for place in found}


def _renamed(labels: Labels, new: Mapping[Place, Place]) -> Labels:
    keys = {_key(*place): _key(*other) for place, other in new.items()}
    renamed = {}
    for question, values in labels.items():
        kind, _, unit = question.partition(":")
        renamed[f"{kind}:{keys.get(unit, unit)}" if unit else kind] = values
    return renamed


def _key(layer: str, name: str | None) -> str:
    return f"{layer}:{name}" if name else layer


def _side_by_side(
    first: Tradition, second: Tradition, renamed: tuple[dict[Place, Place], dict[Place, Place]]
) -> dict[str, list[dict[str, Any]]]:
    sides = [_by_place(one, new) for one, new in zip((first, second), renamed, strict=True)]
    found: dict[str, list[dict[str, Any]]] = {
        name: [] for name in ("differs", "alike", "in_words", "only_first", "only_second")
    }
    for key in dict.fromkeys([*sides[0], *sides[1]]):
        mine, other = (side.get(key) for side in sides)
        if mine is None or other is None:
            state = "only_second" if mine is None else "only_first"
        else:
            alike = mine[1] & other[1] or set(mine[0]) & set(other[0])
            state = "alike" if alike else "differs" if mine[1] and other[1] else "in_words"
        field, where = key
        found[state].append(
            {
                "field": field,
                "label": scheme("field")[field].label,
                "where": where,
                "first": mine[0] if mine else [],
                "second": other[0] if other else [],
            }
        )
    return found


def _by_place(
    one: Tradition, new: Mapping[Place, Place]
) -> dict[tuple[str, str], tuple[list[str], set[str]]]:
    """(field, where) to what is stated there: as written, and as values of our schemes."""
    found: dict[tuple[str, str], tuple[list[str], set[str]]] = {}
    for said in one.statements:
        if said.basis != "stated" or said.side == "describing":
            continue
        values, terms = found.setdefault((said.field, _where(said, new)), ([], set()))
        values.append(said.value)
        terms.update(said.terms)
    return found


def _where(said: Statement, new: Mapping[Place, Place]) -> str:
    place = new.get((said.layer, said.name)) if said.layer else None
    if place is None:
        return place_words(said)
    return ", ".join(filter(None, (f"{place[1]} {place[0]}", said.zone)))
