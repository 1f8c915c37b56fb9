"""Reading what the tiles showed: every fault named, faults of firing by any of their names."""

import pytest

from wareontology.errors import BreaksShape, Unreadable
from wareontology.firing.outcome_read import from_text, read, template
from wareontology.paths import data


def test_the_invented_outcome_is_read() -> None:
    found = read(data("demo", "outcome.csv"))
    assert sum(one.tiles for one in found) == 14
    assert {one.fault for one in found} == {"", "red-flash"}
    assert all(one.soft is False for one in found)


def test_a_blank_is_not_looked_at() -> None:
    (one,) = from_text("place,zone,colour,smoked,soft\nmid,inside,black,,\n")
    assert (one.smoked, one.soft) == (None, None)


def test_every_fault_is_named() -> None:
    with pytest.raises(BreaksShape) as error:
        from_text("place,zone,tiles,colour,fault\nmid,,2,blak,spaling\n,inside,0,red,\n")
    said = [(fault.row, fault.column, fault.would_do) for fault in error.value.faults]
    assert said == [
        (2, "colour", "black"),
        (2, "zone", "outside or inside"),
        (2, "fault", "spalling or crawling; or the words under note"),
        (3, "place", "top or mid or bottom"),
        (3, "tiles", "a whole number, 1 to 500"),
    ]


@pytest.mark.parametrize("text", ["", "place,zone,colur\n"])
def test_what_is_no_outcome_is_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        from_text(text)


def test_an_outcome_without_a_row_is_refused() -> None:
    with pytest.raises(BreaksShape, match="no row"):
        from_text(template())
