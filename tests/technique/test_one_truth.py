"""Two reasoners, one truth: what a rule says, the posterior must say too.

Under flat firings, with its exceptions observed absent, the premises of a rule of kind `implies` multiply
the odds of what it concludes by at least 1.5; of kind `excludes` they divide them. Cautions answer nothing
and are exempt.
"""

from pathlib import Path
from typing import Final

import pytest

from wareontology.sherd.record import Sherd
from wareontology.sherd.table import read
from wareontology.technique import rules
from wareontology.technique.case import (
    Case,
    Odds,
    applied_odds,
    carbon_odds,
    family_odds,
    material_odds,
    whole_odds,
)
from wareontology.technique.rule_book import Rule, rule_book
from wareontology.technique.units import units

CASES: Final = Path(__file__).resolve().parent.parent / "cases" / "rules"
LEAST: Final = 1.5
CONCLUDING: Final = [rule for rule in rule_book() if rule.kind in ("implies", "excludes")]


def odds_of(rule: Rule, sherd: Sherd, unit: str) -> float:
    """Odds of the rule's conclusion on a sherd under flat firings."""
    case = Case.of(sherd, flat=True)
    result = case.marginals
    whole = whole_odds(case.model, sherd, result)
    found: Odds
    if rule.question in whole:
        found = whole[rule.question]
    elif rule.question == "carbon":
        found = carbon_odds(result)
    else:
        here = case.units[unit]
        if rule.question == "applied":
            found = applied_odds(here, result)
        elif here.layer == "paint" and any(value.endswith("-family") for value in rule.values):
            found = family_odds(here, result)
        else:
            found = material_odds(here, result)
    others = sum(float(p[0]) for value, p in found.items() if value not in rule.values)
    return sum(float(found[value][0]) for value in rule.values) / others


def sherds(rule: Rule) -> dict[str, Sherd]:
    reading = read(CASES / f"{rule.name}.csv")
    assert reading.faults == ()
    return {sherd.sherd: sherd for sherd in reading.sherds}


@pytest.mark.parametrize("rule", CONCLUDING, ids=lambda rule: str(rule.name))
def test_the_premises_move_the_odds_the_way_the_rule_says(rule: Rule) -> None:
    found = sherds(rule)
    premises, baseline = found["premises"], found["baseline"]
    findings, _ = rules.evaluate(premises, units(premises))
    unit = next(finding.unit for finding in findings if finding.rule == rule.name)
    times = odds_of(rule, premises, unit) / odds_of(rule, baseline, unit)
    if rule.kind == "excludes":
        times = 1 / times
    assert times >= LEAST, f"the premises multiply the odds by {times:.2f}"


def test_there_are_rules_to_hold() -> None:
    assert len(CONCLUDING) >= 15
