import pytest
from hypothesis import given
from hypothesis import strategies as st
from rdflib import Graph

from tests.sherd.strategies import sherds
from wareontology.errors import Unreadable
from wareontology.sherd import turtle
from wareontology.sherd.record import Sherd
from wareontology.sherd.turtle import from_turtle, to_turtle

HEAD = """\
@prefix column: <https://wareontology.example/def/column/> .
@prefix sosa: <http://www.w3.org/ns/sosa/> .
@prefix term: <https://wareontology.example/term/> .
@prefix wo: <https://wareontology.example/def/> .
@prefix xsd: <http://www.w3.org/2001/XMLSchema#> .
@prefix ex: <https://elsewhere.example/> .
"""
SHERD = 'ex:k a wo:Sherd ; column:sherd "k" .\n'
ROW = "sosa:hasFeatureOfInterest ex:k ; column:zone 'rim' ; column:layer 'slip'"


def read(text: str) -> list[str]:
    """Faults of a text, or the words of its one sherd's rows."""
    found = from_turtle(HEAD + text, "t.ttl")
    if found.faults:
        return [f"{fault.column}: {fault.found}" for fault in found.faults]
    return [cell.text for sherd in found.sherds for row in sherd.rows for cell in row.seen.values()]


@given(st.lists(sherds(), min_size=1, max_size=3, unique_by=lambda sherd: sherd.sherd))
def test_sherds_read_back_as_they_were(found: list[Sherd]) -> None:
    reading = from_turtle(to_turtle(found))
    assert reading.faults == ()
    assert list(reading.sherds) == found


@given(sherds())
def test_what_is_written_is_turtle_to_another_reader(sherd: Sherd) -> None:
    cells = sum(len(row.seen) + 4 + (row.name is not None) for row in sherd.rows)
    triples = 2 + (sherd.observer is not None) + len(sherd.seen) + cells
    assert len(Graph().parse(data=to_turtle([sherd]), format="turtle")) == triples


def test_another_hand_may_write_it_otherwise() -> None:
    assert read(SHERD + f"[] {ROW} ; column:colour 'Gray'@en ; column:slip_mm 0.20 .") == ["grey", "0.2"]
    assert read(SHERD + f"ex:r {ROW} ; column:edge <https://wareontology.example/term/edge/soft> .") == [
        "soft"
    ]
    assert read(SHERD + f"ex:r {ROW} ; column:slip_peels true ; column:refire_c 800 .") == ["yes", "800"]
    assert read(SHERD + f"ex:r {ROW} ; column:phases 'hematite', 'magnetite' .") == ["hematite magnetite"]


def test_rows_may_come_before_their_sherd_and_need_no_type() -> None:
    assert read(f"ex:r {ROW} ; column:colour 'red' .\n{SHERD}") == ["red"]
    assert read(f"ex:r {ROW} ; column:colour 'red' .\nex:k column:sherd 'k' .") == ["red"]


@pytest.mark.parametrize(
    ("text", "faults"),
    [
        (SHERD + f"ex:r {ROW} ; column:colour 'redish' .", ["colour: redish"]),
        (SHERD + f"ex:r {ROW} ; column:colour 'red', 'buff' .", ['colour: ["red", "buff"]']),
        (
            SHERD + f"ex:r {ROW} ; column:colour ex:red .",
            ['colour: {"@id": "https://elsewhere.example/red"}'],
        ),
        (SHERD + f"ex:r {ROW} ; column:slip_mm 'INF'^^xsd:double .", ["slip_mm: INF"]),
        (SHERD + f"ex:r {ROW} ; column:colur 'red' .", ["colur: colur"]),
        (
            SHERD + f"ex:r {ROW} ; ex:price 7 ; column:colour 'red' .",
            ["https://elsewhere.example/price: https://elsewhere.example/price"],
        ),
        (
            SHERD + f"ex:r {ROW} ; wo:colour 'red' ; column:colour 'red' .",
            [f"{prefix}: {prefix}" for prefix in ("https://wareontology.example/def/colour",)],
        ),
        (SHERD, ["zone: ", "layer: "]),
        (
            SHERD + f"ex:r {ROW} ; column:colour 'red' .\nex:lost column:zone 'rim' ; column:layer 'slip' .",
            ["sherd: "],
        ),
    ],
)
def test_faults(text: str, faults: list[str]) -> None:
    assert read(text) == faults


def test_a_good_sherd_stays_beside_a_bad_one() -> None:
    other = SHERD.replace("ex:k", "ex:m").replace('"k"', '"m"') + f"ex:s {ROW.replace('ex:k', 'ex:m')}"
    text = SHERD + f"ex:r {ROW} ; column:colour 'redish' .\n{other} ; column:colour 'red' ."
    found = from_turtle(HEAD + text)
    assert [sherd.sherd for sherd in found.sherds] == ["m"]
    assert [fault.sherd for fault in found.faults] == ["k"]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no sherd in it"),
        ("ex:a ex:b ex:c .", "no sherd in it"),
        ("ex:a ex:b", "no Turtle .* line 7"),
        ("<a> <b> <c> .", "no Turtle .*scheme"),
        ("ex:a ex:b " + "[ ex:b " * 20_000, "no Turtle"),
        ('ex:a ex:b "\\uD800" .', "no Turtle"),
    ],
)
def test_what_is_no_turtle_of_sherds(text: str, message: str) -> None:
    with pytest.raises(Unreadable, match=f"t.ttl: found {message}"):
        from_turtle(HEAD + text, "t.ttl")


def test_too_many_triples(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(turtle, "MOST_TRIPLES", 3)
    with pytest.raises(Unreadable, match="over 3 triples"):
        read(SHERD + f"ex:r {ROW} .")


@given(st.text(max_size=200))
def test_any_text_is_sherds_faults_or_unreadable(text: str) -> None:
    try:
        found = from_turtle(HEAD + SHERD + text)
    except Unreadable:
        return
    assert found.faults or found.sherds
