"""A claim as Turtle and back: the same keys as in the form, under one address each."""

from collections.abc import Iterator, Mapping
from typing import Any, Final
from urllib.parse import quote

from wareontology.errors import Unreadable
from wareontology.graph.namespaces import RDF, SOSA, TERM, WO, local, term
from wareontology.graph.vocabulary import scheme
from wareontology.replica.claim_fields import ADDRESS, CLAIM, FIELD, Field, Form, fields
from wareontology.replica.materials import address as of_material
from wareontology.sherd.context import COLUMN
from wareontology.sherd.turtle import Node, Said, is_sherd

WOULD_DO: Final = "one wo:Claim with its parts, as `claim --turtle` writes it"
_ESCAPES: Final = str.maketrans({"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"})
_OF: Final = SOSA + "hasFeatureOfInterest"

Triple = tuple[str, str, str]
"""Subject, predicate and object, each as Turtle writes it."""


def raw_form(found: Mapping[Node, Said], name: str) -> tuple[dict[str, Any], dict[Node, Said]]:
    """What parsed Turtle says of its one claim, not yet checked, and the statements on its sherds.

    Raises Unreadable where there is no claim, several, or a part that hangs on no claim.
    """
    claims = [node for node, said in found.items() if ("iri", CLAIM) in said.get(RDF + "type", [])]
    if len(claims) != 1:
        raise Unreadable(f"{name}: found {len(claims)} claims; would do: {WOULD_DO}")
    reader = _Reader(found)
    form = reader.part("claim", claims[0])
    form.setdefault("id", local(claims[0][1]))
    sherds = {node: said for node, said in found.items() if is_sherd(said) or _OF in said}
    for node, said in found.items():
        if node not in reader.read and node not in sherds and any(key.startswith(WO) for key in said):
            raise Unreadable(f"{name}: found {node[1]}, which no claim names; would do: {WOULD_DO}")
    return form, sherds


class _Reader:
    def __init__(self, found: Mapping[Node, Said]) -> None:
        self.found = found
        self.read: set[Node] = set()

    def part(self, of: str, node: Node) -> dict[str, Any]:
        """Unknown predicates keep their whole address, so that the form's check names them."""
        if node in self.read:
            return {}
        self.read.add(node)
        form: dict[str, Any] = {}
        for predicate, values in self.found.get(node, {}).items():
            if predicate == RDF + "type":
                continue
            key = predicate.removeprefix(FIELD)
            one = fields(of).get(key)
            read = [self._value(one, value) for value in values]
            form[key] = read[0] if len(read) == 1 else read
        return form

    def _value(self, one: Field | None, value: object) -> object:
        if not isinstance(value, tuple):
            return value
        if one is None:
            return value[1]
        if one.kind == "node" and one.takes[0] != "person":
            return self.part(one.takes[0], value)
        if one.kind == "node":
            return {"key": self._key(value), **self.part("person", value)}
        if one.kind == "person":
            return self._key(value)
        if one.kind == "sherd":
            return self._said(value, COLUMN + "sherd")
        known = [f"{TERM}{name}/" for name in one.takes]
        if one.kind == "word" and not any(value[1].startswith(start) for start in known):
            return value[1]
        return local(value[1])

    def _key(self, node: Node) -> str:
        return self._said(node, FIELD + "key")

    def _said(self, node: Node, predicate: str) -> str:
        said = self.found.get(node, {}).get(predicate, [])
        return str(said[0]) if said else local(node[1])


def address(form: Form) -> str:
    """The address of a claim.

    >>> address({"id": "black on white"})
    'https://wareontology.example/claim/black%20on%20white'
    """
    return ADDRESS + quote(str(form.get("id", "claim")), safe="")


def triples(form: Form, sherds: Mapping[str, str]) -> Iterator[Triple]:
    """A claim's statements. sherds: the name of each record to its address."""
    of = address(form)
    yield f"<{of}>", "a", f"<{CLAIM}>"
    yield from _part("claim", of, form, of, sherds)


def _part(of: str, here: str, form: Form, claim: str, sherds: Mapping[str, str]) -> Iterator[Triple]:
    for key, one in fields(of).items():
        values = form.get(key, ())
        for number, value in enumerate(values if isinstance(values, tuple) else (values,), start=1):
            if one.kind == "node":
                there = (
                    _of_person(claim, value["key"]) if one.takes[0] == "person" else f"{here}/{key}/{number}"
                )
                yield f"<{here}>", f"<{FIELD}{key}>", f"<{there}>"
                yield from _part(one.takes[0], there, value, claim, sherds)
            else:
                yield f"<{here}>", f"<{FIELD}{key}>", _object(one, value, claim, sherds)


def _object(one: Field, value: Any, claim: str, sherds: Mapping[str, str]) -> str:
    if one.kind == "word":
        name = next(name for name in one.takes if value in scheme(name))
        return f"<{term(name, value)}>"
    if one.kind == "person":
        return f"<{_of_person(claim, value)}>"
    if one.kind == "material":
        return f"<{of_material(value)}>"
    if one.kind == "sherd":
        return f"<{sherds[value]}>"
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value) if isinstance(value, int) else f'"{str(value).translate(_ESCAPES)}"'


def _of_person(claim: str, key: str) -> str:
    return f"{claim}/person/{quote(key, safe='')}"


def written(statements: Iterator[Triple]) -> str:
    """Statements as Turtle, those on one subject together."""
    by_subject: dict[str, list[str]] = {}
    for subject, predicate, value in statements:
        by_subject.setdefault(subject, []).append(f"{predicate} {value}")
    return "".join(f"\n{subject} " + " ;\n    ".join(said) + " .\n" for subject, said in by_subject.items())
