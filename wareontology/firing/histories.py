"""An ensemble of fire histories: what temperature and gas at one surface of a pot did, drawn at random.

A history is a row of legs. In a leg the temperature follows a curve and the gas stays as it is. A fire's
legs (heating, soak) hang on its atmosphere and temperature; the legs of its end hang on the ending and on the
state of the air at the surface. Ranges: data/fire_histories.csv, nearly all judged.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.firing.draws import Draws
from wareontology.redox import cooling
from wareontology.redox.arrays import Floats
from wareontology.redox.constants import Constants
from wareontology.redox.fire_gas import GasTable

_POINTS: Final = 24
_AIR_C: Final = 20.0
_HOUR: Final = 3600.0


def alike(ending: str, air: str) -> str:
    """An ending whose histories at a surface with this air are the same: a cover, a kiln given air, or none.

    >>> alike("mouth-down", "open"), alike("air-finish", "sealed"), alike("sealed", "leaked")
    ('in-air', 'in-air', 'sealed')
    """
    if air == "smoked":
        return "in-air"
    return ending if ending == "sealed" or (ending, air) == ("air-finish", "open") else "in-air"


@dataclass(frozen=True, slots=True)
class Gas:
    """What reaches the surface, a number a member: shares by volume of free oxygen and of carbon monoxide,
    and log10 of the oxygen pressure (bar) that fixes what is stable in it."""

    oxygen_share: Floats
    monoxide_share: Floats
    log10_oxygen_bar: Floats


@dataclass(frozen=True, slots=True)
class Leg:
    """One stretch of a history: times (s) and temperatures (degC), shape (members, points), in one gas."""

    time_s: Floats
    temperature_c: Floats
    gas: Gas
    smoke: bool = False
    """Soot settles on the surface."""


@dataclass(frozen=True)
class Histories:
    """Draws of histories. `draws` must hold the tables fire_histories.csv and constants.csv together."""

    draws: Draws
    table: GasTable

    @property
    def constants(self) -> Constants:
        return self.draws.constants

    # --- gas ---

    def burnt(self, fuel_air: Floats, temperature_c: Floats) -> Gas:
        """Gas of wood burnt with air. Below the floor of equilibrium it is taken as it left the flame."""
        settled = np.maximum(temperature_c, self.constants.value("fire-gas", "settled_c"))
        pressure = self.constants.value("standard-atmosphere", "pressure_sea_level") / 1e5
        oxygen = self.table.look_up("log10_oxygen_bar", "wood", fuel_air, settled, pressure)
        monoxide = self.table.look_up("carbon_monoxide", "wood", fuel_air, settled, pressure)
        return Gas(np.where(fuel_air < 1, 10**oxygen / pressure, 0.0), monoxide, oxygen)

    def air(self, oxygen_share: Floats) -> Gas:
        """Air, or air with part of its oxygen gone; no carbon monoxide."""
        pressure = self.constants.value("standard-atmosphere", "pressure_sea_level") / 1e5
        return Gas(oxygen_share, np.zeros_like(oxygen_share), np.log10(oxygen_share * pressure))

    @cached_property
    def _full_air(self) -> Gas:
        share = self.constants.value("standard-atmosphere", "oxygen_share")
        return self.air(np.full(self.draws.size, share))

    # --- the fire ---

    def fire(self, atmosphere: str, band: str, *, spot: bool = False) -> tuple[Leg, ...]:
        """Heating and soak; a neutral fire soaks in spells of a little too much fuel and a little too little.

        `spot`: a place that in some fires lies against fuel from the start.

        >>> from wareontology.firing.draws import Draws, joined
        >>> from wareontology.paths import data
        >>> from wareontology.redox import constants, fire_gas
        >>> tables = joined([constants.load(data(n)) for n in ("constants.csv", "fire_histories.csv")])
        >>> histories = Histories(Draws(tables, 2, 4, 1), fire_gas.load(data("gas.csv")))
        >>> [leg.temperature_c.shape for leg in histories.fire("reducing", "700-800")]
        [(8, 24), (8, 2)]
        """
        peak = self.draws.band_c(band)
        soak = 60 * self.draws.of_fire("fire-course", "soak")
        if atmosphere != "neutral":
            fuel_air = self.draws.of_fire("fire-gas", atmosphere)
            if spot:
                fuel_air = np.where(self._shielded, self.draws.of_fire("fire-gas", "spot"), fuel_air)
            gas = self.burnt(fuel_air, peak)
            return (self._heating(peak, gas), _held(peak, soak, gas))
        count = int(self.constants.value("fire-gas", "spells"))
        swing = self.draws.of_fire("fire-gas", "neutral_swing")
        first_rich = np.where(self.draws.even("first spell") < 0.5, 1.0, -1.0)
        spells = [
            self.burnt(1 + first_rich * (-1) ** place * swing * self.draws.even(f"spell {place}"), peak)
            for place in range(count + 1)
        ]
        return (self._heating(peak, spells[0]), *(_held(peak, soak / count, gas) for gas in spells[1:]))

    @cached_property
    def _shielded(self) -> NDArray[np.bool_]:
        return self.draws.even("spot from the start") < self.constants.value("fire-gas", "spot_from_start")

    def _heating(self, peak: Floats, gas: Gas) -> Leg:
        start = self.constants.value("fire-course", "from_c")
        part = np.linspace(0, 1, _POINTS)
        rise = (peak - start)[:, None] * part
        rate = self.draws.of_fire("fire-course", "heating") / 60
        return Leg(rise / rate[:, None], start + rise, gas)

    # --- the end ---

    def end(self, ending: str, air: str, atmosphere: str, fire: tuple[Leg, ...]) -> tuple[Leg, ...]:
        """Legs after the soak, down to cold, at a surface with this state of the air. KeyError for an air
        that is none of AIR."""
        peak, gas = fire[-1].temperature_c[:, -1], fire[-1].gas
        legs = {
            "open": self._open,
            "leaked": self._leaked,
            "sealed": self._spot if atmosphere == "oxidising" else self._sealed,
            "smoked": self._smoked,
        }[air]
        return tuple(legs(ending, peak, gas))

    def _open(self, ending: str, peak: Floats, gas: Gas) -> Iterator[Leg]:
        if ending == "air-finish":
            hot = peak - self._course("finish_drop")
            aired = self.air(self._course("finish_oxygen"))
            yield self._cooled(peak, hot, self._tau("kiln_tau"), gas)
            yield _held(hot, 60 * self._course("finish"), aired)
            yield self._cooled(hot, self._cold(hot), self._tau("kiln_tau"), self._full_air)
        elif ending == "sealed":
            fails = np.minimum(self._course("fail_c"), peak)
            yield self._cooled(peak, fails, self._tau("pit_tau"), _shut_in(gas))
            leaky = self.air(self._course("fail_oxygen"))
            yield self._cooled(fails, self._cold(fails), self._tau("pit_tau"), leaky)
        else:
            burnt_out = peak - self._course("burn_out_drop")
            yield self._cooled(peak, burnt_out, self._tau("bed_tau"), gas)
            yield self._pulled_or_left(burnt_out, self.air(self._course("ash_oxygen")))

    def _leaked(self, ending: str, peak: Floats, gas: Gas) -> Iterator[Leg]:
        covered = ending == "sealed"
        tau = self._tau("pit_tau" if covered else "bed_tau")
        leaks = np.minimum(self._course("leak_c" if covered else "ash_leak_c"), peak)
        yield self._cooled(peak, leaks, tau, _shut_in(gas))
        yield self._cooled(leaks, self._cold(leaks), tau, self.air(self._course("leak_oxygen")))

    def _sealed(self, ending: str, peak: Floats, gas: Gas) -> Iterator[Leg]:
        covered = ending == "sealed"
        opened = self._course("open_c" if covered else "lift_c")
        kept = _shut_in(gas)
        yield self._cooled(peak, opened, self._tau("pit_tau" if covered else "bed_tau"), kept)
        yield self._pulled(opened, self._full_air)

    def _spot(self, _ending: str, peak: Floats, gas: Gas) -> Iterator[Leg]:
        """A place shut off from the air of an oxidising fire: it lay against fuel, late or all along."""
        there = peak - self._course("spot_drop")
        rich = self.burnt(self.draws.of_fire("fire-gas", "spot"), there)
        clear = np.minimum(self._course("spot_clear_c"), there)
        yield self._cooled(peak, there, self._tau("bed_tau"), gas)
        yield _held(there, 60 * self._course("spot_time"), rich)
        yield self._cooled(there, clear, self._tau("bed_tau"), rich)
        yield self._cooled(
            clear, self._cold(clear), self._tau("bed_tau"), self.air(self._course("ash_oxygen"))
        )

    def _smoked(self, _ending: str, peak: Floats, gas: Gas) -> Iterator[Leg]:
        smoked = np.minimum(self._course("smoke_c"), peak)
        smoke = self.burnt(self.draws.of_fire("fire-gas", "spot"), smoked)
        out = np.minimum(self._course("smoke_out_c"), smoked)
        yield self._cooled(peak, smoked, self._tau("bed_tau"), gas)
        held = _held(smoked, 60 * self._course("smoke"), smoke)
        yield Leg(held.time_s, held.temperature_c, smoke, smoke=True)
        yield self._cooled(smoked, out, self._tau("bed_tau"), _shut_in(smoke))
        yield self._pulled(out, self._full_air)

    # --- courses of temperature ---

    def _course(self, symbol: str) -> Floats:
        return self.draws.of_fire("fire-course", symbol)

    def _tau(self, symbol: str) -> Floats:
        return _HOUR * self._course(symbol)

    def _cold(self, start: Floats) -> Floats:
        return np.full(start.shape, 60.0).clip(max=start)

    def _cooled(self, start: Floats, end: Floats, tau_s: Floats, gas: Gas) -> Leg:
        """Newton's cooling: the excess over the air falls to 1/e in a time tau. No leg goes up."""
        temperature = _falling(start, np.minimum(end, start))
        return Leg(tau_s[:, None] * _elapsed(temperature), temperature, gas)

    def _pulled(self, start: Floats, gas: Gas) -> Leg:
        """In still air, by radiation and free convection; time goes with the wall."""
        temperature = _falling(start, self._cold(start))
        return Leg(self._pulled_time(temperature), temperature, gas)

    def _pulled_or_left(self, start: Floats, gas: Gas) -> Leg:
        """Some are pulled from the fire, the others cool in its ash."""
        temperature = _falling(start, self._cold(start))
        pulled = self.draws.even("pulled") < self.constants.value("fire-course", "pulled_share")
        left = self._tau("bed_tau")[:, None] * _elapsed(temperature)
        return Leg(np.where(pulled[:, None], self._pulled_time(temperature), left), temperature, gas)

    def _pulled_time(self, temperature: Floats) -> Floats:
        times, temperatures = self._bowl
        passed = np.interp(temperature, temperatures[::-1], times[::-1])
        wall = self._course("wall") / self.constants.value("bowl", "wall")
        return np.asarray(np.maximum.accumulate(wall[:, None] * (passed - passed[:, :1]), axis=1))

    @cached_property
    def _bowl(self) -> tuple[Floats, Floats]:
        return cooling.curve(self.constants, 1100, 30)


def _shut_in(gas: Gas) -> Gas:
    """The gas kept by a cover: free oxygen is eaten up, carbon monoxide stays."""
    return Gas(np.zeros_like(gas.oxygen_share), gas.monoxide_share, gas.log10_oxygen_bar)


def _held(temperature: Floats, seconds: Floats, gas: Gas) -> Leg:
    level = np.repeat(temperature[:, None], 2, axis=1)
    return Leg(np.stack([np.zeros_like(seconds), seconds], axis=1), level, gas)


def _falling(start: Floats, end: Floats) -> Floats:
    """Even steps in the logarithm of the excess over the air, (members, points)."""
    part = np.linspace(0, 1, _POINTS)
    excess = np.log(start - _AIR_C)[:, None] * (1 - part) + np.log(end - _AIR_C)[:, None] * part
    return np.asarray(_AIR_C + np.exp(excess))


def _elapsed(temperature: Floats) -> Floats:
    """Time in units of tau; never going back, though rounding might."""
    excess = temperature - _AIR_C
    passed = np.log(excess[:, :1] / excess)
    return np.asarray(np.maximum.accumulate(passed, axis=1))
