"""How a sherd becomes a network, and how evidence is put together."""

import numpy as np
import pytest

from tests.technique.helpers_sherds import painted, row, sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case
from wareontology.technique.likelihoods.model import BODY_STATES, FIRES, PAINT_STATES, SLIP_STATES
from wareontology.technique.network import Item, Slot, combine, stack


def test_a_margin_shares_the_air_of_its_surface() -> None:
    found = Case.of(sherd(row("outer-margin", "body"), row("interior", "body"), row("break", "body")))
    assert found.network.surfaces == ("interior", "exterior")


def test_what_was_seen_makes_the_surfaces_and_no_more() -> None:
    assert Case.of(painted({})).network.surfaces == ("interior",)
    assert Case.of(painted({}, looked="interior exterior")).network.surfaces == ("interior",)
    assert Case.of(painted({}), also=("base",)).network.surfaces == ("interior", "base")


def test_the_states_are_those_of_the_design() -> None:
    """54 legal fires; 4 clays rich in carbon or not; 9 clays of a slip and 4 self-slips; 13 paints, before or
    after the firing."""
    assert len(FIRES) == len(set(FIRES)) == 54
    assert [len(states) for states in (BODY_STATES, SLIP_STATES, PAINT_STATES)] == [8, 13, 26]
    case = Case.of(painted({}))
    nodes = {node.key: node for node in case.network.nodes}
    assert nodes["body"].prior.shape == (1, 1, 1, 8)
    assert nodes["slip"].prior.shape == (1, 4, 8, 13)
    assert nodes["paint:line"].prior.shape == (1, 4, 13, 26)
    for node in nodes.values():
        assert node.colours.shape[2:] == (len(case.model.fold), len(h.COLOURS))
        assert node.colours.sum(axis=-1) == pytest.approx(np.ones(node.colours.shape[:-1]))


def test_a_self_slip_is_of_its_bodys_clay() -> None:
    prior = Case.of(painted({})).network.node("slip").prior[0, 0]
    for body, (clay, _) in enumerate(BODY_STATES):
        likely = [
            state for state, p in zip(SLIP_STATES, prior[body], strict=True) if " of " in state and p > 0
        ]
        assert likely == [f"self-slip of {clay}"]


def item(**factors: list[float]) -> Item:
    made = {Slot("unit", unit): np.array(values).reshape(1, 1, -1) for unit, values in factors.items()}
    return Item("sherd", "made up", "", made)


def test_evidence_multiplies_place_by_place() -> None:
    together = combine([item(body=[0.5, 1.0]), item(body=[0.5, 0.2], slip=[0.3])])
    assert together[Slot("unit", "body")].ravel() == pytest.approx([0.25, 0.2])
    assert together[Slot("unit", "slip")].ravel() == pytest.approx([0.3])
    assert combine([]) == {}


def test_stacking_fills_with_ones() -> None:
    """A set without a place says nothing there."""
    stacked = stack([combine([item(body=[0.5, 1.0])]), {}, combine([item(slip=[0.3])])])
    assert stacked[Slot("unit", "body")][:, 0].tolist() == [[0.5, 1.0], [1.0, 1.0], [1.0, 1.0]]
    assert stacked[Slot("unit", "slip")][:, 0].tolist() == [[1.0], [1.0], [0.3]]


def test_the_same_evidence_whichever_row_comes_first() -> None:
    """Items, their words and their places, in the same order."""
    rows = (row("rim", "paint", "line", edge="soft"), row("exterior", "paint", "line", edge="sharp"))
    one, other = (Case.of(painted({}, *order)).items for order in (rows, rows[::-1]))
    assert [(found.key, found.said, found.zones) for found in one] == [
        (found.key, found.said, found.zones) for found in other
    ]
