"""Priors from published traditions: what is stated of their fires and paints, counted over common practice.

Equation, for each condition of a table in each region:
    prior = (strength * practice + weight * count) / (strength + weight * number)
with practice the row of data/priors.csv for this region where there is one, else what the wider region came
to, and count the traditions of the region, all regions within it included. What a source states as "either"
is shared in proportion to practice; a paint of a ware whose fire is not stated is shared over the fires that
paint is usual in. Slip clay is never counted: it comes from geology alone. Numbers of data/counting.csv.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from wareontology.data_rows import rows
from wareontology.graph.vocabulary import region_path
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.schema import FIRE_GROUP, GROUND_KIND, GROUP_OF_ENDING, TABLES
from wareontology.technique.likelihoods.table_file import Entry, Given
from wareontology.technique.likelihoods.tables import Tables

Floats: TypeAlias = NDArray[np.float64]

BASIS: Final = "counts over common practice"
FILE: Final = "counts.csv"
HEAD: Final = ("table", "region", "given", "outcome", "count", "number")
_LEAST: Final = 1e-3  # of a count: less is not written


@dataclass(frozen=True, slots=True)
class Stated:
    """What is stated of one tradition that priors are counted from.

    paints: for each paint its stated materials and the kind of its ground, None where that is not told.
    """

    tradition: str
    region: str
    atmosphere: frozenset[str]
    ending: frozenset[str]
    paints: tuple[tuple[frozenset[str], str | None], ...]


@dataclass(frozen=True, slots=True)
class Count:
    """Traditions counted for one outcome under one condition of one table in one region.

    number: traditions behind all outcomes of the condition.
    """

    table: str
    region: str
    given: str
    outcome: str
    count: float
    number: float


@cache
def settings() -> Mapping[str, float]:
    """The numbers of data/counting.csv.

    >>> settings()["weight"] < 1
    True
    """
    return {row["name"]: float(row["value"]) for row in rows("counting.csv")}


def counts(stated: Iterable[Stated], practice: Tables) -> tuple[Count, ...]:
    """Count what is stated, each tradition for its region and all that hold it.

    practice: the tables without counts.
    """
    found: dict[tuple[str, str, str], Floats] = {}
    told: dict[tuple[str, str], set[str]] = {}
    for one in stated:
        regions = region_path(one.region)
        for table, given, shares in _shares(one, practice, regions):
            for region in regions:
                key = (table, region, given)
                found[key] = found.get(key, np.zeros(len(shares))) + shares
                told.setdefault((table, region), set()).add(one.tradition)
    fewest = settings()["fewest"]
    return tuple(
        Count(table, region, given, outcome, round(float(count), 4), round(float(shares.sum()), 4))
        for (table, region, given), shares in sorted(found.items())
        if len(told[table, region]) >= fewest
        for outcome, count in zip(TABLES[table].outcomes, shares, strict=True)
        if count >= _LEAST
    )


def _shares(one: Stated, practice: Tables, regions: Sequence[str]) -> Iterator[tuple[str, str, Floats]]:
    """(table, condition, share of each outcome): every stated thing is one, shared over what it may mean."""
    atmosphere = practice.array("atmosphere", regions)[0, 0]
    ending = practice.array("ending", regions)[0]
    if one.atmosphere:
        yield "atmosphere", "*", _among(atmosphere, h.ATMOSPHERE, one.atmosphere)
    fires = np.array([atmosphere[h.ATMOSPHERE.index(a)] * ending[h.ATMOSPHERE.index(a), h.ENDING.index(e)]
                      for a, e in h.REGIMES])  # fmt: skip
    fits = [
        (not one.atmosphere or a in one.atmosphere) and (not one.ending or e in one.ending)
        for a, e in h.REGIMES
    ]
    fires = np.where(fits, fires, 0.0)
    if not fires.any():
        return  # what is stated is no legal fire
    fires = fires / fires.sum()
    if one.ending:
        yield from _endings(fires)
    for materials, ground in one.paints:
        yield from _paint(fires, practice.array("paint", regions)[0], materials, ground)


def _endings(fires: Floats) -> Iterator[tuple[str, str, Floats]]:
    for atmosphere in h.ATMOSPHERE:
        shares = np.zeros(len(h.ENDING))
        for (a, e), share in zip(h.REGIMES, fires, strict=True):
            if a == atmosphere:
                shares[h.ENDING.index(e)] += share
        if shares.any():
            yield "ending", atmosphere, shares


def _paint(
    fires: Floats, usual: Floats, materials: frozenset[str], ground: str | None
) -> Iterator[tuple[str, str, Floats]]:
    """One paint of one ware, shared over fire groups and grounds by how usual it is there."""
    groups = np.zeros(len(FIRE_GROUP))
    for (_, ending), share in zip(h.REGIMES, fires, strict=True):
        groups[FIRE_GROUP.index(GROUP_OF_ENDING[ending])] += share
    grounds = np.array([ground in (None, kind) for kind in GROUND_KIND], dtype=float)
    fits = np.array([m in materials or h.FAMILY.get(m) in materials for m in h.PAINT], dtype=float)
    joint = groups[:, None, None] * grounds[None, :, None] / grounds.sum() * usual * fits
    if not joint.any():
        return
    joint = joint / joint.sum()
    for g, group in enumerate(FIRE_GROUP):
        for k, kind in enumerate(GROUND_KIND):
            if joint[g, k].sum() >= _LEAST:
                yield "paint", f"{group};{kind}", joint[g, k]


def _among(usual: Floats, outcomes: Sequence[str], stated: frozenset[str]) -> Floats:
    shares = np.where([outcome in stated for outcome in outcomes], usual, 0.0)
    return np.asarray(shares / shares.sum())


def with_counts(practice: Sequence[Given], found: Sequence[Count]) -> tuple[Given, ...]:
    """Common practice with rows of its own wherever something was counted; the spread narrows with counts."""
    tables = Tables(practice)
    position = sum(len(given.entries) for given in practice)
    by_place: dict[tuple[str, str, str], dict[str, Count]] = {}
    for count in found:
        by_place.setdefault((count.table, count.region, count.given), {})[count.outcome] = count
    made: dict[tuple[str, str, str], Floats] = {}
    more: list[Given] = []
    for key in sorted(by_place, key=lambda key: (len(region_path(key[1])), key)):
        table, region, given = key
        prior, spread = _prior(tables, made, key, by_place[key])
        made[key] = prior
        entries = _entries(TABLES[table].outcomes, prior, spread, position)
        position += len(entries)
        more.append(Given(table, region, tuple((part,) for part in given.split(";")), entries))
    return (*practice, *more)


def _prior(
    tables: Tables, made: Mapping[tuple[str, str, str], Floats], key: tuple[str, str, str],
    found: Mapping[str, Count],
) -> tuple[Floats, float]:  # fmt: skip
    """The prior of one condition, and the factor its odds are uncertain by."""
    table, region, given = key
    strength, weight = settings()["strength"], settings()["weight"]
    condition = ["any"] if given == "*" else given.split(";")
    usual, factor = _usual(tables, made, table, region, given, condition)
    count = np.array(
        [found[outcome].count if outcome in found else 0.0 for outcome in TABLES[table].outcomes]
    )
    number = next(iter(found.values())).number
    prior = (strength * usual + weight * count) / (strength + weight * number)
    return prior / prior.sum(), factor ** (strength / (strength + weight * number))


def _usual(
    tables: Tables, made: Mapping[tuple[str, str, str], Floats], table: str, region: str, given: str,
    condition: Sequence[str],
) -> tuple[Floats, float]:  # fmt: skip
    """What is usual before this region's own counts: its practice, or what the next wider region came to."""
    place = tuple(values.index(word) for values, word in zip(TABLES[table].given, condition, strict=True))
    own = {row.region for row in tables.rows(table)}
    for wider in region_path(region):
        if wider in own and tables.find(table, condition, [wider, "world"]).region == wider:
            return tables.array(table, region_path(wider))[0][place], _FACTOR
        if wider != region and (table, wider, given) in made:
            return made[table, wider, given], _FACTOR
    raise KeyError(f"{table}: no row for {given}")


_FACTOR: Final = 2.0
"""Odds of a judged probability run from half to twice its own, as data/priors.csv says."""


def _entries(outcomes: Sequence[str], prior: Floats, factor: float, start: int) -> tuple[Entry, ...]:
    odds = prior / (1 - prior)
    low, high = odds / factor, odds * factor
    return tuple(
        Entry(outcome, float(p), float(a / (1 + a)), float(b / (1 + b)), BASIS, "", start + place)
        for place, (outcome, p, a, b) in enumerate(zip(outcomes, prior, low, high, strict=True))
    )


def read_counts() -> tuple[Count, ...]:
    """data/counts.csv, as `python -m wareontology.build counts` made it."""
    return tuple(
        Count(
            row["table"], row["region"], row["given"], row["outcome"],
            float(row["count"]), float(row["number"]),
        )
        for row in rows(FILE)
    )  # fmt: skip
