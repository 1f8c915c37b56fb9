"""The simple rules counted again: fresh, and every difference from the hand count has its reason."""

import pytest

from .recount import FILE, lines, text


def test_the_recount_is_a_fresh_one() -> None:
    assert FILE.read_text(encoding="utf-8") == text()


@pytest.mark.parametrize("line", lines(), ids=lambda line: line["rule"])
def test_every_difference_has_its_reason(line: dict[str, str]) -> None:
    hand = (line["by hand applies"], line["by hand holds"])
    for side in ("with memory", "stated"):
        if (line[f"{side} applies"], line[f"{side} holds"]) != hand:
            assert line["why they differ"]


def test_the_regional_rule_holds_on_the_plateau_and_nearly_nowhere_else() -> None:
    # the hand count of the notes: 4 of 4 on the Plateau, 0 of 13 elsewhere
    found = {
        line["rule"]: (int(line["with memory applies"]), int(line["with memory holds"])) for line in lines()
    }
    assert found["the same on the Colorado Plateau"] == (4, 4)
    tried, held = found["the same everywhere else"]
    assert (tried, held <= 1) == (13, True)
