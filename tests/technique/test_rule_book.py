"""What every shipped rule rests on, and what a rules file may not say."""

from collections.abc import Callable
from pathlib import Path

import pytest

from wareontology.errors import BreaksShape
from wareontology.graph.namespaces import SHAPE, TERM, local
from wareontology.graph.sources import sources
from wareontology.graph.store import described
from wareontology.graph.vocabulary import schemes
from wareontology.paths import shapes
from wareontology.technique.fact_book import read_fact_book, rules_file
from wareontology.technique.rule_book import Rule, read_rules, rule_book

RULES = rule_book()


@pytest.mark.parametrize("one", RULES, ids=lambda one: one.name)
def test_what_every_rule_rests_on(one: Rule) -> None:
    assert one.exceptions
    assert (one.basis == "published") == bool(one.source)
    assert not one.source or one.source in sources()
    assert one.why.endswith(".")
    assert "!" not in one.why + one.so + one.label


def test_every_concept_the_rules_name_is_in_the_vocabulary() -> None:
    known = {concept.address for scheme in schemes().values() for concept in scheme.concepts}
    named = {
        value
        for said in rules_file().values()
        for predicate, values in said.items()
        if local(predicate) not in ("takes",)
        for value in values
        if value.startswith(TERM)
    }
    assert named <= known


def test_no_shape_is_dead() -> None:
    found = rules_file()
    used = {value for said in found.values() for values in said.values() for value in values}
    shapes_with_rules = {
        address for address, said in found.items() if any(local(name) == "rule" for name in said)
    }
    named = (
        {address for address in found if address.startswith(SHAPE)}
        - shapes_with_rules
        - {SHAPE + "FactLimits"}
    )
    assert named <= used


# ── what a rules file may not say: the shipped file with one thing changed ──


def changed(tmp_path: Path, old: str, new: str) -> Callable[[], object]:
    text = shapes("rules.ttl").read_text(encoding="utf-8")
    assert old in text, old
    path = tmp_path / "rules.ttl"
    path.write_text(text.replace(old, new), encoding="utf-8")
    found = described(path)
    return lambda: read_rules(found, read_fact_book(found))


SCUM = "shape:UnlessSaltScum a sh:NodeShape, wo:Exception"
SHARP = "sh:path wo:edge ; sh:minCount 1 ; sh:in ( edge:sharp )"
RED_OR_ORANGE = "sh:path ( wo:liesOn wo:colour ) ; sh:minCount 1 ; sh:in ( colour:red colour:orange )"
THIRD = "shape:PaintThird a sh:NodeShape ; sh:targetClass wo:Paint ; sh:order"
FIRST = "sh:targetClass wo:Body, wo:Slip, wo:Paint ; sh:order"
GREY = "shape:GreyInBreak, shape:OneColourThrough, shape:NoRedAnywhere,\n        "
SLAKES = "rule:Below550FromSlakingRule"
ON_BODY = f"shape:Body sh:rule {SLAKES} ."
SCUM_OUT = "    wo:ruledOutBy [ sh:property [ sh:path wo:scum ; sh:minCount 1 ; sh:in ( scum:no ) ] ] ."
MOLERA = "wo:basis basis:published ; dcterms:source source:molera-1997"
LOOPED = "path sh:oneOrMorePath"

BAD = {
    "a bare sh:not in an exception": (SCUM_OUT, "    .", "a bare sh:not"),
    "a bare sh:not in a premise": ("    wo:judgedBy shape:InteriorLooked .", "    .", "a bare sh:not"),
    "a sh:not hidden in an inner shape": (
        f"sh:or ( [ sh:property [ {RED_OR_ORANGE} ] ]",
        "sh:or ( [ sh:not [ sh:property [ sh:path wo:colour ; sh:hasValue colour:red ] ] ]",
        "sh:not inside another shape",
    ),
    "no red without its looked": (
        GREY + "shape:InteriorLooked, ", GREY, "NoRedAnywhere without InteriorLooked",
    ),
    "a reader tried before its writer": (
        f"{THIRD} 3", f"{THIRD} 1", "more than 1, the order of NotOxidisingFromWhiteSlipRule",
    ),
    "an exception tried before its writer": (
        f"{FIRST} 0", f"{FIRST} 4", "more than 4, the order of AfterFiringFromColourOverBreakRule",
    ),
    "an unknown construct": (SHARP, 'sh:path wo:edge ; sh:pattern "sharp"', "sh:pattern"),
    "a count above": (SHARP, "sh:path wo:edge ; sh:maxCount 0", "sh:maxCount"),
    "a list that holds where nothing was seen": (
        SHARP, SHARP.replace("sh:minCount 1 ; ", ""), "sh:minCount missing",
    ),
    "an unknown path": (SHARP, SHARP.replace("wo:edge", "[ sh:oneOrMorePath wo:edge ]"), LOOPED),
    "a fact nobody makes": (SHARP, SHARP.replace("wo:edge", "wo:edges"), "path wo:edges"),
    "a value of another column": (SHARP, SHARP.replace("edge:sharp", "relief:flat"), "found 'flat'"),
    "program text": (
        f"{SLAKES} a sh:TripleRule", f'{SLAKES} a sh:SPARQLRule ; sh:construct "CONSTRUCT"', "program text",
    ),
    "another object": (f"sh:object {SLAKES}", "sh:object rule:Below550", "found 'Below550'"),
    "a name that tells nothing": (SLAKES, "rule:Rule7", "found 'Rule7'"),
    "an answer nobody asked": ("temperature:below-550", "temperature:warm", "temperature warm"),
    "published without a source": (MOLERA, "wo:basis basis:published", "source none"),
    "a region its premises do not have": (
        "wo:region region:rio-grande-valley ;", "wo:region region:aegean ;", "wo:region aegean",
    ),
    "a rule on no shape": (ON_BODY, "", "a rule on no shape"),
    "a rule on two shapes": (ON_BODY, f"shape:Slip sh:rule {SLAKES} . {ON_BODY}", "a rule on two shapes"),
    "a shape that holds itself": (
        "sh:node shape:WhiteSlip", "sh:node shape:OnWhiteSlip", "a shape that holds itself",
    ),
    "two tags": (SCUM, SCUM + ", wo:Premise", "2 tags"),
}  # fmt: skip


@pytest.mark.parametrize("fault", BAD)
def test_refused(fault: str, tmp_path: Path) -> None:
    old, new, says = BAD[fault]
    read_changed = changed(tmp_path, old, new)
    with pytest.raises(BreaksShape) as refusal:
        read_changed()
    assert says in str(refusal.value)
    assert "would do: " in str(refusal.value)


def test_the_shipped_file_passes() -> None:
    found = described(shapes("rules.ttl"))
    assert read_rules(found, read_fact_book(found)) == RULES
    assert len(RULES) > 20
