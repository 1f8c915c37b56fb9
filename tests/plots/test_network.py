"""The drawn network: everything named, nothing drawn that is not stated."""

from dataclasses import replace

from wareontology.graph.network import Bands, bands
from wareontology.graph.traditions import traditions
from wareontology.plots.network import colour_of, network
from wareontology.plots.style import INK, IRON, MANGANESE, ORGANIC


def text(laid: Bands) -> str:
    return network(laid).decode()


def test_every_technique_is_named_with_its_count() -> None:
    laid = bands()
    written = text(laid)
    for group in laid.techniques:
        count = sum(group.name in one.groups for one in laid.rows)
        assert f"{group.label} · {count}" in written


def test_every_row_is_named() -> None:
    laid = bands()
    written = text(laid)
    assert all(one.label[:40].replace("&", "&amp;") in written for one in laid.rows)
    assert "what is from memory links nothing" in written


def test_the_same_data_give_the_same_bytes_and_none_is_still_a_picture() -> None:
    assert network(bands()) == network(bands())
    assert b"0 traditions, 0 techniques" in network(bands({}))


def test_a_link_is_drawn() -> None:
    one, other = [found for found in traditions().values() if found.groups][:2]
    alone = {one.id: one, other.id: other}
    linked = {**alone, other.id: replace(other, influenced_by=(one.id,))}
    assert text(bands(linked)).count("<path") > text(bands(alone)).count("<path")


def test_colours_mean_what_they_mean_everywhere() -> None:
    colours = {group.name: colour_of(group) for group in bands().techniques}
    assert colours.get("manganese-black", MANGANESE) == MANGANESE
    assert colours.get("iron-red", IRON) == IRON
    assert colours.get("organic-black", ORGANIC) == ORGANIC
    assert colours.get("after-firing", INK) == INK
