"""`plan`: what a person asks, what is answered, what is refused."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from wareontology.cli import cli
from wareontology.firing import plan as firing_plan

FEW = ["--without", "open-fire", "--without", "tunnel", "--without", "bury", "--members", "100"]
LOOK = ["--slip", "white", "--paint", "black", "--no-kiln", "--of", "iron", *FEW]


@pytest.fixture(autouse=True)
def apart(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    monkeypatch.setenv("WAREONTOLOGY_CACHE", str(tmp_path_factory.getbasetemp() / "kept"))


def run(*words: str) -> Result:
    return CliRunner().invoke(cli, ["plan", *words])


def test_iron_black_on_white_without_a_kiln(tmp_path: Path) -> None:
    mine = tmp_path / "mine.toml"
    result = run(*LOOK, "--write", str(mine))
    assert result.exit_code == 0
    said = " ".join(result.stdout.split())
    for words in (
        "Plan for the look described: slip white inside and outside; paint black inside and outside",
        "Within: no kiln feature, paint of iron, local and traded materials, without", "Chance of the look:",
        "smothered in place (fuel", "The ground would show:", "Still giving the look:", "Why others",
        "a kiln feature", "Tiles first.", "Slip-fit tiles", "Then fire plan 1.", "Carbon monoxide",
    ):  # fmt: skip
        assert words in said
    assert said.index("Tiles first.") < said.index("Then fire plan 1.")
    assert "done" not in result.stderr  # progress only on a terminal
    assert firing_plan.read(mine).procedure == "smother"
    simulated = CliRunner().invoke(cli, ["simulate", str(mine), "--members", "100"])
    assert simulated.exit_code == 0


def test_json_is_an_array_an_answer_a_target() -> None:
    result = run(*LOOK, "--json")
    (answer,) = json.loads(result.stdout)
    assert answer["plans"][0]["toml"].startswith("# Written by wareontology plan")
    assert answer["limits"]["of"] == ["iron"]
    again = run(*LOOK, "--json")
    assert again.stdout == result.stdout


def test_own_numbers_are_taken(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text("[smoked_kg_m2]\nlow = 1e-9\nlikeliest = 2e-9\nhigh = 3e-9\n")  # the least soot greys
    words = [*LOOK, "--without", "pit", "--json"]
    usual, mine = (json.loads(run(*words, *more).stdout)[0] for more in ([], ["--own", str(own)]))
    best = [max(one["chance"] or 0 for one in answer["firings"]) for answer in (usual, mine)]
    assert best[1] < best[0]  # where a trace of soot greys the slip, white seldom stays white


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ([], 2, "--slip white --paint black"),
        (["us-tusayan-white", "--slip", "white"], 2, "would do: a TARGET, or a look"),
        (["no-such-ware"], 1, "no-such-ware"),
        (["nowhere.csv"], 1, "nowhere.csv"),
        (["--slip", "glum"], 1, "glum"),
        ([*LOOK, "--without", "red-ocher"], 1, "red-ochre"),
        ([*LOOK, "--fuel", "peat"], 1, "dung"),
        ([*LOOK, "--own", "none.toml"], 1, "none.toml"),
        ([*LOOK, "--altitude-m", "9000"], 2, "5500"),
        (["a.csv", "b.csv", "--write", "x.toml"], 1, "a.csv"),
        ([*LOOK, "--rank", "9", "--write", "x.toml"], 1, "--rank"),
    ],
)
def test_what_cannot_be_planned_is_refused(
    words: list[str], code: int, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    result = run(*words)
    assert result.exit_code == code
    assert said in result.stderr
    assert not list(tmp_path.glob("*.toml"))
