"""The table of constants: what it must hold of each row, and what it refuses."""

from pathlib import Path

import pytest

from wareontology.errors import BreaksShape, Unreadable
from wareontology.redox import constants as module
from wareontology.redox.constants import COLUMNS, Constants

HEAD = ",".join(COLUMNS)
GOOD = "wall,wall,0.005,0.003,0.012,m,,,bowl,invented,judgement"


def test_every_row_names_its_source_range_and_provenance(constants: Constants) -> None:
    assert len(constants.rows) > 400
    for row in constants.rows:
        assert row.source, row
        assert row.provenance in module.PROVENANCE, row


def test_what_is_judged_has_a_range_or_says_it_is_assumed(constants: Constants) -> None:
    for row in constants.rows:
        if row.provenance == "judgement" and row.low is None:
            assert any(word in row.source for word in ("assum", "taken as", "no verdict", "differ by")), row


def test_no_number_from_memory_is_named_as_published(constants: Constants) -> None:
    for row in constants.rows:
        if row.provenance == "memory":
            assert "memory" in row.source, row


def test_what_is_bridged_or_assumed_says_so(constants: Constants) -> None:
    assert "not a published number" in constants.one("magnetite-reoxidation", "D_reference").source
    for symbol in ("k_reference", "E"):
        row = constants.one("hematite-reduction", symbol)
        assert row.source == "an assumption of ours with no source"
        assert row.provenance == "judgement"


@pytest.mark.parametrize(
    ("row", "why"),
    [
        (GOOD.replace("judgement", "published"), "provenance"),
        (GOOD.replace("invented", ""), "no source"),
        (GOOD.replace("0.005", "five"), "could not convert"),
        (GOOD.replace("0.005", "0.5"), "outside"),
        (GOOD + ",more", "too many values"),
    ],
)
def test_a_bad_row_is_named(row: str, why: str) -> None:
    with pytest.raises(BreaksShape, match="row 3") as caught:
        module.read(["# provenance", HEAD, row], "lot.csv")
    assert why in caught.value.faults[0].why


def test_wrong_columns_and_a_missing_file_are_unreadable(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="columns found"):
        module.read(["name,value", "wall,1"])
    with pytest.raises(Unreadable, match="No such file"):
        module.load(tmp_path / "none.csv")


def test_what_is_not_there_is_named(constants: Constants) -> None:
    with pytest.raises(Unreadable, match="'wings'"):
        constants.value("bowl", "wings")
    with pytest.raises(Unreadable, match="'gold-silver'"):
        constants.segments("gold-silver")
