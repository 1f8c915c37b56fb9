"""The whole road on the demo, one command a step, as README.md has them.

Sherds, answer, plan without a kiln, log, comparison, claim, report.
"""

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from wareontology.cli import cli
from wareontology.firing import plan as firing_plan

DEMO = Path(__file__).resolve().parents[1] / "data" / "demo"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A fresh folder with the demo in it, and nothing kept from before."""
    shutil.copytree(DEMO, tmp_path / "data" / "demo")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("WAREONTOLOGY_CACHE", str(tmp_path / "kept"))
    return tmp_path


def run(line: str) -> Result:
    result = CliRunner().invoke(cli, line.split())
    assert result.exit_code == 0, (line, result.output)
    return result


def test_the_road_from_sherds_to_report(folder: Path) -> None:
    answered = " ".join(run("infer data/demo/one_sherd.csv").stdout.split())
    assert "Probably fired without air: reducing" in answered
    # --members 100 and what is left out are for the test's speed alone; the README does without
    less = "--without open-fire --without pit --members 100"
    planned = run(f"plan data/demo/one_sherd.csv --no-kiln --write plan.toml {less}").stdout
    assert "iron paint" in planned
    mine = firing_plan.read("plan.toml")
    assert (mine.structure, mine.procedure, mine.target_zone) == ("covered-pit", "smother", "inside")
    assert "What decides it" in run("simulate plan.toml --members 100").stdout
    logged = run("log data/demo/road_log.csv --plan plan.toml --out log.svg").stdout
    assert "Next. The last step is done." in logged
    assert (folder / "log.svg").stat().st_size > 1000
    assert "Alike so far." in run("compare data/demo/originals.csv data/demo/replicas.csv").stdout
    claimed = " ".join(run("claim data/demo/claim.toml --replica data/demo/replicas.csv").stdout.split())
    assert "Can it give this look? Shown." in claimed
    assert "Do others not give it? Not shown." in claimed
    run("report data/demo/claim.toml claim.html claim.ttl")
    once = (folder / "claim.html").read_bytes()
    run("report data/demo/claim.toml claim.html claim.ttl")
    assert (folder / "claim.html").read_bytes() == once


def test_the_plan_of_the_demo_is_one_that_plan_writes() -> None:
    """Its numbers are those the search may choose; the demo's log is a log of it."""
    mine = firing_plan.read(DEMO / "plan.toml")
    assert (mine.structure, mine.procedure, mine.paint) == ("covered-pit", "smother", "iron")
    logged = run(f"log {DEMO / 'road_log.csv'} --plan {DEMO / 'plan.toml'}").stdout
    assert "Off. Nothing that this log shows." in logged
