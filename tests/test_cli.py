"""The command line: what it prints, its exit codes, and what happens when something goes wrong on the way."""

import json
import re
import shlex
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.helpers_cli import DEMO, GOOD, HEADING, ONE, ROOT, environment, process, run, written
from wareontology import __version__
from wareontology.cli import COMMANDS
from wareontology.sherd.record import Sherd
from wareontology.technique import answer, asked

# --- infer, and its forms ---


def test_infer_says_it_in_prose_without_colour_where_it_is_piped() -> None:
    result = run("infer", ONE, "--draws", "0")
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("Sherd K-14 · Ketterwain Ledge (invented)")
    assert "Next." in result.stdout
    assert "\x1b" not in result.stdout
    assert result.stderr == ""


def test_json_is_one_array_and_jsonl_a_line_a_sherd_of_the_same() -> None:
    table = str(DEMO / "own_headings.csv")
    options = ["--headings", str(DEMO / "headings.toml"), "--draws", "0"]
    array = run("infer", table, "--json", *options)
    lines = run("infer", table, "--jsonl", *options)
    assert array.exit_code == lines.exit_code == 0, array.stderr
    found = json.loads(array.stdout)
    assert len(found) == 3  # data/demo/README.txt: three sherds in a table with headings of its own
    assert [json.loads(line) for line in lines.stdout.splitlines()] == found


def test_a_dash_reads_standard_input() -> None:
    from_file = run("infer", ONE, "--json", "--draws", "0")
    piped = run("infer", "-", "--json", "--draws", "0", stdin=Path(ONE).read_bytes())
    assert piped.exit_code == 0, piped.stderr
    assert json.loads(piped.stdout) == json.loads(from_file.stdout)


def test_no_draws_leave_robust_out_and_draws_fill_it() -> None:
    without, with_ = (json.loads(run("infer", ONE, "--json", "--draws", n).stdout)[0] for n in ("0", "5"))
    assert without["robust"] is None
    assert set(with_["robust"]) == set(with_["verdict"])


def test_the_standard_engine_finds_the_same() -> None:
    fast, shacl = (
        json.loads(run("infer", ONE, "--json", "--draws", "0", "--engine", engine).stdout)[0]
        for engine in ("fast", "shacl")
    )
    assert shacl["findings"] == fast["findings"]
    assert fast["findings"]


def test_a_question_ranks_the_next_tests_for_it_alone() -> None:
    one, other = (
        json.loads(run("infer", ONE, "--json", "--draws", "0", "--question", question).stdout)[0]
        for question in ("paint:line", "temperature")
    )
    assert one["next_tests"] != other["next_tests"]
    assert one["verdict"] == other["verdict"]


def test_a_layer_that_is_not_on_a_sherd_is_refused_for_that_sherd_only(tmp_path: Path) -> None:
    table = written(tmp_path, HEADING + GOOD + "H-1,,exterior,slip,red,,,\n")
    result = run("infer", table, "--json", "--draws", "0", "--question", "paint")
    assert result.exit_code == 1
    assert [one["sherd"] for one in json.loads(result.stdout)] == ["G-1"]
    assert "'paint'" in result.stderr
    assert "would do: body, slip" in result.stderr


def test_two_observers_of_one_sherd_have_an_answer_each(tmp_path: Path) -> None:
    rows = "K-1,A,exterior,slip,white\nK-1,B,exterior,slip,red\n"
    table = written(tmp_path, "sherd,observer,zone,layer,colour\n" + rows)
    found = json.loads(run("infer", table, "--json", "--draws", "0").stdout)
    assert [(one["sherd"], one["observer"]) for one in found] == [("K-1", "A"), ("K-1", "B")]
    told = run("infer", table, "--draws", "0").stdout
    assert "Sherd K-1 · seen by A" in told
    assert "Sherd K-1 · seen by B" in told


def test_escape_sequences_of_a_table_never_reach_the_terminal(tmp_path: Path) -> None:
    result = run("validate", written(tmp_path, "sherd,zone,layer,\x1b[2Jcolour\nK-1,rim,slip,red\n"))
    assert result.exit_code == 1
    assert "\x1b" not in result.output


