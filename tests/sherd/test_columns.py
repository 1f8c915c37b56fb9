from pathlib import Path

import pytest

from wareontology.errors import BreaksShape
from wareontology.graph.vocabulary import schemes
from wareontology.sherd import cells
from wareontology.sherd.columns import (
    ABOUT,
    FIELDS,
    REQUIRED,
    Column,
    allowed,
    as_data,
    as_text,
    column,
    columns,
    find,
    nearest,
    select,
)
from wareontology.sherd.record import Seen
from wareontology.technique import hypotheses

KINDS = {"word", "words", "zones", "colour", "munsell", "number", "measure", "text"}
COLOURS = "white cream buff orange red brown grey black green purple silver yellow blue"

# The columns as they are promised, in their order: of the sherd, of the layer in the zone, tests.
PROMISED = {
    "sherd": "sherd region site context ware accession vessel joins sherd_part form diameter_cm rim_percent"
    " wall_mm temper hardness ring slakes fire_clouds marks spalled lime_pops kiln_evidence looked count"
    " weight_g date_from date_to owner permission note",
    "layer": "observer zone layer name on applied colour munsell colour_state patches edge relief lustre"
    " sintered finish polish_order slip_mm slip_crazed slip_peels paint_dragged core rubs_off streak_on_paper"
    " white_specks scum after_firing crosses_break",
    "test": "magnet magnet_ground acid refire_c refire_minutes refire_colour refire_ground_colour pxrf_fe"
    " pxrf_fe_ground pxrf_mn pxrf_mn_ground pxrf_cu pxrf_cu_ground pxrf_pb pxrf_pb_ground phases method",
}

# What each column that has a closed list of words takes, as it is promised.
WORDS = {
    "form": "open closed",
    "hardness": "soft medium hard",
    "ring": "dull clear",
    "fire_clouds": "none few most",
    "marks": "none stacking fuel-contact",
    "kiln_evidence": "found none-found not-looked",
    "permission": "none surface chip",
    "zone": "interior exterior rim base break inner-margin outer-margin",
    "layer": "body slip paint",
    "applied": "before-firing after-firing",
    "colour": COLOURS,
    "colour_state": "wet dry",
    "patches": f"none {COLOURS}",
    "edge": "sharp soft",
    "relief": "soaked-in flat raised",
    "lustre": "matte satin glossy metallic",
    "sintered": "no yes",
    "finish": "rough smoothed polished",
    "polish_order": "before-paint after-paint",
    "core": "none diffuse sharp full",
    "rubs_off": "no dry wet",
    "magnet": "none weak strong",
    "magnet_ground": "none weak strong",
    "acid": "none fizz",
    "refire_colour": f"{COLOURS} gone ghost",
    "refire_ground_colour": COLOURS,
    "after_firing": "none cooking-soot food-crust burnt-after-breakage burial-stain burial-crust salts"
    " leached worn acid-cleaned consolidated repainted",
}

EVERY = pytest.mark.parametrize("one", columns(), ids=lambda one: one.name)


def test_every_promised_column_in_its_order() -> None:
    assert [one.name for one in columns()] == " ".join(PROMISED.values()).split()
    for of, names in PROMISED.items():
        assert {column(name).of for name in names.split()} == {of}


@pytest.mark.parametrize("name", sorted(WORDS))
def test_words_of_a_column(name: str) -> None:
    assert column(name).choices == tuple(WORDS[name].split())


def test_words_are_those_the_reasoner_knows() -> None:
    assert column("colour").choices == hypotheses.COLOURS
    assert column("zone").choices == column("looked").choices == hypotheses.ZONES
    assert column("layer").choices == hypotheses.LAYERS


@EVERY
def test_words_are_those_of_the_vocabulary(one: Column) -> None:
    """The schemes are written by hand beside this table: a second route to the same words."""
    known = {
        word for name in one.schemes for word in (schemes()[name].notations() if name in schemes() else ())
    }
    if known and one.choices:
        assert set(one.choices) <= known


@EVERY
def test_a_column_is_whole(one: Column) -> None:
    assert one.kind in KINDS
    assert one.meaning.endswith(".")
    assert one.how_to_see.endswith(".")
    assert one.source
    assert bool(one.choices) == (one.kind in ("word", "words", "zones", "colour") and one.name != "region")
    numeric = one.kind in ("number", "measure")
    assert (one.low is not None) == (one.high is not None) == bool(one.unit) == numeric
    if one.low is not None and one.high is not None:
        assert one.low < one.high


@EVERY
def test_its_example_is_read_without_fault(one: Column) -> None:
    seen = cells.parse(one, one.example)
    assert isinstance(seen, Seen)
    assert seen.text == one.example


@pytest.mark.parametrize("name", [name for name in PROMISED["test"].split() if name != "method"])
def test_every_test_says_what_it_costs(name: str) -> None:
    assert column(name).caution


@pytest.mark.parametrize("name", ["acid", "refire_c", "refire_minutes", "refire_colour", "pxrf_pb", "slakes"])
def test_what_needs_leave_says_so(name: str) -> None:
    assert "leave" in column(name).caution


def test_the_lists_of_names_are_columns() -> None:
    assert {*FIELDS, *REQUIRED, *ABOUT} <= {one.name for one in columns()}


@pytest.mark.parametrize("heading", ["fire_clouds", "Fire clouds", " FIRE-CLOUDS ", "fire  clouds"])
def test_a_heading_is_found_whatever_its_spelling(heading: str) -> None:
    found = find(heading)
    assert found is not None
    assert found.name == "fire_clouds"


def test_nearest_column() -> None:
    assert nearest("munsel") == "munsell"
    assert nearest("Paint-edge") is None or nearest("Paint-edge") in {one.name for one in columns()}
    assert nearest("qqqq") is None
    assert nearest("x" * 1_000_000) is None


def test_select_names_the_nearest() -> None:
    with pytest.raises(BreaksShape) as refused:
        select(["edge", "lustr"])
    (fault,) = refused.value.faults
    assert (fault.found, fault.would_do) == ("lustr", "lustre")


def test_text_says_what_a_person_needs() -> None:
    text = as_text(["refire_c"])
    for part in ("200 to 1300, in °C", "untouched chip", "owner's leave", "fume", "Example: 800"):
        assert part in text
    assert max(map(len, as_text(width=60).splitlines())) <= 60


def test_data_is_that_of_the_file() -> None:
    assert [one["name"] for one in as_data()] == [one.name for one in columns()]
    assert as_data(["wall_mm"])[0]["high"] == 100


@EVERY
def test_allowed_names_every_word(one: Column) -> None:
    assert all(word in allowed(one) for word in one.choices)


def test_nothing_of_a_scheme_is_left_out_of_its_column() -> None:
    """A word of the vocabulary that no cell may hold could never be seen."""
    for one in columns():
        home = schemes().get(one.schemes[0])
        if home is not None and one.choices and one.kind != "colour":
            assert set(one.choices) == set(home.leaves()), one.name


def test_the_file_has_no_comment_or_blank_line(pytestconfig: pytest.Config) -> None:
    path = Path(pytestconfig.rootpath) / "data" / "columns.csv"
    assert all(line and not line.startswith("#") for line in path.read_text(encoding="utf-8").splitlines())
