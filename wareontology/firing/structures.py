"""Structures, procedures, fuels and covers as data/structures.ttl has them: what a plan starts from."""

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Final

from wareontology.errors import BreaksShape, Fault
from wareontology.graph.namespaces import DCTERMS, SKOS, TERM, WO, local
from wareontology.graph.store import Described, described
from wareontology.paths import data

KINDS: Final = ("structure", "procedure", "fuel", "cover")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with how far it varies, and the key of its source or the basis it rests on."""

    name: str
    usually: float
    low: float
    high: float
    source: str | None
    basis: str
    note: str

    def rests_on(self) -> str:
        """In words, for a person: the source's key, or the basis.

        >>> things("cover")["ash"].quantity("porosity").rests_on()
        'judgement'
        """
        return self.source or self.basis.replace("-", " ")


@dataclass(frozen=True, slots=True)
class Thing:
    """A structure, procedure, fuel or cover."""

    kind: str
    name: str
    label: str
    others: tuple[str, ...]
    definition: str
    quantities: Mapping[str, Quantity]
    leaves: tuple[str, ...]
    ends: tuple[str, ...]
    does: tuple[str, ...]

    def quantity(self, name: str) -> Quantity:
        """One of its numbers. KeyError for one it has not."""
        return self.quantities[name]

    def usual(self, name: str, otherwise: float = 0.0) -> float:
        """The likeliest value of one of its numbers, or `otherwise` where it has none of that name.

        >>> things("structure")["trench-kiln"].usual("load_width_m")
        1.2
        """
        found = self.quantities.get(name)
        return otherwise if found is None else found.usually


@cache
def things(kind: str) -> Mapping[str, Thing]:
    """All of one kind by name, in order. KeyError for a kind that is none of KINDS.

    >>> list(things("structure"))
    ['open-fire', 'pit', 'covered-pit', 'trench-kiln', 'updraft-kiln', 'saggar']
    >>> things("procedure")["mouth-down"].does
    ('pulls', 'shuts the mouth')
    """
    if kind not in KINDS:
        raise KeyError(kind)
    return MappingProxyType(read(kind, data("structures.ttl"), data("vocabulary.ttl")))


def read(kind: str, *files: Path) -> dict[str, Thing]:
    """The things of a kind from Turtle files, a later one adding to an earlier."""
    found: Described = {}
    for file in files:
        for subject, said in described(file).items():
            whole = found.setdefault(subject, {})
            for predicate, values in said.items():
                whole.setdefault(predicate, []).extend(values)
    scheme = TERM + kind
    concepts = [said for said in found.values() if scheme in said.get(SKOS + "inScheme", ())]
    concepts.sort(key=lambda said: int(said[WO + "order"][0]))
    return {one.name: one for one in (_thing(kind, said, found) for said in concepts)}


def named(kind: str, text: str, file: str = "plan") -> Thing:
    """The thing of that name; BreaksShape that offers the nearest otherwise.

    >>> named("structure", "trench").name
    'trench-kiln'
    >>> named("structure", "trenchkilm")
    Traceback (most recent call last):
    wareontology.errors.BreaksShape: plan, column structure: found 'trenchkilm'; would do: trench-kiln
    """
    known = things(kind)
    spelt = {_plain(name): one for one in known.values() for name in (*one.others, one.label, one.name)}
    if _plain(text) in spelt:
        return spelt[_plain(text)]
    close = get_close_matches(_plain(text), spelt, n=6, cutoff=0.5)
    offered = list(dict.fromkeys(spelt[name].name for name in close))[:3] or list(known)
    raise BreaksShape([Fault(file, None, kind, text, " or ".join(offered))])


def _plain(text: str) -> str:
    return " ".join(text.lower().replace("-", " ").replace("_", " ").split())


def _thing(kind: str, said: Mapping[str, list[str]], found: Described) -> Thing:
    def all_of(predicate: str) -> tuple[str, ...]:
        return tuple(said.get(predicate, ()))

    quantities = [_quantity(found[address]) for address in all_of(WO + "quantity")]
    return Thing(
        kind,
        all_of(SKOS + "notation")[0],
        all_of(SKOS + "prefLabel")[0],
        all_of(SKOS + "altLabel"),
        all_of(SKOS + "definition")[0],
        MappingProxyType({one.name: one for one in quantities}),
        all_of(WO + "leavesInGround"),
        tuple(local(address) for address in all_of(WO + "mayEndBy")),
        all_of(WO + "does"),
    )


def _quantity(said: Mapping[str, list[str]]) -> Quantity:
    source, basis, note = (
        said.get(predicate, [""])[0] for predicate in (DCTERMS + "source", WO + "basis", SKOS + "note")
    )
    usually, low, high = (float(said[WO + end][0]) for end in ("usually", "low", "high"))
    name = said[WO + "quantityName"][0]
    return Quantity(name, usually, low, high, local(source) if source else None, local(basis), note)
