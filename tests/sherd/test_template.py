import csv
import io
import json
import os
from pathlib import Path

import pytest
from openpyxl import load_workbook
from openpyxl.utils import get_column_letter

from wareontology.errors import BreaksShape, Unreadable
from wareontology.sherd import template
from wareontology.sherd.columns import columns
from wareontology.sherd.table import read
from wareontology.sherd.template import FORMATS, Format


@pytest.mark.parametrize("kind", FORMATS)
def test_it_reads_back_without_fault_and_says_it_is_invented(tmp_path: Path, kind: Format) -> None:
    found = read(template.write(tmp_path / f"t.{kind}"))
    assert found.faults == ()
    (sherd,) = found.sherds
    assert "invented" in sherd.seen["note"].text
    assert len(sherd.rows) == 4


def test_every_form_shows_the_same_sherd(tmp_path: Path) -> None:
    shown = [read(template.write(tmp_path / f"t.{kind}")).sherds for kind in FORMATS]
    assert shown[0] == shown[1] == shown[2]


def test_the_heading_is_every_column_in_order() -> None:
    heading = next(csv.reader(io.StringIO(template.content("csv").decode())))
    assert heading == [column.name for column in columns()]


def test_json_is_ours() -> None:
    assert set(json.loads(template.content("json"))) >= {"@context", "sherd", "rows"}


def test_the_workbook_explains_every_column_on_its_second_sheet() -> None:
    book = load_workbook(io.BytesIO(template.content("xlsx")))
    assert book.sheetnames == ["sherds", "columns"]
    rows = list(book["columns"].iter_rows(min_row=2, values_only=True))
    assert [(row[0], row[2], row[4]) for row in rows] == [
        (column.name, column.meaning, column.how_to_see) for column in columns()
    ]


def test_what_looks_like_a_date_is_kept_as_text_in_the_workbook() -> None:
    sheet = load_workbook(io.BytesIO(template.content("xlsx")))["sherds"]
    for at, column in enumerate(columns(), start=1):
        form = sheet.column_dimensions[get_column_letter(at)].number_format
        assert (form == "@") == (column.kind not in ("number", "measure"))


def test_the_companion_explains_every_column() -> None:
    text = template.companion()
    assert all(column.meaning.split(".")[0][:30] in " ".join(text.split()) for column in columns())


def test_a_file_that_is_there_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_text("mine")
    with pytest.raises(BreaksShape, match="a file of that name"):
        template.write(path)
    assert path.read_text() == "mine"
    template.write(path, overwrite=True)
    assert path.read_text() != "mine"


@pytest.mark.parametrize("name", ["t.ods", "t", "t.txt"])
def test_an_ending_that_is_none_of_ours(tmp_path: Path, name: str) -> None:
    with pytest.raises(BreaksShape, match=r"a name that ends in \.csv, \.xlsx, \.json"):
        template.write(tmp_path / name)
    assert template.write(tmp_path / name, "csv").read_text().startswith("sherd,")


def test_where_it_cannot_be_written_nothing_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(Unreadable, match=r"cannot be written \(No such file or directory\); would do: "):
        template.write(tmp_path / "missing" / "t.csv")

    def full(*_: object) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(Unreadable, match="No space left on device"):
        template.write(tmp_path / "t.csv")
    assert list(tmp_path.iterdir()) == []
