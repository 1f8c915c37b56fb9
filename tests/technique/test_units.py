"""Which layers on a sherd are one thing, and what each lies on."""

from collections import Counter
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.technique.helpers_sherds import chip, row, sherd
from wareontology.sherd.record import Row
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.evidence import contrasts
from wareontology.technique.units import CONTRAST, units

WHITE = row("interior", "slip", colour="white")


def grounds(*rows: Row) -> dict[str, str | None]:
    return {unit.key: unit.ground for unit in units(sherd(*rows)).all()}


# --- names ---


def test_a_sherd_of_nothing_has_a_body() -> None:
    found = units(sherd())
    assert [unit.key for unit in found.all()] == ["body"]
    assert (found.body.rows, found.body.ground, found.body.zones()) == ((), None, ())


def test_a_name_ties_one_paint_across_zones() -> None:
    found = units(
        sherd(
            row("interior", "paint", "line", colour="black"),
            row("exterior", "paint", "line", colour="red"),
            row("exterior", "paint", "dots", colour="red"),
        )
    )
    assert [unit.key for unit in found.paints] == ["paint:dots", "paint:line"]
    assert found["paint:line"].zones() == ("exterior", "interior")
    assert found.notes == ()
    with pytest.raises(KeyError):
        found["paint"]


def test_unnamed_layers_of_one_side_are_one() -> None:
    """Black, grey and brown are the dark side of a contrast."""
    found = units(sherd(*(row("interior", "paint", colour=colour) for colour in ("black", "grey", "brown"))))
    assert [unit.key for unit in found.paints] == ["paint"]
    assert found["paint"].contrast() == "dark"


@pytest.mark.parametrize("layer", ["paint", "slip"])
def test_unnamed_layers_of_contrasting_colours_are_two_and_the_reader_is_told(layer: str) -> None:
    found = units(sherd(row("interior", layer, colour="black"), row("exterior", layer, colour="red")))
    assert [unit.key for unit in found.all()[1:]] == [f"{layer}:black", f"{layer}:red"]
    (note,) = found.notes
    assert "same name" in note
    assert "black and red" in note


def test_an_unnamed_row_without_colour_keeps_to_itself_where_there_are_two() -> None:
    rows = [row("interior", "paint", colour="black"), row("exterior", "paint", colour="red")]
    found = units(sherd(*rows, row("rim", "paint", edge="sharp")))
    assert [unit.key for unit in found.paints] == ["paint", "paint:black", "paint:red"]


def test_an_unnamed_row_without_colour_goes_with_the_only_paint() -> None:
    found = units(sherd(row("interior", "paint", colour="black"), row("rim", "paint", edge="sharp")))
    assert [unit.key for unit in found.paints] == ["paint"]
    assert found["paint"].zones() == ("interior", "rim")


def test_a_chip_outranks_a_word_for_the_side() -> None:
    pale = chip("10YR 8/2", white=0.6, cream=0.4)
    found = units(sherd(row("interior", "paint", colour="black", munsell=pale)))
    assert found["paint"].contrast() == "pale"


def test_every_colour_word_has_a_side() -> None:
    assert set(CONTRAST) == set(h.COLOURS)


# --- grounds ---


def test_a_paint_lies_on_the_slip_of_its_zone_else_on_the_body() -> None:
    assert grounds(WHITE, row("interior", "paint", "a"), row("exterior", "paint", "b")) == {
        "body": None, "slip": "body", "paint:a": "slip", "paint:b": "body",
    }  # fmt: skip


def test_the_commonest_ground_over_the_rows_counts() -> None:
    zones = ("interior", "exterior", "rim")
    slips = [row(zone, "slip", colour="white") for zone in zones[:2]]
    paint = [row(zone, "paint", "line", colour="black") for zone in zones]
    assert grounds(*slips, *paint)["paint:line"] == "slip"


def test_what_on_says_counts_before_the_zone() -> None:
    red = row("interior", "slip", "red", colour="red")
    white = row("interior", "slip", "white", colour="white")
    for said, ground in (("red", "slip:red"), ("slip:white", "slip:white"), ("body", "body")):
        assert grounds(red, white, row("interior", "paint", "p", on=said))["paint:p"] == ground


