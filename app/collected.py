"""What the collection's pages show of a version, a history, an answer that was kept."""

from typing import Any, Final

from wareontology.app import reading
from wareontology.errors import BreaksShape
from wareontology.records.store import Store
from wareontology.records.version import Version
from wareontology.sherd.record import Sherd

MOST_PHOTOS: Final = 500
OF_THE_POT: Final = frozenset({
    "form", "diameter_cm", "wall_mm", "temper", "hardness", "ring", "slakes", "fire_clouds", "marks",
    "spalled", "lime_pops",
})  # fmt: skip
"""Traits of a sherd as a whole; its other cells tell where it was found and whose it is."""
MOST_BESIDE: Final = 500
"""Other sherds that the list on a sherd's page offers."""


def listed(version: Version) -> dict[str, Any]:
    """One line of the list: what names a sherd, what was looked at, the last change."""
    body = version.body or {}
    looked = sorted({f"{row['layer']} ({row['zone']})" for row in body.get("rows", ())})
    return {
        "id": version.id,
        "sherd": body.get("sherd", version.id),
        "observer": body.get("observer", ""),
        "region": body.get("region", ""),
        "site": body.get("site", ""),
        "looked": ", ".join(looked[:4]) + (" …" if len(looked) > 4 else ""),
        "who": version.who,
        "at": version.at,
    }


def beside(here: Store, name: str, sherd: Sherd, other: str) -> dict[str, Any] | None:
    """Another sherd that is kept, to be set beside one: its record, its photos, their traits alike or not.

    None where it is not kept, is the same one, or can no longer be read.
    """
    from wareontology.sherd.compare import beside as cells

    version = here.get("sherd", other)
    theirs = readable(version) if version is not None and other != name else None
    if theirs is None:
        return None
    both = [one for one in cells(sherd, theirs) if one.zone or one.column in OF_THE_POT]
    return {
        "name": other,
        "sherd": theirs,
        "photos": here.find("photo", about=("sherd", other), limit=MOST_PHOTOS).things,
        "differ": [one for one in both if one.before and one.after and one.before != one.after],
        "alike": [one for one in both if one.before == one.after],
        "alone": [one for one in both if not (one.before and one.after)],
    }


def told(past: tuple[Version, ...]) -> list[dict[str, Any]]:
    """The history, the last change first, each with the cells it changed."""
    told = []
    before: Sherd | None = None
    for version in past:
        now = readable(version)
        told.append({"version": version, "changed": changed(before, now), "gone": version.body is None})
        before = now if now is not None else before
    return told[::-1]


def changed(before: Sherd | None, now: Sherd | None) -> list[Any]:
    """The cells that differ; none where either can no longer be read."""
    from wareontology.sherd.compare import differences

    return differences(before, now) if before is not None and now is not None else []


def readable(version: Version) -> Sherd | None:
    """The sherd of a version; None where it was taken out or can no longer be read."""
    from wareontology.technique import kept

    try:
        return kept.sherd_of(version)
    except BreaksShape:  # taken out, or of a column that is no longer known: listed, not compared
        return None


def between(answers: tuple[Version, ...]) -> list[Any]:
    """What the last answer says otherwise than the one before it."""
    from wareontology.technique import kept

    bodies = [version.body for version in answers[:2] if version.body is not None]
    return kept.changes(bodies[1]["answer"], bodies[0]["answer"]) if len(bodies) == 2 else []


def verdict(answers: tuple[Version, ...]) -> str:
    """What the last answer kept says, in words."""
    from wareontology.sherd.jsonld import from_jsonld

    if not answers or answers[0].body is None:
        return ""
    body = answers[0].body
    return reading.told(body["answer"], from_jsonld(body["sherd"], "the record")).verdict


def others(here: Store, name: str) -> list[dict[str, str]]:
    """The other sherds that are kept, as choices of a list: id and words."""
    found = (listed(version) for version in here.find("sherd", limit=MOST_BESIDE).things)
    return [
        {"id": one["id"], "words": ", ".join(filter(None, (one["sherd"], one["site"], one["observer"])))}
        for one in found
        if one["id"] != name
    ]
