"""Which rows an answer names: those whose conditions are likely, and what physics has to do with them."""

import re
from typing import Any

import pytest
from click.testing import CliRunner

from tests.technique.helpers_sherds import painted, row, sherd
from wareontology.cli import cli
from wareontology.technique.answer import answer
from wareontology.technique.case import Case
from wareontology.technique.computed_source import CURVES, citation, is_computed
from wareontology.technique.prose import prose
from wareontology.technique.trail import TABLES_OF, Trail

BLACK = painted({"colour": "black", "edge": "sharp", "lustre": "matte"})
GLAZE = sherd(
    row("break", "body", colour="red"),
    row(
        "exterior", "paint", "line", colour="black", lustre="glossy", relief="raised", edge="sharp",
        sintered="yes", pxrf_pb="900", pxrf_pb_ground="20",
    ),
    region="colorado-plateau",
)  # fmt: skip


def rests(found: dict[str, Any], table: str) -> list[dict[str, Any]]:
    return [row for step in found["explain"]["steps"] for row in step["rests_on"] if row["table"] == table]


def test_a_row_of_an_unlikely_material_is_not_named() -> None:
    case = Case.of(BLACK)
    (item,) = (item for item in case.items if item.key == ("paint:line", "colour"))
    named = {word for given in Trail(case).rows(item) for word in given.given[0]}
    assert "iron" in named  # black on white in a grey-bodied pot
    assert "graphite" not in named
    assert "white-clay" not in named


def test_every_trait_has_its_tables() -> None:
    for found in (BLACK, GLAZE):
        assert {item.trait for item in Case.of(found).items} <= set(TABLES_OF)


def test_a_computed_row_that_mattered_is_a_source_with_its_data_sets_and_ensemble() -> None:
    found = answer(BLACK, draws=0, explain="atmosphere")
    computed = [source for source in found["sources"] if is_computed(source["id"])]
    assert computed
    named = {one["source"] for row in rests(found, "paint_colour") for one in row["rests"]}
    assert {source["id"] for source in computed} & named
    for source in computed:
        assert source["basis"] == "physics+judgement"
        assert re.search(r"ensemble of [\d,]+ histories .* seed \d+", source["citation"])
        assert re.search(
            r"Data sets of data/constants.csv: [a-z0-9-]+ \((seen|memory|computed|judgement)",
            source["citation"],
        )


def test_a_publication_has_no_citation_of_ours() -> None:
    assert citation("mirti-1999") is None


def test_a_sceptic_is_told_how_to_see_the_curve() -> None:
    found = answer(BLACK, draws=0, explain="atmosphere")
    curves = {row["curve"] for row in rests(found, "paint_colour")} - {None}
    assert curves
    text = prose(found)
    assert all(curve in text for curve in curves)
    assert all(row["curve"] is None for row in rests(found, "edge_relief"))


@pytest.mark.parametrize("command", sorted(set(CURVES.values())))
def test_each_such_command_runs(command: str) -> None:
    words = command.split()[1:]
    if "--map" in words:
        del words[words.index("--map") : words.index("--map") + 2]  # drawing is tested with the command
    assert CliRunner().invoke(cli, words).exit_code == 0


def test_what_physics_contradicts_is_said_in_text_and_data() -> None:
    """That a copper-lead glaze is black in any fire is the trade's word (redox facts, section 3)."""
    found = answer(GLAZE, draws=0, explain="paint:line")
    assert found["materials"]["paint:line"]["lead-copper-glaze"] > 0.5
    (note,) = (note for note in found["notes"] if "lead-copper" in note)
    assert "common practice, not thermodynamics" in note
    assert "common practice, not thermodynamics" in " ".join(prose(found).split())
    bases = {one["basis"] for row in rests(found, "paint_colour") for one in row["rests"]}
    assert "common practice, not thermodynamics" in bases


def test_where_no_such_row_mattered_nothing_is_said() -> None:
    found = answer(sherd(row("break", "body", colour="grey", core="none")), draws=0)
    assert not any("thermodynamics" in note for note in found["notes"])
