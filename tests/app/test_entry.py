"""What is entered at the bench becomes a record and comes back to the form, nothing lost."""

import pytest
from werkzeug.datastructures import MultiDict

from tests.app.helpers_app import SHOWN, fields_of
from wareontology.app import entry
from wareontology.app.preferences import Preferences
from wareontology.paths import data
from wareontology.sherd.record import Sherd
from wareontology.sherd.table import read


def sherds() -> list[Sherd]:
    """Every sherd of the cases and of the demo."""
    paths = [*sorted(SHOWN.glob("*.csv")), data("demo", "sherds.csv")]
    return [sherd for path in paths for sherd in read(path).sherds]


@pytest.mark.parametrize("sherd", sherds(), ids=lambda sherd: sherd.sherd)
def test_every_sherd_goes_through_the_form_unchanged(sherd: Sherd) -> None:
    held = entry.of_form(MultiDict(fields_of(sherd)))
    again, faults = entry.read(held)
    assert not faults
    assert again == sherd
    assert entry.read(entry.of_sherd(sherd)) == (sherd, {})


def form(**fields: str) -> "MultiDict[str, str]":
    row = {"r0.zone": "interior", "r0.layer": "paint"}
    return MultiDict(row | {f"r0.{name.replace('__', '.')}": text for name, text in fields.items()})


def cells(**fields: str) -> dict[str, str]:
    return entry.of_form(form(**fields)).layers[0].cells


def test_what_is_typed_outranks_what_is_chosen_and_a_tick_makes_it_doubtful() -> None:
    assert cells(colour="red", colour__typed="brown-black") == {"colour": "brown-black"}
    assert cells(colour="red", colour__doubt="1") == {"colour": "red?"}
    assert cells(colour="", colour__doubt="1") == {}


def test_a_blank_is_not_looked_and_none_is_looked() -> None:
    sherd, _ = entry.read(entry.of_form(form(patches="", edge="sharp")))
    assert sherd is not None
    assert sherd.rows[0].get("patches") is None
    sherd, _ = entry.read(entry.of_form(form(patches="none")))
    assert sherd is not None
    assert sherd.rows[0].word("patches") == "none"


def test_a_chip_is_typed_or_chosen() -> None:
    chosen = {"munsell__hue": "10YR", "munsell__value": "8", "munsell__chroma": "2"}
    assert cells(**chosen) == {"munsell": "10YR 8/2"}
    assert cells(**chosen, munsell="N 4/") == {"munsell": "N 4/"}
    assert cells(munsell__hue="N", munsell__value="4", munsell__chroma="2") == {"munsell": "N 4/"}


def test_fahrenheit_and_inches_are_read_as_such() -> None:
    typed = form(refire_c="1472")
    typed["units.temperature"] = "f"
    typed["units.length"] = "in"
    typed["s.diameter_cm"] = "10"
    held = entry.of_form(typed)
    assert held.layers[0].cells["refire_c"] == "800"  # (1472 - 32) · 5/9
    assert held.cells["diameter_cm"] == "25.4"  # an inch is 2.54 cm
    units = Preferences(temperature="f", length="in")
    assert entry.shown("refire_c", "800", units) == "1472"
    assert entry.shown("diameter_cm", "25.4", units) == "10"
    assert entry.shown("refire_c", "hot", units) == "hot"


def test_a_fault_stands_at_its_field() -> None:
    _, faults = entry.read(entry.of_form(form(munsell="10YR 8/99", wall_mm="5") | {"s.wall_mm": "thick"}))
    assert set(faults) == {"r0.munsell", "s.wall_mm"}
    assert "10YR 8/99" in faults["r0.munsell"].found


def test_nothing_entered_is_neither_a_sherd_nor_a_fault() -> None:
    assert entry.read(entry.Entry()) == (None, {})
    assert entry.read(entry.Entry({"sherd": "K-14"})) == (None, {})


@pytest.mark.parametrize(
    "name", ["r0.zone", "r99999.colour", "x.colour", "r0.", "r-1.edge", "s.no_such", "r0.edge.doubt.more"]
)
def test_fields_that_are_none_of_ours_do_nothing(name: str) -> None:
    assert entry.of_form(MultiDict({name: "anything"})) == entry.Entry()
