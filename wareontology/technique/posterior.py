"""The exact posterior of one sherd's network, for many sets of evidence at once.

P(E, fire) = P(fire) · Σ over the air of each surface Π P(air | ending, zone, form)
             · Σ over materials Π_units P(material | fire, ground) · P(traits | material, local history)

The sum is exact: the states of the air are listed, the materials are summed along the tree, and a unit's
true colour is summed once for each local history.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from wareontology.technique.network import Factors, Floats, Network
from wareontology.technique.tree_pass import Pass


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


ROOM: Final = 40_000
"""Numbers that the body's largest array may hold before the sets of evidence are taken in parts."""


np.empty(2**21)
"""Made and let go, never touched. glibc hands memory back to the system as soon as it is freed, and each sum
would pay to have it mapped anew; once a block of this size was freed it keeps as much. No other effect."""


def marginals(
    network: Network, factors: Factors, units: Collection[str] | None = None, air: bool = True
) -> Marginals:
    """Exact marginals of the fire, each unit's state and each surface's air.

    units, air: what is wanted where that is not everything; the evidence and the fires always come.
    Many sets of evidence are worked through in parts, so that memory stays bounded.

    Raises ValueError where the evidence is impossible (all factors zero somewhere needed).
    """
    count = _sets(network, factors)
    one = len(network.history) * network.air.shape[-1] ** len(network.surfaces)
    one *= network.nodes[0].colours.shape[1]
    step = max(ROOM // one, 1)
    wanted = tuple(node.key for node in network.nodes) if units is None else units
    if count <= step:
        return _passed(network, factors, wanted, air)
    parts = [slice(start, start + step) for start in range(0, count, step)]
    done = [_passed(_part(network, part), _part_of(factors, part), wanted, air) for part in parts]
    return _joined(done, [min(step, count - part.start) for part in parts])


def _passed(network: Network, factors: Factors, units: Collection[str], air: bool) -> Marginals:
    found = Pass(network, factors).run(units, air)
    by_class = {}
    if found.air is not None:
        axes = range(2, found.air.ndim)
        for zone, own in zip(network.surfaces, axes, strict=True):
            by_class[zone] = found.air.sum(axis=tuple(other for other in axes if other != own))
    return Marginals(found.fires, found.states, by_class, found.evidence)


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
