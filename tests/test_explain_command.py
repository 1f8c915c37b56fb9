"""`infer --explain`: in prose, in JSON that keeps to the schema, and what is refused."""

import json
from pathlib import Path
from typing import Final

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator

from wareontology import paths
from wareontology.cli import cli

DEMO: Final = Path(__file__).resolve().parents[1] / "data" / "demo"
K_14: Final = str(DEMO / "one_sherd.csv")


def run(*words: str) -> tuple[int, str, str]:
    done = CliRunner().invoke(cli, ["infer", *words, "--draws", "0"])
    return done.exit_code, done.stdout, done.stderr


@pytest.mark.parametrize(
    "question", ["atmosphere", "ending", "temperature", "space", "body", "slip", "paint:line"]
)
def test_json_keeps_to_the_schema_and_adds_up(question: str) -> None:
    code, out, _ = run(K_14, "--json", "--explain", question)
    (found,) = json.loads(out)
    schema = json.loads(paths.shapes("answer.schema.json").read_text(encoding="utf-8"))
    assert code == 0
    assert [error.message for error in Draft202012Validator(schema).iter_errors(found)] == []
    why = found["explain"]
    assert (why["question"], why["value"]) == (question, found["verdict"][question]["value"])
    total = why["prior"]["decibans"] + sum(step["decibans"] for step in why["steps"])
    assert total == pytest.approx(why["posterior"]["decibans"], abs=1e-9)


def test_prose_is_narrow_and_says_it_first() -> None:
    code, out, _ = run(K_14, "--explain", "atmosphere")
    assert code == 0
    assert all(len(line) <= 88 for line in out.splitlines())
    assert out.index("Why ") < out.index("1. ")


def test_unasked_it_is_absent() -> None:
    assert "explain" not in json.loads(run(K_14, "--json")[1])[0]


def test_no_such_question_is_wrong_usage() -> None:
    code, _, err = run(K_14, "--explain", "atmosfere")
    assert code == 2
    assert "--explain: found 'atmosfere'; would do: atmosphere" in err


def test_a_layer_that_is_not_there_refuses_the_sherd() -> None:
    code, out, err = run(K_14, "--explain", "paint:rim")
    assert (code, out) == (1, "")
    assert "paint:line" in err
