"""The posterior of a small network by counting every case, in plain loops.

Written from the formula alone and not from wareontology.technique.posterior: every fire, every state of the
air at every surface, every state of every unit, and every true colour of a unit, drawn once for each local
history, are listed and added up. Slow, and meant to be.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from wareontology.technique.network import Factors, Network, Node, Slot

Floats = NDArray[np.float64]


@dataclass
class Counted:
    """Marginals of one set of evidence, as plain numbers."""

    evidence: float
    fires: list[float]
    states: dict[str, list[float]]
    air: dict[str, list[float]]


def pick(array: Floats, *places: int) -> float:
    """One number of an array whose axes of length 1 hold for every place."""
    index = tuple(0 if length == 1 else place for length, place in zip(array.shape, places, strict=True))
    return float(array[index])


class Enumeration:
    """All cases of one network under one set of evidence (`place` on the leading axis)."""

    def __init__(self, network: Network, factors: Factors, place: int = 0) -> None:
        self.network, self.factors, self.place = network, factors, place
        self._seen: dict[tuple[str, int, tuple[int, ...]], float] = {}

    def count(self) -> Counted:
        network, sizes = self.network, [node.colours.shape[1] for node in self.network.nodes]
        kinds = network.history.shape[1]
        fires = [0.0] * network.fires.shape[1]
        states = {node.key: [0.0] * size for node, size in zip(network.nodes, sizes, strict=True)}
        air = {zone: [0.0] * kinds for zone in network.surfaces}
        total = 0.0
        for fire in range(len(fires)):
            for airs in product(range(kinds), repeat=len(network.surfaces)):
                before = self._fire_and_air(fire, airs)
                for chosen in product(*map(range, sizes)):
                    p = before * self._materials(fire, airs, chosen)
                    total += p
                    fires[fire] += p
                    for node, state in zip(network.nodes, chosen, strict=True):
                        states[node.key][state] += p
                    for zone, kind in zip(network.surfaces, airs, strict=True):
                        air[zone][kind] += p
        return Counted(
            total,
            [p / total for p in fires],
            {key: [p / total for p in values] for key, values in states.items()},
            {zone: [p / total for p in values] for zone, values in air.items()},
        )

    def _factor(self, slot: Slot, *places: int) -> float:
        return pick(self.factors[slot], self.place, *places) if slot in self.factors else 1.0

    def _fire_and_air(self, fire: int, airs: Sequence[int]) -> float:
        """P(fire) · P(evidence of the fire | fire) · Π over surfaces P(air | ending, zone, form)"""
        network, kind = self.network, int(self.network.class_of[fire])
        p = pick(network.fires, self.place, fire) * self._factor(Slot("fire"), fire)
        for surface, air in enumerate(airs):
            p *= pick(network.air, self.place, kind, surface, air)
        return p

    def _materials(self, fire: int, airs: Sequence[int], chosen: Sequence[int]) -> float:
        """Π over units P(material | fire, ground) · P(all that was seen of it | material, histories)"""
        network, kind = self.network, int(self.network.class_of[fire])
        state = {node.key: value for node, value in zip(network.nodes, chosen, strict=True)}
        histories = tuple(int(network.history[kind, air]) for air in airs)
        p = self._factor(Slot("heat"), fire, state["body"])
        for node in network.nodes:
            own = state[node.key]
            ground = state[node.ground] if node.ground is not None else 0
            p *= pick(node.prior, self.place, int(network.priors_of[kind]), ground, own)
            p *= self._factor(Slot("link", node.key), ground, own)
            p *= self._factor(Slot("unit", node.key), kind, own)
            p *= self._seen_of(node, own, histories)
        for first, second in network.contrasts:
            if state[first] == state[second]:
                p *= pick(network.contrast, self.place)
        return p

    def _seen_of(self, node: Node, state: int, histories: tuple[int, ...]) -> float:
        key = (node.key, state, histories)
        if key not in self._seen:
            p = 1.0
            for zone, history in zip(self.network.surfaces, histories, strict=True):
                p *= self._factor(Slot("zone", node.key, zone), history, state)
            self._seen[key] = p * self._colours(node, state, histories)
        return self._seen[key]

    def _colours(self, node: Node, state: int, histories: tuple[int, ...]) -> float:
        """Σ over the true colour in each local history, drawn once for each, of Π zones P(seen | colour)"""
        _, _, count, words = node.colours.shape
        total = 0.0
        for colours in product(range(words), repeat=count):
            p = 1.0
            for history, colour in enumerate(colours):
                p *= pick(node.colours, self.place, state, history, colour)
            for zone, history in zip(self.network.surfaces, histories, strict=True):
                p *= self._factor(Slot("colour", node.key, zone), colours[history])
            total += p
        return total
