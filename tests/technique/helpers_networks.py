"""Small made-up networks with every kind of evidence in them, for holding two routes to one sum together."""

from collections.abc import Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from wareontology.technique.network import Factors, Network, Node, Slot
from wareontology.technique.posterior import Marginals

Floats = NDArray[np.float64]
ZONES = ("interior", "exterior", "rim", "base")


class Making:
    """A random network and random evidence, all numbers made up; the same seed gives the same.

    sets: length of the leading axis of the evidence; its tables have that length or 1.
    """

    def __init__(
        self, seed: int, surfaces: int, slips: int, paints: int, sets: int = 1, states: int = 3
    ) -> None:
        self.draw = np.random.default_rng(seed)
        self.sets = sets
        self.most_states = states
        self.classes, self.histories, self.colours, self.kinds = 3, 3, 2, 2
        self.surfaces = ZONES[:surfaces]
        self.class_of = self.draw.permutation([0, 1, 2, 0, 1])  # fires of a class need not lie side by side
        self.network = self._network(slips, paints)
        self.factors = self._factors()

    def chances(self, *shape: int) -> Floats:
        """Probabilities over the last axis, the leading axis of length 1 or `sets`."""
        raw = self.draw.uniform(0.05, 1.0, (self._lead(), *shape))
        return np.asarray(raw / raw.sum(axis=-1, keepdims=True))

    def likely(self, *shape: int) -> Floats:
        """Likelihoods: any positive numbers; some axes of length 1 where they may be."""
        return self.draw.uniform(0.01, 1.5, (self._lead(), *shape))

    def _lead(self) -> int:
        return self.sets if self.draw.random() < 0.5 else 1

    def _some(self, length: int) -> int:
        return length if self.draw.random() < 0.6 else 1

    def _network(self, slips: int, paints: int) -> Network:
        nodes = [self._node("body", None, 1)]
        nodes += [self._node(f"slip:{n}", "body", nodes[0].colours.shape[1]) for n in range(slips)]
        for number in range(paints):
            ground = nodes[int(self.draw.integers(0, 1 + slips))]
            nodes.append(self._node(f"paint:{number}", ground.key, ground.colours.shape[1]))
        return Network(
            surfaces=self.surfaces,
            nodes=tuple(nodes),
            fires=self.chances(len(self.class_of)),
            class_of=self.class_of,
            air=self.chances(self.classes, len(self.surfaces), self.kinds),
            history=self.draw.integers(0, self.histories, (self.classes, self.kinds)),
            contrasts=self._contrasts(nodes),
            contrast=self.draw.uniform(0.02, 0.6, self._lead()),
        )

    def _node(self, key: str, ground: str | None, below: int) -> Node:
        # paints share their states, so that two may be equal
        most = self.most_states
        states = most if key.startswith("paint") else int(self.draw.integers(2, most + 1))
        prior = self.chances(self._some(self.classes), self._some(below), states)
        return Node(key, ground, prior, self.chances(states, self.histories, self.colours))

    def _contrasts(self, nodes: Sequence[Node]) -> frozenset[tuple[str, str]]:
        paints = [node for node in nodes if node.key.startswith("paint")]
        return frozenset(
            (first.key, second.key)
            for first, second in combinations(paints, 2)
            if first.ground == second.ground and self.draw.random() < 0.8
        )

    def _factors(self) -> dict[Slot, Floats]:
        found: dict[Slot, Floats] = {}
        for node in self.network.nodes:
            states = node.colours.shape[1]
            for zone in self.surfaces:
                if self.draw.random() < 0.6:
                    found[Slot("colour", node.key, zone)] = self.likely(self.colours)
                if self.draw.random() < 0.3:
                    found[Slot("zone", node.key, zone)] = self.likely(self.histories, states)
            if self.draw.random() < 0.5:
                found[Slot("unit", node.key)] = self.likely(self._some(self.classes), states)
            if node.ground is not None and self.draw.random() < 0.5:
                ground = self.network.node(node.ground).colours.shape[1]
                found[Slot("link", node.key)] = self.likely(ground, states)
        body = self.network.nodes[0].colours.shape[1]
        found[Slot("heat")] = self.likely(len(self.class_of), self._some(body))
        found[Slot("fire")] = self.likely(len(self.class_of))
        return found


def numbers(result: Marginals, place: int = 0) -> dict[str, Floats]:
    """All marginals of one set of evidence under a flat name, for comparing route with route."""
    found = {"evidence": result.evidence[place : place + 1], "fires": result.fires[place]}
    found |= {f"states of {key}": odds[place] for key, odds in result.states.items()}
    found |= {f"air of {zone}": odds[place] for zone, odds in result.air.items()}
    return found


def largest_difference(one: dict[str, Floats], other: dict[str, Floats]) -> float:
    """Largest relative difference over all numbers of two routes."""
    assert one.keys() == other.keys()
    return max(float(np.max(np.abs(one[name] - other[name]) / np.abs(other[name]))) for name in one)


def at_place(network: Network, factors: Factors, place: int) -> tuple[Network, dict[Slot, Floats]]:
    """The network and the evidence of one set alone."""

    def one(array: Floats) -> Floats:
        return array if len(array) == 1 else array[place : place + 1]

    nodes = tuple(Node(n.key, n.ground, one(n.prior), one(n.colours)) for n in network.nodes)
    alone = Network(
        network.surfaces, nodes, one(network.fires), network.class_of, one(network.air),
        network.history, network.contrasts, one(network.contrast), network.prior_of,
    )  # fmt: skip
    return alone, {slot: one(factor) for slot, factor in factors.items()}
