"""How the uncertain numbers of the tables are drawn."""

from pathlib import Path

import numpy as np
import pytest

from tests.technique.helpers_tables import tables
from wareontology.technique.likelihoods.schema import SCALARS, TABLES
from wareontology.technique.likelihoods.shipped import shipped_tables
from wareontology.technique.likelihoods.tables import DRAWS


def test_draw_zero_is_the_values_and_a_seed_gives_the_same_draws(tmp_path: Path) -> None:
    lines = ("ring,,*,dull,0.8,0.6,0.9,judgement,", "ring,,*,clear,0.2,0.1,0.4,judgement,")
    first, again, other = (tables(tmp_path, *lines, draws=20, seed=seed).array("ring") for seed in (4, 4, 5))
    assert tables(tmp_path, *lines).array("ring")[0, 0] == pytest.approx([0.8, 0.2])
    assert (first == again).all()
    assert (first != other).any()
    assert len({*first[:, 0, 0]}) == 20


def test_published_rows_are_held_fixed(tmp_path: Path) -> None:
    lines = (
        "pxrf_missed,,*,probability,0.03,0.01,0.09,published,somewhere",
        "doubtful,,*,share_flat,0.5,0.2,0.8,physics,",
        "space_cap,,*,probability,0.8,0.8,0.8,judgement,",
    )
    made = tables(tmp_path, *lines, draws=50)
    assert {*made.scalar("pxrf_missed")} == {0.03}
    assert {*made.scalar("space_cap")} == {0.8}
    assert len({*made.scalar("doubtful")}) == 50


@pytest.mark.parametrize("scalar", SCALARS)
def test_a_scalar_stays_between_its_low_and_high_in_every_draw(scalar: str) -> None:
    made = shipped_tables(DRAWS)
    drawn = np.moveaxis(made.scalars(scalar), 0, -1)
    for place in np.ndindex(drawn.shape[:-1]):
        condition = [words[i] for words, i in zip(SCALARS[scalar][0], place, strict=True)]
        entry = made.find(scalar, condition).entries[0]
        assert entry.low - 1e-12 <= drawn[place].min(), (condition, entry)
        assert drawn[place].max() <= entry.high + 1e-12, (condition, entry)


@pytest.mark.parametrize("table", TABLES)
def test_a_probability_stays_between_its_low_and_high_in_the_mean(table: str) -> None:
    """Each draw of a row is made to add up to one, so single draws may stray."""
    made = shipped_tables(DRAWS)
    for given in made.rows(table):
        path = (given.region, "world") if given.region != "world" else ("world",)
        places = tuple(found[0] for found in given.places(TABLES[table].given))
        condition = [words[i] for words, i in zip(TABLES[table].given, places, strict=True)]
        if made.find(table, condition, path) is given:
            mean = made.array(table, path).mean(axis=0)[places]
            for entry in given.entries:
                if entry.value >= made.leak:
                    assert entry.low <= mean[TABLES[table].outcomes.index(entry.outcome)] <= entry.high, entry


def share_below_its_value(folder: Path, line: str, *condition: str) -> float:
    return float((tables(folder, line, draws=4000).scalar(line.split(",")[0], *condition) < 0.5).mean())


def test_a_wide_scalar_is_triangular_as_it_is(tmp_path: Path) -> None:
    """By hand: a triangle from -1 over 0.5 to 2 has (0.5 + 1) / 3 of its draws below 0.5. Spread of a share
    of 4000 draws: 0.008."""
    line = "pxrf_mean,,*;*;*,log10_ratio,0.5,-1,2,judgement,"
    assert share_below_its_value(tmp_path, line, "iron", "pale", "fe") == pytest.approx(0.5, abs=0.03)


def test_a_narrow_scalar_is_triangular_as_it_is(tmp_path: Path) -> None:
    """By hand: (0.5 - 0.01) / (0.9 - 0.01) = 0.55; in log odds it would be 0.68."""
    line = "pxrf_mean,,*;*;*,log10_ratio,0.5,0.01,0.9,judgement,"
    assert share_below_its_value(tmp_path, line, "iron", "pale", "fe") == pytest.approx(0.55, abs=0.03)


def test_a_probability_is_triangular_in_log_odds(tmp_path: Path) -> None:
    """By hand: log odds of 0.05, 0.5, 0.9 are -2.944, 0, 2.197: 2.944 / 5.141 = 0.573 of the draws lie below
    0.5. The number is taken back out of a row whose other outcome keeps its 0.5."""
    share = tables(tmp_path, "ring,,*,dull,0.5,0.05,0.9,judgement,", draws=4000).array("ring")[:, 0, 0]
    assert float((share / (1 - share) < 1).mean()) == pytest.approx(0.573, abs=0.03)


def test_an_outcome_listed_alone_reaches_its_low_and_its_high(tmp_path: Path) -> None:
    """What is not listed shares what is left, in a draw as in the values: 0.5 (0.05 to 0.9) must come near
    0.05 and 0.9. Common practice for a triangle of 4000 draws: within a fifteenth of either end."""
    share = tables(tmp_path, "ring,,*,dull,0.5,0.05,0.9,judgement,", draws=4000).array("ring")[:, 0, 0]
    assert share.min() < 0.07
    assert share.max() > 0.88
