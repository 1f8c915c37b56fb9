import pytest

from wareontology.sherd import rows
from wareontology.sherd.cells import Refused
from wareontology.sherd.headings import place
from wareontology.sherd.rows import Cell, RowReader

HEAD = ["sherd", "zone", "layer", "name", "colour", "form", "note"]


def reader(*headings: str, guarded: bool = False) -> RowReader:
    return RowReader(place(headings or HEAD, "t"), "t", "point", guarded=guarded)


def told(cells: list[Cell], *headings: str) -> list[tuple[str | None, str, str]]:
    row = reader(*headings).read(7, cells)
    assert all((fault.file, fault.row) == ("t", 7) for fault in row.faults)
    return [(fault.column, fault.found, fault.why) for fault in row.faults]


def test_cells_go_where_they_belong() -> None:
    row = reader().read(2, ["k", "Rim", "SLIP", "wash", "red", "open", "x"])
    assert (row.sherd, row.zone, row.layer, row.name, row.observer) == ("k", "rim", "slip", "wash", None)
    assert (set(row.of_sherd), set(row.of_row), row.faults) == ({"form", "note"}, {"colour"}, [])


def test_a_cell_read_before_is_the_same_cell(monkeypatch: pytest.MonkeyPatch) -> None:
    one = reader()
    first = one.read(2, ["k", "rim", "slip", "", "red", "", ""]).of_row["colour"]
    monkeypatch.setattr(rows, "_MOST_KEPT", 1)
    again = [
        one.read(n, ["k", "rim", "slip", "", word, "", ""]) for n, word in enumerate(["red", "buff", "red"])
    ]
    assert again[0].of_row["colour"] is first
    assert again[2].of_row["colour"] == first  # and where it was forgotten it is read anew


def test_a_refused_cell_keeps_its_words() -> None:
    assert told(["k", "rim", "slip", "", Refused("=1+1", "its value", "a formula"), "", ""]) == [
        ("colour", "=1+1", "a formula")
    ]


@pytest.mark.parametrize(
    ("cells", "faults"),
    [
        (["k", "rim"], [(None, "2 cells", "a row cut short"), ("layer", "", "blank")]),
        (
            ["k", "rim", "slip", "", "red", "", "", "lost"],
            [(None, "lost", "a cell that stands under no heading")],
        ),
        (["k", "rim", "slip", "", "red", "", "", "", ""], []),  # delimiters too many, with nothing between
        (["", "rim", "slip", "", "red", "", ""], [("sherd", "", "blank")]),
        (
            [" ", "", "", "", "red", "", ""],
            [("sherd", "", "blank"), ("zone", "", "blank"), ("layer", "", "blank")],
        ),
        (["k\x00", "rim", "slip", "", "red", "", ""], [("sherd", "k\x00", "a character no text holds")]),
        (["k", "rim-base", "slip", "", "red", "", ""], [("zone", "rim-base", "a row has one zone")]),
    ],
)
def test_what_a_row_must_have(cells: list[Cell], faults: list[tuple[str | None, str, str]]) -> None:
    found = told(cells)
    assert [fault[:2] for fault in found] == [fault[:2] for fault in faults]
    assert all(have[2].startswith(want[2]) for have, want in zip(found, faults, strict=True))


def test_a_cell_under_a_blank_heading() -> None:
    heads = ("sherd", "zone", "layer", "colour", "")
    assert told(["k", "rim", "slip", "red", " "], *heads) == []
    assert told(["k", "rim", "slip", "red", "x"], *heads) == [
        (None, "x", "a cell that stands under no heading")
    ]


@pytest.mark.parametrize(
    ("text", "kept"), [("'=1", "=1"), ("''=1", "'=1"), ("'k'", "'k'"), (" '-1", "-1"), ("'", "'")]
)
def test_the_guard_comes_off_in_csv_only(text: str, kept: str) -> None:
    cells = ["k", "rim", "slip", "", "red", "", text]
    assert reader(guarded=True).read(2, cells).of_sherd["note"].text == kept
    assert reader().read(2, cells).of_sherd["note"].text == text.strip()
