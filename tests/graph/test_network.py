"""The network of traditions: what links two of them, and how it is laid out."""

import io
from dataclasses import replace

import networkx
import pytest

from wareontology.graph.network import bands, graphml, technique_network
from wareontology.graph.traditions import groups, traditions


def test_an_edge_is_a_shared_technique_or_a_word_of_a_source() -> None:
    network = technique_network()
    for first, second, edge in network.edges(data=True):
        one, other = traditions()[first], traditions()[second]
        assert edge["shared"] == "; ".join(sorted(set(one.groups) & set(other.groups)))
        assert edge["weight"] == len(set(one.groups) & set(other.groups))
        assert edge["weight"] or edge["said"]


def test_every_pair_of_a_group_is_linked() -> None:
    network = technique_network()
    for group in groups().values():
        for place, first in enumerate(group.members):
            assert all(network.has_edge(first, second) for second in group.members[place + 1 :])


def test_what_is_from_memory_links_nothing() -> None:
    """A tradition with nothing stated has no technique, whatever is remembered of it."""
    network = technique_network()
    silent = [one.id for one in traditions().values() if one.is_from_memory()]
    assert silent
    assert all(network.degree(one) == 0 for one in silent)


def test_a_link_that_a_source_tells_is_kept_with_its_direction() -> None:
    one, other = list(traditions().values())[:2]
    pair = {one.id: replace(one, influenced=(other.id,)), other.id: replace(other, influenced_by=(one.id,))}
    assert bands(pair).links == ((one.id, other.id, "influence"),)
    assert technique_network(pair).edges[one.id, other.id]["said"] == "influence"
    twins = {one.id: replace(one, twins=(other.id,)), other.id: replace(other, twins=(one.id,))}
    assert bands(twins).links == ((one.id, other.id, "twin"),)


def test_the_bands_hold_every_tradition_with_a_technique_once() -> None:
    laid = bands()
    ids = [one.id for one in laid.rows]
    assert len(ids) == len(set(ids))
    assert {one.id for one in traditions().values() if one.groups} <= set(ids)
    assert {group.name for group in laid.techniques} == {name for one in laid.rows for name in one.groups}


def test_rows_of_one_first_technique_stand_together() -> None:
    laid = bands()
    firsts = [laid.of(one)[:1] for one in laid.rows]
    runs = [first for place, first in enumerate(firsts) if place == 0 or first != firsts[place - 1]]
    assert len(runs) == len(set(runs))


def test_a_tradition_or_none_is_laid_out_too() -> None:
    assert bands({}).rows == ()
    assert technique_network({}).number_of_nodes() == 0


def test_graphml_is_read_back_whole_and_is_the_same_each_time() -> None:
    written = graphml()
    assert written == graphml()
    read = networkx.read_graphml(io.BytesIO(written))
    first = technique_network()
    assert set(read.nodes) == set(first.nodes)
    assert {frozenset(edge) for edge in read.edges} == {frozenset(edge) for edge in first.edges}
    assert read.nodes["us-tusayan-white"]["label"] == traditions()["us-tusayan-white"].label


@pytest.mark.parametrize("name", ["organic-black", "manganese-black"])
def test_a_group_of_several_is_a_clique(name: str) -> None:
    members = groups()[name].members
    within = technique_network().subgraph(members)
    assert within.number_of_edges() == len(members) * (len(members) - 1) // 2