# --- template, columns, rules, validate ---


@pytest.mark.parametrize("ending", ["csv", "xlsx", "json"])
def test_a_template_is_a_table_that_can_be_asked(tmp_path: Path, ending: str) -> None:
    out = tmp_path / f"lot.{ending}"
    assert run("template", str(out)).exit_code == 0
    assert run("validate", str(out)).exit_code == 0
    (found,) = json.loads(run("infer", str(out), "--json", "--draws", "0").stdout)
    assert found["sherd"] == "EXAMPLE-1"
    assert [path.name for path in tmp_path.iterdir()] == [out.name]


def test_a_template_never_overwrites(tmp_path: Path) -> None:
    out = written(tmp_path, "my own work")
    result = run("template", out)
    assert result.exit_code == 1
    assert "another name" in result.stderr
    assert Path(out).read_text(encoding="utf-8") == "my own work"


def test_a_template_to_no_folder_leaves_nothing(tmp_path: Path) -> None:
    result = run("template", str(tmp_path / "none" / "lot.csv"))
    assert result.exit_code == 1
    assert list(tmp_path.iterdir()) == []


def test_a_template_goes_to_standard_output_byte_for_byte(tmp_path: Path) -> None:
    for ending in ("csv", "json", "xlsx"):
        piped = process("template", "--format", ending)
        assert piped.returncode == 0
        path = written(tmp_path, piped.stdout, f"piped.{ending}")
        assert run("validate", path).exit_code == 0, ending


def test_columns_explain_and_map() -> None:
    text = run("columns", "edge")
    assert text.exit_code == 0
    assert "To see it:" in text.stdout
    data = json.loads(run("columns", "edge", "relief", "--json").stdout)
    assert [column["name"] for column in data] == ["edge", "relief"]
    everything = json.loads(run("columns", "--json").stdout)
    assert len(everything) > 60
    mapped = run("columns", "--headings", str(DEMO / "headings.toml"))
    assert mapped.exit_code == 0
    assert "Find no. → sherd" in mapped.stdout


def test_rules_are_listed_and_one_is_explained() -> None:
    listed = json.loads(run("rules", "--json").stdout)
    keys = {"rule", "label", "concludes", "exceptions", "region", "basis", "source", "record"}
    assert all(keys <= set(rule) for rule in listed)
    assert len({rule["rule"] for rule in listed}) == len(listed)
    text = run("rules").stdout
    assert all(rule["rule"] in text for rule in listed)
    name = listed[0]["rule"]
    one = run("rules", name)
    assert one.exit_code == 0
    assert "Why:" in one.stdout
    assert "Example, invented:" in one.stdout
    assert json.loads(run("rules", name.removesuffix("Rule"), "--json").stdout)["rule"] == name


def test_validate_counts() -> None:
    result = run("validate", ONE)
    assert (result.exit_code, result.stdout) == (0, "1 sherd, 4 rows, no fault\n")  # counted in the file


def test_no_fault_is_an_empty_list(tmp_path: Path) -> None:
    faults = tmp_path / "faults.json"
    assert run("validate", ONE, "--faults", str(faults)).exit_code == 0
    assert json.loads(faults.read_text(encoding="utf-8")) == []


def test_a_faults_file_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    result = run("validate", ONE, "--faults", str(tmp_path / "none" / "faults.json"))
    assert result.exit_code == 1
    assert "would do" in result.stderr
    assert list(tmp_path.iterdir()) == []


def test_version_and_help() -> None:
    assert run("--version").stdout == f"wareontology {__version__}\n"
    for name in (*COMMANDS, ""):
        result = run(*filter(None, [name]), "--help")
        assert result.exit_code == 0
        assert result.stdout.startswith("Usage:")


OWN_FILES = {
    "agree", "backup", "claim", "compare", "learn", "log", "plan", "report", "restore", "score", "simulate",
}  # fmt: skip
"""Commands whose examples read files that a person has already or has just made; `serve` does not end."""


