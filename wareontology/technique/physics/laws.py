"""The uncertain laws of one ensemble, and what a leg of a history adds up to under them."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from wareontology.firing.draws import Draws
from wareontology.firing.histories import Leg
from wareontology.redox import buffers, carbon, reduction, reoxidation
from wareontology.redox.arrays import Floats
from wareontology.redox.constants import Constants
from wareontology.redox.rates import arrhenius, integral

VERSION = 1
"""Of the law: raised when the reckoning changes, so that rows tell by which they were made."""

_COLDEST_C = 300.0
"""The oxygen lines begin here; what is colder stands still anyway."""


@dataclass(frozen=True)
class Laws:
    """Rates and lines drawn once for each set, laid out over the members (sets x fires)."""

    draws: Draws

    @property
    def constants(self) -> Constants:
        return self.draws.constants

    def of(self, data_set: str, symbol: str) -> Floats:
        """A drawn number of a law, shape (members,)."""
        return self.draws.of_law(data_set, symbol)

    @cached_property
    def hematite_offset(self) -> Floats:
        """Where within the sources' spread the hematite-magnetite line lies, -1 to 1."""
        return 2 * self.draws.even_by_set("hematite-magnetite line") - 1

    @cached_property
    def hausmannite_offset(self) -> Floats:
        return 2 * self.draws.even_by_set("bixbyite-hausmannite line") - 1

    @cached_property
    def manganosite_offset(self) -> Floats:
        return 2 * self.draws.even_by_set("hausmannite-manganosite line") - 1

    def line(self, pair: str, temperature_c: Floats, offset: Floats) -> Floats:
        """An oxygen line within its spread, log10 bar; at 300 degC below that."""
        span = buffers.range_c(self.constants, pair)
        found = buffers.spread(self.constants, pair, np.clip(temperature_c, _COLDEST_C, span[1]))
        reach = np.where(offset > 0, found.high - found.best, found.best - found.low)
        return np.asarray(found.best + offset * reach)


@dataclass(frozen=True)
class Passed:
    """What a leg adds up to: integrals over its time, each reckoned once and used for every paint."""

    leg: Leg
    laws: Laws

    @property
    def _constants(self) -> Constants:
        return self.laws.constants

    @cached_property
    def hottest_c(self) -> Floats:
        return np.asarray(self.leg.temperature_c.max(axis=1))

    @cached_property
    def oxygen_factor(self) -> Floats:
        """How far lack of oxygen slows re-oxidation, shape (members,)."""
        return reoxidation.oxygen_factor(self._constants, self.leg.gas.oxygen_share)

    @cached_property
    def monoxide_factor(self) -> Floats:
        """How far lack of carbon monoxide slows reduction; our assumption, as for oxygen."""
        return np.minimum(self.leg.gas.monoxide_share / self.laws.of("fire-gas", "monoxide_limit"), 1.0)

    @cached_property
    def diffused(self) -> Floats:
        """Integral of 2 D over time in air, m2, shape (members, points): over R^2 it is Jander's term."""
        set_ = "magnetite-reoxidation"
        diffusivity = reoxidation.diffusivity_m2_s(
            self._constants, self.leg.temperature_c,
            self.laws.of(set_, "D_reference")[:, None], self.laws.of(set_, "E")[:, None],
        )  # fmt: skip
        return integral(self.leg.time_s, 2 * diffusivity) * self.oxygen_factor[:, None]

    @cached_property
    def could_reduce(self) -> Floats:
        """Integral of the rate of reduction in plenty of reducing gas, shape (members, points)."""
        set_ = "hematite-reduction"
        rate = reduction.rate_per_s(
            self._constants, self.leg.temperature_c,
            self.laws.of(set_, "k_reference")[:, None], self.laws.of(set_, "E")[:, None],
        )  # fmt: skip
        return integral(self.leg.time_s, rate)

    @cached_property
    def gas_is_past_hematite(self) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """The gas is more reducing than the hematite-magnetite line, as this set draws it."""
        line = self.laws.line("hematite-magnetite", self.hottest_c, self.laws.hematite_offset)
        return self.leg.gas.log10_oxygen_bar < line

    @cached_property
    def reduced(self) -> Floats:
        """The same integral in the gas as it is, shape (members,)."""
        return self.could_reduce[:, -1] * self.monoxide_factor * self.gas_is_past_hematite

    def burnt(self, depth_m: Floats) -> Floats:
        """Integral of the rate at which carbon within a depth burns: its own rate and oxygen's way in, one
        after the other; shape (members, points)."""
        air = self._constants.value("standard-atmosphere", "oxygen_share")
        share = (self.leg.gas.oxygen_share / air)[:, None]
        own = carbon.rate_per_s(
            self._constants, self.leg.temperature_c, self.laws.of("carbon-burnout", "E")[:, None]
        )
        way_in = carbon.diffusion_limited_s(
            self._constants, depth_m[:, None], np.maximum(self.leg.temperature_c, 0.0),
            diffusivity_ratio=self.laws.of("oxygen-diffusion", "fired_clay_ratio")[:, None],
        )  # fmt: skip
        return integral(self.leg.time_s, share * own / (1 + own * way_in))

    @cached_property
    def bixbyite_line(self) -> Floats:
        """Oxygen that holds bixbyite and hausmannite, shape (members, points)."""
        offset = self.laws.hausmannite_offset[:, None]
        return self.laws.line("bixbyite-hausmannite", self.leg.temperature_c, offset)

    def taken_back(self) -> Floats:
        """Integral of the sluggish rate of hausmannite to bixbyite, only while bixbyite is stable."""
        set_ = "fire-manganese"
        rate = arrhenius(
            self._constants, self.leg.temperature_c,
            self.laws.of(set_, "k_back")[:, None], self.laws.of(set_, "E_back")[:, None],
            self._constants.value(set_, "T_back"), self._constants.one("hematite-reduction", "k_reference"),
        )  # fmt: skip
        stable = self.bixbyite_line < self.leg.gas.log10_oxygen_bar[:, None]
        free = self.leg.gas.oxygen_share > 0
        return integral(self.leg.time_s, rate * stable)[:, -1] * free

    def gives_off_oxygen(self, overshoot_k: Floats) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        """Bixbyite gives off its oxygen: the hottest point of the leg lies this far over the line."""
        line = self.laws.line(
            "bixbyite-hausmannite", self.hottest_c - overshoot_k, self.laws.hausmannite_offset
        )
        return line > self.leg.gas.log10_oxygen_bar

    @cached_property
    def gas_is_past_hausmannite(self) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
        line = self.laws.line("hausmannite-manganosite", self.hottest_c, self.laws.manganosite_offset)
        return self.leg.gas.log10_oxygen_bar < line
