from hypothesis import given
from hypothesis import strategies as st

from tests.sherd.strategies import sherds
from wareontology.sherd.assemble import Read, assemble, in_order
from wareontology.sherd.cells import parse
from wareontology.sherd.columns import column
from wareontology.sherd.record import Seen, Sherd


def seen(name: str, text: str) -> Seen:
    found = parse(column(name), text)
    assert isinstance(found, Seen)
    return found


def row(number: int, zone: str = "rim", layer: str = "slip", **cells: str) -> Read:
    read = Read(number, "k-1", cells.pop("observer", None), zone, layer, cells.pop("name", None))
    for name, text in cells.items():
        (read.of_sherd if column(name).of == "sherd" else read.of_row)[name] = seen(name, text)
    return read


def faults(*rows: Read) -> list[tuple[int | None, str | None]]:
    return [(fault.row, fault.column) for record in assemble(rows, "t") for fault in record.faults]


def test_one_sherd() -> None:
    (record,) = assemble([row(3, colour="red"), row(2, "break", "body", form="open", colour="grey")], "t")
    assert record.row == 2
    assert record.sherd is not None
    assert record.sherd.seen == {"form": seen("form", "open")}
    assert [(one.zone, one.number) for one in record.sherd.rows] == [("rim", 3), ("break", 2)]


def test_equal_or_blank_agrees() -> None:
    assert (
        faults(row(2, form="open", colour="red"), row(3, "base"), row(4, "break", "body", form="open")) == []
    )


def test_each_disagreement_is_named_on_its_row() -> None:
    rows = [
        row(2, form="open", colour="red"),
        row(3, "base", form="closed"),
        row(4, "interior", form="open?"),
    ]
    assert faults(*rows) == [(3, "form"), (4, "form")]


def test_two_observers_are_two_records_and_may_disagree() -> None:
    records = assemble(
        [
            row(2, observer="AB", colour="red", hardness="soft"),
            row(3, observer="CD", colour="brown", hardness="hard"),
        ],
        "t",
    )
    assert [record.sherd and record.sherd.observer for record in records] == ["AB", "CD"]


def test_rows_with_and_without_an_observer_are_nobodys() -> None:
    rows = [row(2, observer="AB", colour="red"), row(3, "base", colour="red")]
    records = assemble(rows, "t")
    assert [record.sherd for record in records] == [None, None]
    assert [fault.row for record in records for fault in record.faults] == [3]


def test_a_refiring_series_is_no_duplicate_but_a_step_told_twice_is() -> None:
    steps = [row(2, colour="black"), row(3, refire_c="700"), row(4, refire_c="800")]
    assert faults(*steps) == []
    assert faults(*steps, row(5, refire_c="800.0")) == [(5, "zone")]


def test_a_name_tells_two_paints_apart() -> None:
    named = [
        row(2, layer="paint", name="black", colour="black"),
        row(3, layer="paint", name="red", colour="red"),
    ]
    assert faults(*named) == []
    assert faults(row(2, layer="paint", colour="black"), row(3, layer="paint", colour="red")) == [(3, "zone")]


def test_what_only_the_whole_shows() -> None:
    assert faults(row(2, layer="body", core="full")) == [(2, "core")]
    assert faults(row(2, "break", "body", core="full")) == []
    assert faults(row(2, layer="paint", on="wash", colour="red")) == [(2, "on")]
    named = row(3, name="wash", colour="white")
    for on in ("wash", "slip:wash", "slip", "body"):
        assert faults(row(2, layer="paint", on=on, colour="red"), named) == []
    assert faults(row(2, colour="red", date_from="100", date_to="50")) == [(2, "date_from")]
    assert faults(row(2, colour="red", date_from="100", date_to="100")) == []


def test_something_must_have_been_observed() -> None:
    assert faults(row(2)) == [(2, None)]
    assert faults(row(2, note="white?", on="body", looked="rim", region="world", method="Raman")) == [
        (2, None)
    ]
    assert faults(row(2, hardness="soft")) == []
    assert faults(row(2, magnet="none")) == []


@given(sherds(), st.randoms())
def test_the_order_of_rows_never_matters(sherd: Sherd, random: object) -> None:
    rows = list(sherd.rows)
    random.shuffle(rows)  # type: ignore[attr-defined]
    assert in_order(rows) == sherd.rows


@given(sherds())
def test_rows_of_any_sherd_give_that_sherd(sherd: Sherd) -> None:
    reads = [
        Read(at, sherd.sherd, sherd.observer, one.zone, one.layer, one.name, dict(sherd.seen), dict(one.seen))
        for at, one in enumerate(sherd.rows, start=2)
    ]
    (record,) = assemble(reads[::-1], "t")
    assert record.sherd == sherd
