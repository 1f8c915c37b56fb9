"""Whole files in: what good ones say, and what is said of bad ones."""

import csv
import io
import json
import sys
from collections import defaultdict
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.sherd.strategies import sherds
from wareontology.errors import Unreadable
from wareontology.sherd import csv_rows, gather
from wareontology.sherd.assemble import Read, Record, assemble
from wareontology.sherd.csv_out import to_csv
from wareontology.sherd.headings import read_map
from wareontology.sherd.record import Sherd
from wareontology.sherd.table import iter_records, read

CASES = Path(__file__).resolve().parent.parent / "cases" / "tables"
GOOD = sorted(path for path in (CASES / "good").iterdir() if path.suffix != ".toml")


def expected() -> dict[str, list[dict[str, str]]]:
    found = defaultdict(list)
    with (CASES / "bad.csv").open(encoding="utf-8", newline="") as file:
        for line in csv.DictReader(file):
            found[line["file"]].append(line)
    return found


BAD = expected()


def write(folder: Path, text: str, name: str = "t.csv") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.name)
def test_one_table_in_every_form_is_the_same_sherds(path: Path) -> None:
    """comma.csv is the plain one; sherds.jsonld and sherds.ttl are as our own writers once wrote them."""
    plain = read(CASES / "good" / "comma.csv")
    own = read_map(CASES / "good" / "own_headings.toml") if path.stem == "own_headings" else None
    found = read(path, headings=own)
    assert found.faults == ()
    assert sorted(found.sherds, key=lambda sherd: sherd.sherd) == list(plain.sherds)


def test_what_the_plain_table_says() -> None:
    first, second = read(CASES / "good" / "comma.csv").sherds
    assert (first.sherd, first.observer, first.looked) == (
        "K 14/2",
        "AB",
        frozenset({"interior", "exterior", "break"}),
    )
    assert first.seen["site"].text == "Hügel, invented"
    assert [(row.zone, row.layer, row.name, row.number) for row in first.rows] == [
        ("interior", "slip", None, 3),
        ("interior", "paint", "lines", 4),
        ("interior", "paint", "lines", 5),
        ("break", "body", None, 2),
    ]
    paint, refired = first.rows[1:3]
    assert paint.seen["colour"].words == (("black", 0.5), ("brown", 0.5))
    assert paint.seen["patches"].doubtful
    assert (paint.seen["pxrf_mn"].below, paint.seen["pxrf_mn"].number) == (True, 0.02)
    assert refired.seen["refire_c"].number == 800
    assert "colour" not in refired.seen
    assert second.rows[0].seen["colour"].text == "buff?"


