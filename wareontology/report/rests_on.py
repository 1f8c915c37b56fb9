"""What rests on a source: statements on wares, definitions, rules, clays of regions, numbers in tables."""

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Final

from wareontology.data_rows import rows
from wareontology.graph import resource
from wareontology.graph.namespaces import BASE, RULE, SOURCE, TERM
from wareontology.graph.traditions import traditions
from wareontology.paths import data

_STATEMENT: Final = BASE + "statement/"
_OF_CLAYS: Final = _STATEMENT + "white-firing-clay/"


@dataclass(frozen=True, slots=True)
class Resting:
    """What rests on one source.

    traditions: (id, name, how many statements); rules, terms, others: addresses; regions: their names, of
    which the source tells the clays; tables: file of data/ to how many of its rows name the source.
    """

    traditions: tuple[tuple[str, str, int], ...]
    rules: tuple[str, ...]
    terms: tuple[str, ...]
    regions: tuple[str, ...]
    others: tuple[str, ...]
    tables: Mapping[str, int]

    def is_empty(self) -> bool:
        """Whether nothing at all rests on it."""
        kinds = (self.traditions, self.rules, self.terms, self.regions, self.others, self.tables)
        return not any(kinds)


def rests_on(key: str) -> Resting:
    """All that names a source as what it rests on.

    >>> rests_on("us-ware-descriptions").rules[0].removeprefix(RULE)
    'NotOxidisingFromWhiteSlipRule'
    """
    named = dict.fromkeys(subject for _, subject in resource.pointing_at(SOURCE + key))
    rest = [one for one in named if not one.startswith((RULE, TERM, _STATEMENT))]
    return Resting(
        traditions=tuple(
            (one.id, one.label, count)
            for one in traditions().values()
            if (count := sum(key in said.sources for said in one.statements))
        ),
        rules=tuple(one for one in named if one.startswith(RULE)),
        terms=tuple(one for one in named if one.startswith(TERM)),
        regions=tuple(one.removeprefix(_OF_CLAYS) for one in named if one.startswith(_OF_CLAYS)),
        others=tuple(rest),
        tables=MappingProxyType({name: counted[key] for name, counted in _tables().items() if counted[key]}),
    )


@cache
def how_much() -> Mapping[str, int]:
    """Source to how many things rest on it: statements, rules, definitions, rows.

    >>> how_much()["us-ware-descriptions"] > 1
    True
    """
    counted: Counter[str] = Counter()
    for address in resource.known(SOURCE):
        key = address.removeprefix(SOURCE)
        counted[key] = len({subject for _, subject in resource.pointing_at(address)})
        counted[key] += sum(rows[key] for rows in _tables().values())
    return MappingProxyType(counted)


@cache
def _tables() -> Mapping[str, Counter[str]]:
    """File of data/ to how many rows name each source, in their column `source` or `data_set`."""
    found = {}
    for path in sorted(data().glob("*.csv")):
        counted: Counter[str] = Counter()
        for cell in _cells(path.name):
            counted.update(set(re.findall(r"[\w.-]+", cell)))
        found[path.name] = counted
    return MappingProxyType(found)


def _cells(name: str) -> Iterator[str]:
    for row in rows(name):
        yield f"{row.get('source') or ''} {row.get('data_set') or ''}"
