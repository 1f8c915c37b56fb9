"""Every condition's ensemble run, and its phases multiplied with the judged words: chances of each colour."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import Final

import numpy as np

from wareontology import paths
from wareontology.firing import histories as fire_histories
from wareontology.firing.draws import Draws, joined
from wareontology.firing.regimes import AIR, ATMOSPHERE, REGIMES, TEMPERATURE
from wareontology.redox import colours, constants, fire_gas
from wareontology.redox.arrays import Floats
from wareontology.technique import hypotheses as h
from wareontology.technique.physics import paints
from wareontology.technique.physics.laws import Laws, Passed

SEED: Final = 20261125
SETS: Final = 32
"""Sets of uncertain laws; their spread makes low and high."""
FIRES: Final = 64
"""Fires a set: SETS x FIRES histories a fire and state of the air."""

Condition = tuple[str, str, str, str]
"""Atmosphere, ending, temperature band, air."""


@dataclass(frozen=True, slots=True)
class Chances:
    """Chance of each colour word of one paint, by set of laws, shape (sets, words); with judged low and high
    of the words, shape (words,), beside their value."""

    by_set: Floats
    judged_low: Floats
    judged_high: Floats

    @property
    def value(self) -> Floats:
        return np.asarray(self.by_set.mean(axis=0))


@dataclass(frozen=True)
class Ensemble:
    """The ensemble with its draws and tables; a test that wants it quick asks for fewer sets and fires."""

    sets: int = SETS
    fires: int = FIRES
    seed: int = SEED

    @cached_property
    def draws(self) -> Draws:
        names = ("constants.csv", "fire_histories.csv")
        return Draws(
            joined([constants.load(paths.data(name)) for name in names]), self.sets, self.fires, self.seed
        )

    @cached_property
    def laws(self) -> Laws:
        return Laws(self.draws)

    @cached_property
    def histories(self) -> fire_histories.Histories:
        return fire_histories.Histories(self.draws, fire_gas.load(paths.data("gas.csv")))

    @cached_property
    def words(self) -> Mapping[tuple[str, str], tuple[Floats, Floats, Floats]]:
        """Value, low and high of each word for each phase and amount, shape (words,) each."""
        found = {}
        for key, shares in colours.load(paths.data("phase_colours.csv")).items():
            rows = np.zeros((3, len(h.COLOURS)))
            for share in shares:
                rows[:, h.COLOURS.index(share.word)] = share.share, share.low, share.high
            found[key] = (rows[0], rows[1], rows[2])
        return found

    def fire(self, atmosphere: str, band: str, *, spot: bool = False) -> tuple[Passed, ...]:
        """The legs of a fire, each with what it adds up to kept for every paint and end."""
        return tuple(Passed(leg, self.laws) for leg in self.histories.fire(atmosphere, band, spot=spot))

    def history(self, fire: tuple[Passed, ...], atmosphere: str, ending: str, air: str) -> paints.History:
        """One condition's ensemble of histories."""
        legs = self.histories.end(ending, air, atmosphere, tuple(one.leg for one in fire))
        return paints.History(fire, tuple(Passed(leg, self.laws) for leg in legs), self.laws)

    def conditions(self) -> Iterator[tuple[Condition, paints.History]]:
        """Every legal condition that is not like one before, with its histories; conditions with the same
        histories come once, under the ending `alike` names."""
        for band, atmosphere in product(TEMPERATURE, ATMOSPHERE):
            fire = self.fire(atmosphere, band)
            spot = self.fire(atmosphere, band, spot=True) if atmosphere == "oxidising" else fire
            endings = [two for one, two in REGIMES if one == atmosphere]
            for air in AIR:
                here = spot if air == "sealed" else fire
                for ending in dict.fromkeys(fire_histories.alike(one, air) for one in endings):
                    yield (atmosphere, ending, band, air), self.history(here, atmosphere, ending, air)

    def phases(self, history: paints.History, paint: str, air: str) -> paints.Phases:
        """Weights of the phases a paint ends with."""
        bare = paints.PAINTS[paint](history)
        return paints.with_soot(history, bare) if air == "smoked" else bare

    def colours(self, phases: paints.Phases) -> Chances:
        """Phases times the words judged for them.

        >>> one = Ensemble(2, 2)
        >>> black = one.colours({("magnetite", "opaque"): np.ones(4)})
        >>> h.COLOURS[int(black.value.argmax())]
        'black'
        """
        by_set, low, high = (np.zeros((self.sets, len(h.COLOURS))) for _ in range(3))
        for key, weight in phases.items():
            share = self.draws.by_set(weight).mean(axis=1)[:, None]
            for total, words in zip((by_set, low, high), self.words[key], strict=True):
                total += share * words
        return Chances(by_set, low.mean(axis=0), high.mean(axis=0))
