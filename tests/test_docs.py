"""The README says what the program does: its example, its commands and its links stay true."""

import re
from pathlib import Path
from typing import Final

from click.testing import CliRunner

from wareontology.cli import COMMANDS, cli

ROOT: Final = Path(__file__).resolve().parent.parent
README: Final = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_answer_in_the_readme_is_the_answer_given() -> None:
    result = CliRunner().invoke(cli, ["infer", str(ROOT / "data" / "demo" / "one_sherd.csv")])
    assert result.exit_code == 0
    after = README.split("wareontology infer data/demo/one_sherd.csv\n", 1)[1]
    block = after.split("Then follow the odds", 1)[0]
    told = [line.strip() for line in block.splitlines() if line.strip()]
    given = [line.strip() for line in result.output.splitlines() if line.strip()]
    assert len(told) > 20
    assert given[: len(told)] == told


def test_every_command_of_the_readme_exists() -> None:
    named = set(re.findall(r"^    wareontology (\w+)", README, re.MULTILINE))
    assert named
    assert named <= set(COMMANDS)


def test_every_file_the_readme_names_is_there() -> None:
    for name in re.findall(r"`((?:data|shapes|tests)/[\w./-]+)`", README):
        assert (ROOT / name).exists(), name


def test_every_command_has_an_example_to_paste() -> None:
    for name in COMMANDS:
        text = CliRunner().invoke(cli, [name, "--help"]).output
        assert re.search(rf"wareontology {name}", text.split("Usage:", 1)[1].split("\n", 1)[1]), name