def test_a_paint_over_a_paint_lies_on_that_paints_ground() -> None:
    """For the fire the two share a ground: the tree of materials stays two deep."""
    under = row("interior", "paint", "under", colour="red")
    assert grounds(WHITE, under, row("interior", "paint", "over", on="under"))["paint:over"] == "slip"
    assert grounds(under, row("interior", "paint", "over", on="paint:under"))["paint:over"] == "body"


def test_a_paint_over_a_paint_that_says_what_it_lies_on_lies_there_too() -> None:
    slips = [row("interior", "slip", name, colour="white") for name in ("a", "b")]
    under = row("interior", "paint", "under", on="b")
    assert grounds(*slips, under, row("interior", "paint", "over", on="under"))["paint:over"] == "slip:b"


def test_in_section_a_paint_lies_on_the_only_slip() -> None:
    assert grounds(WHITE, row("break", "paint", "p"))["paint:p"] == "slip"
    assert grounds(WHITE, row("inner-margin", "paint", "p"))["paint:p"] == "slip"
    two = [row("interior", "slip", "a"), row("exterior", "slip", "b")]
    assert grounds(*two, row("break", "paint", "p"))["paint:p"] == "body"


def test_paints_that_name_each_other_do_not_hang() -> None:
    found = grounds(row("interior", "paint", "a", on="b"), row("interior", "paint", "b", on="a"))
    assert found == {"body": None, "paint:a": "body", "paint:b": "body"}


def test_an_unknown_ground_falls_back_on_the_zone() -> None:
    assert grounds(WHITE, row("interior", "paint", "p", on="nowhere"))["paint:p"] == "slip"


# --- contrast and time ---


def test_paints_of_contrasting_colour_on_one_ground_are_seldom_one() -> None:
    black, red = row("interior", "paint", "a", colour="black"), row("interior", "paint", "b", colour="red")
    brown, none = row("interior", "paint", "b", colour="brown"), row("interior", "paint", "b")
    assert contrasts(units(sherd(black, red))) == {("paint:a", "paint:b")}
    assert contrasts(units(sherd(black, brown))) == frozenset()
    assert contrasts(units(sherd(black, none))) == frozenset()


@pytest.mark.xfail(reason="the network weighs equal materials only of paints that share a ground")
def test_paints_of_contrasting_colour_on_one_sherd_are_seldom_one() -> None:
    """The rule is of a sherd, whatever the paints lie on."""
    rows = [row("interior", "paint", "a", colour="black"), row("exterior", "paint", "b", colour="red")]
    assert contrasts(units(sherd(WHITE, *rows))) == {("paint:a", "paint:b")}


def test_the_time_of_a_paint_is_what_all_its_rows_say() -> None:
    before, after = (row("interior", "paint", "p", applied=f"{time}-firing") for time in ("before", "after"))
    assert units(sherd(before, row("rim", "paint", "p")))["paint:p"].applied == "before-firing"
    assert units(sherd(before, after))["paint:p"].applied is None


# --- properties ---

cells = st.fixed_dictionaries(
    {},
    optional={
        "colour": st.sampled_from([*h.COLOURS, "cream/buff", "black?", "red/black"]),
        "on": st.sampled_from(["body", "a", "b", "slip", "paint:a", "nowhere"]),
        "edge": st.sampled_from(["sharp", "soft"]),
    },
)
rows = st.builds(
    lambda zone, layer, name, seen: row(zone, layer, name if layer != "body" else None, **seen),
    st.sampled_from(h.ZONES),
    st.sampled_from(h.LAYERS),
    st.sampled_from([None, "a", "b"]),
    cells,
)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.lists(rows, max_size=8))
def test_every_row_is_in_one_unit_and_every_ground_is_there(found: list[Row]) -> None:
    gathered = units(sherd(*found))
    keys = [unit.key for unit in gathered.all()]
    assert len(keys) == len(set(keys))
    held = [one for unit in gathered.all() for one in unit.rows]
    assert Counter(map(str, held)) == Counter(map(str, found))
    for unit in gathered.all():
        assert all(one.layer == unit.layer for one in unit.rows)
        assert unit.ground is None if unit.layer == "body" else unit.ground in keys
        assert not (unit.ground or "").startswith("paint")
        assert unit.ground == "body" or unit.layer != "slip"


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.lists(rows, max_size=7).flatmap(lambda found: st.tuples(st.just(found), st.permutations(found))))
def test_the_order_of_rows_never_matters(both: tuple[list[Row], Sequence[Row]]) -> None:
    found, shuffled = both
    assert units(sherd(*found)) == units(sherd(*shuffled))
