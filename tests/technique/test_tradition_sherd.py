"""A tradition as a sherd: only what is stated goes in, and labels are apart from what is seen."""

import pytest

from wareontology.graph.traditions import Statement, Tradition, traditions
from wareontology.sherd.jsonld import from_jsonld, to_jsonld
from wareontology.technique import hypotheses
from wareontology.technique.tradition_sherd import labels_of, sherd_of
from wareontology.technique.units import units

ALLOWED = {
    "atmosphere": hypotheses.ATMOSPHERE, "ending": hypotheses.ENDING, "temperature": hypotheses.TEMPERATURE,
    "structure": hypotheses.STRUCTURE, "carbon:body": hypotheses.CARBON, "applied": hypotheses.APPLIED,
    "materials:body": hypotheses.BODY, "materials:slip": hypotheses.SLIP, "materials:paint": hypotheses.PAINT,
}  # fmt: skip


def _stated(field: str, value: str, layer: str | None = None, name: str | None = None) -> Statement:
    return Statement(field, value, "stated", ("doe",), None, layer, name, terms=(value,))


def _tradition(*statements: Statement) -> Tradition:
    return Tradition("invented", "Invented Ware", "iberia", statements)


WHITE = Statement("colour", "white-cream", "stated", ("doe",), layer="slip", terms=("white", "cream"))


def test_what_is_stated_becomes_cells_of_rows() -> None:
    sherd = sherd_of(
        _tradition(
            WHITE,
            Statement("colour", "black?", "stated", ("doe",), "interior", "paint", "lines", terms=("black",)),
            Statement("edge", "soft", "stated", ("doe",), "interior", "paint", "lines", terms=("soft",)),
            Statement("core", "full", "stated", ("doe",), layer="body", terms=("full",)),
            Statement("fire_clouds", "few", "stated", ("doe",), terms=("few",)),
        )
    )
    assert sherd is not None
    assert sherd.region == "iberia"
    assert sherd.word("fire_clouds") == "few"
    assert [(row.zone, row.layer, row.name, sorted(row.seen)) for row in sherd.rows] == [
        ("interior", "paint", "lines", ["colour", "edge"]),
        ("exterior", "slip", None, ["colour"]),  # the zone is not told
        ("break", "body", None, ["core"]),
    ]
    assert sherd.rows[0].seen["colour"].doubtful
    assert sherd.looked == frozenset()


@pytest.mark.parametrize("basis", ["memory", "inferred"])
def test_what_is_not_stated_is_neither_cell_nor_label(basis: str) -> None:
    one = _tradition(
        Statement("colour", "white", basis, layer="slip", terms=("white",)),
        Statement("atmosphere", "reducing", basis, terms=("reducing",)),
    )
    assert sherd_of(one) is None
    assert labels_of(one) == {}


def test_what_was_concluded_is_no_cell() -> None:
    fire = Statement("atmosphere", "oxidising", "stated", ("doe",), terms=("oxidising",))
    phases = Statement("phases", "jacobsite", "stated", ("doe",), terms=("jacobsite",))
    assert sherd_of(_tradition(fire, phases)) is None
    sherd = sherd_of(_tradition(WHITE, fire, phases))
    assert sherd is not None
    assert [sorted(row.seen) for row in sherd.rows] == [["colour"]]


def test_labels_are_named_as_in_an_answer() -> None:
    found = labels_of(
        _tradition(
            _stated("paint", "iron", "paint", "black"),
            _stated("paint", "iron-manganese", "paint", "black"),
            _stated("slip", "self-slip", "slip"),
            Statement("body", "words that fit no value", "stated", ("doe",), None, "body"),
            _stated("carbon", "carbon-rich", "body"),
            _stated("applied", "after-firing", "paint", "red"),
            Statement("temperature", "850-950", "stated", ("doe",), terms=("800-900", "900-1000")),
        )
    )
    assert found == {
        "materials:paint:black": {"iron", "iron-manganese"},
        "materials:slip": {"self-slip"},
        "carbon:body": {"carbon-rich"},
        "applied:paint:red": {"after"},
        "temperature": {"800-900", "900-1000"},
    }


def test_every_label_is_a_value_that_is_reasoned_with() -> None:
    for one in traditions().values():
        for question, values in labels_of(one).items():
            (allowed,) = (words for name, words in ALLOWED.items() if question.startswith(name))
            assert values, (one.id, question)
            assert values <= set(allowed), (one.id, question)


def test_every_sherd_of_a_tradition_is_a_sound_record() -> None:
    shown = [sherd for one in traditions().values() if (sherd := sherd_of(one)) is not None]
    assert shown
    for sherd in shown:
        assert from_jsonld(to_jsonld(sherd)) == sherd
        assert units(sherd).body.key == "body"


def test_umber_on_white_slip_is_seen_as_the_hard_case_has_it() -> None:
    # Published: hard case 1 (tests/published/hard_cases.csv), thick white slip, brown-black matt lines, dark
    # red-grey body, black redder in places; umber, oxidising.
    whole = traditions()["cyp-white-slip-2"]
    sherd = sherd_of(whole)
    assert sherd is not None
    cells = {(row.layer, name): cell.text for row in sherd.rows for name, cell in row.seen.items()}
    assert cells == {
        ("slip", "colour"): "white-cream",
        ("paint", "colour"): "brown-black",
        ("paint", "lustre"): "matte",
        ("paint", "patches"): "red",
        ("body", "colour"): "red-grey",
    }
    assert labels_of(whole) == {"atmosphere": {"oxidising"}, "materials:paint:black": {"iron-manganese"}}
