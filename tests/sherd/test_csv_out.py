import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.sherd.strategies import sherds
from wareontology.sherd.cells import parse
from wareontology.sherd.columns import column
from wareontology.sherd.csv_out import to_csv
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.sherd.table import read

CREAM = Seen("colour", "cream", (("cream", 1.0),))


def lines(*found: Sherd) -> list[list[str]]:
    return list(csv.reader(io.StringIO(to_csv(found), newline="")))


def noted(name: str, note: str) -> Sherd:
    return Sherd(name, None, {"note": Seen("note", note)}, (Row("rim", "slip", None, {"colour": CREAM}),))


def test_only_columns_that_are_used_in_their_order() -> None:
    assert lines(noted("k", "x")) == [
        ["sherd", "note", "zone", "layer", "colour"],
        ["k", "x", "rim", "slip", "cream"],
    ]


def test_nothing_is_a_heading() -> None:
    assert lines() == [["sherd", "zone", "layer"]]


@pytest.mark.parametrize("text", ["=1+1", "+5", "-5", "@x", "'=1", "''-x"])
def test_what_a_spreadsheet_would_work_out_is_guarded(text: str) -> None:
    _, row = lines(noted(text, text))
    assert row[:2] == ["'" + text] * 2


@pytest.mark.parametrize("text", ["'quoted'", "1-2", "a=b", "'"])
def test_other_text_is_left_alone(text: str) -> None:
    assert lines(noted(text, text))[1][:2] == [text] * 2


def test_a_year_before_our_era_is_a_number_and_no_formula() -> None:
    year = parse(column("date_from"), "-1400")
    assert isinstance(year, Seen)
    sherd = Sherd("k", None, {"date_from": year}, (Row("rim", "slip", None, {"colour": CREAM}),))
    assert lines(sherd)[1][1] == "-1400"


@given(st.lists(sherds(), min_size=1, max_size=3, unique_by=lambda sherd: sherd.sherd))
def test_sherds_read_back_as_they_were(tmp_path_factory: pytest.TempPathFactory, found: list[Sherd]) -> None:
    path = tmp_path_factory.mktemp("t") / "t.csv"
    path.write_bytes(to_csv(found).encode())
    reading = read(path)
    assert reading.faults == ()
    assert list(reading.sherds) == found


@given(sherds())
def test_no_cell_of_text_is_a_formula(sherd: Sherd) -> None:
    heading, *rows = lines(sherd)
    for row in rows:
        for name, cell in zip(heading, row, strict=True):
            assert cell[:1] not in ("=", "+", "@", "\t", "\r")
            assert cell[:1] != "-" or column(name).kind == "number"
