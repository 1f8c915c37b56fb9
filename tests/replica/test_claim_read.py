"""A claim as a form: TOML, JSON and Turtle say the same, and what is wrong is refused by name."""

import json
import tomllib
from pathlib import Path
from typing import Any, Final

import pytest

from wareontology.errors import BreaksShape, Unreadable
from wareontology.graph.namespaces import RDFS
from wareontology.graph.store import described, graph_files
from wareontology.paths import data
from wareontology.replica.claim import judged
from wareontology.replica.claim_fields import FIELD, fields
from wareontology.replica.claim_form import Checker
from wareontology.replica.claim_gaps import gaps
from wareontology.replica.claim_read import Claim, from_form, from_text, read
from wareontology.replica.claim_replica import from_replica

DEMO: Final = data("demo", "claim.toml")
PARTS: Final = (
    "claim", "fire", "layer", "material", "step", "means", "evidence", "series", "ground", "comparison",
    "person",
)  # fmt: skip
WRITER: Final = 'writer="Adda Brenning"'
FIRE: Final = "[technique]"
SMALL: Final = f'ware="Invented ware"\n{WRITER}\n{FIRE}\nending="sealed"\n'


def faults(text: str, name: str = "claim.toml") -> list[tuple[str | None, str, str]]:
    with pytest.raises(BreaksShape) as refused:
        judged(from_text(text, name))
    return [(fault.column, fault.found, fault.would_do) for fault in refused.value.faults]


def test_the_demo_claim_is_read_with_its_tables() -> None:
    claim = read(DEMO)
    assert [sherd.sherd for sherd in claim.originals] == [f"KO-{n}" for n in range(1, 6)]
    assert len(claim.replicas) == 5
    assert claim.form["material"][0] == {"is": "red-ochre", "note": "dug and ground (invented)"}
    assert claim.form["layer"][0]["zones"] == ("interior",)


def test_toml_json_and_turtle_say_the_same() -> None:
    raw = tomllib.loads(DEMO.read_text("utf-8"))
    del raw["originals"], raw["replicas"]
    form = from_form(raw)
    assert from_text(json.dumps(raw, default=str), "claim.json").form == form.form
    assert from_text(form.turtle(), "claim.ttl").form == form.form


def test_words_of_the_trade_and_lists_in_one_text_are_taken() -> None:
    text = SMALL + '[[layer]]\nlayer = "Paint"\nzones = "interior exterior"\nmade_of = "umber"\n'
    layer = from_text(text, "claim.toml").form["layer"][0]
    assert layer == {"layer": "paint", "zones": ("interior", "exterior"), "made_of": ("iron-manganese",)}


def test_a_name_without_a_person_is_a_person() -> None:
    assert from_text(SMALL, "claim.toml").form["person"] == ({"key": "Adda Brenning"},)


@pytest.mark.parametrize(
    ("was", "now", "column", "would_do"),
    [
        ("ending=", "endign=", "technique, endign", "ending"),
        ("sealed", "seeled", "technique, ending", "sealed"),
        (WRITER, f'by_their_means="perhaps"\n{WRITER}', "by_their_means", "true or false"),
        (FIRE, f"[[series]]\nfired=2.5\ncame_out=1\n{FIRE}", "series 1, fired", "a whole number"),
        (FIRE, f'[[material]]\nis="red ocher"\n{FIRE}', "material 1, is", "red-ochre"),
        (FIRE, f'[[step]]\nwhat="x"\n{FIRE}', "step 1, kind", "a sort of step, such as firing"),
        (FIRE, f'[[layer]]\nname="x"\n{FIRE}', "layer", "a part that says which layer"),
        (FIRE, f"ware_from=5\nware_to=2\n{FIRE}", "ware_from", "a year not later than ware_to"),
        (FIRE, f'originals="../lot.csv"\n{FIRE}', "originals", "the records inside the claim"),
        (FIRE, f'original=["K-1"]\n{FIRE}', "original", "a sherd's record"),
        (WRITER, "", "writer", "who writes the claim"),
    ],
)
def test_what_is_wrong_is_refused_by_name(was: str, now: str, column: str, would_do: str) -> None:
    found = faults(SMALL.replace(was, now))
    assert [(one[0], would_do in one[2]) for one in found] == [(column, True)]


