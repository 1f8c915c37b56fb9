"""Every invented claim gets the verdicts and the reasons that were written down before the code."""

import csv
from collections.abc import Callable, Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Any, Final

import pytest

from wareontology.errors import BreaksShape
from wareontology.graph.vocabulary import scheme
from wareontology.replica import claim as claim_module
from wareontology.replica import claim_rivals
from wareontology.replica.claim import judged
from wareontology.replica.claim_read import Claim, from_text, read
from wareontology.replica.claim_verdicts import VERDICTS, bearings
from wareontology.sherd.record import Sherd
from wareontology.sherd.turtle import to_turtle

CASES: Final = Path(__file__).resolve().parent.parent / "cases" / "claims"


def expected() -> Iterator[dict[str, str]]:
    with (CASES / "expected.csv").open(encoding="utf-8", newline="") as file:
        yield from csv.DictReader(line for line in file if not line.startswith("#"))


JUDGED: Final = [row for row in expected() if not row["refused"]]
REFUSED: Final = [row for row in expected() if row["refused"]]


_WEIGHED: Final[dict[object, Any]] = {}


@cache
def answer(name: str) -> dict[str, Any]:
    """The answer to a case. Most cases have the same originals: the reasoner is asked of them once."""

    def once(work: Callable[..., Any]) -> Callable[..., Any]:
        def known(sherds: Sequence[Sherd], *rest: Any) -> Any:
            key = (work.__name__, to_turtle(sherds), *(str(one) for one in rest))
            if key not in _WEIGHED:
                _WEIGHED[key] = work(sherds, *rest)
            return _WEIGHED[key]

        return known

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(claim_module, "weighed", once(claim_rivals.weighed))
        patch.setattr(claim_module, "telling", once(claim_rivals.telling))
        return judged(read(CASES / name))


def test_there_are_enough_cases_and_none_is_left_out() -> None:
    assert len(JUDGED) + len(REFUSED) >= 24
    assert {row["file"] for row in expected()} == {path.name for path in CASES.glob("*.ttl")}


@pytest.mark.parametrize("row", JUDGED, ids=lambda row: row["file"])
def test_verdicts_and_their_reasons(row: dict[str, str]) -> None:
    found = answer(row["file"])["verdicts"]
    assert {name: found[name]["state"] for name in VERDICTS} == {name: row[name] for name in VERDICTS}
    for name in VERDICTS:
        assert row[f"because_{name}"] in found[name]["because"]
        assert found[name]["reason"]


@pytest.mark.parametrize("row", JUDGED, ids=lambda row: row["file"])
def test_gaps_are_all_named_and_no_others(row: dict[str, str]) -> None:
    found = answer(row["file"])["gaps"]
    assert sorted({gap["code"] for gap in found}) == row["gaps"].split()
    assert all(gap["sentence"] and gap["where"] for gap in found)


@pytest.mark.parametrize("row", REFUSED, ids=lambda row: row["file"])
def test_what_cannot_be_judged_is_refused_by_name(row: dict[str, str]) -> None:
    with pytest.raises(BreaksShape) as refused:
        judged(read(CASES / row["file"]))
    (fault,) = refused.value.faults
    assert (fault.column or "").split(", ")[-1] == row["refused"]
    assert fault.would_do


def test_every_reason_is_met_by_a_case() -> None:
    met = {gap["code"] for row in JUDGED for gap in answer(row["file"])["gaps"]}
    met |= {
        code for row in JUDGED for one in answer(row["file"])["verdicts"].values() for code in one["because"]
    }
    assert met == set(bearings())


def test_reasons_and_states_are_those_of_the_vocabulary() -> None:
    assert set(bearings()) == set(scheme("claim-reason").notations())
    assert {state for one in bearings().values() for state in one.values()} <= set(
        scheme("claim-state").notations()
    )
    assert scheme("claim-verdict").notations() == VERDICTS


@pytest.mark.parametrize("row", JUDGED, ids=lambda row: row["file"])
def test_turtle_comes_back_whole(row: dict[str, str]) -> None:
    claim = read(CASES / row["file"])
    again: Claim = from_text(claim.turtle(), row["file"])
    assert (again.form, again.originals, again.replicas) == (claim.form, claim.originals, claim.replicas)
    assert again.turtle() == claim.turtle()


def test_one_success_never_gives_more_than_possible() -> None:
    for name in ("03-overclaimed.ttl", "05-one-success.ttl"):
        found = answer(name)["verdicts"]
        assert found["possible"]["state"] == "shown"
        assert found["sufficient"]["state"] == "not-shown"
        assert found["unique"]["state"] != "shown"


def test_a_rival_comes_with_the_test_that_would_tell() -> None:
    found = answer("18-rival-on-a-bare-look.ttl")["rivals"]
    assert (found[0]["paint"], found[0]["differs"]) == ("organic", ["paint"])
    assert found[0]["test"]["sherd"] == "KS-1"
    assert 0 < found[0]["test"]["gain_bits"] <= 1
    assert all(one["p"] >= 0.03 or one["flat"] >= 0.03 for one in found)


def test_the_chain_of_teachers_is_told() -> None:
    found = [
        one for one in answer("15-told-by-a-teacher.ttl")["learned"] if one["where"].startswith("series")
    ]
    assert found[0]["chain"] == ["Garrick Holm (invented)", "Isolde Jarn (invented)"]


def test_nothing_is_said_of_price_or_of_being_genuine() -> None:
    words = {"price", "authentic", "forgery", "fake", "valuable"}
    for row in JUDGED:
        said = " ".join(str(one["sentence"]) for one in answer(row["file"])["gaps"]).casefold()
        assert not words & set(said.replace(".", "").split())
