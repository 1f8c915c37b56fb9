"""Traditions as a network: linked where they share a technique, and where a source says one led to another.

A technique here is a technology group, into which OWL RL puts a tradition by what is stated of it; what is
from memory links nothing. networkx is imported inside the functions that need it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wareontology.graph.traditions import Group, Tradition, groups, traditions

if TYPE_CHECKING:
    from networkx import Graph


@dataclass(frozen=True, slots=True)
class Bands:
    """The network laid out to be read: techniques in order, and the traditions under the first each has.

    links: (from, to, kind) by id, kind `influence` or `twin`; both ends are among the rows.
    """

    techniques: tuple[Group, ...]
    rows: tuple[Tradition, ...]
    links: tuple[tuple[str, str, str], ...]

    def of(self, one: Tradition) -> tuple[int, ...]:
        """Places of a tradition's techniques."""
        return tuple(place for place, group in enumerate(self.techniques) if group.name in one.groups)


def technique_network(among: Mapping[str, Tradition] | None = None) -> "Graph":
    """Traditions as nodes, an edge where two share a technique or a source links them.

    Nodes have label, region and techniques; edges shared (names, parted by `; `), weight (how many) and said
    (`influence`, `twin` or empty). Traditions without a stated technique are nodes without such an edge.

    >>> found = technique_network()
    >>> sorted(found.nodes) == list(traditions())
    True
    """
    from networkx import Graph

    chosen = traditions() if among is None else among
    network = Graph(name="traditions linked by shared technique, stated fields only")
    for key, one in sorted(chosen.items()):
        network.add_node(key, label=one.label, region=one.region, techniques="; ".join(one.groups))
    said = {(first, second): kind for first, second, kind in _links(chosen)}
    ordered = sorted(chosen.values(), key=lambda one: one.id)
    for place, one in enumerate(ordered):
        for other in ordered[place + 1 :]:
            shared = sorted(set(one.groups) & set(other.groups))
            kind = said.get((one.id, other.id)) or said.get((other.id, one.id)) or ""
            if shared or kind:
                network.add_edge(one.id, other.id, shared="; ".join(shared), weight=len(shared), said=kind)
    return network


def bands(among: Mapping[str, Tradition] | None = None) -> Bands:
    """The network as bands: techniques that share traditions stand side by side, and so do the traditions.

    Only traditions with a stated technique, or with a link a source tells, are among the rows.

    >>> laid = bands()
    >>> all(laid.of(one) or any(one.id in link for link in laid.links) for one in laid.rows)
    True
    """
    from networkx import Graph, connected_components

    chosen = traditions() if among is None else among
    links = tuple(sorted(_links(chosen)))
    linked = {end for first, second, _ in links for end in (first, second)}
    rows = [one for one in chosen.values() if one.groups or one.id in linked]
    used = [group for group in groups().values() if any(group.name in one.groups for one in rows)]
    meets = Graph()
    meets.add_nodes_from(group.name for group in used)
    for one in rows:
        for place, first in enumerate(one.groups):
            for second in one.groups[place + 1 :]:
                weight = meets.get_edge_data(first, second, {"weight": 0})["weight"]
                meets.add_edge(first, second, weight=weight + 1)
    parts = sorted(connected_components(meets), key=lambda part: (-len(part), min(part)))
    order = [name for part in parts for name in _chain(meets, part)]
    place_of = {name: place for place, name in enumerate(order)}
    rows.sort(key=lambda one: (*sorted(place_of[name] for name in one.groups), len(order), one.id))
    return Bands(tuple(groups()[name] for name in order), tuple(rows), links)


def graphml(among: Mapping[str, Tradition] | None = None) -> bytes:
    """The network as GraphML; the same traditions give the same bytes."""
    from networkx import generate_graphml

    lines = generate_graphml(technique_network(among), encoding="utf-8", prettyprint=True)
    return ("\n".join(lines) + "\n").encode()


def _links(among: Mapping[str, Tradition]) -> set[tuple[str, str, str]]:
    """(from, to, kind) as sources say it, both ends among the given; a twin once, in the order of ids."""
    found = set()
    for one in among.values():
        found |= {(other, one.id, "influence") for other in one.influenced_by if other in among}
        for other in one.twins:
            if other in among:
                first, second = sorted((one.id, other))
                found.add((first, second, "twin"))
    return found


def _chain(meets: "Graph", part: Sequence[str] | set[str]) -> list[str]:
    """Techniques of one part in a row: from the one that meets fewest, always on to the one met most."""
    left = sorted(part)
    here = min(left, key=lambda name: (meets.degree(name), name))
    chain = []
    while True:
        chain.append(here)
        left.remove(here)
        if not left:
            return chain

        def met(name: str, last: str = here) -> tuple[int, str]:
            return (-int(meets.get_edge_data(last, name, {"weight": 0})["weight"]), name)

        here = min(left, key=met)
