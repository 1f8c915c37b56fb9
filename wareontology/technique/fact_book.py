"""Which plain facts there are, read from shapes/rules.ttl: column, zone, scheme, wording, limits."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Final

from wareontology.graph.namespaces import RDF, RDFS, TERM, WO, local
from wareontology.graph.store import Described, described
from wareontology.paths import shapes

LIMITS: Final = "https://wareontology.example/shape/FactLimits"


class _Values(dict[str, str]):
    """Word to address of its concept, made once for each word."""

    def __init__(self, scheme: str) -> None:
        self.scheme = scheme

    def __missing__(self, word: str) -> str:
        address = self[word] = f"{self.scheme}/{word}"
        return address


@dataclass(frozen=True, slots=True)
class Fact:
    """One declared fact. column "" where it is derived; if_blank "" where its absence means no."""

    address: str
    label: str
    column: str
    zone: str | None
    of_sherd: bool
    takes: str
    in_words: str
    if_blank: str
    values: _Values = field(compare=False, repr=False)


@dataclass(frozen=True, slots=True)
class Element:
    """An element read by pXRF on the paint and on bare ground; the ratios are limits of paint over ground."""

    address: str
    label: str
    column: str
    excess_ratio: float
    like_ratio: float


@dataclass(frozen=True, slots=True)
class FactBook:
    """Every declared fact, and the limits that the derived ones need."""

    facts: Mapping[str, Fact]
    by_column: Mapping[str, tuple[Fact, ...]]
    of_sherd: tuple[Fact, ...]
    elements: tuple[Element, ...]
    labels: Mapping[str, str]
    colour_lost_by: frozenset[str]
    red_share: float
    rank_step: float
    hot_c: float
    redness: Mapping[str, float]
    darkness: Mapping[str, float]


@cache
def rules_file() -> Described:
    """shapes/rules.ttl, parsed once."""
    return described(shapes("rules.ttl"))


@cache
def fact_book() -> FactBook:
    """The facts declared in shapes/rules.ttl.

    >>> fact_book().facts["https://wareontology.example/def/edge"].if_blank
    'edge not looked at'
    """
    return read_fact_book(rules_file())


def read_fact_book(found: Described) -> FactBook:
    """The facts declared in one parsed file."""
    facts = {address: _fact(address, said) for address, said in found.items() if _is_a(said, "Fact")}
    by_column: dict[str, tuple[Fact, ...]] = {}
    for fact in facts.values():
        if fact.column and not fact.of_sherd:
            by_column[fact.column] = (*by_column.get(fact.column, ()), fact)
    limits = found.get(LIMITS, {})
    return FactBook(
        facts=facts,
        by_column=by_column,
        of_sherd=tuple(fact for fact in facts.values() if fact.column and fact.of_sherd),
        elements=tuple(_element(address, said) for address, said in found.items() if _is_a(said, "Element")),
        labels={
            address: said[RDFS + "label"][0]
            for address, said in found.items()
            if address.startswith(WO) and RDFS + "label" in said
        },
        colour_lost_by=frozenset(local(address) for address in limits.get(WO + "colourLostBy", ())),
        red_share=float(_first(limits, WO + "redShare") or 1.0),
        rank_step=float(_first(limits, WO + "rankStep") or 1.0),
        hot_c=float(_first(limits, WO + "hotC") or 0.0),
        redness=_ranks(found, WO + "redness"),
        darkness=_ranks(found, WO + "darkness"),
    )


def _fact(address: str, said: Mapping[str, list[str]]) -> Fact:
    zone = _first(said, WO + "zone")
    takes = _first(said, WO + "takes")
    return Fact(
        address=address,
        label=_first(said, RDFS + "label"),
        column=_first(said, WO + "column"),
        zone=local(zone) if zone else None,
        of_sherd=_first(said, WO + "of") == WO + "Sherd",
        takes=takes,
        in_words=_first(said, WO + "inWords"),
        if_blank=_first(said, WO + "ifBlank"),
        values=_Values(takes),
    )


def _element(address: str, said: Mapping[str, list[str]]) -> Element:
    return Element(
        address=address,
        label=_first(said, RDFS + "label"),
        column=_first(said, WO + "column"),
        excess_ratio=float(_first(said, WO + "excessRatio")),
        like_ratio=float(_first(said, WO + "likeRatio")),
    )


def _ranks(found: Described, predicate: str) -> dict[str, float]:
    return {
        local(address): float(said[predicate][0])
        for address, said in found.items()
        if predicate in said and address.startswith(TERM + "colour/")
    }


def _is_a(said: Mapping[str, list[str]], name: str) -> bool:
    return WO + name in said.get(RDF + "type", ())


def _first(said: Mapping[str, list[str]], predicate: str) -> str:
    values = said.get(predicate)
    return values[0] if values else ""
