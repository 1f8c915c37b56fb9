"""The published SKOS checks: each catches its seeded fault, and is silent on our vocabulary or says why."""

import csv
from functools import cache
from pathlib import Path

import pytest

from wareontology import paths
from wareontology.graph.checks import CHECKS, NOT_RUN, run
from wareontology.graph.closure import closed_graph
from wareontology.graph.store import graph

CASES = paths.data().parent / "tests" / "cases" / "vocabulary"
PUBLISHED = Path(__file__).parent.parent / "published" / "skos_checks.csv"
FAULT = "https://wareontology.example/case/fault"
NAMED = {"husv": "urn:case:fault", "ncl": "http://www.w3.org/2004/02/skos/core#Concept"}
"""What a check names where it is not ex:fault: an address of another kind, or no one concept."""

STATED = {
    "oc": "most schemes are plain lists of values, which have nothing wider and nothing beside them",
    "dcc": "families of paint, and the sides a field may be on, are by nature trees of their own",
    "mol": "few AAT numbers were seen, and none is taken from memory",
}
"""Checks that are not silent on our vocabulary, and why that is as it should be."""


def _published() -> dict[str, str]:
    lines = [line for line in PUBLISHED.read_text("utf-8").splitlines() if not line.startswith("#")]
    return {row["id"]: row["kind"] for row in csv.DictReader(lines)}


@cache
def _ours() -> dict[str, list[tuple[str, str]]]:
    return run(closed_graph())


def test_every_published_check_is_run_or_says_why_not() -> None:
    published = _published()
    assert {*CHECKS, *NOT_RUN} == set(published)
    assert set(NOT_RUN) == {name for name, kind in published.items() if kind == "needs web"}
    # 6 integrity conditions, and 27 of the 29 issues: counted in the published table.
    assert len(CHECKS) == 33


@pytest.mark.parametrize("name", CHECKS)
def test_a_check_catches_its_seeded_fault_and_names_the_place(name: str) -> None:
    found = run(graph([CASES / f"{name}.ttl"]))[name]
    assert NAMED.get(name, FAULT) in {address for address, _ in found}


def test_s27_is_caught_by_its_own_path_and_nothing_is_inferred() -> None:
    case = graph([CASES / "S27.ttl"])
    before = len(case)
    assert run(case)["S27"] == [
        (FAULT, "is related to https://wareontology.example/case/top, which is wider")
    ]
    assert len(case) == before


@pytest.mark.parametrize("name", [name for name in CHECKS if name not in STATED])
def test_our_vocabulary_is_silent(name: str) -> None:
    assert _ours()[name] == []


def test_where_it_is_not_silent_the_reason_still_holds() -> None:
    for name in STATED:
        assert _ours()[name]
    trees = {address.rsplit("/", 1)[1] for address, _ in _ours()["dcc"]}
    assert trees == {"paint-family", "paint-material", "field"}
    orphans = {address.rsplit("/", 2)[1] for address, _ in _ours()["oc"]}
    assert "region" not in orphans


def test_an_empty_graph_is_silent() -> None:
    assert not any(run(graph([])).values())
