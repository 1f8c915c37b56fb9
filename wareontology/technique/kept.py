"""Sherds and answers kept in a store: an answer stays tied to what it answered and to the data behind it."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from wareontology.errors import BreaksShape, Conflict, Fault
from wareontology.graph.namespaces import SHERD
from wareontology.records.store import Store
from wareontology.records.version import Version
from wareontology.sherd import iris
from wareontology.sherd.jsonld import from_jsonld, to_jsonld
from wareontology.sherd.record import Sherd
from wareontology.technique.answer import answer, data_hash
from wareontology.technique.likelihoods.tables import DRAWS

Answer = Mapping[str, Any]

KIND: Final = "sherd"


@dataclass(frozen=True, slots=True)
class Change:
    """A question whose verdict is another one under another reading."""

    question: str
    before: str
    after: str


def id_of(sherd: Sherd) -> str:
    """The id a sherd is kept under: one for each observer of it.

    >>> id_of(Sherd("K 14/2", "AB", {}, ()))
    'K%2014%2F2/by/AB'
    """
    return iris.of_sherd(sherd).removeprefix(SHERD)


def keep(store: Store, sherd: Sherd, *, who: str, why: str, expected_version: int | None) -> Version:
    """Keep a sherd's record. Errors as `Store.put`."""
    body = to_jsonld(sherd)
    return store.put(KIND, id_of(sherd), body, who=who, why=why, expected_version=expected_version)


def sherd_of(version: Version) -> Sherd:
    """The sherd that a version holds. Raises BreaksShape where it holds none that can be read now."""
    if version.body is None or version.kind != KIND:
        raise BreaksShape([Fault("records", None, None, f"{version.kind} {version.id}", "a sherd")])
    return from_jsonld(version.body, f"version {version.number}")


def checked(body: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    """A sherd's body as it is kept, from one that is handed in. Raises BreaksShape, also for another id."""
    sherd = from_jsonld(body, "body")
    if id_of(sherd) != name:
        raise BreaksShape([Fault("body", None, "sherd", name, id_of(sherd), sherd.sherd, "the id")])
    return to_jsonld(sherd)


def keep_answer(store: Store, sherd: Sherd, found: Answer, *, draws: int, who: str, why: str) -> Version:
    """Keep an answer beside its sherd, once: with what it answered, its data and its software."""
    body = {
        "about": {"kind": KIND, "id": id_of(sherd)},
        "sherd": to_jsonld(sherd),
        "data_hash": found["data_hash"],
        "software": found["software"],
        "draws": draws,
        "answer": dict(found),
    }
    tied = json.dumps([body["sherd"], body["data_hash"], body["software"], draws], sort_keys=True)
    name = hashlib.sha256(tied.encode()).hexdigest()[:32]
    there = store.get("answer", name)
    if there is not None:
        return there
    try:
        return store.put("answer", name, body, who=who, why=why, expected_version=None)
    except Conflict:  # another page kept the same one just now
        there = store.get("answer", name)
        if there is None:
            raise
        return there


def read_again(store: Store, name: str, *, who: str, why: str, draws: int = DRAWS) -> Version | None:
    """Answer a kept sherd as it stands, with the data of now, and keep that; the earlier answers stay.

    None where no such sherd is kept.
    """
    version = store.get(KIND, name)
    if version is None:
        return None
    sherd = sherd_of(version)
    return keep_answer(store, sherd, answer(sherd, draws=draws), draws=draws, who=who, why=why)


def answers_of(store: Store, name: str) -> tuple[Version, ...]:
    """Every answer kept of a sherd, the last one first."""
    found = store.find("answer", about=(KIND, name), limit=1_000).things
    return tuple(sorted(found, key=lambda version: -version.number))


def stands(version: Version, sherd: Sherd) -> bool:
    """Whether a kept answer is of the sherd as it stands and of the data of now."""
    body = version.body or {}
    return body.get("data_hash") == data_hash() and body.get("sherd") == to_jsonld(sherd)


def changes(before: Answer, after: Answer) -> list[Change]:
    """The questions whose verdict is another one, as "decided: reducing" or "undecided"."""
    old, new = before["verdict"], after["verdict"]
    return [
        Change(question, _verdict(old, question), _verdict(new, question))
        for question in dict.fromkeys((*old, *new))
        if _verdict(old, question) != _verdict(new, question)
    ]


def _verdict(verdicts: Mapping[str, Mapping[str, Any]], question: str) -> str:
    found = verdicts.get(question)
    if found is None:
        return "not asked"
    return f"decided: {found['value']}" if found["state"] == "decided" else "undecided"
