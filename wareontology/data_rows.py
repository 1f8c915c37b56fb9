"""The small tables of data/ as rows: CSV under a heading, with remarks after `#` above it."""

import csv

from wareontology.paths import data


def rows(name: str) -> tuple[dict[str, str], ...]:
    """Every row of a file of data/, by its heading; lines that begin with `#` are remarks.

    >>> rows("counting.csv")[0]["name"]
    'strength'
    """
    with data(name).open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(line for line in file if not line.startswith("#")))
