"""A plan: what is read, what is filled in, and how what is wrong is named."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import BreaksShape, Unreadable
from wareontology.firing import plan, structures
from wareontology.firing.plan_fields import BY_NAME, FIELDS, converted, other_units
from wareontology.firing.steps import steps

PIT = 'structure = "covered-pit"\n'


def refused(text: str) -> str:
    with pytest.raises(BreaksShape) as caught:
        plan.from_text(text, "mine.toml")
    return str(caught.value)


@pytest.mark.parametrize("name", plan.examples())
def test_the_shipped_plans_are_sound_and_say_they_are_invented(name: str) -> None:
    assert plan.example(name).name
    assert plan.example_text(name).startswith("# Invented")
    assert len(steps(plan.example(name))) >= 8


def test_what_is_left_out_is_what_is_usual_for_the_structure() -> None:
    found = plan.from_text('structure = "trench"')
    usual = structures.things("structure")["trench-kiln"]
    assert found.structure == "trench-kiln"
    assert found.number("fire", "top_c") == usual.usual("top_c")
    assert found.number("load", "length_m") == 2.0  # published: trench kiln 2.0 x 1.2 x 0.2 m
    assert ("fire", "top_c") not in found.given
    assert plan.from_text(PIT).procedure == "smother"


@pytest.mark.parametrize(
    ("text", "named", "would_do"),
    [
        ("[cover]\ndepth_m = -0.1", "row 3, column cover.depth_m: found '-0.1'", "0.001 to 2"),
        ("[cover]\ndepth_cm = 10", "column cover.depth_cm", "depth_m = 0.1"),
        ("[cover]\ndepth_in = 4", "column cover.depth_in", "depth_m = 0.1016"),
        ('[cover]\ndepth_m = "10 cm"', "found '10 cm'", "depth_m = 0.1"),
        ("[cover]\ndepth_m = 0.1\ndepth_cm = 9", "column cover.depth_cm", "depth_m alone: it is given in"),
        ("[fire]\ntop_f = 1472", "column fire.top_f", "top_c = 800"),
        ("[fire]\nheat_h = 2", "column fire.heat_h", "heat_min = 120"),
        ("[cover]\ndepth = 10", "column cover.depth", "depth_m, with its unit in its name"),
        ("[fuel]\nmass_lb = 100", "column fuel.mass_lb", "mass_kg = 45.3592"),
        ("[site]\nwind_km_h = 10", "column site.wind_km_h", "wind_m_s = 2.77778"),
        ("[load]\ntop_c = 800", "column load.top_c", "top_c under [fire]"),
        ("[covers]\ndepth_m = 1", "found '[covers]'", "[cover]"),
        ('[cover]\nmaterial = "erth"', "found 'erth'", "earth-dry"),
        ('[fuel]\nkind = "jumiper"', "found 'jumiper'", "juniper"),
        ("[load]\npots = true", "found 'True'", "pots as a number"),
        ("[load]\npotz = 3", "column load.potz", "pots"),
        ('procedure = "close"', "found 'close'", "smother or dig-out for covered-pit"),
        ('[cover]\nmaterial = "none"', "the procedure covers", "a cover, such as earth-dry"),
        ("[cover]\ncharcoal_inside_kg = 0.1", "an open mouth shuts nothing in", 'mouth = "down"'),
        ("[load]\nradius_m = 0.4\nlength_m = 2", "radius with length or width", "one of the two"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_named_with_what_would_do(text: str, named: str, would_do: str) -> None:
    said = refused(PIT + text)
    assert named in said
    assert f"would do: {would_do}" in said


def test_an_unknown_structure_is_offered_the_nearest() -> None:
    assert "found 'coverd pit'; would do: covered-pit" in refused('structure = "coverd pit"')
    assert "would do: open-fire or pit" in refused("[load]\npots = 3")


def test_every_fault_is_named_at_once() -> None:
    said = refused(PIT + "[cover]\ndepth_m = -1\n[fire]\ntop_f = 1500\nsoak_min = -2")
    assert len(said.splitlines()) == 3


def test_what_cannot_be_read_at_all(tmp_path: object) -> None:
    with pytest.raises(Unreadable, match="would do: lines such as"):
        plan.from_text("structure covered")
    with pytest.raises(Unreadable, match="would do: a plan"):
        plan.read("/nowhere/plan.toml")


@given(st.sampled_from([field for field in FIELDS if field.is_number]), st.data())
def test_any_number_within_its_limits_is_taken_and_any_beyond_is_not(
    field: object, data: st.DataObject
) -> None:
    assert isinstance(field, type(FIELDS[0]))
    assert field.low is not None
    assert field.high is not None
    inside = data.draw(st.floats(field.low, field.high))
    line = f"[{field.section}]\n{field.name} = "
    extra = 'mouth = "down"\n' if field.section == "load" else ""
    if field.name not in ("charcoal_inside_kg", "smoke_fuel_kg"):
        assert plan.from_text(f"{PIT}{line}{inside!r}\n{extra}").number(field.section, field.name) == inside
    assert field.name in refused(f"{PIT}{line}{field.high * 2 + 1!r}\n{extra}")


@given(st.sampled_from([field for field in FIELDS if field.unit in ("m", "mm", "kg", "min", "s")]))
def test_a_length_mass_or_time_in_another_unit_is_converted(field: object) -> None:
    assert isinstance(field, type(FIELDS[0]))
    for unit in other_units(field):
        right = converted(field, 1.0, unit)
        assert right is not None
        assert right > 0


def test_temperatures_convert() -> None:
    top = BY_NAME["fire", "top_c"]
    assert converted(top, 1472, "f") == 800  # second route: (1472 - 32) x 5/9
    assert converted(top, 1073.15, "k") == pytest.approx(800)