def test_a_fault_in_a_record_inside_is_told() -> None:
    text = SMALL.replace(
        "[technique]",
        '[[original]]\nsherd = "K-1"\nrows = [{zone="rim", layer="slip", colour="redish"}]\n[technique]',
    )
    assert [one[:2] for one in faults(text)] == [("colour", "redish")]


@pytest.mark.parametrize(
    "text",
    [
        "",
        "<a> <b> .",
        "@prefix a: <b> .",
        "nonsense",
        "{",
        "[]",
        "<http://x.example/a> <http://x.example/b> 3 .",
    ],
)
def test_what_is_no_claim_is_refused(text: str) -> None:
    with pytest.raises((Unreadable, BreaksShape)):
        judged(from_text(text, "claim.ttl"))


def test_a_part_that_hangs_on_no_claim_is_not_passed_over() -> None:
    text = read_case("01-sound.ttl") + '\n<http://x.example/a> claim:what "lost" .\n'
    with pytest.raises(Unreadable, match="which no claim names"):
        from_text(text, "claim.ttl")


def test_a_ring_of_parts_ends() -> None:
    text = (
        read_case("01-sound.ttl")
        + "\nperson:writer claim:learned_from person:witness ."
        + "\nperson:witness claim:learned_from person:writer ."
    )
    assert judged(from_text(text, "claim.ttl"))["taught"][0]["from"].startswith("Corvin")


def read_case(name: str) -> str:
    return (Path(__file__).resolve().parent.parent / "cases" / "claims" / name).read_text("utf-8")


def test_every_example_of_the_field_table_is_what_it_takes() -> None:
    for of in PARTS:
        for one in fields(of).values():
            assert one.meaning.endswith((".", "Required."))
            if one.kind in ("node", "sherd"):
                continue
            value: Any = one.example
            if one.kind in ("number", "year"):
                value = int(value)
            elif one.kind == "yes":
                value = value == "true"
            checker = Checker("example")
            assert checker.part(of, {one.key: value}), (of, one.key)
            assert not checker.faults, (of, one.key)


def test_every_field_is_a_term_of_the_vocabulary_with_its_meaning() -> None:
    said = {address: one for path in graph_files() for address, one in described(path).items()}
    for of in PARTS:
        for one in fields(of).values():
            comment = said[FIELD + one.key][RDFS + "comment"][0]
            meaning = one.meaning.removesuffix(" Required.")
            assert meaning[1:] in comment, (of, one.key)


def test_gaps_say_where(tmp_path: Path) -> None:
    claim = from_text(SMALL + "[[series]]\nfired = 3\ncame_out = 3\n", "claim.toml")
    found = {(gap.code, gap.where) for gap in gaps(claim)}
    assert {("no-log", "series 1"), ("no-witness", "series 1"), ("no-originals", "the claim")} <= found


def test_the_replica_is_asked_as_if_nobody_knew() -> None:
    claim = read(DEMO)
    found = from_replica(claim, claim.replicas[:1])[0]
    assert found["reading"] == "compatible"
    assert found["likeliest"] == {"atmosphere": "reducing", "ending": "sealed", "paint": "iron"}
    assert found["looks_off"] == []
    assert found["sceptic"]
    other = _as_case("28-originals-against.ttl")
    assert from_replica(other, other.replicas)[0]["reading"] != "compatible"
    assert from_replica(other, other.originals)[0]["reading"] == "against"


def _as_case(name: str) -> Claim:
    return from_text(read_case(name), name)
