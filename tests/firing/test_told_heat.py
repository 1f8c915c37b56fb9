"""Cones and glow: as published, how far they may be out, in the same words as the steps of a plan."""

import csv

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.firing import steps
from wareontology.firing.told_heat import (
    CONE_GIVE_OR_TAKE_C,
    GLOW_GIVE_OR_TAKE_C,
    cone_c,
    cones,
    glow_c,
    glow_words,
    near_cones,
    near_glows,
)
from wareontology.paths import data


@pytest.mark.parametrize(
    ("cone", "heat"), [("022", 630), ("018", 752), ("010", 919), ("08", 983), ("04", 1060), ("1", 1154)]
)
def test_cones_as_published(cone: str, heat: float) -> None:
    # published: small cones at 300 °C/h, else the older list of large ones (data/cones.csv)
    assert cone_c(cone) == heat
    assert cone_c(f" Cone {cone} ") == heat


def test_two_editions_lie_within_what_a_cone_is_read_by() -> None:
    # published: both lists are at 150 °C/h and differ by up to 17 °C
    with data("cones.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    both = [row for row in rows if row["ssb_150C_h"] and row["old_large_150C_h"]]
    assert len(both) == 15
    assert all(
        abs(float(row["ssb_150C_h"]) - float(row["old_large_150C_h"])) <= CONE_GIVE_OR_TAKE_C for row in both
    )


def test_a_harder_cone_is_never_cooler() -> None:
    heats = list(cones().values())
    assert heats == sorted(heats)


@given(st.floats(480, 1090))
def test_the_words_of_the_steps_are_read_back_within_75_degrees(heat: float) -> None:
    found = glow_c(steps.glow_words(heat))
    assert found is not None
    assert abs(found - heat) <= GLOW_GIVE_OR_TAKE_C


def test_words_go_up_with_heat_and_unknown_ones_have_the_nearest_offered() -> None:
    heats = [glow_c(word) for word in glow_words()]
    assert heats == sorted(heats, key=lambda heat: heat or 0)
    assert glow_c("mauve") is None
    assert near_glows("cherry rd")[0] == "cherry red"
    assert cone_c("99") is None
    assert "010" in near_cones("0l0")
