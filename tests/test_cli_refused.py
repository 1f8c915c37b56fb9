"""What the command line refuses: bad input with exit code 1, wrong usage with 2, and never a traceback."""

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final

import pytest

from tests.helpers_cli import GOOD, HEADING, ONE, run, written

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
