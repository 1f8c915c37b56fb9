"""The answer: its keys and sums, what is decided, what would flip it, what contradicts, what to do next."""

import json
import math
from pathlib import Path
from typing import Any, Final

import pytest

from wareontology.sherd.record import Sherd
from wareontology.sherd.table import read
from wareontology.technique.answer import answer, answers, data_hash
from wareontology.technique.case import Case, top
from wareontology.technique.likelihoods.tables import DRAWS
from wareontology.technique.next_test import ALLOWED, examinations, expected_gains, plans
from wareontology.technique.verdict import DECIDED, ROBUST
from wareontology.technique.weigh import CONFLICT_BITS, conflict, flips

ROOT: Final = Path(__file__).resolve().parent.parent
SHOWN: Final = ROOT / "cases" / "shown"
DEMO: Final = ROOT.parent / "data" / "demo" / "sherds.csv"

KEYS: Final = {
    "schema", "software", "data_hash", "sherd", "observer", "materials", "families", "carbon", "applied",
    "atmosphere", "ending", "temperature", "structure", "space", "air", "flat", "priors", "findings",
    "not_applied", "verdict", "conflict", "robust", "next_tests", "flips", "look_alikes", "not_looked",
    "sources", "notes",
}  # fmt: skip
"""The contract of the design, section 5, and `notes`."""


def sherds(name: str) -> dict[str, Sherd]:
    reading = read(SHOWN / f"{name}.csv")
    assert reading.faults == ()
    return {sherd.sherd: sherd for sherd in reading.sherds}


@pytest.fixture(scope="module")
def demo() -> list[dict[str, Any]]:
    return list(answers(read(DEMO).sherds, draws=20))


def distributions(found: dict[str, Any]) -> list[dict[str, float]]:
    flat = [found[key] for key in ("atmosphere", "ending", "temperature", "structure", "space")]
    nested = [found[key] for key in ("materials", "families", "carbon", "applied", "air")]
    return flat + [odds for group in nested for odds in group.values()]


def test_every_key_and_no_other(demo: list[dict[str, Any]]) -> None:
    for found in demo:
        assert set(found) == KEYS


def test_all_odds_sum_to_one(demo: list[dict[str, Any]]) -> None:
    for found in demo:
        for odds in (*distributions(found), *distributions(found["flat"])):
            assert sum(odds.values()) == pytest.approx(1, abs=1e-4)
            assert all(0 <= p <= 1 for p in odds.values())


def test_the_same_sherd_twice_gives_the_same_answer() -> None:
    sherd = sherds("plain_case")["plain"]
    assert json.dumps(answer(sherd)) == json.dumps(answer(sherd))


def test_decided_keeps_its_own_conditions(demo: list[dict[str, Any]]) -> None:
    for found in demo:
        for question, verdict in found["verdict"].items():
            if verdict["state"] == "decided":
                assert verdict["p"] >= DECIDED
                assert question != "space"
                assert all(question not in item["flips"] for item in found["conflict"]["items"])
                if question in found["robust"] and verdict["value"] not in found["materials"].get(
                    question, {}
                ):
                    assert found["robust"][question] >= ROBUST
            else:
                assert verdict["reason"]


def test_space_is_never_surer_than_the_cap(demo: list[dict[str, Any]]) -> None:
    """Thér 2014 told only one-space from two-space firing: 0.8 is our cap on it."""
    assert max(max(found["space"].values()) for found in demo) <= 0.8 + 1e-9


def test_conflict_bits_are_those_of_the_definition() -> None:
    """log2(P(e) / P(e | rest)) by a second route: P(e | rest) = P(all) / P(rest)."""
    case = Case.of(next(sherd for sherd in read(DEMO).sherds if sherd.sherd == "K-07"))
    found = conflict(case)
    assert found["items"]
    for entry in found["items"]:  # type: ignore[attr-defined]
        (item,) = (i for i in case.items if i.key == (entry["unit"], entry["trait"]))
        rest = [other for other in case.items if other is not item]
        alone = float(case.given([[item]]).evidence[0])
        without = float(case.given([rest]).evidence[0])
        together = float(case.given([case.items]).evidence[0])
        assert entry["bits"] == pytest.approx(math.log2(alone / (together / without)), abs=2e-3)
        assert entry["bits"] > CONFLICT_BITS


