import datetime
import io
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from wareontology.errors import Unreadable
from wareontology.sherd import xlsx
from wareontology.sherd.gather import Reading
from wareontology.sherd.table import read

HEAD = ["sherd", "zone", "layer", "colour", "wall_mm", "slakes", "note"]


def saved(folder: Path, *rows: list[Any], change: Callable[[Worksheet], None] | None = None) -> Path:
    book = Workbook()
    sheet = book.worksheets[0]
    for row in rows:
        sheet.append(row)
    if change is not None:
        change(sheet)
    path = folder / "t.xlsx"
    book.save(path)
    return path


def faults(found: Reading) -> list[tuple[int | None, str | None, str, str]]:
    return [(fault.row, fault.column, fault.found, fault.why) for fault in found.faults]


def test_values_of_every_kind(tmp_path: Path) -> None:
    (sherd,) = read(saved(tmp_path, HEAD, [14, "rim", "slip", "cream?", 5.5, True, "=no formula"[1:]])).sherds
    assert (sherd.sherd, sherd.seen["wall_mm"].number, sherd.word("slakes")) == ("14", 5.5, "yes")
    assert sherd.rows[0].seen["colour"].doubtful


def test_a_number_with_three_decimals_is_no_thousands(tmp_path: Path) -> None:
    (sherd,) = read(saved(tmp_path, HEAD, ["k", "rim", "slip", "red", 1.125])).sherds
    assert sherd.seen["wall_mm"].number == 1.125


def test_blank_cells_at_the_ends_are_no_ragged_rows(tmp_path: Path) -> None:
    path = saved(tmp_path, HEAD, ["k", "rim", "slip", "red"], [], ["m", None, None], [None])
    found = read(path)
    assert [sherd.sherd for sherd in found.sherds] == ["k"]
    assert {fault.row for fault in found.faults} == {4}  # counted as the sheet counts


def test_the_first_sheet_that_has_a_heading_sherd(tmp_path: Path) -> None:
    book = Workbook()
    book.worksheets[0].append(["what this is", "invented sherds"])
    book.create_sheet("blank")
    good = book.create_sheet("lot")
    good.append(["# invented"])
    good.append(["Sherd", "Zone", "Layer", "Colour"])
    good.append(["k", "rim", "slip", "redish"])
    book.save(tmp_path / "t.xlsx")
    assert faults(read(tmp_path / "t.xlsx")) == [(3, "colour", "redish", "")]


def test_no_sheet_with_a_heading_sherd(tmp_path: Path) -> None:
    with pytest.raises(
        Unreadable, match=r"no sheet whose first row has the heading sherd \(sheets: 'Sheet'\)"
    ):
        read(saved(tmp_path, ["zone", "layer"], ["rim", "slip"]))


def test_own_headings_name_the_sheet_too(tmp_path: Path) -> None:
    path = saved(tmp_path, ["Scherbe", "zone", "layer", "colour"], ["k", "rim", "slip", "red"])
    assert len(read(path, headings={"Scherbe": "sherd"}).sherds) == 1


@pytest.mark.parametrize(
    ("value", "found", "why"),
    [
        ("=1+1", "=1+1", "a formula"),
        ('=HYPERLINK("http://x","y")', '=HYPERLINK("http://x","y")', "a formula"),
        ("#N/A", "#N/A", "an error of the spreadsheet"),
        (
            datetime.datetime(2031, 4, 3),
            "2031-04-03 00:00:00",
            "a date; spreadsheets make dates of what looks like one",
        ),
        (datetime.time(3, 4), "03:04:00", "a date; spreadsheets make dates of what looks like one"),
    ],
)
def test_a_cell_that_is_no_value_is_refused_where_it_stands(
    tmp_path: Path, value: object, found: str, why: str
) -> None:
    path = saved(tmp_path, HEAD, ["k", "rim", "slip", "red", None, None, value], ["ok", "rim", "slip", "red"])
    reading = read(path)
    assert [sherd.sherd for sherd in reading.sherds] == ["ok"]
    assert faults(reading) == [(2, "note", found, why)]


def test_text_that_only_looks_like_a_formula_is_text(tmp_path: Path) -> None:
    def as_text(sheet: Worksheet) -> None:
        sheet["G2"].value = "=1+1"
        sheet["G2"].data_type = "s"

    path = saved(tmp_path, HEAD, ["k", "rim", "slip", "red", None, None, "x"], change=as_text)
    assert read(path).sherds[0].seen["note"].text == "=1+1"


