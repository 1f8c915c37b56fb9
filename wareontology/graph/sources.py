"""Where facts come from: the sources of data/sources.ttl, and how much of each was read."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from wareontology.graph.namespaces import DCTERMS, SOURCE, WO, local
from wareontology.graph.store import described
from wareontology.paths import data

DOI = "http://purl.org/ontology/bibo/doi"


@dataclass(frozen=True, slots=True)
class Source:
    """One source. seen: page, abstract, opening-page, secondary or not-seen. read: the same in words."""

    key: str
    citation: str
    seen: str
    read: str
    doi: str | None

    def may_be_cited(self) -> bool:
        """Whether a published value may rest on it: only what was seen may."""
        return self.seen != "not-seen"


@cache
def source_records() -> Mapping[str, Source]:
    """Every source by key.

    >>> source_records()["rye-1981"].may_be_cited()
    False
    """
    found = described(data("sources.ttl"))
    return MappingProxyType(
        {address.removeprefix(SOURCE): source_of(said) for address, said in found.items()}
    )


def source_of(said: Mapping[str, list[str]]) -> Source:
    """A source from what a Turtle file says of it. Raises KeyError where something required is missing."""
    return Source(
        key=said[DCTERMS + "identifier"][0],
        citation=said[DCTERMS + "bibliographicCitation"][0],
        seen=local(said[WO + "seen"][0]),
        read=said[WO + "read"][0],
        doi=said[DOI][0] if DOI in said else None,
    )


@cache
def sources() -> Mapping[str, str]:
    """Citation of every source by key.

    >>> sources()["orton-1993"]
    'Orton, Tyers & Vince 1993, p. 69'
    """
    return MappingProxyType({key: source.citation for key, source in source_records().items()})
