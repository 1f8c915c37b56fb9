"""The same network handed to pgmpy, an independent library for graphical models.

Nothing is summed beforehand: the regime of a fire, the local history of each surface and a unit's true colour
in each local history are variables of their own. That a zone shows the colour of the history it went through
is said by one table for each history, which is 1 where the zone went through another.
"""

import warnings
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from wareontology.technique.network import Factors, Network, Node, Slot

Floats = NDArray[np.float64]
Table = tuple[tuple[str, ...], Floats]


@cache
def _pgmpy() -> Any:
    """pgmpy's parts; importing it warns of things that are not ours."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from pgmpy.factors.discrete import DiscreteFactor
        from pgmpy.inference import VariableElimination
        from pgmpy.models import DiscreteMarkovNetwork
    return DiscreteFactor, VariableElimination, DiscreteMarkovNetwork


def asked_of_pgmpy(network: Network, factors: Factors) -> dict[str, Floats]:
    """Marginals of the first set of evidence by pgmpy, under the names of helpers_networks.numbers."""
    engine = Engine(network, factors)
    return {name: engine.marginal(variable) for name, variable in names(network).items()}


def names(network: Network) -> dict[str, str]:
    """Name of each marginal and the variable that has it."""
    found = {"fires": "fire"}
    found |= {f"states of {node.key}": node.key for node in network.nodes}
    return found | {f"air of {zone}": f"air {zone}" for zone in network.surfaces}


class Engine:
    """pgmpy's variable elimination on one network with its evidence."""

    def __init__(self, network: Network, factors: Factors) -> None:
        factor_of, elimination, model_of = _pgmpy()
        tables = list(tables_of(network, factors))
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            model = model_of()
            for variables, _ in tables:
                model.add_nodes_from(variables)
                model.add_edges_from((a, b) for a in variables for b in variables if a < b)
            model.add_factors(*(factor_of(list(names_), array.shape, array) for names_, array in tables))
            self.elimination = elimination(model)

    def marginal(self, variable: str) -> Floats:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            found = self.elimination.query([variable], elimination_order="greedy", show_progress=False)
        values = np.asarray(found.values, dtype=np.float64)
        return np.asarray(values / values.sum())


def tables_of(network: Network, factors: Factors) -> Iterator[Table]:
    """Every table of the network and its evidence, with the variables on its axes."""
    given = {slot: factor[0] for slot, factor in factors.items()}
    classes, kinds = network.history.shape
    fire = network.fires[0]
    yield ("fire",), fire * given.get(Slot("fire"), np.ones(1))
    yield ("fire", "regime"), np.eye(classes)[network.class_of]
    for place, zone in enumerate(network.surfaces):
        yield ("regime", f"air {zone}"), network.air[0][:, place]
        through = np.eye(int(network.history.max()) + 1)[network.history]
        wide = np.zeros((classes, kinds, network.nodes[0].colours.shape[2]))
        wide[..., : through.shape[-1]] = through
        yield ("regime", f"air {zone}", f"history {zone}"), wide
    body = network.nodes[0]
    if Slot("heat") in given:
        yield ("fire", body.key), _full(given[Slot("heat")], (len(fire), _states(body)))
    for node in network.nodes:
        yield from _unit_tables(network, node, given)
    for first, second in network.contrasts:
        size = _states(network.node(first))
        yield (first, second), 1 - (1 - network.contrast[0]) * np.eye(size)


def _unit_tables(network: Network, node: Node, given: dict[Slot, Floats]) -> Iterator[Table]:
    classes, states = network.history.shape[0], _states(node)
    prior = node.prior[0] if len(node.prior[0]) == 1 else node.prior[0][network.priors_of]
    if node.ground is None:
        yield ("regime", node.key), _full(prior[:, 0], (classes, states))
    else:
        below = _states(network.node(node.ground))
        yield ("regime", node.ground, node.key), _full(prior, (classes, below, states))
        if Slot("link", node.key) in given:
            yield (node.ground, node.key), _full(given[Slot("link", node.key)], (below, states))
    if Slot("unit", node.key) in given:
        yield ("regime", node.key), _full(given[Slot("unit", node.key)], (classes, states))
    histories = node.colours.shape[2]
    coloured = [zone for zone in network.surfaces if Slot("colour", node.key, zone) in given]
    for zone in network.surfaces:
        seen = given.get(Slot("zone", node.key, zone))
        if seen is not None:
            yield (f"history {zone}", node.key), _full(seen, (histories, states))
    for history in range(histories) if coloured else ():
        colour = f"{node.key} in history {history}"
        yield (node.key, colour), node.colours[0][:, history]
        for zone in coloured:
            table = np.ones((histories, node.colours.shape[3]))
            table[history] = given[Slot("colour", node.key, zone)]
            yield (f"history {zone}", colour), table


def _states(node: Node) -> int:
    return int(node.colours.shape[1])


def _full(array: Floats, shape: Sequence[int]) -> Floats:
    return np.array(np.broadcast_to(array, shape))