@pytest.mark.parametrize("name", sorted(BAD))
def test_bad_files(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each message was read over by eye when it was put down in bad.csv; a changed one must be read again."""
    monkeypatch.chdir(CASES / "bad")
    if BAD[name][0]["unreadable"]:
        with pytest.raises(Unreadable) as refused:
            read(name)
        assert str(refused.value) == BAD[name][0]["unreadable"]
        return
    found = read(name)
    assert [sherd.sherd for sherd in found.sherds] == BAD[name][0]["good"].split()
    told = [
        {
            "row": str(fault.row or ""), "column": fault.column or "", "found": fault.found, "why": fault.why,
            "would_do": fault.would_do, "sherd": fault.sherd or "",
        }
        for fault in found.faults
    ]  # fmt: skip
    assert told == [{key: line[key] for key in told[0]} for line in BAD[name]]
    assert {fault.file for fault in found.faults} == {name}


def test_every_bad_file_is_told_of() -> None:
    assert sorted(BAD) == sorted(path.name for path in (CASES / "bad").iterdir())


@pytest.mark.parametrize("name", sorted(BAD))
def test_every_message_says_what_was_found_and_what_would_do(name: str) -> None:
    for line in BAD[name]:
        assert line["would_do"] or ("found " in line["unreadable"] and "would do: " in line["unreadable"])


def test_a_missing_file_and_a_folder(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="found no such file; would do"):
        read(tmp_path / "missing.csv")
    with pytest.raises(Unreadable, match="found a folder; would do"):
        read(tmp_path)


def test_json_nested_too_deep(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="nested too deep"):
        read(write(tmp_path, "[" * 100_000, "t.json"))


def test_thousands_of_columns(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="100,000 columns"):
        read(write(tmp_path, "," * 99_999 + "\n"))


def test_a_fault_in_one_sherd_leaves_the_others(tmp_path: Path) -> None:
    lines = [
        "sherd,zone,layer,colour",
        *(f"k-{n},rim,slip,{'red' if n % 3 else 'redish'}" for n in range(30)),
    ]
    found = read(write(tmp_path, "\n".join(lines)))
    assert [sherd.sherd for sherd in found.sherds] == [f"k-{n}" for n in range(30) if n % 3]
    assert [fault.sherd for fault in found.faults] == [f"k-{n}" for n in range(0, 30, 3)]
    assert [fault.row for fault in found.faults] == [n + 2 for n in range(0, 30, 3)]


def test_every_fault_of_a_sherd_is_told_at_once(tmp_path: Path) -> None:
    found = read(write(tmp_path, "sherd,zone,layer,colour,edge\nk-1,inn,glaze,redish,wobbly\n"))
    assert [fault.column for fault in found.faults] == ["zone", "layer", "colour", "edge"]


def test_unknown_columns_stop_the_file_unless_they_are_to_be_ignored(tmp_path: Path) -> None:
    path = write(tmp_path, "sherd,zone,layer,colour,price\nk-1,rim,slip,red,7\n")
    stopped = read(path)
    assert (stopped.sherds, [fault.column for fault in stopped.faults]) == ((), ["price"])
    found = read(path, ignore_unknown=True)
    assert (len(found.sherds), found.faults, found.ignored) == (1, (), ("price",))


def test_a_name_for_the_file_is_used_in_faults(tmp_path: Path) -> None:
    path = write(tmp_path, "sherd,zone,layer,colour\nk-1,rim,slip,redish\n")
    (fault,) = read(path, name="upload.csv").faults
    assert fault.file == "upload.csv"


def test_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        sys, "stdin", io.TextIOWrapper(io.BytesIO(b"sherd;zone;layer;wall_mm\nk-1;rim;slip;5,5\n"))
    )
    (sherd,) = read("-").sherds
    assert (sherd.seen["wall_mm"].number, sherd.file) == (5.5, "standard input")


def test_blank_cells_are_nothing_and_rows_of_blanks_are_left_out(tmp_path: Path) -> None:
    found = read(write(tmp_path, "sherd,zone,layer,colour,edge\n,,,,\n k-1 , rim ,slip,red, \n  ,,,,\n"))
    assert found.faults == ()
    assert set(found.sherds[0].rows[0].seen) == {"colour"}


def test_the_blank_cells_of_a_spreadsheet_at_the_end_of_a_heading(tmp_path: Path) -> None:
    assert read(write(tmp_path, "sherd,zone,layer,colour,,\nk-1,rim,slip,red,,\n")).faults == ()


def test_adjacent_sherds_come_as_soon_as_they_are_read(tmp_path: Path) -> None:
    path = write(
        tmp_path,
        "sherd,zone,layer,colour\nb,rim,slip,red\nb,base,slip,red\na,rim,slip,red\nc,rim,slip,redish\n",
    )
    records = list(iter_records(path))
    assert [(record.row, record.sherd.sherd if record.sherd else None) for record in records] == [
        (2, "b"), (4, "a"), (5, None),
    ]  # fmt: skip


def test_rows_that_lie_apart_belong_together(tmp_path: Path) -> None:
    path = write(
        tmp_path,
        "sherd,zone,layer,colour\na,rim,slip,red\nb,rim,slip,red\na,base,slip,buff\nc,rim,slip,red\n",
    )
    assert [(record.row, record.sherd and len(record.sherd.rows)) for record in iter_records(path)] == [
        (3, 1), (5, 1), (2, 2),
    ]  # fmt: skip
    assert [sherd.sherd for sherd in read(path).sherds] == ["a", "b", "c"]


def test_a_blank_sherd_does_not_part_the_rows_round_it(tmp_path: Path) -> None:
    found = read(
        write(tmp_path, "sherd,zone,layer,colour\na,rim,slip,red\n,base,slip,red\na,base,slip,red\n")
    )
    assert [len(sherd.rows) for sherd in found.sherds] == [2]
    assert [fault.row for fault in found.faults] == [3]


def test_a_stream_holds_one_sherd_at_a_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Memory does not grow with the table: no call is ever handed more rows than a sherd has."""
    handed: list[int] = []

    def counted(rows: list[Read], file: str) -> list[Record]:
        handed.append(len(rows))
        return assemble(rows, file)

    monkeypatch.setattr(gather, "assemble", counted)
    lines = [
        "sherd,zone,layer,colour",
        *(f"k-{n // 2},{('rim', 'base')[n % 2]},slip,red" for n in range(4000)),
    ]
    records = iter_records(write(tmp_path, "\n".join(lines)))
    next(records)
    assert handed == [2]
    assert sum(1 for _ in records) == 1999
    assert max(handed) == 2


def test_nothing_comes_out_of_a_file_that_cannot_be_read_to_its_end(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_bytes(
        b"sherd,zone,layer,colour\n" + b"a,rim,slip,red\nb,rim,slip,red\n" * 500 + b"c,rim,slip,r\xe4d\n"
    )
    with pytest.raises(Unreadable, match="line 1002"):
        next(iter_records(path))


def test_a_long_line_on_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(csv_rows, "LONGEST_LINE", 1000)
    with pytest.raises(Unreadable, match="line 2: found a line of more than 1,000 characters"):
        read(write(tmp_path, "sherd,zone,layer,note\nk-1,rim,slip," + "x" * 1001 + "\n"))


@given(st.lists(sherds(), min_size=1, max_size=3, unique_by=lambda sherd: sherd.sherd), st.randoms())
def test_any_sherds_are_read_whatever_the_order_of_their_rows(
    tmp_path_factory: pytest.TempPathFactory, found: list[Sherd], random: object
) -> None:
    path = tmp_path_factory.mktemp("t") / "t.csv"
    with io.StringIO(to_csv(found), newline="") as text:
        heading, *rows = csv.reader(text)
    random.shuffle(rows)  # type: ignore[attr-defined]
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([heading, *rows])
    reading = read(path)
    assert reading.faults == ()
    key = lambda sherd: sherd.sherd  # noqa: E731
    assert sorted(reading.sherds, key=key) == sorted(found, key=key)


@given(st.data())
def test_a_damaged_file_never_raises_anything_else(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    content = bytearray(data.draw(st.sampled_from(GOOD)).read_bytes())
    for _ in range(data.draw(st.integers(1, 6))):
        at = data.draw(st.integers(0, len(content)))
        cut = data.draw(st.integers(0, 20))
        content[at : at + cut] = data.draw(st.binary(max_size=12))
    path = tmp_path_factory.mktemp("t") / "t"
    path.write_bytes(content)
    with suppress(Unreadable):
        found = read(path)
        assert found.sherds or found.faults
        json.dumps([fault.as_data() for fault in found.faults], ensure_ascii=False).encode()
        assert all("\n" not in fault.file for fault in found.faults)
