"""What is not known, drawn evenly: each quantity by its own name and seed, stratified within each set."""

import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from wareontology.redox.arrays import Floats
from wareontology.redox.constants import Constant, Constants

_STRAIGHT: Final = ("degC", "K", "kJ/mol", "1", "kg/kg")
"""Units of what is drawn as it is; the rest is drawn in its logarithm."""


@dataclass(frozen=True, slots=True)
class Draws:
    """`sets` sets of uncertain laws with `fires` fires each. A quantity of the fire differs from fire to
    fire, one of a law is the same for all fires of a set.

    Fires of one set are stratified (a Latin hypercube), so that sets differ by their laws and little by the
    luck of the draw. A quantity's numbers hang on its own name and the seed alone.
    """

    constants: Constants
    sets: int
    fires: int
    seed: int

    @property
    def size(self) -> int:
        """Members of the ensemble."""
        return self.sets * self.fires

    def even(self, name: str) -> Floats:
        """Numbers from 0 to 1, one a member, stratified within each set.

        >>> from wareontology.redox.constants import read, COLUMNS
        >>> draws = Draws(read([",".join(COLUMNS)]), 2, 4, 1)
        >>> sorted((draws.even("soak")[:4] * 4).astype(int).tolist())
        [0, 1, 2, 3]
        """
        generator = self._generator(name)
        places = generator.permuted(np.tile(np.arange(self.fires), (self.sets, 1)), axis=1)
        return ((places + generator.random((self.sets, self.fires))) / self.fires).ravel()

    def even_by_set(self, name: str) -> Floats:
        """Numbers from 0 to 1, one a set of laws, stratified over the sets and given to all of its fires."""
        generator = self._generator(name)
        places = generator.permutation(self.sets) + generator.random(self.sets)
        return np.repeat(places / self.sets, self.fires)

    def of_fire(self, data_set: str, symbol: str, name: str = "") -> Floats:
        """A quantity that differs from fire to fire; `name` parts two draws of one quantity.

        >>> from wareontology.paths import data
        >>> from wareontology.redox.constants import load
        >>> soak = Draws(load(data("fire_histories.csv")), 2, 50, 1).of_fire("fire-course", "soak")
        >>> soak.shape, bool(soak.min() >= 2 and soak.max() <= 60)
        ((100,), True)
        """
        return triangular(self.even(name or f"{data_set} {symbol}"), self.constants.one(data_set, symbol))

    def of_law(self, data_set: str, symbol: str) -> Floats:
        """A quantity of a law: the same for all fires of one set."""
        return triangular(self.even_by_set(f"{data_set} {symbol}"), self.constants.one(data_set, symbol))

    def band_c(self, band: str) -> Floats:
        """Highest temperature of each member, even over a band, degC."""
        low, high = self.constants.one("fire-band", band).span()
        return np.asarray(low + (high - low) * self.even("peak"))

    def by_set(self, values: Floats) -> Floats:
        """Members' values as (sets, fires, ...)."""
        return values.reshape(self.sets, self.fires, *values.shape[1:])

    def _generator(self, name: str) -> np.random.Generator:
        return np.random.default_rng([self.seed, zlib.crc32(name.encode())])


def is_straight(constant: Constant) -> bool:
    """Whether a constant is drawn as it is; else in its logarithm."""
    return constant.unit in _STRAIGHT


def triangular(even: Floats, constant: Constant) -> Floats:
    """Even numbers from 0 to 1 made into draws of a constant: triangular, likeliest at its value.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> wall = load(data("fire_histories.csv")).one("fire-course", "wall")
    >>> print(triangular(np.array([0, 1.0]), wall).round(4))
    [0.004 0.012]
    """
    low, high = constant.span()
    if low == high:
        return np.full(even.shape, constant.value)
    ends = np.array([low, constant.value, high])
    straight = is_straight(constant)
    a, mode, b = ends if straight else np.log(ends)
    split = (mode - a) / (b - a)
    rising = a + np.sqrt(even * (b - a) * (mode - a))
    falling = b - np.sqrt((1 - even) * (b - a) * (b - mode))
    drawn = np.where(even < split, rising, falling)
    return np.asarray(drawn if straight else np.exp(drawn), dtype=np.float64)


def joined(tables: Sequence[Constants]) -> Constants:
    """Several tables of constants as one."""
    return Constants(row for table in tables for row in table.rows)
