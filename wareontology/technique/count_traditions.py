"""What priors are counted from: the stated fires and paints of the published traditions.

The wares of the blind set are never counted: they were sought by fire and paint, reduced ones first, so how
many of each were found says nothing of how many there are; and a blind set behind the priors would be none.
"""

import csv
import io
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Final

from wareontology.graph.traditions import Tradition, traditions
from wareontology.graph.vocabulary import region_path
from wareontology.paths import data
from wareontology.sherd.record import Row, Sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.blind_set import blind_set
from wareontology.technique.likelihoods.counted import FILE, HEAD, Stated, counts, with_counts
from wareontology.technique.likelihoods.schema import KIND_OF_GROUND
from wareontology.technique.likelihoods.shipped import practice_givens
from wareontology.technique.likelihoods.tables import Tables
from wareontology.technique.tradition_sherd import labels_of, sherd_of

_KIND: Final = {
    "white": "pale", "cream": "pale", "buff": "pale", "yellow": "pale", "red": "red", "orange": "red",
    "black": "dark", "grey": "dark", "brown": "dark", "purple": "dark",
}  # fmt: skip


def stated(tradition: Tradition) -> Stated | None:
    """What is stated of a tradition that may be counted; None where nothing is.

    >>> stated(traditions()["us-tusayan-white"]).atmosphere == {"neutral", "reducing"}
    True
    """
    labels = labels_of(tradition)
    atmosphere, ending, paints = _told(labels)
    if not atmosphere and not ending and not paints:
        return None
    ground = _ground(sherd_of(tradition), labels.get("materials:slip"), labels.get("materials:body"))
    told = tuple((materials, ground) for materials in paints)
    return Stated(tradition.id, tradition.region, atmosphere, ending, told)


def _told(
    labels: Mapping[str, frozenset[str]],
) -> tuple[frozenset[str], frozenset[str], list[frozenset[str]]]:
    """What may be counted: atmospheres, endings, and the materials of each paint put on before the firing."""
    paints = [
        materials
        for question, materials in sorted(labels.items())
        if question.startswith("materials:paint") and "after" not in labels.get(_applied(question), ())
    ]
    return labels.get("atmosphere", _NONE) & _LEGAL, labels.get("ending", _NONE) & _LEGAL, paints


_NONE: Final[frozenset[str]] = frozenset()
_LEGAL: Final = frozenset(value for pair in h.REGIMES for value in pair)


def _applied(question: str) -> str:
    return question.replace("materials", "applied", 1)


def _ground(sherd: Sherd | None, slip: frozenset[str] | None, body: frozenset[str] | None) -> str | None:
    """Pale, red or dark: by the colour told of slip, else body; else by the clay; None where neither is."""
    rows = [] if sherd is None else [*sherd.rows_of("slip"), *sherd.rows_of("body")]
    for row in rows:
        if (kind := _kind(row)) is not None:
            return kind
    kinds = {KIND_OF_GROUND.get(clay) for clay in slip or body or ()}
    return kinds.pop() if len(kinds) == 1 else None


def _kind(row: Row) -> str | None:
    cell = row.colour()
    kinds = {_KIND.get(word) for word, share in cell.words if share > 0} if cell is not None else set()
    return kinds.pop() if len(kinds) == 1 else None


def tables_from(published: Iterable[Tradition]) -> Tables:
    """The tables with priors counted from these traditions only: for a score that leaves some out."""
    practice = Tables(practice_givens())
    found = counts((one for tradition in published if (one := stated(tradition)) is not None), practice)
    return Tables(with_counts(practice_givens(), found))


def countable() -> tuple[Tradition, ...]:
    """The traditions that priors may be counted from: all but the blind set."""
    return tuple(tradition for tradition in traditions().values() if tradition.id not in blind_set())


def text() -> str:
    """data/counts.csv as it is to be."""
    told = (one for tradition in countable() if (one := stated(tradition)) is not None)
    found = counts(told, Tables(practice_givens()))
    out = io.StringIO()
    out.write(
        "# Published traditions counted for each prior; python -m wareontology.build counts writes it.\n"
    )
    out.write(
        "# count: traditions shared over what their sources state; number: those behind the condition.\n"
    )
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEAD)
    for row in found:
        writer.writerow((row.table, row.region, row.given, row.outcome, f"{row.count:g}", f"{row.number:g}"))
    return out.getvalue()


def build(target: Path | None = None) -> Path:
    """Write data/counts.csv."""
    path = data(FILE) if target is None else target
    path.write_text(text(), encoding="utf-8")
    return path


@cache
def counted_in(region: str) -> tuple[str, ...]:
    """Traditions whose stated fire or paint stands behind the priors of a region, sorted.

    >>> "us-tusayan-white" in counted_in("colorado-plateau")
    True
    """
    return tuple(
        sorted(
            tradition.id
            for tradition in countable()
            if region in region_path(tradition.region) and any(_told(labels_of(tradition)))
        )
    )
