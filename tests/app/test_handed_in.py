"""A hostile or oversized table is refused before it costs anything."""

import io
import zipfile

import pytest
from openpyxl import Workbook

from wareontology.app import DEFAULTS
from wareontology.app.handed_in import read
from wareontology.errors import Unreadable

HEAD = b"sherd,zone,layer,colour\n"
ROW = b"A-%d,rim,slip,white\n"
SHEET = "xl/worksheets/sheet1.xml"


def refused(content: bytes, name: str, **caps: int) -> str:
    with pytest.raises(Unreadable) as found:
        read(io.BytesIO(content), name, {**DEFAULTS, **caps})
    return str(found.value)


def workbook(sheets: int = 1, rows: int = 3) -> bytes:
    book = Workbook()
    book.remove(book.worksheets[0])
    for _ in range(sheets):
        sheet = book.create_sheet()
        for row in range(rows):
            sheet.append([f"A-{row}", "rim", "slip", "white"])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def with_sheet(xml: bytes) -> bytes:
    """A workbook whose first sheet is replaced by bytes of one's own."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(workbook())) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for part in old.infolist():
            new.writestr(part.filename, xml if part.filename == SHEET else old.read(part))
    return out.getvalue()


def test_a_table_is_read_in_its_order() -> None:
    found = read(io.BytesIO(HEAD + ROW % 2 + ROW % 1), "lot.csv", DEFAULTS)
    assert [sherd.sherd for sherd in found.sherds] == ["A-2", "A-1"]


@pytest.mark.parametrize("name", ["lot.exe", "lot", "lot.xls", "lot.json", ".csv.zip"])
def test_another_kind_of_file_is_refused(name: str) -> None:
    assert "would do: a table as .csv or .xlsx" in refused(HEAD, name)


def test_rows_cells_and_sherds_are_capped() -> None:
    many = HEAD + b"".join(ROW % number for number in range(50))
    assert "more than 20 rows" in refused(many, "lot.csv", MOST_ROWS=20)
    assert "more than 100 cells" in refused(many, "lot.csv", MOST_CELLS=100)
    assert "more than 10 sherds" in refused(many, "lot.csv", MOST_SHERDS=10)


def test_rows_sheets_and_bytes_of_a_workbook_are_capped() -> None:
    assert "more than 20 rows" in refused(workbook(rows=30), "lot.xlsx", MOST_ROWS=20)
    assert "found 4 sheets" in refused(workbook(sheets=4), "lot.xlsx", MOST_SHEETS=3)
    assert "unpacks to over" in refused(workbook(rows=300), "lot.xlsx", MOST_UNPACKED=2_000)


def test_a_bomb_of_repeated_bytes_is_refused_by_what_it_unpacks_to() -> None:
    bomb = with_sheet(b"<worksheet>" + b" " * (65 * 2**20) + b"</worksheet>")
    assert len(bomb) < 200_000
    assert "unpacks to over 64 MB" in refused(bomb, "lot.xlsx")


def test_a_bomb_of_rows_is_refused_before_it_is_parsed() -> None:
    bomb = with_sheet(b"<worksheet><sheetData>" + b"<row/>" * 2_000_000)
    assert "more than 20,000 rows" in refused(bomb, "lot.xlsx")


def test_a_bomb_of_entities_is_refused() -> None:
    """Nested entities, each ten of the one before: the XML parser's own guard stops it."""
    entities = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 10))
    xml = (
        f'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e0 "sherdsherdsherd">{entities}]>'
        '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1">'
        '<c r="A1" t="inlineStr"><is><t>&e9;</t></is></c></row></sheetData></worksheet>'
    )
    assert "found no workbook that can be read" in refused(with_sheet(xml.encode()), "lot.xlsx")


def test_a_lie_about_its_size_does_not_help() -> None:
    """A zip that declares less than it holds: no more than it declares is read."""
    content = bytearray(with_sheet(b"<worksheet><sheetData>" + b"<row/>" * 100_000))
    at = (
        content.rfind(SHEET.encode()) - 46 + 24
    )  # the size unpacked, in the central directory (PKWARE APPNOTE 4.3.12)
    content[at : at + 4] = (10).to_bytes(4, "little")
    assert "would do" in refused(bytes(content), "lot.xlsx")


@pytest.mark.parametrize(
    "content", [b"PK", b"PK\x03\x04" + b"\0" * 60, b"", b"\0\1\2", b"\xd0\xcf\x11\xe0 old"]
)
def test_what_is_no_table_is_refused_in_words(content: bytes) -> None:
    assert "would do" in refused(content, "lot.xlsx")
