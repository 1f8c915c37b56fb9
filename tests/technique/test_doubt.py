"""A doubtful cell is half its table, half flat: it always says less, and never takes a certain one away."""

from collections.abc import Mapping

import numpy as np
import pytest
from numpy.typing import NDArray

from tests.technique.helpers_sherds import chances, item, odds, painted, row, sherd
from wareontology.sherd.record import Sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case
from wareontology.technique.likelihoods.materials import PAINT_OF
from wareontology.technique.network import Item, Slot, combine
from wareontology.technique.posterior import marginals

Floats = NDArray[np.float64]
LINE = "paint:line"
HALF = 0.5
"""Share that is flat: data/likelihoods.csv, `doubtful`, after the design; a definition, not a measurement."""


def spread(one: Item) -> float:
    """Bits between the hypotheses an item likes most and least, over all its factors."""
    return float(sum(np.log2(factor.max() / factor.min()) for factor in one.factors.values()))


def on_paint(cells: Mapping[str, str]) -> Sherd:
    return painted(cells)


def on_slip(cells: Mapping[str, str]) -> Sherd:
    return sherd(row("interior", "slip", **cells))


def on_body(cells: Mapping[str, str]) -> Sherd:
    return sherd(row("break", "body", **cells))


def on_sherd(cells: Mapping[str, str]) -> Sherd:
    return sherd(row("interior", "slip"), **cells)


KINDS = {"paint": on_paint, "slip": on_slip, "body": on_body, "sherd": on_sherd}
SURE: list[object] = [
    ("paint", LINE, "colour", {"colour": "black"}),
    ("paint", LINE, "patches", {"patches": "red"}),
    ("paint", LINE, "edge and relief", {"edge": "soft"}),
    ("paint", LINE, "edge and relief", {"relief": "raised"}),
    ("paint", LINE, "lustre and finish", {"lustre": "glossy"}),
    ("paint", LINE, "lustre and finish", {"sintered": "yes"}),
    ("paint", LINE, "lustre and finish", {"finish": "polished"}),
    ("paint", LINE, "white specks", {"white_specks": "yes"}),
    ("paint", LINE, "rubs off", {"rubs_off": "wet"}),
    ("paint", LINE, "applied", {"applied": "after-firing"}),
    ("paint", LINE, "streak", {"streak_on_paper": "yes"}),
    ("paint", LINE, "magnet", {"magnet": "strong"}),
    ("paint", LINE, "acid", {"acid": "fizz"}),
    ("paint", LINE, "refiring", {"refire_c": "800", "refire_colour": "gone"}),
    pytest.param("paint", LINE, "pXRF", {"pxrf_mn": "300", "pxrf_mn_ground": "100"}),
    pytest.param("paint", LINE, "phases", {"phases": "jacobsite"}),
    ("slip", "slip", "colour", {"colour": "white"}),
    ("slip", "slip", "scum", {"scum": "yes"}),
    ("body", "body", "broken edge", {"colour": "red"}),
    ("body", "body", "broken edge", {"core": "full"}),
    ("sherd", "sherd", "structure", {"fire_clouds": "most"}),
    ("sherd", "sherd", "structure", {"marks": "stacking"}),
    ("sherd", "sherd", "structure", {"kiln_evidence": "found"}),
    pytest.param("sherd", "body", "hardness", {"hardness": "hard"}),
    pytest.param("sherd", "body", "ring", {"ring": "clear"}),
    pytest.param("sherd", "body", "slakes", {"slakes": "yes"}),
    pytest.param("sherd", "body", "lime pops", {"lime_pops": "yes"}),
]


@pytest.mark.parametrize(("kind", "unit", "trait", "cells"), SURE)
def test_a_doubtful_cell_says_less_than_a_certain_one(
    kind: str, unit: str, trait: str, cells: Mapping[str, str]
) -> None:
    *_, last = cells
    doubted = {column: f"{said}?" if column == last else said for column, said in cells.items()}
    sure, unsure = (item(KINDS[kind](seen), unit, trait) for seen in (cells, doubted))
    assert sure is not None
    assert unsure is not None
    assert 0 < spread(unsure) < 0.95 * spread(sure)


