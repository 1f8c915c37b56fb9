"""Which rows of the tables an answer rests on, and with what basis.

A row matters where each of its conditions is likely on this sherd: its material for the layer, its local
history where the trait was seen, its heat. What is likely is what is left after all evidence.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import product
from typing import Final

import numpy as np

from wareontology.graph.sources import sources
from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case, Odds, regime_odds
from wareontology.technique.likelihoods.model import (
    BODY_STATES,
    FIRES,
    PAINT_STATES,
    SLIP_STATES,
    clay_of,
    summed,
)
from wareontology.technique.likelihoods.reading import surface_of
from wareontology.technique.likelihoods.schema import CLAY, MATERIAL, REGIME, SCALARS, TABLES
from wareontology.technique.likelihoods.table_file import Entry, Given
from wareontology.technique.limits import limits
from wareontology.technique.network import Item
from wareontology.technique.phrases import MATERIAL as MATERIAL_WORDS
from wareontology.technique.phrases import sentence, unit_words

TABLES_OF: Final = {
    "colour": ("clay_colour",), "patches": ("patches",), "edge and relief": ("edge_relief",),
    "lustre and finish": ("lustre_sintered", "finish"), "white specks": ("white_specks",),
    "rubs off": ("rubs_off",), "applied": ("applied_seen",), "streak": ("streak_on_paper",),
    "scum": ("scum",),
    "acid": ("acid",), "magnet": ("magnet",), "pXRF": ("pxrf_mean",), "phases": ("phase",),
    "refiring": ("clay_colour",), "broken edge": ("core", "wall", "clay_colour"), "hardness": ("hardness",),
    "ring": ("ring",), "slakes": ("slakes",), "lime pops": ("lime_pops",), "no red paint": ("no_red_paint",),
    "structure": ("structure", "fire_clouds", "marks", "kiln_evidence"),
}  # fmt: skip
"""Tables that each trait is read from."""
_OF_A_PAINT: Final = {"colour": ("paint_colour",), "refiring": ("refire_turns", "refire_after")}
"""... where it is a paint's."""

_PRIORS: Final = ("atmosphere", "ending", "slip", "paint")
_STATES: Final = {
    "body": tuple(clay for clay, _ in BODY_STATES),
    "slip": tuple(clay_of(state) for state in SLIP_STATES),
    "paint": tuple(material for material, _ in PAINT_STATES),
}


@dataclass(frozen=True)
class Trail:
    """The rows that mattered for one sherd."""

    case: Case
    _found: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def rows(self, item: Item) -> tuple[Given, ...]:
        """Rows of the tables that mattered where this item was read, each once."""
        found: dict[int, Given] = {}
        own = _OF_A_PAINT if item.unit.startswith("paint") else {}
        for table in own.get(item.trait, TABLES_OF[item.trait]):
            dimensions = TABLES[table].given if table in TABLES else SCALARS[table][0]
            for condition in product(*(self._conditions(item, values) for values in dimensions)):
                given = self.case.model.tables.find(table, condition)
                found.setdefault(id(given), given)
        return tuple(found.values())

    def bases(self) -> list[tuple[str, str]]:
        """(source key, basis) of every sourced row that mattered, and of the priors."""
        given = [given for item in self.case.items for given in self.rows(item)]
        regions = self.case.model.regions
        for table in _PRIORS:
            given += [one for one in self.case.model.tables.rows(table) if one.region in regions]
        return sorted({(one.source, basis_words(one)) for one in _entries(given) if one.source})

    def against_physics(self) -> list[str]:
        """A sentence for each material whose rows keep the trade's word though physics speaks against it."""
        found: dict[tuple[str, str], dict[str, None]] = {}
        for item in self.case.items:
            for given in self.rows(item):
                for entry in given.entries:
                    if entry.note and item.unit != "sherd":
                        named = found.setdefault((item.unit, given.given[0][0]), {})
                        named |= {sources().get(entry.source, entry.source): None} if entry.source else {}
        return [_trade_word(unit, material, list(named)) for (unit, material), named in found.items()]

    def _conditions(self, item: Item, values: Sequence[str]) -> tuple[str, ...]:
        """Which values of one condition are likely where the item was read."""
        if values == h.HISTORIES:
            return self._histories(item)
        if values == h.LAYERS:
            return (item.unit.partition(":")[0],)
        if values == h.ATMOSPHERE:
            return self._likely("atmosphere", lambda: summed(self.case.marginals.fires, _ATMOSPHERES))
        if values == h.TEMPERATURE:
            return self._likely("temperature", lambda: summed(self.case.marginals.fires, _HEATS))
        if values == REGIME:
            return self._likely("regime", self._regimes)
        if values in (h.PAINT, MATERIAL, CLAY, h.BODY) and item.unit != "sherd":
            materials = self._likely(item.unit, lambda: self._materials(item.unit))
            return tuple(word for word in materials if word in values) or tuple(values)
        return tuple(values)

    def _likely(self, name: str, odds: Callable[[], Odds]) -> tuple[str, ...]:
        if name not in self._found:
            least = limits()["row_likely"]
            self._found[name] = tuple(value for value, p in odds().items() if float(p[0]) >= least)
        return self._found[name]

    def _regimes(self) -> Odds:
        return dict(zip(REGIME, regime_odds(self.case.marginals).T, strict=True))

    def _materials(self, unit: str) -> Odds:
        return summed(self.case.marginals.states[unit], _STATES[unit.partition(":")[0]])

    def _histories(self, item: Item) -> tuple[str, ...]:
        """Local histories that are likely in any zone where the item was seen; without a zone the wall's.

        A chip of clay refired in air went through that alone.
        """
        if item.trait == "refiring":
            return ("oxidised",)
        zones = sorted({surface_of(zone) or "wall" for zone in item.zones} or {"wall"})
        likely = [self._likely(f"history {zone}", partial(self._history, zone)) for zone in zones]
        return tuple(history for history in h.HISTORIES if any(history in one for one in likely))

    def _history(self, zone: str) -> Odds:
        case = self.case
        if zone == "wall":
            odds = regime_odds(case.marginals)[0] @ case.model.wall[0]
        else:
            joint = case.marginals.air_by_class[zone][0]
            odds = np.bincount(
                case.model.fold[case.network.history].ravel(), joint.ravel(), minlength=len(h.HISTORIES)
            )
        return dict(zip(h.HISTORIES, odds[:, None], strict=True))


_ATMOSPHERES: Final = tuple(atmosphere for atmosphere, *_ in FIRES)
_HEATS: Final = tuple(heat for *_, heat in FIRES)


def _entries(givens: Iterable[Given]) -> Iterator[Entry]:
    for given in givens:
        yield from given.entries


def _trade_word(unit: str, material: str, named: Sequence[str]) -> str:
    words = MATERIAL_WORDS.get(material, material)
    said = f"if {unit_words(unit)} is {words}, the colours it is taken to fire to are common practice"
    from_whom = f" ({'; '.join(named)})" if named else ""
    return sentence(f"{said}, not thermodynamics{from_whom}")


def basis_words(entry: Entry) -> str:
    """The basis of a number, with what physics has against it.

    >>> basis_words(Entry("black", 0.8, 0.6, 0.9, "judgement", "", 0))
    'judgement'
    """
    return f"{entry.basis}, {entry.note}" if entry.note else entry.basis
