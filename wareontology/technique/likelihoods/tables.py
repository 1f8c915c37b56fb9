"""The likelihood and prior tables, read from CSV, with their spread drawn.

A row is `table,[region,]given,outcome,value,low,high,basis,source`. `given` holds the conditions in the
order of the table's dimensions, parted by `;`, with `|` for alternatives and `*` for any; where several
rows fit, the one with the fewest open conditions counts, then the later one. Outcomes that are not listed
share what is left; none is ever below the leak.
"""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.technique.likelihoods.schema import TABLES
from wareontology.technique.likelihoods.table_file import Entry, Given, dimensions

Floats = NDArray[np.float64]
SEED: Final = 20261125
DRAWS: Final = 200


class Tables:
    """Likelihoods and priors as arrays, for the values themselves or for common draws of them.

    draws: 0 gives the values (leading axis of length 1), else that many draws: each number triangular in
    log odds between low and high (scalars triangular as they are), `published` rows held fixed.

    >>> from wareontology.technique.likelihoods.shipped import shipped_tables
    >>> tables = shipped_tables()
    >>> float(tables.array("hardness").sum(axis=-1)[0, 0])
    1.0
    """

    def __init__(self, givens: Sequence[Given], draws: int = 0, seed: int = SEED) -> None:
        self._by_table: dict[str, list[Given]] = {}
        for given in givens:
            self._by_table.setdefault(given.table, []).append(given)
        self.draws = draws
        self.size = max(draws, 1)
        entries = [entry for given in givens for entry in given.entries]
        self._drawn = _draw(entries, draws, seed)
        self._cache: dict[tuple[str, tuple[str, ...]], Floats] = {}
        self._scalars: dict[tuple[str, tuple[str, ...]], Floats] = {}
        self._chosen: dict[tuple[str, tuple[str, ...]], NDArray[np.intp]] = {}
        self.leak = float(self.scalar("leak")[0])

    def find(self, table: str, condition: Sequence[str], regions: Sequence[str] = ("world",)) -> Given:
        """The rows that serve a condition, in the nearest region that has any. Raises KeyError."""
        given_values = dimensions(table)
        places = tuple(values.index(word) for values, word in zip(given_values, condition, strict=True))
        choice = int(self._choice(table, tuple(regions))[places])
        if choice < 0:
            raise KeyError(f"{table}: no row for {';'.join(condition)}")
        return self._by_table[table][choice]

    def array(self, table: str, regions: Sequence[str] = ("world",)) -> Floats:
        """Probabilities of a table, shape (draws or 1, *dimensions, outcomes); the last axis sums to 1."""
        key = (table, tuple(regions))
        if key not in self._cache:
            self._cache[key] = self._distributions(table)[:, self._filled(*key)]
        return self._cache[key]

    def scalar(self, table: str, *condition: str) -> Floats:
        """One number that is not a probability table, shape (draws or 1,)."""
        key = (table, condition)
        if key not in self._scalars:
            entry = self.find(table, condition or ("*",)).entries[0]
            self._scalars[key] = self._drawn[:, entry.position]
        return self._scalars[key]

    def scalars(self, table: str) -> Floats:
        """All of a scalar table, shape (draws or 1, *dimensions)."""
        positions = np.array([given.entries[0].position for given in self._by_table[table]])
        return self._drawn[:, positions[self._filled(table, ("world",))]]

    def _filled(self, table: str, regions: tuple[str, ...]) -> NDArray[np.intp]:
        choice = self._choice(table, regions)
        if (choice < 0).any():
            first = np.argwhere(choice < 0)[0]
            missing = [values[place] for values, place in zip(dimensions(table), first, strict=True)]
            raise KeyError(f"{table}: no row for {';'.join(missing)}")
        return choice

    def _choice(self, table: str, regions: tuple[str, ...]) -> NDArray[np.intp]:
        """For each condition the place of the row set that serves it, -1 where none does."""
        key = (table, regions)
        if key not in self._chosen:
            given_values = dimensions(table)
            choice = np.full(tuple(map(len, given_values)), -1)
            ranked = sorted(
                (-regions.index(given.region), given.closeness(), place)
                for place, given in enumerate(self._by_table[table])
                if given.region in regions
            )
            for *_, place in ranked:
                choice[np.ix_(*self._by_table[table][place].places(given_values))] = place
            self._chosen[key] = choice
        return self._chosen[key]

    def groups(self, table: str, axis: int) -> tuple[tuple[int, ...], ...]:
        """Values of one condition whose rows are the same whatever the other conditions, as places.

        >>> from wareontology.technique.likelihoods.shipped import shipped_tables
        >>> shipped_tables().groups("ring", 0)
        ((0,), (1,), (2,), (3,), (4,), (5,))
        """
        choice = np.moveaxis(self._choice(table, ("world",)), axis, 0)
        found: dict[bytes, list[int]] = {}
        for place, rows in enumerate(choice):
            found.setdefault(rows.tobytes(), []).append(place)
        return tuple(tuple(places) for places in found.values())

    def rows(self, table: str) -> tuple[Given, ...]:
        """Every row set of a table, in the order of the file."""
        return tuple(self._by_table[table])

    def has_region(self, region: str) -> bool:
        """True where some table has rows of this very region."""
        return any(given.region == region for givens in self._by_table.values() for given in givens)

    def entries(self) -> list[tuple[str, Entry]]:
        """Every number with the name of its table, in the order of the files."""
        return [
            (given.table, entry)
            for givens in self._by_table.values()
            for given in givens
            for entry in given.entries
        ]

    def _distributions(self, table: str) -> Floats:
        """Every row set of a table as probabilities, shape (draws or 1, row sets, outcomes)."""
        place_of = {outcome: place for place, outcome in enumerate(TABLES[table].outcomes)}
        givens = self._by_table[table]
        position = np.full((len(givens), len(place_of)), -1)
        for number, given in enumerate(givens):
            for entry in given.entries:
                position[number, place_of[entry.outcome]] = entry.position
        listed = position >= 0
        values = np.where(listed, self._drawn[:, position], 0.0)
        rest = np.maximum(1.0 - values.sum(axis=2, keepdims=True), 0.0)
        share = rest / np.maximum((~listed).sum(axis=1, keepdims=True), 1)
        values = np.maximum(np.where(listed, values, share), self.leak)
        return np.asarray(values / values.sum(axis=2, keepdims=True))


def _draw(entries: Sequence[Entry], draws: int, seed: int) -> Floats:
    value = np.array([entry.value for entry in entries])
    if draws == 0:
        return value[None, :]
    low = np.array([entry.low for entry in entries])
    high = np.array([entry.high for entry in entries])
    odds = np.array([entry.is_probability for entry in entries])
    fixed = np.array([entry.basis == "published" for entry in entries]) | (low == high)
    uniform = np.random.default_rng(seed).random((draws, len(entries)))
    drawn = _triangular(uniform, low, value, high)
    a, b, c = (_log_odds(np.where(odds, x, 0.5)) for x in (low, value, high))
    drawn = np.where(odds, 1 / (1 + np.exp(-_triangular(uniform, a, b, c))), drawn)
    return np.where(fixed, value, drawn)


def _triangular(uniform: Floats, low: Floats, mode: Floats, high: Floats) -> Floats:
    width = np.where(high > low, high - low, 1.0)
    split = (mode - low) / width
    rising = low + np.sqrt(uniform * width * (mode - low))
    falling = high - np.sqrt((1 - uniform) * width * (high - mode))
    return np.where(uniform < split, rising, falling)


def _log_odds(p: Floats) -> Floats:
    return np.log(p / (1 - p))
