"""Which sherds of a lot to test: the most telling first, one a sherd, none that costs more than it tells."""

from typing import Any

import pytest

from tests.helpers_cli import DEMO
from wareontology.sherd.table import read
from wareontology.technique.answer import answer
from wareontology.technique.next_test import examinations
from wareontology.technique.sample import sample


@pytest.fixture(scope="module")
def answers() -> list[dict[str, Any]]:
    return [answer(sherd, draws=0) for sherd in read(DEMO / "sherds.csv").sherds[:12]]


def test_the_most_telling_first_and_one_a_sherd(answers: list[dict[str, Any]]) -> None:
    found = sample(answers, 100)
    assert len({(one.sherd, one.observer) for one in found}) == len(found) > 3
    nets = [one.net_bits for one in found]
    assert nets == sorted(nets, reverse=True)
    assert min(nets) > 0


def test_fewer_are_the_head_of_more(answers: list[dict[str, Any]]) -> None:
    assert sample(answers, 3) == sample(answers, 100)[:3]


def test_each_is_the_first_test_of_its_answer(answers: list[dict[str, Any]]) -> None:
    first = {(one["sherd"], one["observer"]): one["next_tests"][0] for one in answers if one["next_tests"]}
    harm = {one.test: one.harm for one in examinations()}
    for chosen in sample(answers, 100):
        offered = first[chosen.sherd, chosen.observer]
        net = (
            offered["gain_bits"] - offered["cost"] - harm[offered["test"]]
        )  # second route: the answer's ranking
        assert chosen.net_bits == pytest.approx(net, abs=1e-3)


def test_what_costs_more_than_it_tells_is_not_chosen(answers: list[dict[str, Any]]) -> None:
    dear = {**answers[0], "next_tests": [{**answers[0]["next_tests"][0], "gain_bits": 0.006, "cost": 1.0}]}
    assert sample([dear, {**dear, "next_tests": []}], 5) == []
