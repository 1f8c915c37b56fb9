"""What a computed row rests on, for a reader: its data sets, its ensemble, the command that shows a curve."""

from functools import cache
from typing import Final

from wareontology import paths
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.table_file import Given

_GAS: Final = "wareontology gas"
CURVES: Final = {
    "oxidised": f"{_GAS} --temperature-c 800 --oxygen 0.2095 --map map.svg",
    "reducing-spot": f"{_GAS} --temperature-c 800 --fuel-air 1.2 --map map.svg",
    "kept-reduced": f"{_GAS} --temperature-c 800 --fuel-air 1.2 --map map.svg",
    "reoxidised-hot": f"{_GAS} --cooling",
    "half-reoxidised": f"{_GAS} --cooling",
    "neutral-kept": f"{_GAS} --temperature-c 800 --fuel-air 1 --map map.svg",
    "smoked": f"{_GAS} --temperature-c 800 --fuel-air 1.5 --map map.svg",
}
"""The command that draws the law behind each local history; 800 °C is an example, to be changed at will."""


def is_computed(source: str) -> bool:
    """Whether a row's source is a computation of ours rather than a publication.

    >>> is_computed("mirti-1999")
    False
    """
    return source.startswith("physics: ")


def curve(given: Given) -> str | None:
    """The command that shows the law behind a computed row; None for a row that is not computed.

    None too for organic paint: its carbon burns out by a law that no command draws.
    """
    if not any(is_computed(entry.source) for entry in given.entries) or "organic" in given.given[0]:
        return None
    history = next((word for words in given.given for word in words if word in h.HISTORIES), "oxidised")
    return CURVES[history]


@cache
def citation(source: str) -> str | None:
    """Data sets with how far each may be trusted, and the ensemble; None where the source is a publication.

    A data set's provenance is that of its rows in data/constants.csv: seen, memory, computed or judgement.
    """
    if not is_computed(source):
        return None
    from wareontology.technique.likelihoods.computed import parse

    found = parse(source)
    if found is None:
        return None
    provenance = _provenance()
    sets = "; ".join(f"{name} ({', '.join(provenance[name])})" for name in found.data_sets)
    return (
        f"Computed from redox physics: an ensemble of {found.size:,} histories for each fire and air, seed"
        f" {found.seed}, law {found.law}, constants {found.constants}."
        f" Data sets of data/constants.csv: {sets}"
    )


@cache
def _provenance() -> dict[str, tuple[str, ...]]:
    from wareontology.redox.constants import load

    found: dict[str, dict[str, None]] = {}
    for row in load(paths.data("constants.csv")).rows:
        found.setdefault(row.data_set, {})[row.provenance] = None
    return {name: tuple(sorted(kinds)) for name, kinds in found.items()}
