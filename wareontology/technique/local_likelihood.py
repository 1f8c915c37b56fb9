"""How likely all is that was seen of one unit on the surfaces, under each of its states and each course."""

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from wareontology.technique.layout import subset_index
from wareontology.technique.network import Factors, Floats, Network, Node, Slot


def local(network: Network, factors: Factors, node: Node, history: NDArray[np.intp]) -> Floats:
    """Likelihood of all that was seen of a unit zone by zone.

    history: local history of each course and state of the air. Shape (n, courses, air of each surface ...,
    states); an axis is 1 where nothing depends on it. The true colour is drawn once for each local history.
    """
    surfaces, states = network.surfaces, node.colours.shape[1]
    zones = [place for place, zone in enumerate(surfaces) if _seen(factors, node, zone)]
    if not zones:
        return np.ones((1, 1, *(1,) * len(surfaces), states))
    table = _subset_table(network, factors, node, zones)
    first, *others = subset_index(history, len(zones))
    seen = table[:, first]
    for index in others:
        seen = seen * table[:, index]
    own = [history.shape[1] if place in zones else 1 for place in range(len(surfaces))]
    return seen.reshape(len(seen), len(history), *own, states)


def _seen(factors: Factors, node: Node, zone: str) -> bool:
    return Slot("colour", node.key, zone) in factors or Slot("zone", node.key, zone) in factors


def _subset_table(network: Network, factors: Factors, node: Node, zones: Sequence[int]) -> Floats:
    """For each history and each set of zones that had it: the unit's likelihood there.

    Shape (n, histories · 2^zones + 1, states); the last row is 1, for places that add nothing.
    """
    sets = []
    for members in range(1, 2 ** len(zones)):
        chosen = [network.surfaces[zone] for bit, zone in enumerate(zones) if members >> bit & 1]
        sets.append(_likelihood(factors, node, chosen))
    histories, states, count = node.colours.shape[2], node.colours.shape[1], len(sets) + 1
    table = np.ones((max(map(len, sets)), histories * count + 1, states))
    for members, likelihood in enumerate(sets, start=1):
        table[:, members : histories * count : count] = likelihood
    return table


def _likelihood(factors: Factors, node: Node, zones: Iterable[str]) -> Floats:
    """Likelihood of what was seen in these zones, had a history been theirs, (n, histories, states)."""
    result: Floats | None = None
    colour: Floats | None = None
    for zone in zones:
        seen = factors.get(Slot("colour", node.key, zone))
        if seen is not None:
            colour = seen if colour is None else colour * seen
        other = factors.get(Slot("zone", node.key, zone))
        if other is not None:
            result = other if result is None else result * other
    if colour is not None:
        by_state = _colour(node.colours, colour)
        result = by_state if result is None else result * by_state
    assert result is not None
    return result


def _colour(colours: Floats, seen: Floats) -> Floats:
    """Σ over true colours of chance and likelihood, (n, histories, states)."""
    flat = colours.reshape(len(colours), -1, colours.shape[3])
    by_state = seen @ flat[0].T if len(flat) == 1 else (flat @ seen[:, :, None])[..., 0]
    return by_state.reshape(len(by_state), *colours.shape[1:3]).swapaxes(1, 2)
