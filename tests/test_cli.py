"""The command line: what it prints, what it refuses, its exit codes, and that it never shows a traceback."""

import json
import os
import re
import shlex
import signal
import subprocess
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Final

import pytest
from click.testing import CliRunner, Result

from wareontology import __version__
from wareontology.cli import cli
from wareontology.sherd.record import Sherd
from wareontology.technique import answer, asked

ROOT: Final = Path(__file__).resolve().parent.parent
DEMO: Final = ROOT / "data" / "demo"
ONE: Final = str(DEMO / "one_sherd.csv")

HEADING: Final = "sherd,region,zone,layer,colour,munsell,edge,wall_mm\n"
GOOD: Final = "G-1,,interior,slip,white,,,\nG-1,,interior,paint,black,,sharp,5.5\n"


def run(*arguments: str, stdin: str | bytes | None = None) -> Result:
    return CliRunner().invoke(cli, list(arguments), input=stdin)


def environment(**also: str) -> dict[str, str]:
    """As a user has it: our package to be found, and output that is buffered."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    return {**kept, "PYTHONPATH": str(ROOT), **also}


def process(
    *arguments: str, stdin: bytes = b"", before: str = "", cwd: Path = ROOT
) -> "subprocess.CompletedProcess[bytes]":
    """The command in a process of its own; `before` is Python that is run first."""
    start = f"import sys; sys.argv[0] = 'wareontology'\n{before}\nfrom wareontology.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", start, *arguments],
        input=stdin,
        capture_output=True,
        cwd=cwd,
        env=environment(),
        check=False,
    )


def written(folder: Path, text: str | bytes, name: str = "lot.csv") -> str:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(path)


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


# --- bad input ---

BAD_ROWS: Final = {
    "unknown zone": (
        "B-1,,inside out,slip,white,,,", ["lot.csv, row 4, column zone", "'inside out'", "interior"],
    ),
    "unknown colour": (
        "B-1,,interior,slip,redish grellow,,,", ["row 4, column colour", "'redish grellow'", "red"],
    ),
    "unknown Munsell": (
        "B-1,,interior,slip,,55XR 8/2,,", ["row 4, column munsell", "'55XR 8/2'", "would do"],
    ),
    "a word where a number belongs": (
        "B-1,,interior,slip,white,,,thick", ["row 4, column wall_mm", "'thick'", "a number from"],
    ),
    "two regions for one sherd": (
        "B-1,colorado-plateau,interior,slip,white,,,\nB-1,western-europe,exterior,slip,white,,,",
        ["row 5, column region", "'western-europe'", "colorado-plateau, or blank"],
    ),
    "a duplicated row": (
        "B-1,,interior,slip,white,,,\nB-1,,interior,slip,cream,,,",
        ["row 5, column zone", "interior slip", "the same as row 4", "one row for each layer"],
    ),
}  # fmt: skip


@pytest.mark.parametrize(("rows", "said"), BAD_ROWS.values(), ids=BAD_ROWS)
def test_a_bad_sherd_is_refused_and_the_good_one_answered(
    tmp_path: Path, rows: str, said: Sequence[str]
) -> None:
    table = written(tmp_path, HEADING + GOOD + rows + "\n")
    faults = tmp_path / "faults.json"
    result = run("infer", table, "--json", "--draws", "0", "--faults", str(faults))
    assert result.exit_code == 1
    assert [one["sherd"] for one in json.loads(result.stdout)] == ["G-1"]
    for words in said:
        assert words in result.stderr
    assert "Traceback" not in result.output
    assert "1 sherd answered; 1 record refused" in result.stderr
    for fault in json.loads(faults.read_text(encoding="utf-8")):
        assert fault["sherd"] == "B-1"
        assert {"file", "row", "column", "found", "would_do"} <= set(fault)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["faults.json", "lot.csv"]
    checked = run("validate", table)
    assert checked.exit_code == 1
    for words in said:
        assert words in checked.stderr


def test_an_unknown_column_stops_the_file_and_names_the_nearest(tmp_path: Path) -> None:
    table = written(tmp_path, "sherd,zone,layer,colur\nG-1,interior,slip,white\n")
    result = run("infer", table, "--draws", "0")
    assert result.exit_code == 1
    assert result.stdout == ""
    assert "lot.csv, row 1, column colur: found 'colur' (no such column); would do: colour" in result.stderr


def test_an_unknown_column_is_left_out_where_that_was_asked(tmp_path: Path) -> None:
    table = written(tmp_path, "sherd,zone,layer,colour,shelf\nG-1,interior,slip,white,9b\n")
    assert run("validate", table).exit_code == 1
    result = run("validate", table, "--ignore-unknown")
    assert result.exit_code == 0
    assert result.stdout == "1 sherd, 1 row, no fault\n"


WHOLE_FILES: Final[Mapping[str, tuple[bytes, list[str]]]] = {
    "empty": (b"", ["lot.csv", "found nothing in it"]),
    "binary": (b"\x00\x01\x02sherd" * 50, ["lot.csv", "binary"]),
    "gzip": (b"\x1f\x8b\x08\x00" + b"x" * 40, ["lot.csv", "gzip"]),
    "wrong encoding": ((HEADING + GOOD).encode() + b"G-2,,rim,slip,gr\xfcn,,,\n", ["lot.csv", "line 4"]),
    "heading alone": (HEADING.encode(), ["lot.csv", "no rows"]),
}  # fmt: skip


@pytest.mark.parametrize(("content", "said"), WHOLE_FILES.values(), ids=WHOLE_FILES)
@pytest.mark.parametrize("command", ["infer", "validate"])
def test_a_file_that_is_no_table_is_refused_with_its_reason(
    tmp_path: Path, command: str, content: bytes, said: Sequence[str]
) -> None:
    faults = tmp_path / "faults.json"
    result = run(command, written(tmp_path, content), "--faults", str(faults))
    assert result.exit_code == 1
    assert result.stdout == ""
    for words in (*said, "would do"):
        assert words in result.stderr
    assert "Traceback" not in result.output
    (fault,) = json.loads(faults.read_text(encoding="utf-8"))
    assert fault["file"].startswith(str(tmp_path / "lot.csv"))
    assert fault["found"]
    assert fault["would_do"]


@pytest.mark.parametrize("name", ["no_such.csv", ".", "nul\udc80.csv"])
def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path, name: str) -> None:
    result = run("infer", str(tmp_path / name))
    assert result.exit_code == 1
    assert "would do" in result.stderr
    assert result.stdout == ""


def test_a_line_of_200_mb_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "lot.csv"
    with path.open("wb") as file:
        file.write(HEADING.encode())
        for _ in range(200):
            file.write(b"a" * 10**6)
    result = run("infer", str(path))
    assert result.exit_code == 1
    assert "lot.csv, line 2" in result.stderr
    assert len(result.stderr) < 500


def test_a_headings_file_that_is_none_is_refused(tmp_path: Path) -> None:
    for name, text in {"no.toml": "this = is [no", "amiss.toml": '[headings]\n"Paint" = "colur"\n'}.items():
        result = run("infer", ONE, "--headings", written(tmp_path, text, name))
        assert result.exit_code == 1, name
        assert name in result.stderr
        assert "would do" in result.stderr


# --- wrong usage ---


@pytest.mark.parametrize(
    "arguments",
    [
        ["infer"], ["frobnicate"], ["infer", ONE, "--draws", "-1"], ["infer", ONE, "--draws", "many"],
        ["infer", ONE, "--engine", "slow"], ["infer", ONE, "--jsom"], ["infer", ONE, "more"],
        ["infer", ONE, "--question", "atmosfere"], ["infer", ONE, "--faults", ONE],
        ["validate"], ["columns", "colur"], ["rules", "NoSuchRuleAtAll"], ["template", "--format", "pdf"],
    ],
    ids=lambda arguments: " ".join(Path(word).name for word in arguments),
)  # fmt: skip
def test_wrong_usage_is_2_and_says_what_would_do(arguments: list[str]) -> None:
    before = Path(ONE).read_bytes()
    result = run(*arguments)
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert result.stderr
    assert "Traceback" not in result.stderr
    assert Path(ONE).read_bytes() == before  # --faults never overwrites what is read


def test_the_nearest_is_offered() -> None:
    assert "would do: atmosphere" in run("infer", ONE, "--question", "atmosfere").stderr
    assert "would do: colour" in run("columns", "colur").stderr
    offered = run("rules", "MouthDownFromRedOutside").stderr
    assert "MouthDownFromRedOutsideBlackInsideRule" in offered


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
    for name in (*cli.commands, ""):
        result = run(*filter(None, [name]), "--help")
        assert result.exit_code == 0
        assert result.stdout.startswith("Usage:")


@pytest.mark.parametrize("name", sorted(cli.commands))
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


def test_a_reader_that_goes_away_is_no_fault() -> None:
    command = [sys.executable, "-m", "wareontology", "rules"]
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
