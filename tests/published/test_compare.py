"""The comparison of the tables as typed in with those shipped."""

import csv

import pytest

from tests.published.compare import FILE, HERE, lines, text


def test_the_comparison_is_what_the_two_sets_of_tables_give() -> None:
    """Regression: written anew by python -m tests.published.compare."""
    assert FILE.read_text(encoding="utf-8") == text()


def test_the_side_by_hand_is_the_score_that_was_frozen() -> None:
    """Second route: frozen/by-hand/score.csv, made before physics by the answer itself, which rounds."""
    with (HERE / "frozen" / "by-hand" / "score.csv").open(encoding="utf-8", newline="") as rows:
        frozen = {
            row["quantity"]: float(row["value"])
            for row in csv.DictReader(line for line in rows if not line.startswith("#"))
        }
    totals = {row["question"]: float(row["by hand"]) for row in lines(FILE.name) if row["sherd"] == "all"}
    for quantity, value in totals.items():
        assert value == pytest.approx(frozen[quantity], abs=5e-4), quantity
