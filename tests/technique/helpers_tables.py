"""Table files made up for a test."""

from pathlib import Path
from typing import Final

from wareontology.technique.likelihoods.table_file import Given, read_givens
from wareontology.technique.likelihoods.tables import Tables

HEAD: Final = "table,region,given,outcome,value,low,high,basis,source"
LEAK: Final = "leak,,*,probability,0.005,0.005,0.005,judgement,"


def written(folder: Path, *lines: str) -> tuple[Given, ...]:
    """A table file of these lines, read."""
    path = folder / "made_up.csv"
    path.write_text("\n".join([HEAD, *lines, ""]), encoding="utf-8")
    return read_givens(path)


def tables(folder: Path, *lines: str, draws: int = 0, seed: int = 1) -> Tables:
    return Tables(written(folder, LEAK, *lines), draws, seed)
