"""A person's own priors, from TOML: what is usual where they work, in place of practice and counts.

    [colorado-plateau.atmosphere]
    any = {oxidising = 0.2, neutral = 0.3, reducing = 0.5}
    [colorado-plateau.paint]
    "kept;pale" = {iron = 0.6, organic = 0.3}

A region, a table of priors (atmosphere, ending, temperature, body, carbon, slip, paint, applied), a condition
as in data/priors.csv (`any` for none), and outcomes with probabilities. Those not named share what is left.
"""

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, Final

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.graph.vocabulary import scheme
from wareontology.technique.likelihoods.schema import TABLES
from wareontology.technique.likelihoods.table_file import Entry, Given

BASIS: Final = "your own"
PRIORS: Final = ("atmosphere", "ending", "temperature", "body", "carbon", "slip", "paint", "applied")
_LEAST: Final = 1e-6
_MOST: Final = 1 - 1e-6


@cache
def read_own(path: Path, start: int) -> tuple[Given, ...]:
    """The row sets of a file, with positions from start on. They are held fixed in the draws.

    Raises Unreadable for what is no TOML, BreaksShape for a region, table, condition, outcome or number that
    is none, each with what would do.
    """
    try:
        document = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        would_do = "tables such as [world.atmosphere]"
        raise Unreadable(f"{path}: found no readable TOML ({error}); would do: {would_do}") from error
    faults: list[Fault] = []
    givens: list[Given] = []
    for region, table, condition, outcomes in _entries(document, path, faults):
        given = _given(region, table, condition, outcomes, path, faults, start)
        if given is not None:
            givens.append(given)
            start += len(given.entries)
    if not givens and not faults:
        faults.append(Fault(str(path), None, None, "no prior", "a table such as [world.atmosphere]"))
    if faults:
        raise BreaksShape(faults)
    return tuple(givens)


def _entries(
    document: Mapping[str, Any], path: Path, faults: list[Fault]
) -> Iterator[tuple[str, str, str, Mapping[str, Any]]]:
    regions = scheme("region")

    def refuse(where: str, found: str, would_do: str) -> None:
        faults.append(Fault(str(path), None, where, found, would_do))

    for typed, tables in document.items():
        region = regions.resolve(typed)
        if region is None:
            refuse(typed, typed, " or ".join(regions.nearest(typed)) or "a region")
            continue
        if not isinstance(tables, dict):
            refuse(typed, str(tables), f"a table such as [{region}.atmosphere]")
            continue
        for table, conditions in tables.items():
            if table not in PRIORS or not isinstance(conditions, dict):
                refuse(f"{typed}.{table}", table, f"one of {', '.join(PRIORS)}")
                continue
            for condition, outcomes in conditions.items():
                if isinstance(outcomes, dict):
                    yield region, table, condition, outcomes
                else:
                    would_do = f"{condition} = {{{TABLES[table].outcomes[0]} = 0.5}}"
                    refuse(f"{typed}.{table}", f"{condition} = {outcomes}", would_do)


def _given(
    region: str, table: str, condition: str, outcomes: Mapping[str, Any], path: Path, faults: list[Fault],
    start: int,
) -> Given | None:  # fmt: skip
    where = f"{region}.{table}.{condition}"
    wanted = TABLES[table]
    parts = ["*"] * len(wanted.given) if condition == "any" else condition.split(";")
    words = [part.split("|") for part in parts]
    if len(parts) != len(wanted.given) or any(
        word != "*" and word not in values
        for part, values in zip(words, wanted.given, strict=False)
        for word in part
    ):
        would_do = "any, or " + " ; ".join("|".join(values) for values in wanted.given)
        faults.append(Fault(str(path), None, where, condition, would_do))
        return None
    for outcome, value in outcomes.items():
        if outcome not in wanted.outcomes:
            faults.append(Fault(str(path), None, where, outcome, f"one of {', '.join(wanted.outcomes)}"))
            return None
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= 1:
            faults.append(Fault(str(path), None, where, f"{outcome} = {value}", "a probability from 0 to 1"))
            return None
    total = sum(outcomes.values())
    if total > 1 + 1e-6 or (len(outcomes) == len(wanted.outcomes) and total < 1 - 1e-6):
        would_do = "1 in all, or less with outcomes left out"
        faults.append(Fault(str(path), None, where, f"{total:g} in all", would_do))
        return None
    entries = tuple(
        Entry(outcome, value, value, value, BASIS, "", start + place)
        for place, (outcome, number) in enumerate(outcomes.items())
        for value in [min(max(float(number), _LEAST), _MOST)]
    )
    return Given(table, region, tuple(tuple(part) for part in words), entries)
