"""The fast evaluator and pySHACL fire the same rules on the same layers, generated and in the cases.

Second route: pySHACL on the same shapes/rules.ttl. All sherds go through one graph.
"""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from wareontology.graph.namespaces import RULE
from wareontology.graph.shacl import fired
from wareontology.graph.store import described
from wareontology.paths import shapes
from wareontology.sherd.cells import parse
from wareontology.sherd.columns import column, columns
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.sherd.table import read
from wareontology.technique.fact_book import fact_book, read_fact_book
from wareontology.technique.facts import facts
from wareontology.technique.hypotheses import COLOURS
from wareontology.technique.rule_book import read_rules
from wareontology.technique.rule_engine import Engine
from wareontology.technique.rules import by_standard_engine, engine, evaluate, evaluate_by_standard_engine
from wareontology.technique.units import units

CASES = Path(__file__).parents[1] / "cases"
GENERATED = 300

WORDS = {
    fact.column: column(fact.column).choices
    for fact in fact_book().facts.values()
    if fact.column and column(fact.column).choices
}
OF_SHERD = sorted(fact.column for fact in fact_book().of_sherd if fact.column in WORDS)
OF_LAYER = sorted(set(WORDS) - set(OF_SHERD))
TESTS = {
    "refire_c": ("500", "750", "800"),
    "refire_colour": (*COLOURS, "gone", "ghost"),
    "refire_ground_colour": COLOURS,
    **{
        f"pxrf_{element}{ground}": ("<20", "100", "110", "250", "9000")
        for element in ("fe", "mn", "pb")
        for ground in ("", "_ground")
    },
    "munsell": ("10YR 8/1", "10R 4/6", "10YR 2/1", "7.5YR 7/4", "N 5/"),
    "patches": ("none", "red", "black"),
}  # fmt: skip
REGIONS = ("colorado-plateau", "rio-grande-valley", "aegean", "world")


def cell(name: str, text: str) -> Seen:
    seen = parse(column(name), text)
    assert isinstance(seen, Seen), (name, text, seen)
    return seen


@st.composite
def any_cells(draw: st.DrawFn) -> dict[str, Seen]:
    names = draw(st.lists(st.sampled_from([*OF_LAYER, *TESTS]), unique=True, max_size=9))
    words = {name: draw(st.sampled_from(TESTS.get(name) or WORDS[name])) for name in ["colour", *names]}
    doubt = draw(st.sampled_from(["", "", "", "?"]))
    return {
        name: cell(name, text + (doubt if name in ("colour", "edge") else "")) for name, text in words.items()
    }


@st.composite
def any_sherd(draw: st.DrawFn) -> Sherd:
    """Layers and traits at random: what no potter made is asked too."""
    places = [
        ("interior", "body", None), ("exterior", "body", None), ("break", "body", None),
        ("interior", "slip", None), ("exterior", "slip", "b"), ("interior", "paint", "a"),
        ("exterior", "paint", "a"), ("exterior", "paint", "c"),
    ]  # fmt: skip
    chosen = draw(st.lists(st.sampled_from(places), unique=True, min_size=1))
    rows = tuple(Row(*place, draw(any_cells())) for place in chosen)
    names = draw(st.lists(st.sampled_from(OF_SHERD), unique=True))
    seen = {name: cell(name, draw(st.sampled_from(WORDS[name]))) for name in names}
    seen["looked"] = cell("looked", draw(st.sampled_from(["interior", "interior exterior break"])))
    if draw(st.booleans()):
        seen["region"] = cell("region", draw(st.sampled_from(REGIONS)))
    return Sherd("any", None, seen, rows)


@st.composite
def nearly_a_case(draw: st.DrawFn) -> Sherd:
    """A sherd on which a rule fires, with a few of its cells otherwise, missing or added."""
    sherd = draw(st.sampled_from([one for one in cases() if one.sherd in ("fires", "premises")]))
    rows = list(sherd.rows)
    for place in draw(st.lists(st.integers(0, len(rows) - 1), max_size=2)):
        seen = dict(rows[place].seen)
        name = draw(st.sampled_from([*seen, *OF_LAYER, *TESTS]))
        if draw(st.booleans()):
            seen.pop(name, None)
        elif name in TESTS or name in WORDS:
            seen[name] = cell(name, draw(st.sampled_from(TESTS.get(name) or WORDS[name])))
        rows[place] = replace(rows[place], seen=seen)
    lost = draw(st.sampled_from(["", "", "", *sherd.seen]))
    whole = {name: seen for name, seen in sherd.seen.items() if name != lost}
    return Sherd(sherd.sherd, None, whole, tuple(rows))


