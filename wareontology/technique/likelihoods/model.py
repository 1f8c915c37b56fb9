"""The tables put together for one region: states of each unit, their priors and their colours."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology import paths
from wareontology.graph.vocabulary import region_path, white_firing_clay
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.schema import (
    CLAY,
    FIRE_GROUP,
    GROUND,
    GROUND_KIND,
    GROUP_OF_ENDING,
    KIND_OF_GROUND,
    SCARCITY,
)
from wareontology.technique.likelihoods.tables import Tables

Floats = NDArray[np.float64]

KEPT: Final = 12
"""Models held at once: a lot of one region needs six (values, draws and flat, painted and not), and a model
with its draws is some tens of megabytes."""

BODY_STATES: Final = tuple((clay, carbon) for clay in h.BODY for carbon in h.CARBON)
SELF: Final = tuple(f"self-slip of {clay}" for clay in h.BODY)
SLIP_STATES: Final = (*CLAY, *SELF)
"""A slip's own clays, then a self-slip for each clay the body may be of."""
PAINT_STATES: Final = tuple((material, applied) for applied in h.APPLIED for material in h.PAINT)

FIRES: Final = tuple((*regime, temperature) for regime in h.REGIMES for temperature in h.TEMPERATURE)
REGIME_OF_FIRE: Final[NDArray[np.intp]] = np.repeat(np.arange(len(h.REGIMES)), len(h.TEMPERATURE))
_BAND_OF_FIRE: Final[NDArray[np.intp]] = np.tile(np.arange(len(h.TEMPERATURE)), len(h.REGIMES))

FIRE_GROUPS: Final = np.array([FIRE_GROUP.index(GROUP_OF_ENDING[ending]) for _, ending in h.REGIMES])


def clay_of(state: str) -> str:
    """Clay whose colours a slip state has: its own, or its body's.

    >>> clay_of("self-slip of calcareous"), clay_of("lime")
    ('calcareous', 'lime')
    """
    return state.removeprefix("self-slip of ")


