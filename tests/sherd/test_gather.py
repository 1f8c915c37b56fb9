from collections.abc import Sequence

from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import Fault
from wareontology.sherd.assemble import Record
from wareontology.sherd.gather import Table, gathered, placed, records
from wareontology.sherd.rows import Cell

HEAD = ["sherd", "zone", "layer", "name", "colour"]


def found(rows: Sequence[tuple[int, Sequence[Cell]]], headings: list[str] = HEAD) -> list[Record]:
    table = Table("t", headings, 1, rows)
    return list(records(table, placed(table, None, False)))


def line(number: int, sherd: str, colour: str = "red") -> tuple[int, list[Cell]]:
    return number, [sherd, "rim", "slip", f"n{number}", colour]


@given(st.lists(st.sampled_from(["a", "b", "c", ""]), min_size=1, max_size=12))
def test_every_row_is_in_one_record_of_its_sherd(order: list[str]) -> None:
    got = found([line(number, sherd) for number, sherd in enumerate(order, start=2)])
    whole = {record.sherd.sherd: record.sherd for record in got if record.sherd is not None}
    for name in set(order) - {""}:
        numbers = {row.number for row in whole[name].rows}
        assert numbers == {number for number, sherd in enumerate(order, start=2) if sherd == name}
    assert len(whole) == sum(record.sherd is not None for record in got)
    blanks = [record.row for record in got if record.sherd is None]
    assert blanks == [number for number, sherd in enumerate(order, start=2) if sherd == ""]


@given(st.lists(st.sampled_from(["a", "b", "c"]), min_size=1, max_size=12))
def test_sherds_come_in_the_order_of_their_first_rows(order: list[str]) -> None:
    reading = gathered(found([line(number, sherd) for number, sherd in enumerate(order, start=2)]))
    assert [sherd.sherd for sherd in reading.sherds] == list(dict.fromkeys(order))


def test_faults_come_in_the_order_of_rows() -> None:
    rows = [line(2, "a"), line(3, "b", "redish"), line(4, "a", "wobbly"), line(5, "a"), line(6, "b", "x")]
    assert [fault.row for fault in gathered(found(rows)).faults] == [3, 4, 6]


def test_no_rows() -> None:
    for rows in ([], [(2, [""] * 5)], [(2, [" ", "", "", "", "\t"])]):
        (record,) = found(rows)
        assert record == Record(
            0, None, (Fault("t", None, None, "no rows", "a row for each layer in each zone"),)
        )


def test_a_faulty_heading_stops_the_table() -> None:
    (record,) = found([line(2, "a")], ["sherd", "zone", "layer", "name", "colur"])
    assert record.sherd is None
    assert [fault.found for fault in record.faults] == ["colur"]
