"""Where a rule held among the published traditions, and what does not count. Made-up traditions, invented."""

import json
from collections.abc import Iterable

import pytest

from wareontology.graph.traditions import Statement, Tradition, traditions
from wareontology.paths import data
from wareontology.technique.count_rules import STAND_INS, cases, records
from wareontology.technique.rule_book import rule_book
from wareontology.technique.rule_record import FILE
from wareontology.technique.tradition_sherd import labels_of

WHITE_SLIP = "NotOxidisingFromWhiteSlipRule"
ORGANIC = "NotOxidisingFromOrganicBlackRule"
MINERAL = "ManganeseFamilyFromMineralBlackOnOxidisedGroundRule"


def stated(field: str, value: str, **more: str) -> Statement:
    terms = (value,) if field in ("atmosphere", "ending", "paint", "slip") else ()
    return Statement(field, value, more.pop("basis", "stated"), ("made-up",), terms=terms, **more)


def ware(name: str, region: str, *said: Statement) -> Tradition:
    return Tradition(name, name, region, said)


def white_slipped(name: str, region: str, fire: str | None, basis: str = "stated") -> Tradition:
    said = [stated("colour", "white", layer="slip")]
    if fire is not None:
        said.append(stated("atmosphere", fire, basis=basis))
    return ware(name, region, *said)


def record(rule: str, *published: Tradition) -> tuple[int, int]:
    found = records(published)[rule]
    assert found is not None
    return found["holds"], found["fails"]


def test_a_rule_bound_to_a_region_is_tried_everywhere() -> None:
    found = records(
        [white_slipped("a", "colorado-plateau", "reducing"), white_slipped("b", "aegean", "oxidising")]
    )[WHITE_SLIP]
    assert found is not None
    assert (found["holds"], found["fails"]) == (1, 1)
    assert found["by_region"] == {
        "aegean": {"holds": 0, "fails": 1}, "colorado-plateau": {"holds": 1, "fails": 0},
    }  # fmt: skip
    assert (found["traditions"], found["failed"]) == (["a", "b"], ["b"])


@pytest.mark.parametrize("basis", ["memory", "inferred"])
def test_what_is_from_memory_or_inferred_from_the_trait_is_not_counted(basis: str) -> None:
    assert record(WHITE_SLIP, white_slipped("a", "aegean", "oxidising", basis)) == (0, 0)
    assert record(WHITE_SLIP, white_slipped("a", "aegean", None)) == (0, 0)


def test_a_ware_stated_to_be_both_counts_for_neither() -> None:
    both = ware(
        "a", "aegean", stated("colour", "white", layer="slip"), stated("atmosphere", "oxidising"),
        stated("atmosphere", "reducing"),
    )  # fmt: skip
    assert record(WHITE_SLIP, both) == (0, 0)


def test_two_stated_values_that_both_agree_count_once() -> None:
    agree = ware(
        "a", "aegean", stated("colour", "white", layer="slip"), stated("atmosphere", "neutral"),
        stated("atmosphere", "reducing"),
    )  # fmt: skip
    assert record(WHITE_SLIP, agree) == (1, 0)


def test_a_colour_that_runs_from_one_to_another_stands_for_either() -> None:
    runs = ware(
        "a", "aegean", stated("colour", "white-cream", layer="slip"), stated("atmosphere", "oxidising")
    )
    cream = ware("a", "aegean", stated("colour", "cream", layer="slip"), stated("atmosphere", "oxidising"))
    assert record(WHITE_SLIP, runs) == (0, 1)
    assert record(WHITE_SLIP, cream) == (0, 0)


def test_red_anywhere_stops_a_rule_that_wants_none() -> None:
    red = ware(
        "a", "aegean", stated("colour", "white", layer="slip"), stated("atmosphere", "oxidising"),
        stated("colour", "red", layer="paint", name="red"),
    )  # fmt: skip
    assert record(WHITE_SLIP, red) == (0, 0)


def black_on_buff(material: str) -> Tradition:
    return ware(
        "a", "aegean", stated("colour", "buff", layer="body"),
        stated("colour", "black", layer="paint", name="p"),
        stated("paint", material, layer="paint", name="p"),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("material", "counts"), [("manganese", (1, 0)), ("iron", (0, 1)), ("organic", (0, 0)), ("gloss", (0, 0))]
)
def test_the_lens_stands_in_for_a_stated_material(material: str, counts: tuple[int, int]) -> None:
    # Organic soaks in and gloss sinters: the rule sets both aside first, as a person with a lens would.
    assert record(MINERAL, black_on_buff(material)) == counts


def test_a_material_never_proves_itself() -> None:
    organic = records([black_on_buff("organic")])
    assert organic["OrganicFromSoftSoakedBlackRule"] == records([])["OrganicFromSoftSoakedBlackRule"]
    manganese = records([black_on_buff("manganese")])
    assert (
        manganese["ManganeseFamilyFromManganeseExcessRule"]
        == records([])["ManganeseFamilyFromManganeseExcessRule"]
    )
    gloss = records([black_on_buff("gloss")])
    assert gloss["GlossFromSinteredBlackRule"] == records([])["GlossFromSinteredBlackRule"]


def test_an_organic_black_is_held_against_its_stated_fire() -> None:
    def painted(fire: str) -> Tradition:
        return ware(
            "a", "andes", stated("colour", "black", layer="paint", name="p"), stated("atmosphere", fire),
            stated("paint", "organic", layer="paint", name="p"),
        )  # fmt: skip

    assert record(ORGANIC, painted("neutral")) == (1, 0)
    assert record(ORGANIC, painted("oxidising")) == (0, 1)


def test_without_looking_for_red_the_rule_is_tried_on_more_wares() -> None:
    red_body = ware(
        "a", "cyprus", stated("colour", "white", layer="slip"), stated("colour", "red", layer="body"),
        stated("atmosphere", "oxidising"),
    )  # fmt: skip
    found = records([red_body])[WHITE_SLIP]
    assert found is not None
    assert (found["holds"], found["fails"]) == (0, 0)
    assert found["bare"] == {"holds": 0, "fails": 1, "by_region": {"cyprus": {"holds": 0, "fails": 1}}}


def test_the_white_slip_rule_is_held_by_the_plateau_and_failed_elsewhere() -> None:
    # Published wares: the bare rule of the trade fails where white-firing clay is not scarce.
    found = records()[WHITE_SLIP]
    assert found is not None
    plateau = found["bare"]["by_region"]["colorado-plateau"]
    assert plateau["holds"] > plateau["fails"] == 0
    assert (
        sum(one["fails"] for name, one in found["bare"]["by_region"].items() if name != "colorado-plateau")
        > 0
    )


def test_a_caution_has_no_record() -> None:
    for rule in rule_book():
        if rule.kind == "cautions":
            assert records([])[rule.name] is None


def test_the_shipped_records_are_fresh_ones() -> None:
    assert json.loads(data(FILE).read_text(encoding="utf-8")) == json.loads(json.dumps(records()))


def test_every_tradition_counted_states_what_it_is_counted_for() -> None:
    questions = {rule.name: rule.question for rule in rule_book()}
    for case in cases(traditions().values()):
        labels = labels_of(traditions()[case.tradition])
        if questions[case.rule] != "material":
            assert questions[case.rule] in {key.split(":")[0] for key in labels}


def test_stand_ins_say_what_they_rest_on() -> None:
    text = data(STAND_INS).read_text(encoding="utf-8")
    rows: Iterable[str] = (line for line in text.splitlines() if line and not line.startswith("#"))
    assert all(line.endswith(",common practice") for line in list(rows)[1:])
