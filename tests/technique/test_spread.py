"""The spread of the draws, and that it is the spread of the draws that `robust` counts."""

from wareontology.paths import data
from wareontology.sherd.table import read
from wareontology.technique.answer import answer
from wareontology.technique.spread import spread

(SHERD,) = read(data("demo", "one_sherd.csv")).sherds


def test_every_value_of_every_question_has_its_spread() -> None:
    found, given = spread(SHERD), answer(SHERD)
    for question in ("atmosphere", "ending", "temperature", "space", "structure"):
        assert found[question].keys() == given[question].keys()
    for unit, odds in given["materials"].items():
        assert found[unit].keys() >= odds.keys()
        assert found[unit].keys() >= given["families"].get(unit, {}).keys()


def test_low_is_not_above_high_and_a_decided_answer_lies_well_up() -> None:
    for ranges in spread(SHERD).values():
        for low, high in ranges.values():
            assert 0 <= low <= high <= 1
    given = answer(SHERD)
    verdict = given["verdict"]["ending"]
    assert verdict["state"] == "decided"
    low, high = spread(SHERD)["ending"][verdict["value"]]
    assert low > 0.5  # kept in at least 0.9 of the draws, and no other value can pass a half there
    assert low - 0.1 <= verdict["p"] <= high + 0.1
