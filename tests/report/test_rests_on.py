"""What rests on a source, counted by another way than the index."""

import csv

import pytest

from wareontology.graph.namespaces import RULE, SOURCE
from wareontology.graph.traditions import tradition_sources, traditions
from wareontology.paths import data
from wareontology.report.rests_on import how_much, rests_on
from wareontology.technique.rules import engine


def test_every_rule_rests_on_the_source_it_names() -> None:
    for rule in engine().rules:
        if rule.source:
            assert RULE + rule.name in rests_on(rule.source).rules


@pytest.mark.parametrize("key", list(tradition_sources())[::20])
def test_statements_are_counted(key: str) -> None:
    counted = {name: count for name, _, count in rests_on(key).traditions}
    for one in traditions().values():
        assert counted.get(one.id, 0) == sum(key in said.sources for said in one.statements)


def test_rows_are_counted() -> None:
    with data("priors.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    count = sum("us-ware-descriptions" in row["source"].split() for row in rows)
    assert rests_on("us-ware-descriptions").tables["priors.csv"] == count > 0


def test_a_source_that_was_not_seen_bears_no_statement() -> None:
    for key, source in tradition_sources().items():
        if not source.may_be_cited():
            assert rests_on(key).traditions == (), key
            assert rests_on(key).rules == (), key


def test_what_nothing_rests_on_is_empty() -> None:
    for key in tradition_sources():
        assert rests_on(key).is_empty() == (how_much()[key] == 0), SOURCE + key
