"""The command `claim`, as a person starts it."""

import json
from pathlib import Path

from tests.helpers_cli import DEMO, ROOT, run

CLAIM = str(DEMO / "claim.toml")


def test_json_has_the_keys_that_are_promised() -> None:
    found = run("claim", CLAIM, "--json")
    assert found.exit_code == 0, found.output
    answer = json.loads(found.stdout)
    assert {"claim", "verdicts", "gaps", "rivals", "sources"} <= set(answer)
    assert list(answer["verdicts"]) == ["possible", "sufficient", "unique"]
    assert all({"state", "reason"} <= set(one) for one in answer["verdicts"].values())


def test_the_words_say_the_verdicts_and_the_tests() -> None:
    said = run("claim", CLAIM, "--replica", str(DEMO / "replicas.csv")).stdout
    parts = ["Can it give this look? Shown.", "Do others not give it? Not shown.", "17 of 20 came out"]
    for part in (*parts, "What would tell best", "asked as if nobody knew", "learned from"):
        assert part in said
    assert max(map(len, said.splitlines())) <= 88


def test_turtle_written_is_the_same_claim(tmp_path: Path) -> None:
    out = tmp_path / "claim.ttl"
    case = str(ROOT / "tests" / "cases" / "claims" / "01-sound.ttl")
    assert run("claim", case, "--turtle", str(out)).exit_code == 0
    first, second = (json.loads(run("claim", one, "--json").stdout) for one in (case, str(out)))
    assert first == second


def test_a_claim_without_a_ware_is_refused() -> None:
    found = run("claim", str(ROOT / "tests" / "cases" / "claims" / "19-no-ware.ttl"))
    assert found.exit_code == 1
    assert "the ware whose look is claimed" in found.stderr


def test_the_file_that_is_read_is_not_written_over() -> None:
    assert run("claim", CLAIM, "--turtle", CLAIM).exit_code == 2