def test_a_flip_is_true_when_the_table_says_so() -> None:
    """Changing the cell in the table itself gives the answer that the flip foretold (second route)."""
    sherd = sherds("plain_case_no_region")["plain-no-region"]
    case = Case.of(sherd)
    found = [flip for flip in flips(case, case.questions()) if flip["row"]["column"] == "colour"]  # type: ignore[index]
    assert found
    for flip in found:
        row = flip["row"]
        text = (SHOWN / "plain_case_no_region.csv").read_text(encoding="utf-8").splitlines()
        cells = text[row["number"] - 1].split(",")  # type: ignore[index]
        cells[text[0].split(",").index("colour")] = str(flip["if_it_were"])
        text[row["number"] - 1] = ",".join(cells)  # type: ignore[index]
        changed = Case.of(_from_text("\n".join(text), "plain-no-region"))
        odds = changed.odds(changed.marginals)
        for question, value in flip["then"].items():  # type: ignore[attr-defined]
            assert top(odds[question])[0] == value


def _from_text(text: str, name: str) -> Sherd:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "changed.csv"
        path.write_text(text, encoding="utf-8")
        return next(sherd for sherd in read(path).sherds if sherd.sherd == name)


def test_expected_gains_are_never_below_nothing_nor_above_the_entropy(demo: list[dict[str, Any]]) -> None:
    for sherd in read(DEMO).sherds[:12]:
        case = Case.of(sherd)
        questions = case.questions()
        gains = expected_gains(case, list(plans(case)), questions)
        most = sum(math.log2(len(odds)) for odds in case.odds(case.marginals).values())
        assert all(-1e-9 <= gain <= most for gain in gains)


def test_expected_gain_is_that_of_a_plain_sum() -> None:
    """One magnet test by hand: Σ P(outcome) · (H before − H after), each outcome asked alone."""
    case = Case.of(sherds("plain_case_no_region")["plain-no-region"])
    (plan,) = (plan for plan in plans(case) if plan.test.test == "magnet")
    (gain,) = expected_gains(case, [plan], ("paint:line",))

    def entropy(odds: Any) -> float:
        return -sum(float(p[0]) * math.log2(float(p[0])) for p in odds.values())

    before = entropy(case.odds(case.marginals)["paint:line"])
    after = []
    for outcome in plan.outcomes:
        result = case.given([[*case.items, *outcome]])
        after.append((float(result.evidence[0]), entropy(case.odds(result)["paint:line"])))
    total = sum(weight for weight, _ in after)
    assert gain == pytest.approx(sum(weight / total * (before - rest) for weight, rest in after), abs=1e-9)


@pytest.mark.parametrize("permission", ["none", "surface"])
def test_what_permission_forbids_is_not_offered(permission: str, demo: list[dict[str, Any]]) -> None:
    needs = {test.test: test.needs for test in examinations()}
    for sherd, found in zip(read(DEMO).sherds, demo, strict=True):
        if sherd.permission == permission:
            for offered in found["next_tests"]:
                assert needs[offered["test"]] in ALLOWED[permission]


def test_asking_for_one_question_ranks_by_it() -> None:
    sherd = sherds("plain_case_no_region")["plain-no-region"]
    found = answer(sherd, draws=0, question="temperature")["next_tests"]
    assert found[0]["test"] in ("slakes", "hardness", "ring")


def test_an_unknown_question_or_engine_is_refused() -> None:
    sherd = sherds("plain_case")["plain"]
    with pytest.raises(ValueError, match="question: found 'glow'; would do"):
        answer(sherd, question="glow")
    with pytest.raises(ValueError, match="engine: found 'guess'"):
        answer(sherd, engine="guess")


def test_no_draws_leaves_robust_open() -> None:
    found = answer(sherds("plain_case")["plain"], draws=0)
    assert found["robust"] is None
    assert DRAWS == 200


def test_the_standard_engine_gives_the_same_findings() -> None:
    sherd = sherds("plain_case")["plain"]
    assert answer(sherd, draws=0, engine="shacl") == answer(sherd, draws=0)


def test_sources_are_known_by_citation(demo: list[dict[str, Any]]) -> None:
    for found in demo:
        for entry in found["sources"]:
            assert entry["citation"] != entry["id"]


def test_the_data_hash_is_of_sixteen_digits() -> None:
    assert len(data_hash()) == 16
    assert int(data_hash(), 16) >= 0
