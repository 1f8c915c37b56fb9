"""Two records of a sherd compared cell by cell."""

from typing import Any

from hypothesis import given

from tests.sherd.strategies import sherds
from wareontology.sherd.compare import differences
from wareontology.sherd.jsonld import from_jsonld
from wareontology.sherd.record import Sherd


def sherd(*rows: dict[str, Any], **cells: Any) -> Sherd:
    return from_jsonld({"sherd": "K", **cells, "rows": list(rows)})


SLIP: dict[str, Any] = {"zone": "rim", "layer": "slip", "colour": "white"}
PAINT: dict[str, Any] = {"zone": "rim", "layer": "paint", "name": "line", "edge": "sharp"}


def test_cells_changed_added_and_taken_away() -> None:
    before = sherd(SLIP, PAINT, form="open")
    after = sherd({**SLIP, "colour": "cream", "lustre": "matte"}, form="closed")
    assert [(one.where, one.column, one.before, one.after) for one in differences(before, after)] == [
        ("the sherd", "form", "open", "closed"),
        ("rim, slip", "colour", "white", "cream"),
        ("rim, slip", "lustre", "", "matte"),
        ('rim, paint "line"', "edge", "sharp", ""),
    ]


def test_each_step_of_a_refiring_is_a_row_of_its_own() -> None:
    step = {**PAINT, "refire_c": 700, "refire_colour": "black"}
    found = differences(sherd(step), sherd(step, {**step, "refire_c": 800, "refire_colour": "red"}))
    assert [(one.column, one.before, one.after) for one in found] == [
        ("edge", "", "sharp"), ("refire_c", "", "800"), ("refire_colour", "", "red"),
    ]  # fmt: skip


@given(sherds())
def test_a_record_does_not_differ_from_itself(one: Sherd) -> None:
    assert differences(one, one) == []


@given(sherds(), sherds())
def test_turned_round_it_is_the_same_turned_round(one: Sherd, other: Sherd) -> None:
    there = {(d.zone, d.layer, d.name, d.column, d.before, d.after) for d in differences(one, other)}
    back = {(d.zone, d.layer, d.name, d.column, d.after, d.before) for d in differences(other, one)}
    assert there == back