@pytest.mark.parametrize(
    ("trait", "cells"),
    [
        ("edge and relief", {"edge": "soft"}),
        ("acid", {"acid": "fizz"}),
        ("colour", {"colour": "black"}),
        pytest.param("patches", {"patches": "red"}),
        pytest.param("magnet", {"magnet": "strong"}),
    ],
)
def test_the_flat_half_of_a_doubtful_cell_is_flat(trait: str, cells: Mapping[str, str]) -> None:
    """What is left when half the certain table is taken off must be one number everywhere."""
    sure, unsure = (
        item(painted(seen), LINE, trait) for seen in (cells, {c: f"{t}?" for c, t in cells.items()})
    )
    assert sure is not None
    assert unsure is not None
    for slot, likelihood in sure.factors.items():
        flat = unsure.factors[slot] - (1 - HALF) * likelihood
        assert np.ptp(flat) < 1e-12


def test_a_doubtful_edge_takes_nothing_from_a_certain_relief() -> None:
    """Both speak for organic paint; the doubtful one must add to the certain one."""
    organic = ("material paint:line", "organic")
    alone = odds(painted({"relief": "soaked-in"}), *organic)
    assert odds(painted({"relief": "soaked-in", "edge": "soft?"}), *organic) > alone


def test_a_doubtful_edge_lies_between_a_blank_and_a_certain_one() -> None:
    """A property of any table."""
    organic = ("material paint:line", "organic")
    blank, unsure, sure = (
        odds(painted(seen), *organic) for seen in ({}, {"edge": "soft?"}, {"edge": "soft"})
    )
    assert blank < unsure < sure


def test_a_doubtful_red_like_its_ground_tells_no_more_than_a_certain_one() -> None:
    """Ends like its refired ground: says nothing of iron against organic, in doubt or not."""

    def iron_to_organic(said: str) -> float:
        seen = {"colour": "black", "refire_c": "800", "refire_colour": said, "refire_ground_colour": "red"}
        material = chances(painted(seen), "material paint:line")
        return material["iron"] / material["organic"]

    assert iron_to_organic("red?") <= 1.01 * iron_to_organic("red")


def test_the_least_certain_answer_lies_between() -> None:
    """A doubtful colour of the break moves the fire, and less than a certain one."""
    before, unsure, sure = (
        odds(sherd(row("break", "body", **cells)), "whole atmosphere", "oxidising")
        for cells in ({}, {"colour": "grey?"}, {"colour": "grey"})
    )
    assert sure < unsure < before


# --- what the states of a paint are ---


def test_a_trait_of_material_is_laid_out_over_both_times_of_painting() -> None:
    """The 26 states of a paint are 13 materials before the firing and 13 after it."""
    assert list(PAINT_OF) == [*range(13), *range(13)]
    specks = item(painted({"white_specks": "yes"}), LINE, "white specks")
    assert specks is not None
    likelihood = specks.factors[Slot("unit", LINE)][0, 0]
    assert likelihood[:13] == pytest.approx(likelihood[13:])
    assert likelihood[h.PAINT.index("lead-copper-glaze")] == likelihood.max()


def test_an_after_fired_paint_says_nothing_of_the_fire() -> None:
    """Its colour has no history: with the paint sure to be later, the fire is as with its colour unseen."""
    later = {Slot("unit", LINE): np.concatenate([np.zeros(13), np.ones(13)]).reshape(1, 1, -1)}

    def fires(cells: Mapping[str, str]) -> Floats:
        case = Case.of(painted(cells))
        return np.asarray(marginals(case.network, combine(case.items) | later).fires[0])

    assert fires({"colour": "black"}) == pytest.approx(fires({}), abs=1e-12)
    assert fires({"colour": "red", "patches": "black"}) == pytest.approx(fires({}), abs=1e-12)
