"""The tables as shipped: likelihoods, priors of practice, counts over them, and a person's own over all."""

from functools import cache
from pathlib import Path

from wareontology import paths
from wareontology.technique.likelihoods.counted import read_counts, with_counts
from wareontology.technique.likelihoods.table_file import Given, read_givens
from wareontology.technique.likelihoods.tables import Tables


@cache
def practice_givens() -> tuple[Given, ...]:
    """The rows with priors of common practice: before any published tradition is counted."""
    likelihoods = read_givens(paths.data("likelihoods.csv"), 0)
    start = sum(len(given.entries) for given in likelihoods)
    return (*likelihoods, *read_givens(paths.data("priors.csv"), start))


@cache
def shipped_givens() -> tuple[Given, ...]:
    """The rows with priors that count published traditions over common practice."""
    return with_counts(practice_givens(), read_counts())


@cache
def shipped_tables(draws: int = 0, own: Path | None = None) -> Tables:
    """The tables as shipped, with a person's own priors from a TOML file over them where there is one.

    draws: 0 gives the values, else that many common draws of the uncertain numbers.

    >>> float(shipped_tables().array("hardness").sum(axis=-1)[0, 0])
    1.0
    """
    givens = shipped_givens()
    if own is None:
        return Tables(givens, draws)
    from wareontology.technique.likelihoods.own_priors import read_own

    return Tables((*givens, *read_own(own, sum(len(given.entries) for given in givens))), draws)
