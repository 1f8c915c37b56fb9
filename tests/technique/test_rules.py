"""Each rule on its case file, what an answer says of it, and what a rules file may not say.

tests/cases/rules/<Rule>.csv holds invented sherds: `fires`; `not` (one premise otherwise); `exception` (an
exception seen); `not-looked` (a zone or trait not looked at); `premises` (exactly the premises, every
exception observed absent) and `baseline` (the same without the premises), a second pair as `premises-2` and
`baseline-2`. `note` is what `not_applied` says of the rule, blank where it is silent.
"""

from functools import cache
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology.graph.namespaces import local
from wareontology.sherd.cells import parse
from wareontology.sherd.columns import column
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.sherd.table import read
from wareontology.technique.rules import Finding, NotApplied, engine, evaluate, explain, rule, rules_list
from wareontology.technique.units import units

CASES = Path(__file__).parents[1] / "cases" / "rules"
SHOWN = Path(__file__).parents[1] / "cases" / "shown"
RULES = engine().rules
NAMES = [one.name for one in RULES]


@cache
def sherds(path: Path) -> dict[str, Sherd]:
    reading = read(path)
    assert not reading.faults, [str(fault) for fault in reading.faults]
    return {sherd.sherd: sherd for sherd in reading.sherds}


def case(name: str, sherd: str) -> tuple[list[Finding], list[NotApplied]]:
    """What the rule of this name does on a sherd of its case file."""
    shown = sherds(CASES / f"{name}.csv")[sherd]
    fired, missed = evaluate(shown, units(shown))
    return [one for one in fired if one.rule == name], [one for one in missed if one.rule == name]


def note(name: str, sherd: str) -> str:
    cell = sherds(CASES / f"{name}.csv")[sherd].seen.get("note")
    return cell.text if cell is not None else ""


@pytest.mark.parametrize("name", NAMES)
def test_fires(name: str) -> None:
    fired, missed = case(name, "fires")
    assert len(fired) == 1
    assert not missed
    (found,) = fired
    assert found.because, "an answer says because of what"
    assert found.kind == rule(name).kind
    assert [label for label, _ in found.unless] == [one.label for one in rule(name).exceptions]


@pytest.mark.parametrize("name", NAMES)
def test_must_not_fire(name: str) -> None:
    assert case(name, "not")[0] == []


@pytest.mark.parametrize("name", NAMES)
def test_exception_present(name: str) -> None:
    fired, missed = case(name, "exception")
    assert fired == []
    assert [one.why for one in missed] == [note(name, "exception")]
    assert note(name, "exception").startswith("exception present: ")
    assert note(name, "exception").removeprefix("exception present: ") in [
        one.label for one in rule(name).exceptions
    ]


@pytest.mark.parametrize("name", NAMES)
def test_not_looked_at(name: str) -> None:
    fired, missed = case(name, "not-looked")
    assert fired == []
    assert [one.why for one in missed] == [why for why in [note(name, "not-looked")] if why]


@pytest.mark.parametrize("name", NAMES)
def test_premises_alone_with_every_exception_ruled_out(name: str) -> None:
    pairs = [
        one.removeprefix("premises") for one in sherds(CASES / f"{name}.csv") if one.startswith("premises")
    ]
    assert pairs
    for pair in pairs:
        (found,), _ = case(name, "premises" + pair)
        assert {state for _, state in found.unless} == {"ruled out"}
        assert case(name, "baseline" + pair)[0] == []


def test_every_rule_has_a_case_file_and_every_case_file_a_rule() -> None:
    assert sorted(path.stem for path in CASES.glob("*.csv")) == sorted(NAMES)


def test_most_not_looked_cases_say_why() -> None:
    """Silent only where the one premise itself is missing, or where the rule it reads already says why."""
    silent = {name for name in NAMES if not note(name, "not-looked")}
    for name in silent:
        one = rule(name)
        premises = [condition for condition in one.conditions if condition.role == "Premise"]
        chained = any(
            "Implied" in local(condition.name) or "NotOxidising" in local(condition.name)
            for condition in premises
        )
        assert len(premises) == 1 or chained, name


# ── what an answer says ──


def of(file: str, sherd: str) -> tuple[dict[str, Finding], dict[str, NotApplied]]:
    shown = sherds(SHOWN / f"{file}.csv")[sherd]
    fired, missed = evaluate(shown, units(shown))
    return {one.rule: one for one in fired}, {one.rule: one for one in missed}


def test_the_plain_case_reads_as_a_deduction() -> None:
    fired, _ = of("plain_case", "plain")
    white = fired["NotOxidisingFromWhiteSlipRule"]
    assert (white.unit, white.kind, white.concludes) == (
        "sherd",
        "implies",
        "atmosphere: neutral or reducing",
    )
    assert white.because == (
        "the slip inside is white",
        "the region is Colorado Plateau",
        "no red was found anywhere; interior, exterior and broken edge were looked at whole",
    )
    assert ("a clay that stays white in air", "not looked") in white.unless
    iron = fired["IronFamilyFromBlackOnWhiteSlipRule"]
    assert (iron.unit, iron.concludes) == ("paint:line", "paint:line: iron-family")
    assert iron.because[-1] == "the fire was neutral or reducing"
    assert fired["NotManganeseAloneFromBlackInReductionRule"].concludes == "paint:line: not manganese"


