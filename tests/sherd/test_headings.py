from pathlib import Path

import pytest

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.sherd.headings import MOST_COLUMNS, place, read_map

NEEDED = ["sherd", "zone", "layer"]


def names(headings: list[str], own: dict[str, str] | None = None) -> list[str | None]:
    placed = place(headings, "t.csv", own=own)
    assert placed.faults == ()
    return [column.name if column else None for column in placed.columns]


def test_headings_of_any_spelling() -> None:
    assert names(["SHERD", " Zone ", "layer", "Fire-clouds", "wall mm"]) == [
        *NEEDED,
        "fire_clouds",
        "wall_mm",
    ]


def test_own_headings() -> None:
    own = {"Scherbe": "sherd", "Farbe ": "Colour"}
    assert names(["Scherbe", "zone", "layer", "Farbe"], own) == [*NEEDED, "colour"]


def test_an_own_heading_outranks_a_column_of_that_name() -> None:
    assert names([*NEEDED, "note", "colour"], {"note": "site"}) == [*NEEDED, "site", "colour"]


def test_a_blank_heading_is_a_place_that_is_not_read() -> None:
    placed = place([*NEEDED, "", "colour"], "t.csv")
    assert placed.columns[3] is None
    assert placed.headed == (True, True, True, False, True)


@pytest.mark.parametrize(
    ("headings", "own", "fault"),
    [
        ([*NEEDED, "colur"], {}, Fault("t.csv", 1, "colur", "colur", "colour", None, "no such column")),
        (
            [*NEEDED, "zzz"],
            {},
            Fault("t.csv", 1, "zzz", "zzz", "a column that `columns` lists", None, "no such column"),
        ),
        (
            [*NEEDED, "Farbe"],
            {"Farbe": "coulour"},
            Fault("t.csv", 1, "Farbe", "coulour", "colour", None, "the heading map names no column"),
        ),
        (
            [*NEEDED, "colour", "colour"],
            {},
            Fault("t.csv", 1, "colour", "colour", "one column colour", None, "colour twice"),
        ),
        (
            [*NEEDED, "colour", "Farbe"],
            {"Farbe": "colour"},
            Fault(
                "t.csv",
                1,
                "Farbe",
                "Farbe",
                "one column colour",
                None,
                "'colour' and 'Farbe' are both colour",
            ),
        ),
        (
            ["sherd", "zone"],
            {},
            Fault("t.csv", 1, "layer", "no such heading", "a column layer", None, "required"),
        ),
    ],
)
def test_faults_of_a_heading(headings: list[str], own: dict[str, str], fault: Fault) -> None:
    assert place(headings, "t.csv", own=own).faults == (fault,)


def test_unknown_columns_are_ignored_only_when_asked() -> None:
    placed = place([*NEEDED, "colur", "zzz"], "t.csv", ignore_unknown=True)
    assert (placed.faults, placed.ignored) == ((), ("colur", "zzz"))
    asked_for = place([*NEEDED, "Farbe"], "t.csv", own={"Farbe": "zzz"}, ignore_unknown=True)
    assert len(asked_for.faults) == 1  # a person who maps a heading wants it read


def test_a_heading_no_screen_should_show_is_written_out() -> None:
    (fault,) = place([*NEEDED, "\x1b[31m\ud83d" + "x" * 100], "t.csv").faults
    assert str(fault).isprintable()
    assert len(fault.found) < 100


def test_too_many_columns() -> None:
    with pytest.raises(Unreadable, match="1,001 columns"):
        place(["x"] * (MOST_COLUMNS + 1), "t.csv")


def test_a_map_of_headings(cases: Path) -> None:
    assert read_map(cases / "good" / "own_headings.toml") == {
        "Scherbe Nr.": "sherd", "Stelle": "zone", "Schicht": "layer", "Farbe": "colour",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("content", "raised", "message"),
    [
        (
            b"[headings]\n'Farbe' = 'coulour'\n",
            BreaksShape,
            "found 'coulour' .no such column.; would do: colour",
        ),
        (b"[headings]\n'Farbe' = 3\n", BreaksShape, "found '3'"),
        (b"Farbe = 'colour'\n", BreaksShape, "a table .headings."),
        (b"", BreaksShape, "found 'nothing'"),
        (b"headings = 3\n", BreaksShape, "a table .headings."),
        (b"[headings\n", Unreadable, "found no TOML"),
        (b"\xff\xfe", Unreadable, "found no TOML"),
    ],
)
def test_a_map_that_will_not_do(
    tmp_path: Path, content: bytes, raised: type[Exception], message: str
) -> None:
    path = tmp_path / "map.toml"
    path.write_bytes(content)
    with pytest.raises(raised, match=message):
        read_map(path)


@pytest.mark.parametrize("name", ["missing.toml", "", "a\0b"])
def test_a_map_that_is_not_there(tmp_path: Path, name: str) -> None:
    with pytest.raises(Unreadable, match="would do: TOML"):
        read_map(f"{tmp_path}/{name}")
