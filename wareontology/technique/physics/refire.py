"""The same laws run forward on a chip: a black paint held in air at a heat for half an hour."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.firing.histories import Leg
from wareontology.redox import reoxidation
from wareontology.redox.arrays import Floats
from wareontology.technique.physics import paints
from wareontology.technique.physics.ensemble import Chances, Ensemble
from wareontology.technique.physics.laws import Passed

MINUTES: Final = 30.0
"""Soak the steps are stated for; another soak is reckoned over by the degrees a doubling is worth."""
EDGES_C: Final = (500.0, 600.0, 700.0, 800.0, 900.0, 1000.0)
"""Upper ends of the steps; what has not turned at the last never does."""
USUAL_C: Final = 800.0
"""Heat at which a turned iron paint's colour is read."""


@dataclass(frozen=True)
class Chip:
    """Chips of every paint of the ensemble, black before they are refired."""

    ensemble: Ensemble

    def leg(self, temperature_c: float, minutes: float = MINUTES) -> Passed:
        """Held in open air."""
        size = self.ensemble.draws.size
        share = self.ensemble.histories.constants.value("standard-atmosphere", "oxygen_share")
        time = np.tile(np.linspace(0, 60 * minutes, 25), (size, 1))
        gas = self.ensemble.histories.air(np.full(size, share))
        return Passed(Leg(time, np.full(time.shape, temperature_c), gas), self.ensemble.laws)

    def phases(self, paint: str, temperature_c: float) -> paints.Phases:
        """What a black chip is after half an hour at a heat. KeyError for a paint not followed."""
        leg = self.leg(temperature_c)
        return {
            "iron": paints.refired_iron, "iron-organic": paints.refired_iron_organic,
            "organic": paints.refired_organic, "manganese": paints.refired_manganese,
        }[paint](paints.History((leg,), (), self.ensemble.laws), MINUTES)  # fmt: skip

    def turned(self, paint: str, temperature_c: float) -> Floats:
        """Share of each set's chips that have turned from black, shape (sets,)."""
        return np.asarray(self.ensemble.draws.by_set(self._turned(paint, temperature_c)).mean(axis=1))

    def _turned(self, paint: str, temperature_c: float) -> NDArray[np.float64]:
        found = self.phases(paint, temperature_c)
        total = sum(found[key] for key in found if key[0] in _TURNED)
        return np.asarray(total + np.zeros(self.ensemble.draws.size))

    def steps(self, paint: str) -> Floats:
        """Chance of turning in each step by set, shape (sets, steps); the last is never."""
        reached = np.stack([self.turned(paint, edge) for edge in EDGES_C], axis=1)
        reached = np.maximum.accumulate(reached, axis=1)
        return np.diff(reached, axis=1, prepend=0.0, append=1.0)

    def after(self, paint: str, temperature_c: float) -> Chances:
        """Colours of the chips that have turned."""
        turned = self._turned(paint, temperature_c)
        found = {
            key: weight * (key[0] in _TURNED) / turned.mean()
            for key, weight in self.phases(paint, temperature_c).items()
        }
        return self.ensemble.colours(found)

    def kelvin_per_doubling(self) -> Floats:
        """By how much less heat an iron paint turns when held twice as long, by set, shape (sets,), K.

        At the turning point D(T) t is the same, so T follows from Arrhenius' law turned round.
        """
        at_once, doubled = (self._turning_k(minutes) for minutes in (MINUTES, 2 * MINUTES))
        return np.asarray(self.ensemble.draws.by_set(at_once - doubled).mean(axis=1))

    def _turning_k(self, minutes: float) -> Floats:
        laws, set_ = self.ensemble.laws, "magnetite-reoxidation"
        term = reoxidation.term_of_share(laws.of("oxidised-colour", "red_above"))
        grain = paints.black_grain(laws)
        needed = term * grain**2 / (2 * 60 * minutes) / laws.of(set_, "D_reference")
        slope = 1000 * laws.of(set_, "E") / laws.constants.value("physical-constants", "R")
        cold = 1 / (laws.constants.value(set_, "T_reference") + 273.15)
        return np.asarray(1 / (cold - np.log(needed) / slope))


_TURNED: Final = ("hematite", "maghemite", "stain", "hausmannite")
