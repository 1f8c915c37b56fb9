"""score, agree, sample and methods as a person types them."""

import json
from pathlib import Path

import pytest

from tests.helpers_cli import DEMO, GOOD, HEADING, ONE, run, written
from wareontology.technique.answer import data_hash

LOT = str(DEMO / "sherds.csv")
BAD = "B-1,,interior,slip,redish,,,\n"


def test_score(tmp_path: Path) -> None:
    lot = written(tmp_path, HEADING + GOOD)
    labels = written(tmp_path, "sherd,question,value\nG-1,atmosphere,reducing|neutral\n", "known.csv")
    result = run("score", lot, "--labels", labels)
    assert (result.exit_code, "of 1 right" in result.stdout) == (0, True)
    data = json.loads(run("score", lot, "--labels", labels, "--json").stdout)
    odds = json.loads(run("infer", lot, "--json", "--draws", "0").stdout)[0]["atmosphere"]
    assert 2 ** data["all"]["log_score_bits"] == pytest.approx(odds["reducing"] + odds["neutral"], rel=1e-3)


def test_score_of_a_label_without_its_sherd_is_refused(tmp_path: Path) -> None:
    labels = written(tmp_path, "sherd,question,value\nX,atmosphere,reducing\n", "known.csv")
    result = run("score", ONE, "--labels", labels)
    assert (result.exit_code, "no such sherd was answered" in result.stderr) == (1, True)
    assert run("score", ONE).exit_code == 2


def test_agree(tmp_path: Path) -> None:
    rows = "sherd,observer,zone,layer,edge\nK,AB,rim,paint,soft\nK,CD,rim,paint,sharp\n"
    result = run("agree", written(tmp_path, rows))
    assert result.exit_code == 0
    assert "edge           AB and CD: 0 of 1 alike" in result.stdout
    alone = run("agree", ONE)
    assert "No trait was seen by two observers" in alone.stdout


def test_sample_is_within_the_number_and_by_the_question() -> None:
    found = json.loads(run("sample", LOT, "--tests", "2", "--json").stdout)
    assert len(found) == 2
    assert run("sample", ONE, "--question", "atmosfere").exit_code == 2
    assert "bit" in run("sample", ONE, "--tests", "1").stdout


def test_what_permission_forbids_is_not_sampled(tmp_path: Path) -> None:
    rows = "sherd,permission,zone,layer,colour\nK,none,interior,slip,white\nK,,interior,paint,black\n"
    found = json.loads(run("sample", written(tmp_path, rows), "--json").stdout)
    assert not any(one["needs_leave"] for one in found)


def test_methods_names_versions_data_settings_and_sources() -> None:
    result = run("methods", ONE, "--draws", "0")
    assert result.exit_code == 0
    for said in (
        "wareontology 0.",
        data_hash(),
        "Sources behind rules",
        "was not tried",
        "Nothing here is a verdict",
    ):
        assert said in result.stdout
    found = json.loads(run("methods", ONE, "--draws", "5", "--json").stdout)
    answer = json.loads(run("infer", ONE, "--json", "--draws", "5").stdout)[0]
    assert found["draws"] == 5
    assert set(found["sources"]) == {source["id"] for source in answer["sources"]}
    assert found["decided"]["atmosphere"] == (answer["verdict"]["atmosphere"]["state"] == "decided")


@pytest.mark.parametrize("command", [("agree",), ("sample",), ("methods", "--draws", "0")])
def test_a_fault_is_said_and_the_rest_is_read(tmp_path: Path, command: tuple[str, ...]) -> None:
    name, *options = command
    result = run(name, written(tmp_path, HEADING + GOOD + BAD), *options)
    assert (result.exit_code, "found 'redish'" in result.stderr) == (1, True)
    assert name == "agree" or result.stdout


@pytest.mark.parametrize("command", ["score", "agree", "sample", "methods"])
def test_help_has_an_example(command: str) -> None:
    assert f"wareontology {command}" in run(command, "--help").stdout
