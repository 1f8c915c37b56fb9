"""What moved the odds: steps that add up, each level against pgmpy, and what each rests on."""

import math
from functools import cache
from pathlib import Path
from typing import Any, Final

import pytest

from tests.technique.helpers_pgmpy import asked_of_pgmpy
from tests.technique.helpers_sherds import row, sherd
from wareontology.sherd.table import read
from wareontology.technique.answer import answer
from wareontology.technique.case import Case, top
from wareontology.technique.explain import explain
from wareontology.technique.hypotheses import family_of
from wareontology.technique.likelihoods.model import FIRES, PAINT_STATES
from wareontology.technique.network import combine
from wareontology.technique.prose import prose

DEMO: Final = Path(__file__).resolve().parents[2] / "data" / "demo" / "sherds.csv"
SMALL: Final = sherd(
    row("break", "body", colour="grey", core="none"),
    row("interior", "paint", "line", colour="black", edge="sharp"),
)


@cache
def asked(question: str) -> dict[str, Any]:
    case = Case.of(SMALL)
    return explain(case, question, top(case.odds(case.marginals)[question])[0])


@pytest.mark.parametrize("place", [0, 8, 16, 24, 32, 40])
def test_prior_and_steps_sum_to_the_posterior(place: int) -> None:
    case = Case.of(read(DEMO).sherds[place])
    for question, odds in case.odds(case.marginals).items():
        value, p = top(odds)
        found = explain(case, question, value)
        total = found["prior"]["decibans"] + sum(step["decibans"] for step in found["steps"])
        assert total == pytest.approx(found["posterior"]["decibans"], abs=1e-9)
        # second route: the odds of the answer itself, which was not asked step by step
        assert found["posterior"]["decibans"] == pytest.approx(10 * math.log10(p / (1 - p)), abs=1e-6)
        assert found["posterior"]["p"] == round(p, 6)


@pytest.mark.parametrize("items", [0, 2, 3])
def test_each_level_is_that_of_pgmpy(items: int) -> None:
    """Second route: pgmpy's variable elimination on the evidence up to that step."""
    case = Case.of(SMALL)
    found = asked_of_pgmpy(case.network, combine(case.items[:items]))
    fires, states = found["fires"].ravel(), found["states of paint:line"].ravel()
    by_fire, by_paint = asked("atmosphere"), asked("paint:line")
    yes = sum(p for p, fire in zip(fires, FIRES, strict=True) if fire[0] == by_fire["value"])
    own = sum(
        p for p, (paint, _) in zip(states, PAINT_STATES, strict=True) if family_of(paint) == by_paint["value"]
    )
    for explained, p in ((by_fire, yes), (by_paint, own)):
        level = explained["steps"][items - 1]["reached"] if items else explained["prior"]["decibans"]
        assert level == pytest.approx(10 * math.log10(p / (1 - p)), abs=1e-9)


def test_left_out_is_a_sherd_on_which_it_was_not_seen() -> None:
    """Second route: the same sherd without its edge."""
    (step,) = (step for step in asked("paint:line")["steps"] if step["trait"] == "edge and relief")
    bare = sherd(SMALL.rows[0], row("interior", "paint", "line", colour="black"))
    case = Case.of(bare)
    p = float(case.odds(case.marginals)["paint:line"]["iron-family"][0])
    without = 10 * math.log10(p / (1 - p))
    assert step["left_out"] == pytest.approx(asked("paint:line")["posterior"]["decibans"] - without, abs=1e-9)


def test_the_order_of_rows_does_not_matter() -> None:
    case = Case.of(sherd(*reversed(SMALL.rows)))
    assert explain(case, "atmosphere", asked("atmosphere")["value"]) == asked("atmosphere")


def test_the_prior_of_the_firing_space_is_not_read_from_clouds() -> None:
    """Clouds speak of the structure, and so of the space; before they are seen they say nothing."""
    clouded = Case.of(sherd(*SMALL.rows, fire_clouds="most"))
    plain = Case.of(SMALL)
    found = explain(clouded, "space", "one-space")
    assert found["prior"] == explain(plain, "space", "one-space")["prior"]
    (step,) = (step for step in found["steps"] if step["trait"] == "structure")
    assert step["decibans"] > 0  # one space with the fuel clouds, common practice


def test_a_decided_material_is_explained_as_such() -> None:
    case = Case.of(SMALL)
    assert explain(case, "paint:line", "iron")["value"] == "iron"
    with pytest.raises(KeyError, match="paint:line: no value paper"):
        explain(case, "paint:line", "paper")


def test_it_is_there_only_where_it_was_asked_for() -> None:
    assert "explain" not in answer(SMALL, draws=0)
    found = answer(SMALL, draws=0, explain="ending")
    assert found["explain"]["value"] == found["verdict"]["ending"]["value"]
    with pytest.raises(ValueError, match="explain: found 'glow'"):
        answer(SMALL, explain="glow")


def test_rows_named_are_likely_and_have_a_basis() -> None:
    for step in asked("atmosphere")["steps"]:
        assert step["rests_on"], step["trait"]
        assert all(one["basis"] for found in step["rests_on"] for one in found["rests"])
    tables = {found["table"] for step in asked("atmosphere")["steps"] for found in step["rests_on"]}
    assert {"paint_colour", "edge_relief", "core", "wall"} <= tables
    assert "clay_colour" in tables


def test_the_column_adds_up_as_it_is_shown() -> None:
    text = prose(answer(SMALL, draws=0, explain="atmosphere"))
    assert all(len(line) <= 88 for line in text.splitlines())
    begin = text.index("Why ")
    shown = text[begin : text.index("all of it")].splitlines()
    levels = [
        float(line[7:13]) for line in shown if line[7:13].strip()[:1] in ("+", "-") and line[13:15] == "  "
    ]
    steps = [float(line[:6]) for line in shown if line[:6].strip()[:1] in ("+", "-")]
    assert len(steps) == len(asked("atmosphere")["steps"])
    assert len(levels) == len(steps) + 1 + 1  # before all, each step, and the last line
    assert levels[0] + sum(steps) == pytest.approx(levels[-1], abs=1e-9)