def test_a_merged_sherd_cell_counts_for_its_first_row_only(tmp_path: Path) -> None:
    rows: list[list[Any]] = [["k", "rim", "slip", "red"], [None, "base", "slip", "red"]]
    path = saved(tmp_path, HEAD, *rows, change=lambda sheet: sheet.merge_cells("A2:A3"))
    assert faults(read(path)) == [(3, "sherd", "", "blank, but required")]


def zipped(**parts: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as pack:
        for name, content in parts.items():
            pack.writestr(name, content)
    return out.getvalue()


def test_a_zip_bomb_is_refused_by_what_it_declares(tmp_path: Path) -> None:
    path = tmp_path / "t.xlsx"
    path.write_bytes(zipped(sheet=bytes(xlsx.MOST_UNPACKED + 1)))
    assert path.stat().st_size < 2**20
    with pytest.raises(Unreadable, match="unpacks to over 256 MB"):
        read(path)


def changed(path: Path, part: str, old: bytes, new: bytes) -> None:
    """Replaces text inside one part of a workbook."""
    with zipfile.ZipFile(path) as pack:
        parts = {name: pack.read(name) for name in pack.namelist()}
    assert old in parts[part]
    parts[part] = parts[part].replace(old, new)
    path.write_bytes(zipped(**parts))


BOMB = (
    b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">'
    + b"".join(b'<!ENTITY %c "%s">' % (98 + n, b"&%c;" % (97 + n) * 10) for n in range(9))
    + b"]>"
)  # ten to the tenth letters


@pytest.mark.parametrize("part", ["xl/worksheets/sheet1.xml", "xl/workbook.xml"])
def test_an_entity_bomb_is_unreadable(tmp_path: Path, part: str) -> None:
    path = saved(tmp_path, HEAD, ["k", "rim", "slip", "red"])
    with zipfile.ZipFile(path) as pack:
        parts = {name: pack.read(name) for name in pack.namelist()}
    root = parts[part][parts[part].index(b"<", 1) :] if parts[part].startswith(b"<?") else parts[part]
    at = root.index(b">") + 1
    parts[part] = BOMB + root[:at] + b"&j;" + root[at:]
    path.write_bytes(zipped(**parts))
    with pytest.raises(Unreadable, match="no workbook that can be read"):
        read(path)


@pytest.mark.parametrize("dimension", [b"A1:XFD1048576", b"A1:A1"])
def test_what_a_sheet_says_of_its_size_is_not_believed(tmp_path: Path, dimension: bytes) -> None:
    path = saved(tmp_path, HEAD[:4], ["k", "rim", "slip", "red"])
    changed(path, "xl/worksheets/sheet1.xml", b"A1:D2", dimension)
    assert len(read(path).sherds) == 1


def test_a_row_beyond_any_sheet(tmp_path: Path) -> None:
    path = saved(tmp_path, HEAD[:4], ["k", "rim", "slip", "red"])
    changed(path, "xl/worksheets/sheet1.xml", b'<row r="2"', b'<row r="99999999999"')
    with pytest.raises(Unreadable, match="a row beyond 1,048,576"):
        read(path)


def test_too_many_columns(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="row 2: found 1,001 columns"):
        read(saved(tmp_path, HEAD, [None] * 1000 + ["x"]))


def test_too_many_cells(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(xlsx, "MOST_CELLS", 10)
    with pytest.raises(Unreadable, match="more than 10 cells"):
        read(saved(tmp_path, HEAD, *[["k", "rim", "slip", "red"]] * 3))


@pytest.mark.parametrize("part", ["[Content_Types].xml", "xl/workbook.xml", "xl/worksheets/sheet1.xml"])
def test_a_workbook_with_a_part_missing_or_broken(tmp_path: Path, part: str) -> None:
    path = saved(tmp_path, HEAD, ["k", "rim", "slip", "red"])
    with zipfile.ZipFile(path) as pack:
        parts = {name: pack.read(name) for name in pack.namelist()}
    for broken in (
        {name: content for name, content in parts.items() if name != part},
        {**parts, part: b"<x"},
    ):
        path.write_bytes(zipped(**broken))
        with pytest.raises(Unreadable, match=r"found no (workbook|sheet)"):
            read(path)


def test_a_file_cut_short(tmp_path: Path) -> None:
    path = saved(tmp_path, HEAD, ["k", "rim", "slip", "red"])
    path.write_bytes(path.read_bytes()[:-200])
    with pytest.raises(Unreadable, match="found a damaged zip"):
        read(path)
