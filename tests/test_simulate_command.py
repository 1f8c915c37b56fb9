"""`simulate`: what a person asks, what is answered, what is refused."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from wareontology.cli import cli
from wareontology.firing import plan
from wareontology.plots.firing import firings


def run(*words: str, said: str | None = None) -> Result:
    return CliRunner().invoke(cli, ["simulate", *words], input=said)


@pytest.mark.parametrize("name", plan.examples())
def test_an_example_is_written_to_be_edited_and_read_again(name: str, tmp_path: Path) -> None:
    written = run("--example", name)
    assert written.exit_code == 0
    assert written.stdout == plan.example_text(name)
    mine = tmp_path / "mine.toml"
    mine.write_text(written.stdout, encoding="utf-8")
    assert plan.read(mine) == plan.example(name)


def test_four_plans_from_one_command_as_a_table() -> None:
    result = run("covered-pit", "pull-and-cover", "trench", "updraft", "--members", "100")
    assert result.exit_code == 0
    head = result.stdout.splitlines()[:9]
    assert head[0].startswith("Side by side.")
    assert "chance" in head[3]
    names = ("Covered pit", "Pull and cover", "Trench smothered", "Updraft kiln")
    for line, name in zip(head[5:9], names, strict=True):
        assert line.startswith(name)
    assert result.stdout.count("What decides it.") == 4
    assert "likely pessimistic" in result.stdout
    assert "Carbon monoxide" in result.stdout


def test_one_plan_tells_its_steps_and_what_the_ground_shows() -> None:
    said = run("covered-pit", "--members", "100").stdout
    assert "By the fire." in said
    assert "hand-breadth" in said
    assert "you can hold your hand at the cover" in said
    assert "The ground would show." in said
    assert "Weak inputs:" in said


def test_json_is_an_array_with_the_frozen_keys() -> None:
    result = run("open-fire", "trench", "--members", "100", "--seed", "3", "--json")
    found = json.loads(result.stdout)
    assert [one["plan"]["structure"] for one in found] == ["open-fire", "trench-kiln"]
    for one in found:
        assert {
            "plan", "target", "chance", "chance_low", "chance_high", "places", "causes", "open_after_h",
            "under_fired_share", "members", "seed",
        } <= set(one)  # fmt: skip
        assert (one["members"], one["seed"]) == (100, 3)
    again = run("open-fire", "trench", "--members", "100", "--seed", "3", "--json")
    assert again.stdout == result.stdout


def test_a_plan_from_standard_input() -> None:
    result = run("-", "--members", "100", "--json", said='structure = "saggar"\nprocedure = "close"')
    assert result.exit_code == 0, result.stderr
    assert json.loads(result.stdout)[0]["plan"]["structure"] == "saggar"


@pytest.mark.parametrize("form", ["svg", "png", "html"])
def test_curves_are_drawn(form: str, tmp_path: Path) -> None:
    out = tmp_path / f"curves.{form}"
    assert run("open-fire", "--members", "100", "--out", str(out)).exit_code == 0
    begins = {"svg": b"<?xml", "png": b"\x89PNG", "html": b"<!doctype html>"}
    assert out.read_bytes().startswith(begins[form])
    if form == "html":
        page = out.read_text(encoding="utf-8")
        assert "<svg" in page
        assert "http-equiv" not in page
        assert "<script" not in page


def test_the_same_answers_give_the_same_bytes() -> None:
    found = json.loads(run("open-fire", "--members", "100", "--json").stdout)
    assert firings(found) == firings(found)


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ((), 2, "no PLAN"),
        (("--example", "covred-pit"), 1, "would do: covered-pit"),
        (("--example", "trench", "x.toml"), 2, "--example NAME alone"),
        (("nowhere.toml",), 1, "would do: a plan"),
        (("open-fire", "--members", "3"), 1, "members: found 3"),
        (("open-fire", "--out", "x.gif"), 2, "a name that ends in"),
    ],
)
def test_what_is_refused_is_named(words: tuple[str, ...], code: int, said: str) -> None:
    result = run(*words)
    assert result.exit_code == code
    assert said in result.output


def test_a_bad_plan_is_refused_whole_and_by_line(tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text('structure = "covered-pit"\n[cover]\ndepth_m = -0.1\ncharcoal_lb = 2\n', encoding="utf-8")
    result = run(str(bad))
    assert result.exit_code == 1
    assert "bad.toml, row 3, column cover.depth_m: found '-0.1'" in result.output
    assert "charcoal_kg = 0.907185" in result.output


def test_nothing_of_progress_is_said_where_there_is_no_terminal() -> None:
    assert run("open-fire", "--members", "100").stderr == ""