@pytest.mark.parametrize("name", sorted(COMMANDS.keys() - OWN_FILES - {"serve"}))
def test_the_examples_of_the_help_can_be_pasted(tmp_path: Path, name: str) -> None:
    help_text = run(name, "--help").stdout
    examples = re.findall(
        r"^ +(wareontology .*)$", help_text.split("Example:", 1)[1].split("Options:", 1)[0], re.M
    )
    assert any(line.startswith(f"wareontology {name}") for line in examples)
    for line in examples:
        words, _, source = line.partition(" < ")
        stdin = (tmp_path / source).read_bytes() if source else b""
        done = process(*shlex.split(words)[1:], stdin=stdin, cwd=tmp_path)
        assert done.returncode == 0, (line, done.stderr)


# --- what goes wrong on the way ---


def test_exit_codes_of_the_real_process(tmp_path: Path) -> None:
    bad = written(tmp_path, HEADING + GOOD + "B-1,,interior,slip,greenish?ish,,,\n")
    assert process("validate", ONE).returncode == 0
    assert process("validate", bad).returncode == 1
    assert process("validate").returncode == 2
    module = [sys.executable, "-m", "wareontology", "--version"]
    assert subprocess.run(module, cwd=ROOT, capture_output=True, check=False).returncode == 0


@pytest.mark.parametrize("arguments", [["columns", "edge"], ["rules"]], ids=["little", "much"])
def test_a_reader_that_goes_away_is_no_fault(arguments: list[str]) -> None:
    command = [sys.executable, "-m", "wareontology", *arguments]
    gone = subprocess.Popen(
        command, cwd=ROOT, env=environment(), stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert gone.stdout is not None
    assert gone.stderr is not None
    gone.stdout.close()
    said = gone.stderr.read()
    gone.stderr.close()
    assert gone.wait() == 141  # as a shell counts a process that a closed pipe stopped: 128 + SIGPIPE
    assert said == b""


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal")
def test_ctrl_c_is_quiet() -> None:
    stop = (
        "import os, signal\n"
        "from wareontology.sherd.handed import Handed\n"
        f"Handed.sherds = lambda self: os.kill(os.getpid(), {int(signal.SIGINT)}) or iter(())"
    )
    done = process("validate", ONE, before=stop)
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"")


def test_the_programs_own_fault_is_said_and_the_other_sherds_are_answered(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    real = answer.answers

    def failing(sherds: Iterator[Sherd], **options: Any) -> Iterator[dict[str, Any]]:
        for sherd in sherds:
            if sherd.sherd == "F-1":
                raise ZeroDivisionError("planted")
            yield from real([sherd], **options)

    monkeypatch.setattr(asked, "answers", failing)
    rows = "F-1,,interior,slip,red,,,\nH-1,,interior,slip,red,,,\n"
    table = written(tmp_path, HEADING + GOOD + rows)
    result = run("infer", table, "--json", "--draws", "0")
    assert result.exit_code == 70
    assert [one["sherd"] for one in json.loads(result.stdout)] == ["G-1", "H-1"]
    assert "sherd F-1 is not answered: a fault of this program" in result.stderr
    assert "ZeroDivisionError: planted" in result.stderr
    assert "Traceback" not in result.output
    shown = run("--traceback", "infer", table, "--draws", "0")
    assert isinstance(shown.exception, ZeroDivisionError)


def test_a_stream_without_our_letters_still_has_whole_json() -> None:
    ascii_only = environment(PYTHONIOENCODING="ascii")
    command = [sys.executable, "-m", "wareontology", "infer", ONE, "--draws", "0"]
    data = subprocess.run([*command, "--json"], cwd=ROOT, env=ascii_only, capture_output=True, check=False)
    assert data.returncode == 0
    assert "°C" in json.dumps(json.loads(data.stdout), ensure_ascii=False)
    told = subprocess.run(command, cwd=ROOT, env=ascii_only, capture_output=True, check=False)
    assert told.returncode == 0
    assert told.stdout.startswith(b"Sherd K-14 ? Ketterwain")
