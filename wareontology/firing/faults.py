"""Faults of firing: how each is known, why it arises, what to do, what it is mistaken for (faults.ttl)."""

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from types import MappingProxyType
from typing import Final

from wareontology.graph.namespaces import BASE, PROV, SKOS, SOURCE, WO, local
from wareontology.graph.store import described
from wareontology.paths import data

FAULT: Final = BASE + "fault/"
ARISES: Final = ("making", "drying", "firing", "cooling", "after")


@dataclass(frozen=True, slots=True)
class FiringFault:
    """One fault. arises: making, drying, firing, cooling or after. mistaken_for: keys of other faults."""

    key: str
    label: str
    alternates: tuple[str, ...]
    sign: str
    arises: str
    cause: str
    remedy: str
    mistaken_for: tuple[str, ...]
    basis: str
    source: str | None


@cache
def faults() -> Mapping[str, FiringFault]:
    """Every fault by key, in the order of the file.

    >>> faults()["lime-pop"].arises
    'after'
    """
    found = {}
    for address, said in described(data("faults.ttl")).items():
        key = address.removeprefix(FAULT)
        found[key] = FiringFault(
            key=key,
            label=said[SKOS + "prefLabel"][0],
            alternates=tuple(said.get(SKOS + "altLabel", ())),
            sign=said[WO + "sign"][0],
            arises=said[WO + "arises"][0],
            cause=said[WO + "cause"][0],
            remedy=said[WO + "remedy"][0],
            mistaken_for=tuple(local(other) for other in said.get(WO + "mistakenFor", ())),
            basis=local(said[WO + "basis"][0]).replace("-", " "),
            source=said[PROV + "wasDerivedFrom"][0].removeprefix(SOURCE)
            if PROV + "wasDerivedFrom" in said
            else None,
        )
    return MappingProxyType(found)


def fault(text: str) -> FiringFault | None:
    """The fault a person means, by key or by any name it has; None for one that is not known.

    >>> fault("Dunting").key, fault("sunburn")
    ('cooling-crack', None)
    """
    return faults().get(_names().get(_plain(text), ""))


def nearest(text: str, most: int = 3) -> tuple[str, ...]:
    """Keys of the faults named most like it.

    >>> nearest("lime pops")[0]
    'lime-pop'
    """
    near = get_close_matches(_plain(text), _names(), most, 0.6)
    return tuple(dict.fromkeys(_names()[name] for name in near))


@cache
def _names() -> Mapping[str, str]:
    return {
        _plain(name): one.key for one in faults().values() for name in (one.key, one.label, *one.alternates)
    }


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace("-", " ").split())
