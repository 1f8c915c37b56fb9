"""One upward and one downward pass over the tree of one network: the sum behind `posterior.marginals`."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from wareontology.technique.layout import Stretch, groups, layout, partitions
from wareontology.technique.local_likelihood import local
from wareontology.technique.network import Factors, Floats, Network, Node, Slot

Block = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Passed:
    """fires (n, fires); states {unit: (n, states)}; air (n, classes, air of each surface ...);
    evidence (n,)."""

    fires: Floats
    states: dict[str, Floats]
    air: Floats | None
    evidence: Floats


class Pass:
    """Every array has the axes (sets, rows or courses, air of each surface ..., states); an axis has length 1
    where the array does not depend on it. See `layout` for rows and courses."""

    def __init__(self, network: Network, factors: Factors) -> None:
        self.network, self.factors = network, factors
        self.root = network.nodes[0]
        self.air_axes = tuple(range(2, 2 + len(network.surfaces)))
        by_class = any(slot.kind == "unit" and factor.shape[1] > 1 for slot, factor in factors.items())
        self.layout = layout(network.history, network.priors_of, by_class)
        tree = tuple((node.key, node.ground) for node in network.nodes)
        self.groups = {node.key: groups(tree, node.key, network.contrasts) for node in network.nodes}
        self.local: dict[str, Floats] = {}
        self.link: dict[str, Floats] = {}
        self.below: dict[str, Floats] = {}
        self.message: dict[Block, Floats] = {}

    def run(self, units: Collection[str], air: bool) -> Passed:
        """units: those whose states are asked for; air: whether that of the surfaces is."""
        network, factors, key = self.network, self.factors, self.root.key
        for node in reversed(network.nodes):
            self._gather(node)
        prior = self._root_prior()
        belief = self._by_row(self.below[key]) * prior
        by_class = belief[:, self.layout.row_of] if belief.shape[1] > 1 else belief
        weights = self._air_weights()
        fires = (network.fires * factors.get(Slot("fire"), np.ones((1, 1))))[:, :, None]
        fires = fires * factors.get(Slot("heat"), np.ones((1, 1, 1)))
        total = _summed(weights, by_class)
        joint = fires * (total[:, network.class_of] if total.shape[1] > 1 else total)
        evidence = joint.sum(axis=(1, 2))
        if not np.all(evidence > 0):
            raise ValueError("the evidence has probability zero under every fire")
        states: dict[str, Floats] = {}
        if key in units:
            states[key] = joint.sum(axis=1) / evidence[:, None]
        found = None
        if air or any(unit != key for unit in units):
            outer = self._by_class(fires) / evidence[:, None, None]
            if air:
                seen = by_class * np.expand_dims(outer, self.air_axes)
                found = weights * seen.sum(axis=-1)
            self._spread(self.root, self._weighted(weights, outer) * prior, frozenset(units), states)
        return Passed(joint.sum(axis=2) / evidence[:, None], states, found, evidence)

    def _spaced(self, array: Floats) -> Floats:
        """(sets, rows, states ...) with an axis of length 1 for the air of each surface."""
        return array.reshape(*array.shape[:2], *(1,) * len(self.air_axes), *array.shape[2:])

    def _by_row(self, array: Floats) -> Floats:
        """The same by row, where it is by course."""
        rows = len(self.layout.course_of)
        return array if array.shape[1] in (1, rows) else array[:, self.layout.course_of]

    def _times(self, one: Floats, other: Floats) -> Floats:
        if one.shape[1] != other.shape[1] and 1 not in (one.shape[1], other.shape[1]):
            one, other = self._by_row(one), self._by_row(other)
        return one * other

    def _by_class(self, fires: Floats) -> Floats:
        """Sum a weight of (n, fires, states) over the fires of each class."""
        class_of = self.network.class_of
        order = np.argsort(class_of, kind="stable")
        starts = np.searchsorted(class_of[order], np.arange(len(self.network.history)))
        return np.asarray(np.add.reduceat(fires[:, order], starts, axis=1))

    def _air_weights(self) -> Floats:
        """Chance of the air of all surfaces together, (n, classes, air of each surface ...)."""
        air = self.network.air
        weights: Floats = np.ones((1, 1, *(1,) * len(self.air_axes)))
        for place, axis in enumerate(self.air_axes):
            shape = [*air.shape[:2], *(1,) * len(self.air_axes)]
            shape[axis] = air.shape[-1]
            weights = weights * air[:, :, place].reshape(shape)
        return weights

    def _weighted(self, weights: Floats, outer: Floats) -> Floats:
        """What fire and air say of each row, (n, rows, air of each surface ..., states of the body)."""
        order, rows = self.layout.order, len(self.layout.course_of)
        if weights.shape[1] > 1:
            weights = weights[:, order]
        weighted = weights[..., None] * np.expand_dims(outer[:, order], self.air_axes)
        if rows == len(order):
            return weighted
        return np.asarray(np.add.reduceat(weighted, self.layout.starts, axis=1))

    def _root_prior(self) -> Floats:
        prior = self.root.prior[:, :, 0]
        if prior.shape[1] > 1:
            prior = prior[:, self.network.priors_of[self.layout.order[self.layout.starts]]]
        return self._spaced(prior)

    # --- upward ---

    def _gather(self, node: Node) -> None:
        below = local(self.network, self.factors, node, self.layout.history)
        unit = self.factors.get(Slot("unit", node.key))
        link = self.factors.get(Slot("link", node.key))
        prior = node.prior if link is None else node.prior * link[:, None]
        if unit is not None and unit.shape[1] > 1:
            below = self._by_row(below) * self._spaced(unit[:, self.layout.order])
        elif unit is not None and node.ground is None:
            below = below * self._spaced(unit)
        elif unit is not None:
            prior = prior * unit[:, None]  # the same product, and a much smaller array
        if node.ground is not None and prior.shape[2] == 1:
            grounds = self.network.node(node.ground).colours.shape[1]
            prior = np.broadcast_to(prior, (*prior.shape[:2], grounds, prior.shape[3]))
        self.local[node.key], self.link[node.key] = below, prior
        for group in self.groups[node.key]:
            self.message[group] = self._message(group)
            below = self._by_row(below) * self.message[group]
        self.below[node.key] = below

    def _message(self, group: Block) -> Floats:
        """What the paints (or the slip) of one group say of their ground's state."""
        ways = [weight * self._blocks(blocks) for weight, blocks in self._partitions(group)]
        return ways[0] if len(ways) == 1 else sum(ways[1:], start=ways[0])

    def _blocks(self, blocks: Iterable[Block]) -> Floats:
        total: Floats = np.ones(1)
        for block in blocks:
            total = total * self._through(self._joined(block), np.swapaxes(self._joined_link(block), -1, -2))
        return total

    def _joined(self, block: Block) -> Floats:
        joined = self.below[block[0]]
        for key in block[1:]:
            joined = self._times(joined, self.below[key])
        return joined

    def _joined_link(self, block: Block) -> Floats:
        joined = self.link[block[0]]
        for key in block[1:]:
            joined = joined * self.link[key]
        return joined

    def _partitions(self, group: Block) -> Iterator[tuple[Floats | float, tuple[Block, ...]]]:
        """Π over contrasting pairs of (1 − w·equal), written as a sum over which units are equal."""
        loss = 1 - self.network.contrast
        for blocks, terms in partitions(group, self.network.contrasts):
            if terms == ((0, 1),):
                yield 1.0, blocks
                continue
            weight = sum((count * (-loss) ** edges for edges, count in terms), start=np.zeros(1))
            yield weight.reshape(-1, *(1,) * (2 + len(self.air_axes))), blocks

    def _through(self, array: Floats, link: Floats) -> Floats:
        """Carry (sets, rows, air ..., states) through a link of (sets, priors, states, other states)."""
        rows, air = len(self.layout.course_of), array.shape[2:-1]
        carried = np.empty((max(len(array), len(link)), rows, *air, link.shape[-1]))
        for stretch in self.layout.stretches:
            own = self._within(array, stretch)
            flat = own.reshape(len(own), -1, own.shape[-1]) @ link[:, _place(link, stretch)]
            carried[:, stretch.rows] = flat.reshape(len(flat), own.shape[1], *air, -1)
        return carried

    def _within(self, array: Floats, stretch: Stretch) -> Floats:
        """The rows of one stretch, or their courses."""
        if array.shape[1] == 1:
            return array
        by_row = array.shape[1] == len(self.layout.course_of)
        return array[:, stretch.rows if by_row else stretch.courses]

    # --- downward ---

    def _spread(self, node: Node, above: Floats, units: frozenset[str], states: dict[str, Floats]) -> None:
        """Send down what the rest of the sherd says of a unit's state."""
        for group in self.groups[node.key]:
            if not any(self._asked(key, units) for key in group):
                continue
            others = above * self._by_row(self.local[node.key])
            for other in self.groups[node.key]:
                if other != group:
                    others = others * self.message[other]
            for key in group:
                if self._asked(key, units):
                    states[key] = self._states(group, key, others)
                if any(self._asked(child.key, units) for child in self.network.children(key)):
                    self._spread(self.network.node(key), self._to_child(group, key, others), units, states)

    def _asked(self, key: str, units: frozenset[str]) -> bool:
        """Whether a unit or any on it is asked for."""
        return key in units or any(self._asked(child.key, units) for child in self.network.children(key))

    def _states(self, group: Block, key: str, others: Floats) -> Floats:
        """Posterior of a unit's states: its states and its ground's together, summed over the ground's."""
        total: Floats = np.zeros((1, 1))
        for weight, own, rest in self._rests(group, key, others):
            below, link = self._joined(own), self._joined_link(own)
            joint: Floats = np.zeros(1)
            for stretch in self.layout.stretches:
                mine = self._within(below, stretch)
                theirs = _without_idle(self._within(rest, stretch), mine)
                flat = theirs.reshape(len(theirs), -1, theirs.shape[-1])
                pair = flat.swapaxes(1, 2) @ mine.reshape(len(mine), -1, mine.shape[-1])
                joint = joint + (pair * link[:, _place(link, stretch)]).sum(axis=1)
            total = total + (weight if isinstance(weight, float) else weight.reshape(-1, 1)) * joint
        return total

    def _rests(
        self, group: Block, key: str, others: Floats
    ) -> Iterator[tuple[Floats | float, Block, Floats]]:
        """For each way of tying a group together: its weight, the block of this unit, and all else."""
        for weight, blocks in self._partitions(group):
            own = next(block for block in blocks if key in block)
            rest = [block for block in blocks if block != own]
            yield weight, own, others * self._blocks(rest) if rest else others

    def _to_child(self, group: Block, key: str, others: Floats) -> Floats:
        total: Floats = np.zeros(1)
        for weight, own, rest in self._rests(group, key, others):
            kept = _without_idle(rest, self._joined(own), air_only=True)
            down = self._through(kept, self._joined_link(own))
            for member in own:
                if member != key:
                    down = down * self._by_row(self.below[member])
            total = total + weight * _without_idle(down, self.below[key], air_only=True)
        return total


def _place(link: Floats, stretch: Stretch) -> int:
    return stretch.prior if link.shape[1] > 1 else 0


def _without_idle(array: Floats, kept: Floats, air_only: bool = False) -> Floats:
    """Sum out the rows and the air of surfaces that `kept` does not depend on."""
    axes = range(2 if air_only else 1, array.ndim - 1)
    idle = tuple(axis for axis in axes if kept.shape[axis] == 1 and array.shape[axis] > 1)
    return np.asarray(array.sum(axis=idle, keepdims=True)) if idle else array


def _summed(weights: Floats, belief: Floats) -> Floats:
    """Sum over the air of all surfaces, (n, classes, states)."""
    axes = tuple(range(2, weights.ndim))
    idle = tuple(axis for axis in axes if belief.shape[axis] == 1)
    kept = weights.sum(axis=idle, keepdims=True) if idle else weights
    flat = kept.reshape(*kept.shape[:2], 1, -1) @ belief.reshape(*belief.shape[:2], -1, belief.shape[-1])
    return np.asarray(flat[:, :, 0])