@cache
def cases() -> tuple[Sherd, ...]:
    return tuple(sherd for path in sorted(CASES.glob("rules/*.csv")) for sherd in read(path).sherds)


def generated() -> list[Sherd]:
    found: list[Sherd] = []

    @settings(
        max_examples=GENERATED, derandomize=True, database=None, deadline=None, phases=[Phase.generate],
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
    )  # fmt: skip
    @given(sherd=st.one_of(any_sherd(), nearly_a_case(), nearly_a_case()))
    def collect(sherd: Sherd) -> None:
        found.append(sherd)

    collect()
    return found


@pytest.fixture(scope="module")
def batch() -> list[Sherd]:
    """Every sherd under a name of its own."""
    shown = [sherd for path in sorted(CASES.glob("shown/*.csv")) for sherd in read(path).sherds]
    return [replace(sherd, sherd=f"s{place}") for place, sherd in enumerate([*generated(), *cases(), *shown])]


@pytest.fixture(scope="module")
def fast(batch: list[Sherd]) -> list[frozenset[tuple[str, str]]]:
    return [frozenset((one.rule, one.unit) for one in evaluate(sherd, units(sherd))[0]) for sherd in batch]


def test_there_are_enough_and_they_try_every_rule(
    batch: list[Sherd], fast: list[frozenset[tuple[str, str]]]
) -> None:
    assert len(batch) >= GENERATED + len(cases())
    generated_only = {rule for pairs in fast[:GENERATED] for rule, _ in pairs}
    assert len(generated_only) >= 20, "most rules fire on a generated sherd"
    assert {rule for pairs in fast for rule, _ in pairs} == {rule.name for rule in engine().rules}
    assert sum(1 for pairs in fast[:GENERATED] if not pairs) > 10, "on some nothing fires"


def test_both_engines_fire_the_same(batch: list[Sherd], fast: list[frozenset[tuple[str, str]]]) -> None:
    standard = by_standard_engine([(sherd, units(sherd)) for sherd in batch])
    differ = [
        (sherd, ours ^ theirs)
        for sherd, ours, theirs in zip(batch, fast, standard, strict=True)
        if ours != theirs
    ]
    assert not differ, differ[:3]


def test_the_shacl_engine_answers_the_same() -> None:
    sherd = cases()[0]
    assert evaluate_by_standard_engine(sherd, units(sherd)) == evaluate(sherd, units(sherd))


def test_both_engines_walk_up_the_tree_of_regions(tmp_path: Path) -> None:
    """The white-slip rule, were it a rule of the whole Southwest, would hold on the Plateau within it."""
    path = tmp_path / "rules.ttl"
    text = shapes("rules.ttl").read_text(encoding="utf-8")
    path.write_text(
        text.replace("region:colorado-plateau", "region:north-american-southwest"), encoding="utf-8"
    )
    found = described(path)
    wide = Engine(read_rules(found, read_fact_book(found)))
    (sherd,) = [
        one for one in read(CASES / "shown" / "plain_case.csv").sherds if one.region == "colorado-plateau"
    ]
    ours = {(one.rule, one.unit) for one in evaluate(sherd, units(sherd), wide)[0]}
    assert ("NotOxidisingFromWhiteSlipRule", "sherd") in ours
    plain = facts(sherd, units(sherd))
    theirs = fired(plain.triples(), path)
    assert theirs == {(RULE + rule, plain.address(unit)) for rule, unit in ours}


def test_two_sherds_of_one_name_are_refused() -> None:
    sherd = cases()[0]
    with pytest.raises(ValueError, match="two sherds of one name"):
        by_standard_engine([(sherd, units(sherd))] * 2)


def test_evaluating_leaves_the_facts_of_the_sherd_as_they_were() -> None:
    sherd = cases()[0]
    before = set(facts(sherd, units(sherd)).triples())
    evaluate(sherd, units(sherd))
    assert set(facts(sherd, units(sherd)).triples()) == before


def test_the_columns_tried_are_columns() -> None:
    assert {*OF_LAYER, *OF_SHERD, *TESTS} <= {one.name for one in columns()}
