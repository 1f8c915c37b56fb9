"""The exact posterior of one sherd's network, for many sets of evidence at once.

P(E, fire) = P(fire) · Σ over the air of each surface Π P(air | ending, zone, form)
             · Σ over materials Π_units P(material | fire, ground) · P(traits | material, local history)

The sum is exact: the states of the air are listed, the materials are summed along the tree, and a unit's
true colour is summed once for each local history.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import product
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.technique.network import Factors, Floats, Network, Node, Slot


@dataclass(frozen=True, slots=True)
class Marginals:
    """Posterior marginals; every array has the number of evidence sets as its leading axis.

    fires (n, fires); states {unit: (n, states)}; air_by_class {zone: (n, classes, 4)}; evidence (n,) = P(E).
    """

    fires: Floats
    states: dict[str, Floats]
    air_by_class: dict[str, Floats]
    evidence: Floats

    @property
    def air(self) -> dict[str, Floats]:
        """State of the air at each surface whatever the fire, {zone: (n, 4)}."""
        return {zone: joint.sum(axis=1) for zone, joint in self.air_by_class.items()}


ROOM: Final = 200_000
"""Numbers that one unit's largest array may hold before the sets of evidence are taken in parts."""


def marginals(network: Network, factors: Factors) -> Marginals:
    """Exact marginals of the fire, each unit's state and each surface's air.

    Many sets of evidence are worked through in parts, so that memory stays bounded.

    Raises ValueError where the evidence is impossible (all factors zero somewhere needed).
    """
    count = _sets(network, factors)
    states = max(node.colours.shape[1] for node in network.nodes)
    one = network.history.shape[0] * network.air.shape[-1] ** len(network.surfaces) * states
    step = max(ROOM // one, 1)
    if count <= step:
        return _Pass(network, factors).run()
    parts = [slice(start, start + step) for start in range(0, count, step)]
    done = [_Pass(_part(network, part), _part_of(factors, part)).run() for part in parts]
    return _joined(done, [min(step, count - part.start) for part in parts])


def _sets(network: Network, factors: Factors) -> int:
    """How many sets of evidence, or draws, there are."""
    arrays = [network.fires, network.air, network.contrast, *factors.values()]
    arrays += [array for node in network.nodes for array in (node.prior, node.colours)]
    return max(len(array) for array in arrays)


def _cut(array: Floats, part: slice) -> Floats:
    return array if len(array) == 1 else array[part]


def _part(network: Network, part: slice) -> Network:
    nodes = tuple(
        replace(node, prior=_cut(node.prior, part), colours=_cut(node.colours, part))
        for node in network.nodes
    )
    return replace(
        network,
        nodes=nodes,
        fires=_cut(network.fires, part),
        air=_cut(network.air, part),
        contrast=_cut(network.contrast, part),
    )


def _part_of(factors: Factors, part: slice) -> Factors:
    return {slot: _cut(factor, part) for slot, factor in factors.items()}


def _joined(parts: Sequence[Marginals], sizes: Sequence[int]) -> Marginals:
    def join(arrays: Sequence[Floats]) -> Floats:
        full = [np.broadcast_to(one, (size, *one.shape[1:])) for one, size in zip(arrays, sizes, strict=True)]
        return np.concatenate(full)

    return Marginals(
        join([part.fires for part in parts]),
        {key: join([part.states[key] for part in parts]) for key in parts[0].states},
        {zone: join([part.air_by_class[zone] for part in parts]) for zone in parts[0].air_by_class},
        join([part.evidence for part in parts]),
    )


class _Pass:
    """One upward and one downward pass over the tree.

    Every array has the axes (sets, classes, air of each surface ..., states); an axis of air has length 1
    where the array does not depend on that surface.
    """

    def __init__(self, network: Network, factors: Factors) -> None:
        self.network, self.factors = network, factors
        self.air_axes = tuple(range(2, 2 + len(network.surfaces)))
        self.weights = self._air_weights()
        self._history = tuple(network.history.ravel().tolist())
        self.local: dict[str, Floats] = {}
        self.link: dict[str, Floats] = {}
        self.below: dict[str, Floats] = {}
        self.message: dict[tuple[str, ...], Floats] = {}
        self.groups = {node.key: _groups(network, node.key) for node in network.nodes}

    def run(self) -> Marginals:
        network, root = self.network, self.network.nodes[0]
        for node in reversed(network.nodes):
            self._gather(node)
        root_prior = self._spaced(self.link[root.key][:, :, 0])
        belief = self.below[root.key] * root_prior
        heat = self.factors.get(Slot("heat"), np.ones((1, 1, 1)))
        fires = network.fires * self.factors.get(Slot("fire"), np.ones((1, 1)))
        by_class = (self.weights * belief).sum(axis=self.air_axes)
        joint = fires[:, :, None] * heat * by_class[:, network.class_of]
        evidence = joint.sum(axis=(1, 2))
        if not np.all(evidence > 0):
            raise ValueError("the evidence has probability zero under every fire")
        outer = self._outer(fires[:, :, None] * heat) / evidence[:, None, None]
        weighted = self.weights * self._spaced(outer)
        states = {root.key: joint.sum(axis=1) / evidence[:, None]}
        self._spread(root, weighted * root_prior, states)
        air = self._air((weighted * belief).sum(axis=-1))
        return Marginals(joint.sum(axis=2) / evidence[:, None], states, air, evidence)

    def _spaced(self, array: Floats) -> Floats:
        """(sets, classes, states ...) with an axis of length 1 for the air of each surface."""
        return np.expand_dims(array, self.air_axes)

    def _outer(self, heat: Floats) -> Floats:
        """Sum a weight of (n, fires, states) over the fires of each class."""
        classes = self.network.history.shape[0]
        outer = np.zeros((heat.shape[0], classes, heat.shape[2]))
        for place in range(classes):
            outer[:, place] = heat[:, self.network.class_of == place].sum(axis=1)
        return outer

    def _air_weights(self) -> Floats:
        air = self.network.air
        weights = self._spaced(np.ones((*air.shape[:2], 1)))
        for place, axis in enumerate(self.air_axes):
            shape = [*air.shape[:2], *(1,) * len(self.air_axes), 1]
            shape[axis] = air.shape[-1]
            weights = weights * air[:, :, place].reshape(shape)
        return weights

    def _gather(self, node: Node) -> None:
        local = self._local(node)
        unit = self.factors.get(Slot("unit", node.key))
        below = local if unit is None else local * self._spaced(unit)
        self.local[node.key] = below
        link = self.factors.get(Slot("link", node.key))
        prior = node.prior if link is None else node.prior * link[:, None]
        self.link[node.key] = prior
        for group in self.groups[node.key]:
            self.message[group] = self._message(group)
            below = below * self.message[group]
        self.below[node.key] = below

    def _local(self, node: Node) -> Floats:
        """Likelihood of all that was seen of a unit zone by zone."""
        zones = [
            place
            for place, zone in enumerate(self.network.surfaces)
            if Slot("colour", node.key, zone) in self.factors or Slot("zone", node.key, zone) in self.factors
        ]
        classes, states = self.network.history.shape[0], node.colours.shape[1]
        if not zones:
            return self._spaced(np.ones((1, classes, states)))
        table = self._subset_table(node, zones)
        index = _subset_index(self._history, self.network.history.shape, len(zones))
        seen = table[:, index[..., 0]]
        for place in range(1, len(zones)):
            seen = seen * table[:, index[..., place]]
        count = self.network.history.shape[1]
        own = [count if place in zones else 1 for place in range(len(self.air_axes))]
        return seen.reshape(len(seen), classes, *own, states)

    def _subset_table(self, node: Node, zones: Sequence[int]) -> Floats:
        """For each history and each set of zones that had it: the unit's likelihood there.

        Shape (n, histories · 2^zones + 1, states); the last row is 1, for places that add nothing.
        """
        sets = [
            self._likelihood(node, [zone for bit, zone in enumerate(zones) if members >> bit & 1])
            for members in range(2 ** len(zones))
        ]
        histories, states = node.colours.shape[2], node.colours.shape[1]
        table = np.ones((max(map(len, sets)), histories * len(sets) + 1, states))
        for members, likelihood in enumerate(sets):
            table[:, members : histories * len(sets) : len(sets)] = likelihood
        return table

    def _likelihood(self, node: Node, zones: Iterable[int]) -> Floats:
        """Likelihood of what was seen in these zones, had a history been theirs, (n, histories, states)."""
        result = np.ones((1, node.colours.shape[2], node.colours.shape[1]))
        colour: Floats | None = None
        for place in zones:
            zone = self.network.surfaces[place]
            seen = self.factors.get(Slot("colour", node.key, zone))
            if seen is not None:
                colour = seen if colour is None else colour * seen
            other = self.factors.get(Slot("zone", node.key, zone))
            if other is not None:
                result = result * other
        if colour is not None:
            result = result * (np.swapaxes(node.colours, 1, 2) @ colour[:, None, :, None])[..., 0]
        return result

    def _message(self, group: tuple[str, ...]) -> Floats:
        """What the paints (or the slip) of one group say of their ground's state."""
        return sum(
            (weight * self._blocks(blocks) for weight, blocks in self._partitions(group)), start=np.zeros(1)
        )

    def _blocks(self, blocks: Iterable[tuple[str, ...]]) -> Floats:
        total = np.ones(1)
        for block in blocks:
            total = total * _through(self._joined(block), np.swapaxes(self._joined_link(block), -1, -2))
        return total

    def _joined(self, block: tuple[str, ...]) -> Floats:
        joined = self.below[block[0]]
        for key in block[1:]:
            joined = joined * self.below[key]
        return joined

    def _joined_link(self, block: tuple[str, ...]) -> Floats:
        joined = self.link[block[0]]
        for key in block[1:]:
            joined = joined * self.link[key]
        return joined

    def _partitions(self, group: tuple[str, ...]) -> list[tuple[Floats, list[tuple[str, ...]]]]:
        """Π over contrasting pairs of (1 − w·equal), written as a sum over which units are equal."""
        loss = np.expand_dims(1 - self.network.contrast, tuple(range(1, 3 + len(self.air_axes))))
        return [
            (sum((count * (-loss) ** edges for edges, count in terms.items()), start=np.zeros(1)), blocks)
            for blocks, terms in _partitions(group, self.network.contrasts)
        ]

    def _spread(self, node: Node, above: Floats, states: dict[str, Floats]) -> None:
        """Send down what the rest of the sherd says of a unit's state."""
        for group in self.groups[node.key]:
            others = above * self.local[node.key]
            for other in self.groups[node.key]:
                if other != group:
                    others = others * self.message[other]
            for key in group:
                below = self._to_child(group, key, others)
                states[key] = (below * self.below[key]).sum(axis=(1, *self.air_axes))
                self._spread(self.network.node(key), below, states)

    def _to_child(self, group: tuple[str, ...], key: str, others: Floats) -> Floats:
        total = np.zeros(1)
        for weight, blocks in self._partitions(group):
            own = next(block for block in blocks if key in block)
            rest = others * self._blocks(block for block in blocks if block != own)
            rest = self._without_idle_air(rest, self._joined(own))
            down = _through(rest, self._joined_link(own))
            for member in own:
                if member != key:
                    down = down * self.below[member]
            total = total + weight * self._without_idle_air(down, self.below[key])
        return total

    def _without_idle_air(self, array: Floats, kept: Floats) -> Floats:
        """Sum out the air of surfaces that `kept` does not depend on."""
        idle = tuple(axis for axis in self.air_axes if kept.shape[axis] == 1)
        return array.sum(axis=idle, keepdims=True) if idle else array

    def _air(self, weight: Floats) -> dict[str, Floats]:
        """Marginals of class and air from a weight of (sets, classes, air of each surface ...)."""
        return {
            zone: weight.sum(axis=tuple(other for other in self.air_axes if other != own))
            for zone, own in zip(self.network.surfaces, self.air_axes, strict=True)
        }


@lru_cache(maxsize=64)
def _subset_index(history: tuple[int, ...], shape: tuple[int, int], zones: int) -> NDArray[np.intp]:
    """For each class and own air state: rows of the subset table, a zone a place (last row = nothing).

    history: the local history of each class and state of the air, row after row.
    """
    classes, airs = shape
    states = list(product(range(airs), repeat=zones))
    size = 2**zones
    index = np.full((classes, len(states), zones), -1)
    for place in range(classes):
        for number, state in enumerate(states):
            members: dict[int, int] = {}
            for bit, air in enumerate(state):
                went_through = history[place * airs + air]
                members[went_through] = members.get(went_through, 0) | 1 << bit
            for slot, (went_through, subset) in enumerate(members.items()):
                index[place, number, slot] = went_through * size + subset
    return index


def _through(array: Floats, link: Floats) -> Floats:
    """Carry (sets, classes, air ..., states) through a link of (sets, classes, states, other states)."""
    flat = array.reshape(*array.shape[:2], -1, array.shape[-1])
    carried = flat @ np.broadcast_to(link, (*link.shape[:-2], flat.shape[-1], link.shape[-1]))
    return carried.reshape(*carried.shape[:2], *array.shape[2:-1], carried.shape[-1])


def _groups(network: Network, key: str) -> tuple[tuple[str, ...], ...]:
    """Children of a unit, those linked by a contrast together."""
    groups: list[set[str]] = []
    for child in network.children(key):
        linked = [
            group
            for group in groups
            if any({(child.key, other), (other, child.key)} & network.contrasts for other in group)
        ]
        merged = {child.key}.union(*linked)
        groups = [group for group in groups if group not in linked] + [merged]
    return tuple(tuple(sorted(group)) for group in groups)


def _partitions(
    group: tuple[str, ...], contrasts: frozenset[tuple[str, str]]
) -> list[tuple[list[tuple[str, ...]], dict[int, int]]]:
    """Ways of tying units together by subsets of the contrasting pairs, with {number of pairs: how many}."""
    pairs = [(a, b) for a in group for b in group if a < b and {(a, b), (b, a)} & contrasts]
    found: dict[tuple[tuple[str, ...], ...], dict[int, int]] = {}
    for chosen in product((False, True), repeat=len(pairs)):
        block_of = {key: {key} for key in group}
        for take, (a, b) in zip(chosen, pairs, strict=True):
            if take and block_of[a] is not block_of[b]:
                merged = block_of[a] | block_of[b]
                for key in merged:
                    block_of[key] = merged
        blocks = tuple(sorted({tuple(sorted(block)) for block in block_of.values()}))
        terms = found.setdefault(blocks, {})
        terms[sum(chosen)] = terms.get(sum(chosen), 0) + 1
    return [(list(blocks), terms) for blocks, terms in found.items()]