@cache
def history_map() -> NDArray[np.intp]:
    """data/histories.csv as indices into HISTORIES, shape (regimes, air)."""
    index = np.full((len(h.REGIMES), len(h.AIR)), -1)
    with paths.data("histories.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            regime = h.REGIMES.index((row["atmosphere"], row["ending"]))
            index[regime, h.AIR.index(row["air"])] = h.HISTORIES.index(row["history"])
    if (index < 0).any():
        raise KeyError("histories.csv: a regime and air without a history")
    return index


@dataclass(frozen=True)
class Model:
    """All that the tables say for one region, with the draws on the leading axis of every array."""

    tables: Tables
    region: str | None = None
    flat: bool = False
    """Flat firings: atmospheres alike, endings within, then temperatures; materials keep their region."""
    painted: bool = True
    """Local histories and classes of fires are parted by heat and atmosphere, as colours of paint are."""

    @staticmethod
    @lru_cache(maxsize=KEPT)
    def of(tables: Tables, region: str | None, flat: bool = False, painted: bool = True) -> "Model":
        """The model of a region, kept for the next sherd from there."""
        return Model(tables, region, flat, painted)

    @cached_property
    def _heats(self) -> tuple[tuple[int, ...], ...]:
        """Bands of temperature that no colour of paint tells apart, as places in TEMPERATURE."""
        if self.painted:
            return self.tables.groups("paint_colour", 3)
        return (tuple(range(len(h.TEMPERATURE))),)

    @cached_property
    def regime_of(self) -> NDArray[np.intp]:
        """Regime of each class of fires: classes are the pairs of a regime and a group of bands."""
        return np.repeat(np.arange(len(h.REGIMES)), len(self._heats))

    @cached_property
    def prior_of(self) -> NDArray[np.intp]:
        """Group of fires of each class, by which priors of slips and paints are told apart."""
        return np.asarray(FIRE_GROUPS[self.regime_of])

    @cached_property
    def class_of(self) -> NDArray[np.intp]:
        """Class of each fire, shape (54,): fires of a class share every table but those of heat."""
        group_of = np.zeros(len(h.TEMPERATURE), dtype=np.intp)
        for group, bands in enumerate(self._heats):
            group_of[list(bands)] = group
        return REGIME_OF_FIRE * len(self._heats) + group_of[_BAND_OF_FIRE]

    @cached_property
    def history(self) -> NDArray[np.intp]:
        """Fine local history of each class and state of the air: a local history in a fire of one atmosphere
        at a group of bands."""
        places = np.zeros((len(h.REGIMES), len(h.AIR)), dtype=np.intp)
        for regime, air in np.ndindex(places.shape):
            places[regime, air] = self._courses.index(self._course(regime, air))
        heats = np.arange(len(self.regime_of)) % len(self._heats)
        return places[self.regime_of] * len(self._heats) + heats[:, None]

    def _course(self, regime: int, air: int) -> tuple[int, int]:
        """A local history and the atmosphere of the fire before it, as places; without paint all are one."""
        atmosphere = h.ATMOSPHERE.index(h.REGIMES[regime][0]) if self.painted else 0
        return int(history_map()[regime, air]), atmosphere

    @cached_property
    def _courses(self) -> tuple[tuple[int, int], ...]:
        shape = (len(h.REGIMES), len(h.AIR))
        return tuple(sorted({self._course(regime, air) for regime, air in np.ndindex(shape)}))

    @cached_property
    def fold(self) -> NDArray[np.intp]:
        """Place in HISTORIES of each fine local history."""
        return np.repeat([history for history, _ in self._courses], len(self._heats))

    @cached_property
    def regions(self) -> tuple[str, ...]:
        return region_path(self.region) if self.region else ("world",)

    @cached_property
    def scarcity(self) -> str:
        """White-firing clay in the region: scarce, common or unknown, from geology."""
        return white_firing_clay(self.region)[0] if self.region else "unknown"

    @cached_property
    def fires(self) -> Floats:
        """Prior of each fire, shape (n, 54)."""
        atmosphere = self.tables.array("atmosphere", self.regions)[:, 0]
        ending = self.tables.array("ending", self.regions)
        temperature = self.tables.array("temperature", self.regions)
        if self.flat:
            atmosphere, ending, temperature = map(_flatten, (atmosphere, ending, temperature))
        legal = np.zeros(ending.shape[1:])
        for first, second in h.REGIMES:
            legal[h.ATMOSPHERE.index(first), h.ENDING.index(second)] = 1
        ending = ending * legal
        ending = ending / ending.sum(axis=2, keepdims=True)
        fires = [
            atmosphere[:, a] * ending[:, a, h.ENDING.index(second)] * temperature[:, a, t]
            for first, second, heat in FIRES
            for a, t in [(h.ATMOSPHERE.index(first), h.TEMPERATURE.index(heat))]
        ]
        return np.stack(fires, axis=1)

    @cached_property
    def body_prior(self) -> Floats:
        """Shape (n, 1, 1, body states)."""
        clay = self.tables.array("body", self.regions)[:, SCARCITY.index(self.scarcity)]
        carbon = self.tables.array("carbon", self.regions)[:, 0]
        prior = clay[:, :, None] * carbon[:, None, :]
        return prior.reshape(len(prior), 1, 1, -1)

    @cached_property
    def slip_prior(self) -> Floats:
        """Shape (n, fire groups, body states, slip states)."""
        table = self.tables.array("slip", self.regions)[:, SCARCITY.index(self.scarcity)]
        own = table[:, :, [h.SLIP.index(clay) for clay in CLAY]]
        own_self = table[:, :, h.SLIP.index("self-slip")]
        prior = np.zeros((*table.shape[:2], len(BODY_STATES), len(SLIP_STATES)))
        prior[..., : len(CLAY)] = own[:, :, None, :]
        for place, (clay, _) in enumerate(BODY_STATES):
            prior[:, :, place, len(CLAY) + h.BODY.index(clay)] = own_self
        return prior

    def paint_prior(self, on_slip: bool) -> Floats:
        """Prior of a paint's states on a slip or on the body: shape (n, fire groups, states of the ground,
        paint states)."""
        return self._paint_priors[on_slip]

    @cached_property
    def _paint_priors(self) -> tuple[Floats, Floats]:
        return self._paint_prior(False), self._paint_prior(True)

    def _paint_prior(self, on_slip: bool) -> Floats:
        kinds = self.ground_kinds(on_slip)
        before = self.tables.array("paint", self.regions)[:, :, kinds]
        applied = self.tables.array("applied", self.regions)[:, 0]
        after = np.broadcast_to(
            self.tables.array("after_fired_paint", self.regions)[:, 0][:, None, None, :], before.shape
        )
        share = applied[:, :, None, None, None]
        return np.concatenate([before * share[:, 0], after * share[:, 1]], axis=-1)

    def ground_kinds(self, on_slip: bool) -> list[int]:
        """Place in GROUND_KIND of each state of a slip or of the body."""
        return [GROUND_KIND.index(KIND_OF_GROUND[clay]) for clay in _ground_clays(on_slip)]

    def iron_rich(self, on_slip: bool) -> list[int]:
        """Place in GROUND (pale or rich in iron) of each state of a slip or of the body."""
        pale = GROUND.index("pale")
        return [pale if KIND_OF_GROUND[clay] == "pale" else 1 - pale for clay in _ground_clays(on_slip)]

    @cached_property
    def body_colours(self) -> Floats:
        """Chance of each true colour of a body's surface, shape (n, body states, fine histories, 13)."""
        return self._with_carbon("surface_colour_carbon_rich")[:, :, self.fold]

    @cached_property
    def through_colours(self) -> Floats:
        """The same for a wall of one colour through, as the broken edge shows it, by local history alone."""
        return self._with_carbon("through_colour_carbon_rich")

    def _with_carbon(self, table: str) -> Floats:
        clay = self.tables.array("clay_colour")[:, : len(h.BODY)]
        dark = self.tables.array("core_colour")
        share = self.tables.array(table)
        rich = clay * share[:, None, :, :1] + dark[:, None] * share[:, None, :, 1:]
        return np.stack([rich, clay], axis=2).reshape(len(clay), len(BODY_STATES), *clay.shape[2:])

    @cached_property
    def slip_colours(self) -> Floats:
        """Shape (n, slip states, fine histories, 13)."""
        own = self.tables.array("clay_colour")
        return own[:, [CLAY.index(clay_of(state)) for state in SLIP_STATES]][:, :, self.fold]

    @cached_property
    def paint_colours(self) -> Floats:
        """Shape (n, paint states, fine histories, 13); a paint put on after the firing has no history."""
        history, atmosphere = np.array(self._courses).T
        table = self.tables.array("paint_colour")[:, :, history, atmosphere]
        table = table[:, :, :, [bands[0] for bands in self._heats]]
        before = table.reshape(*table.shape[:2], -1, table.shape[-1])
        after = np.broadcast_to(self.tables.array("after_fired_colour")[:, :, None, :], before.shape)
        return np.concatenate([before, after], axis=1)

    def air(self, surfaces: tuple[str, ...], form: str | None) -> Floats:
        """Shape (n, classes, surfaces, 4)."""
        table = self.tables.array("air")
        shape = ("open", "closed", "unknown").index(form or "unknown")
        endings = [h.ENDING.index(ending) for _, ending in h.REGIMES]
        zones = [h.SURFACES.index(zone) for zone in surfaces]
        return table[:, endings][:, :, zones, shape][:, self.regime_of]

    @cached_property
    def wall(self) -> Floats:
        """Chance of each local history inside the wall, shape (n, regimes, histories)."""
        return self.tables.array("wall")

    @cached_property
    def wall_by_class(self) -> Floats:
        """The same by class, shape (n, classes, fine histories)."""
        by_class = np.zeros((len(self.wall), len(self.regime_of), len(self.fold)))
        heats = len(self._heats)
        for place, regime in enumerate(self.regime_of):
            for history in range(len(h.HISTORIES)):
                by_class[:, place, self._fine(int(regime), history) * heats + place % heats] += self.wall[
                    :, regime, history
                ]
        return by_class

    def _fine(self, regime: int, history: int) -> int:
        """Place in `_courses` of a history inside the wall; one that no surface of that atmosphere goes
        through stands at another atmosphere's."""
        atmosphere = h.ATMOSPHERE.index(h.REGIMES[regime][0]) if self.painted else 0
        own = [place for place, course in enumerate(self._courses) if course == (history, atmosphere)]
        return own[0] if own else [one for one, _ in self._courses].index(history)


def _flatten(table: Floats) -> Floats:
    return np.full((1, *table.shape[1:]), 1 / table.shape[-1])


def _ground_clays(on_slip: bool) -> list[str]:
    return [clay_of(state) for state in SLIP_STATES] if on_slip else [clay for clay, _ in BODY_STATES]


def summed(probabilities: Floats, labels: tuple[str, ...]) -> Mapping[str, Floats]:
    """Add up the columns that share a label.

    >>> {k: float(v[0]) for k, v in summed(np.array([[0.1, 0.2, 0.7]]), ("a", "b", "a")).items()}
    {'a': 0.7999999999999999, 'b': 0.2}
    """
    total: dict[str, Floats] = {}
    for place, label in enumerate(labels):
        column = probabilities[..., place]
        total[label] = total[label] + column if label in total else column
    return total