def test_a_chip_is_named_where_it_was_read() -> None:
    shown = sherds(CASES / "NotOxidisingFromWhiteSlipRule.csv")["fires"]
    chip = parse(column("munsell"), "10YR 8/1")
    assert isinstance(chip, Seen)
    chipped = tuple(
        Row(row.zone, row.layer, row.name, {"munsell": chip}) if row.layer == "slip" else row
        for row in shown.rows
    )
    again = Sherd(shown.sherd, None, shown.seen, chipped)
    fired, _ = evaluate(again, units(again))
    assert fired[0].because[0] == "the slip inside is white (10YR 8/1)"


def test_a_blank_exterior_is_never_no_red_outside() -> None:
    fired, missed = of("plain_case_blank_exterior", "exterior-not-looked-at")
    assert not fired
    assert missed["NotOxidisingFromWhiteSlipRule"].why == "exterior not looked at"
    assert "NotOxidisingFromWhiteSlipRule" in of("plain_case_blank_exterior", "seen-whole")[0]


def test_white_slip_alone_concludes_nothing_and_says_what_was_not_looked_at() -> None:
    fired, missed = of("only_white_slip", "only-white-slip")
    assert not fired
    assert missed["NotOxidisingFromWhiteSlipRule"].why == (
        "region not given; interior not looked at; exterior not looked at; broken edge not looked at"
    )


def test_a_white_slip_with_red_patches_is_not_reduced() -> None:
    fired, missed = of("white_slip_red_patches", "east-mediterranean")
    assert "NotOxidisingFromWhiteSlipRule" not in {**fired, **missed}


def test_one_workshop_makes_both() -> None:
    red, _ = of("one_workshop", "on-red-slip")
    assert red["ManganeseFamilyFromMineralBlackOnOxidisedGroundRule"].unit == "paint:line"
    assert red["OxidisingFromManganeseBlackRule"].concludes == "atmosphere: oxidising"


def test_colour_over_a_broken_edge_comes_before_all() -> None:
    fired, missed = of("colour_over_broken_edge", "runs-over")
    assert list(fired) == ["AfterFiringFromColourOverBreakRule"]
    assert fired["AfterFiringFromColourOverBreakRule"].kind == "cautions"
    assert missed["NotInAirFromBlackAllOverRule"].why.startswith("exception present: put on after the firing")
    assert RULES[0].name == "AfterFiringFromColourOverBreakRule"


def test_a_near_tie_is_named() -> None:
    fired, missed = of("plain_case", "plain")
    shown = sherds(SHOWN / "plain_case.csv")["plain"]
    tied = Seen("colour", "cream-white", (("cream", 0.5), ("white", 0.5)))
    rows = tuple(
        Row(row.zone, row.layer, row.name, {**row.seen, "colour": tied}) if row.layer == "slip" else row
        for row in shown.rows
    )
    again = Sherd("tied", None, shown.seen, rows)
    fired_again, missed_again = evaluate(again, units(again))
    assert "NotOxidisingFromWhiteSlipRule" in fired
    assert not missed.get("NotOxidisingFromWhiteSlipRule")
    assert "NotOxidisingFromWhiteSlipRule" not in {one.rule for one in fired_again}
    assert {one.rule: one.why for one in missed_again}[
        "NotOxidisingFromWhiteSlipRule"
    ] == "between cream and white"


def test_two_layers_that_show_the_same_of_the_fire_are_one_finding() -> None:
    shown = sherds(CASES / "MouthDownFromRedOutsideBlackInsideRule.csv")["fires"]
    twins = tuple(Row(row.zone, row.layer, "twin", row.seen) for row in shown.rows if row.layer == "paint")
    both = Sherd("both", None, shown.seen, (*shown.rows, *twins))
    fired, _ = evaluate(both, units(both))
    (found,) = [one for one in fired if one.rule == "MouthDownFromRedOutsideBlackInsideRule"]
    assert {"the paint line outside is red", "the paint twin outside is red"} <= set(found.because)


@settings(max_examples=30, deadline=None)
@given(
    name=st.sampled_from(NAMES),
    sherd=st.sampled_from(["fires", "exception", "premises"]),
    seed=st.integers(0, 9999),
)
def test_the_order_of_rows_never_matters(name: str, sherd: str, seed: int) -> None:
    shown = sherds(CASES / f"{name}.csv")[sherd]
    rows = list(shown.rows)
    Random(seed).shuffle(rows)
    moved = Sherd(shown.sherd, None, shown.seen, tuple(rows))
    assert evaluate(moved, units(moved)) == evaluate(shown, units(shown))


# ── the rules as data ──


def test_the_list_and_the_explanation_agree() -> None:
    listed = rules_list()
    assert [entry["rule"] for entry in listed] == NAMES
    for entry in listed:
        full = explain(str(entry["rule"]))
        assert entry.items() <= full.items()
        assert (entry["record"] is None) == (
            entry["kind"] == "cautions" or not rule(str(entry["rule"])).values
        )
        assert full["why"]
        assert full["example"]
        assert full["premises"]
    with pytest.raises(KeyError):
        explain("NoSuchRule")


def test_region_is_listed() -> None:
    assert {entry["rule"]: entry["region"] for entry in rules_list() if entry["region"]} == {
        "NotOxidisingFromWhiteSlipRule": "colorado-plateau",
        "LeadGlazeFromGlossyRaisedPaintRule": "rio-grande-valley",
    }
