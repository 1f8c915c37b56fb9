"""One sherd made ready to be asked: its units, network, evidence, and the odds of every question."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.sherd.record import Sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods import evidence
from wareontology.technique.likelihoods.model import (
    BODY_STATES,
    FIRES,
    PAINT_STATES,
    SLIP_STATES,
    Model,
    summed,
)
from wareontology.technique.likelihoods.shipped import shipped_tables
from wareontology.technique.likelihoods.whole import spaces, structures
from wareontology.technique.network import Item, Network, combine, combine_each, stack
from wareontology.technique.posterior import Marginals, marginals
from wareontology.technique.units import Unit, Units, units

Floats = NDArray[np.float64]
Odds = Mapping[str, Floats]
"""Value of a question to its probability, shape (n,)."""

MAIN: Final = ("atmosphere", "ending", "slip", "paint")
"""What a potter asks first: the next test is ranked over these, unless another question is named."""

WHOLE: Final = ("atmosphere", "ending", "temperature", "space")
"""Questions of the sherd as a whole; each unit is a question of its own."""

_SLIP_VALUES: Final = tuple("self-slip" if " of " in state else state for state in SLIP_STATES)
_REGIME_OF: Final = np.array([h.REGIMES.index((a, e)) for a, e, _ in FIRES])


@dataclass(frozen=True)
class Case:
    """A sherd under one model. `also` names surfaces to carry though nothing was seen there."""

    sherd: Sherd
    units: Units
    model: Model
    also: tuple[str, ...] = ()

    @staticmethod
    def of(
        sherd: Sherd, draws: int = 0, flat: bool = False, also: tuple[str, ...] = (), own: Path | None = None
    ) -> "Case":
        """own: a TOML file of a person's own priors."""
        found = units(sherd)
        model = Model.of(shipped_tables(draws, own), sherd.region, flat, bool(found.paints))
        return Case(sherd, found, model, also)

    @cached_property
    def network(self) -> Network:
        return evidence.network(self.sherd, self.units, self.model, self.also)

    @cached_property
    def items(self) -> tuple[Item, ...]:
        return evidence.items(self.sherd, self.units, self.model)

    @cached_property
    def marginals(self) -> Marginals:
        """Marginals given all that was seen."""
        return marginals(self.network, combine(self.items))

    @cached_property
    def prior(self) -> Marginals:
        """Marginals before anything was seen."""
        return marginals(self.network, {})

    def given(self, variants: Sequence[Iterable[Item]], only: Iterable[str] | None = None) -> Marginals:
        """Marginals for several sets of evidence at once, a set a place on the leading axis.

        only: the questions that will be asked of them, where the air and all units are not wanted.
        """
        stacked = stack(combine_each(variants))
        if only is None:
            return spread(marginals(self.network, stacked), len(variants))
        asked = frozenset(only)
        units = [unit.key for unit in self.units.all() if unit.key in asked]
        return spread(marginals(self.network, stacked, units, air=False), len(variants))

    def questions(self) -> tuple[str, ...]:
        """Every question, the sherd's own and one for each unit."""
        return (*WHOLE, *(unit.key for unit in self.units.all()))

    def odds(self, result: Marginals, only: Iterable[str] | None = None) -> dict[str, Odds]:
        """Odds of the values of every question, or of some; a paint's by family."""
        wanted = self.questions() if only is None else tuple(only)
        found = whole_odds(self.model, self.sherd, result) if set(wanted) & set(WHOLE) else {}
        for unit in self.units.all():
            if unit.key in wanted:
                own = family_odds if unit.layer == "paint" else material_odds
                found[unit.key] = own(unit, result)
        return {question: found[question] for question in wanted}

    def with_rows(self, changed: Unit, sherd: Sherd) -> "Case":
        """The same sherd with one unit's rows changed; the units keep their names."""
        swap = {unit.key: changed if unit.key == changed.key else unit for unit in self.units.all()}
        new = Units(
            swap["body"],
            tuple(swap[unit.key] for unit in self.units.slips),
            tuple(swap[unit.key] for unit in self.units.paints),
            self.units.notes,
        )
        return replace(self, sherd=sherd, units=new)


def spread(result: Marginals, count: int) -> Marginals:
    """The same marginals with `count` places on every leading axis, also where no place differs."""

    def full(array: Floats) -> Floats:
        return np.broadcast_to(array, (count, *array.shape[1:]))

    return Marginals(
        full(result.fires),
        {key: full(states) for key, states in result.states.items()},
        {zone: full(air) for zone, air in result.air_by_class.items()},
        full(result.evidence),
    )


def whole_odds(model: Model, sherd: Sherd, result: Marginals) -> dict[str, Odds]:
    """Atmosphere, ending, temperature, structure and space."""
    structure = structures(model, sherd, regime_odds(result))
    space = spaces(model, structure)
    return {
        "atmosphere": summed(result.fires, tuple(fire[0] for fire in FIRES)),
        "ending": _in_order(summed(result.fires, tuple(fire[1] for fire in FIRES)), h.ENDING),
        "temperature": summed(result.fires, tuple(fire[2] for fire in FIRES)),
        "structure": summed(structure, h.STRUCTURE),
        "space": summed(space, h.SPACE),
    }


def regime_odds(result: Marginals) -> Floats:
    """Probability of each regime, shape (n, regimes)."""
    return np.stack(
        [result.fires[:, place == _REGIME_OF].sum(axis=1) for place in range(len(h.REGIMES))], axis=1
    )


def material_odds(unit: Unit, result: Marginals) -> Odds:
    """Odds of a unit's material: a body's clay, a slip's kind, a paint's material."""
    labels = {
        "body": tuple(clay for clay, _ in BODY_STATES),
        "slip": _SLIP_VALUES,
        "paint": tuple(material for material, _ in PAINT_STATES),
    }[unit.layer]
    return summed(result.states[unit.key], labels)


def family_odds(unit: Unit, result: Marginals) -> Odds:
    """Odds of a paint's family."""
    return summed(result.states[unit.key], tuple(h.family_of(material) for material, _ in PAINT_STATES))


def applied_odds(unit: Unit, result: Marginals) -> Odds:
    """Odds that a paint was put on before or after the firing."""
    return summed(result.states[unit.key], tuple(applied for _, applied in PAINT_STATES))


def carbon_odds(result: Marginals) -> Odds:
    """Odds that the body is rich in carbon."""
    return summed(result.states["body"], tuple(carbon for _, carbon in BODY_STATES))


def air_odds(result: Marginals) -> dict[str, Odds]:
    """Odds of the state of the air at each surface while the pot cooled."""
    return {zone: summed(odds, h.AIR) for zone, odds in result.air.items()}


def top(odds: Odds, place: int = 0) -> tuple[str, float]:
    """The likeliest value and its probability; the first in order where two are equal."""
    value = max(odds, key=lambda name: float(odds[name][place]))
    return value, float(odds[value][place])


def tops(odds: Odds) -> list[str]:
    """The likeliest value for each set of evidence or draw."""
    values = list(odds)
    best = np.argmax(np.stack([odds[value] for value in values], axis=1), axis=1)
    return [values[place] for place in best]


def _in_order(odds: Odds, order: Sequence[str]) -> Odds:
    return {value: odds[value] for value in order if value in odds}
