"""The network of one sherd: what depends on what, before any evidence is put in.

A fire is one of 54 states. Each seen surface had a state of the air while the pot cooled; with the fire it
gives the surface a local history. The body, the slips on it and the paints on those are a tree of
materials. Evidence comes as factors on the places named by `Slot`.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


class Slot(NamedTuple):
    """Where a factor acts.

    colour  (unit, zone)  shape (n, 13): likelihood of each true colour; the true colour is drawn once per
                          unit and local history, so zones with one history share it
    zone    (unit, zone)  shape (n, histories, states)
    unit    (unit, "")    shape (n, fire classes or 1, states)
    link    (unit, "")    shape (n, states of the ground, states)
    heat    ("", "")      shape (n, fires, states of the body)
    fire    ("", "")      shape (n, fires)
    """

    kind: Literal["colour", "zone", "unit", "link", "heat", "fire"]
    unit: str = ""
    zone: str = ""


@dataclass(frozen=True, slots=True)
class Item:
    """One piece of evidence: a trait of a unit (or of the sherd), however many rows say it."""

    unit: str
    trait: str
    said: str
    """What was seen, in words."""
    factors: Mapping[Slot, Floats]
    rows: tuple[int, ...] = ()
    zones: tuple[str, ...] = ()

    @property
    def key(self) -> tuple[str, str]:
        return (self.unit, self.trait)


@dataclass(frozen=True, slots=True)
class Node:
    """One unit: its states, what it lies on, and how likely each state is there.

    prior: shape (n, places or 1, states of the ground or 1, states); a class of fires has its place from
    `Network.prior_of`
    colours: shape (n, states, histories, 13), chance of each true colour
    """

    key: str
    ground: str | None
    prior: Floats
    colours: Floats


@dataclass(frozen=True, slots=True)
class Network:
    """One sherd's network.

    fires: shape (n, fires), prior of each fire; class_of: shape (fires,), fires that share all tables but
    those of heat; air: shape (n, classes, surfaces, 4); history: shape (classes, 4), the local history of
    each class and state of the air. contrasts: pairs of paints on one ground whose equal materials weigh
    `contrast`, shape (n,). prior_of: shape (classes,), where each class finds its priors in the nodes; None:
    each at its own place.
    """

    surfaces: tuple[str, ...]
    nodes: tuple[Node, ...]
    fires: Floats
    class_of: NDArray[np.intp]
    air: Floats
    history: NDArray[np.intp]
    contrasts: frozenset[tuple[str, str]]
    contrast: Floats
    prior_of: NDArray[np.intp] | None = None

    @property
    def priors_of(self) -> NDArray[np.intp]:
        return np.arange(len(self.history)) if self.prior_of is None else self.prior_of

    def node(self, key: str) -> Node:
        return next(node for node in self.nodes if node.key == key)

    def children(self, key: str) -> tuple[Node, ...]:
        return tuple(node for node in self.nodes if node.ground == key)


Factors = Mapping[Slot, Floats]


def combine(items: Iterable[Item]) -> dict[Slot, Floats]:
    """Multiply the factors of all items, place by place."""
    return _combined(items, {})


def combine_each(variants: Iterable[Iterable[Item]]) -> list[dict[Slot, Floats]]:
    """The same for several sets of items: what they share is multiplied once, and is one array in all."""
    known: dict[tuple[int, ...], Floats] = {}
    return [_combined(items, known) for items in variants]


def _combined(items: Iterable[Item], known: dict[tuple[int, ...], Floats]) -> dict[Slot, Floats]:
    chosen: dict[Slot, list[Floats]] = {}
    for item in items:
        for slot, factor in item.factors.items():
            chosen.setdefault(slot, []).append(factor)
    combined = {}
    for slot, factors in chosen.items():
        key = tuple(map(id, factors))  # the items outlive the call, and so do the numbers of their arrays
        if key not in known:
            known[key] = reduce(np.multiply, factors)
        combined[slot] = known[key]
    return combined


def stack(variants: Sequence[Factors]) -> dict[Slot, Floats]:
    """Lay several sets of factors of one sherd side by side on the leading axis (each must have length 1).

    A factor that is one array in every set keeps its length of 1.
    """
    slots = dict.fromkeys(slot for variant in variants for slot in variant)
    return {slot: _side_by_side([variant.get(slot) for variant in variants]) for slot in slots}


def _side_by_side(arrays: Sequence[Floats | None]) -> Floats:
    """None stands for ones."""
    distinct = {id(array): array for array in arrays}
    places = {key: place for place, key in enumerate(distinct)}
    present = [array for array in distinct.values() if array is not None]
    if len(distinct) == 1:
        return present[0]
    shape = np.broadcast_shapes(*(array.shape for array in present))
    laid = np.ones((len(distinct), *shape[1:]))
    for place, array in enumerate(distinct.values()):
        if array is not None:
            laid[place] = array[0]
    return laid[[places[id(array)] for array in arrays]]
