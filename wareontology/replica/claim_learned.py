"""Who says what in a claim, whom they have it from, and who taught whom: the graph behind the evidence."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from wareontology.replica.claim_fields import Form, fields


def learned(form: Form) -> list[dict[str, Any]]:
    """Every piece of evidence with its chain of teachers, in the order of the claim.

    chain: from whom it was had, then those who taught them, as far as is known; a ring of teachers is walked
    once.

    >>> form = {"step": ({"evidence": ({"grade": "told", "by": "A", "from": "B"},)},),
    ...     "person": ({"key": "B", "learned_from": ("C",)}, {"key": "C", "learned_from": ("B",)})}
    >>> learned(form)[0]["chain"]
    ['B', 'C']
    """
    people = {one["key"]: one for one in form.get("person", ()) if "key" in one}
    return [
        {
            "where": where,
            "grade": one.get("grade"),
            "by": _name(people, one.get("by")),
            "chain": [_name(people, key) for key in _chain(people, one)],
            "document": one.get("document"),
            "what": one.get("what"),
        }
        for where, one in _evidence("claim", form, "")
    ]


def taught(form: Form) -> list[dict[str, str]]:
    """Who learned from whom, in the order of the claim.

    >>> taught({"person": ({"key": "A", "learned_from": ("B",)}, {"key": "B", "name": "Bera"})})
    [{'who': 'A', 'from': 'Bera'}]
    """
    people = {one["key"]: one for one in form.get("person", ())}
    return [
        {"who": str(_name(people, one["key"])), "from": str(_name(people, teacher))}
        for one in people.values()
        for teacher in one.get("learned_from", ())
    ]


def _evidence(of: str, form: Form, where: str) -> Iterator[tuple[str, Form]]:
    for key, one in fields(of).items():
        if one.kind != "node":
            continue
        values = form.get(key, ())
        for number, value in enumerate(values if isinstance(values, tuple) else (values,), start=1):
            place = f"{where}, {key} {number}".removeprefix(", ")
            if key == "evidence":
                yield place, value
            else:
                yield from _evidence(one.takes[0], value, place)


def _chain(people: Mapping[str, Form], evidence: Form) -> list[str]:
    """Breadth first from whom it was had."""
    start = [evidence["from"]] if "from" in evidence else []
    found: dict[str, None] = {}
    while start:
        key = start.pop(0)
        if key not in found:
            found[key] = None
            start += people.get(key, {}).get("learned_from", ())
    return list(found)


def _name(people: Mapping[str, Form], key: str | None) -> str | None:
    return None if key is None else str(people.get(key, {}).get("name", key))


def sources(form: Form) -> list[dict[str, str]]:
    """The documents a claim names and the people who say the rest, each with the grades it is named at."""
    found: dict[tuple[str, str], list[str]] = {}
    for one in learned(form):
        if one["document"]:
            kind, name = "document", one["document"]
        elif one["chain"]:
            kind, name = "person", one["chain"][0]
        else:
            kind, name = "person", one["by"] or "nobody named"
        found.setdefault((kind, name), []).append(one["grade"] or "")
    for document in _grounds(form):
        found.setdefault(("document", document), []).append("documented")
    return [
        {"id": name, "citation": name, "basis": ", ".join(dict.fromkeys(grades)), "kind": kind}
        for (kind, name), grades in found.items()
    ]


def _grounds(form: Form) -> Sequence[str]:
    logs = [one["log"] for one in form.get("series", ()) if "log" in one]
    return [*logs, *(one["document"] for one in form.get("ground", ()) if "document" in one)]
