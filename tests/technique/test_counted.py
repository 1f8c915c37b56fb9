"""Priors counted from published traditions, and a person's own. Wares here are invented."""

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import BreaksShape, Unreadable
from wareontology.graph.vocabulary import region_path
from wareontology.sherd.table import read
from wareontology.technique import hypotheses as h
from wareontology.technique.answer import answer
from wareontology.technique.count_traditions import tables_from, text
from wareontology.technique.likelihoods.counted import BASIS, Stated, counts, settings, with_counts
from wareontology.technique.likelihoods.own_priors import read_own
from wareontology.technique.likelihoods.shipped import practice_givens
from wareontology.technique.likelihoods.tables import Tables

ROOT = Path(__file__).parents[2]


def ware(name: str, region: str = "aegean", atmosphere: str = "", ending: str = "", **paint: str) -> Stated:
    paints = ((frozenset(paint["paint"].split("|")), paint.get("ground")),) if paint else ()
    fire = frozenset(atmosphere.split("|")) if atmosphere else frozenset()
    return Stated(name, region, fire, frozenset([ending]) if ending else frozenset(), paints)


def tables(*stated: Stated) -> Tables:
    practice = Tables(practice_givens())
    return Tables(with_counts(practice_givens(), counts(stated, practice)))


def prior(found: Tables, table: str, region: str, *place: int) -> np.ndarray:
    return np.asarray(found.array(table, region_path(region))[0][place])


def test_the_equation_by_hand() -> None:
    # Second route: (20 x practice + 0.25 x count) / (20 + 0.25 x 4), four reduced wares in the world.
    strength, weight = settings()["strength"], settings()["weight"]
    found = prior(tables(*(ware(str(n), atmosphere="reducing") for n in range(4))), "atmosphere", "world", 0)
    practice = prior(Tables(practice_givens()), "atmosphere", "world", 0)
    wanted = strength * practice
    wanted[h.ATMOSPHERE.index("reducing")] += weight * 4
    assert found == pytest.approx(wanted / (strength + weight * 4), abs=1e-9)


def test_a_region_is_drawn_to_its_own_wares_and_to_those_around_it() -> None:
    here = tables(*(ware(str(n), "aegean", "reducing") for n in range(12)))
    place = h.ATMOSPHERE.index("reducing")
    aegean, world, andes = (
        prior(here, "atmosphere", region, 0)[place] for region in ("aegean", "world", "andes")
    )
    practice = prior(Tables(practice_givens()), "atmosphere", "world", 0)[place]
    assert aegean > world > practice
    assert andes == pytest.approx(world)


def test_too_few_wares_leave_a_region_as_it_was() -> None:
    few = tables(ware("a", "aegean", "reducing"))
    practice = Tables(practice_givens())
    assert prior(few, "atmosphere", "aegean", 0) == pytest.approx(prior(practice, "atmosphere", "aegean", 0))


def test_either_is_shared_as_practice_has_it() -> None:
    (reducing, neutral) = (h.ATMOSPHERE.index(one) for one in ("reducing", "neutral"))
    practice = prior(Tables(practice_givens()), "atmosphere", "aegean", 0)
    found = counts([ware(str(n), atmosphere="reducing|neutral") for n in range(3)], Tables(practice_givens()))
    shares = {one.outcome: one.count for one in found if (one.table, one.region) == ("atmosphere", "aegean")}
    assert shares["reducing"] / shares["neutral"] == pytest.approx(
        practice[reducing] / practice[neutral], rel=1e-3
    )
    assert sum(shares.values()) == pytest.approx(3, abs=1e-3)


def test_a_stated_paint_is_one_however_its_fire_is_shared() -> None:
    found = counts([ware(str(n), paint="iron-family") for n in range(4)], Tables(practice_givens()))
    world = [one for one in found if (one.table, one.region) == ("paint", "world")]
    assert sum(one.count for one in world) == pytest.approx(4, abs=0.05)
    assert {one.outcome for one in world} == {"iron", "iron-organic"}


def test_slip_clay_is_never_counted() -> None:
    assert {row.table for row in counts([ware("a", paint="gloss")] * 3, Tables(practice_givens()))} <= {
        "atmosphere", "ending", "paint",
    }  # fmt: skip


@given(st.lists(st.sampled_from(h.REGIMES), min_size=3, max_size=20))
def test_priors_stay_priors(fires: list[tuple[str, str]]) -> None:
    found = tables(
        *(ware(str(n), "italy", a, e, paint="gloss", ground="pale") for n, (a, e) in enumerate(fires))
    )
    for table in ("atmosphere", "ending", "paint"):
        assert found.array(table, region_path("italy")).sum(axis=-1) == pytest.approx(1)
    mine = [entry for name, entry in found.entries() if entry.basis == BASIS]
    assert mine
    assert all(0 < entry.low <= entry.value <= entry.high < 1 for entry in mine)


def test_the_shipped_counts_are_fresh_ones() -> None:
    assert (ROOT / "data" / "counts.csv").read_text(encoding="utf-8") == text()


def test_an_answer_says_how_many_traditions_stand_behind_its_priors() -> None:
    found = answer(read(ROOT / "data" / "demo" / "one_sherd.csv").sherds[0], draws=0)["priors"]
    assert found["traditions"] >= 3
    assert "counted" in found["basis"]


def test_a_score_may_leave_a_tradition_out() -> None:
    none = tables_from([])
    assert prior(none, "atmosphere", "world", 0) == pytest.approx(
        prior(Tables(practice_givens()), "atmosphere", "world", 0)
    )


# ---- a person's own priors ----


def own(folder: Path, text: str) -> Path:
    path = folder / "own.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_own_priors_stand_over_all_others(tmp_path: Path) -> None:
    path = own(
        tmp_path, "[colorado-plateau.atmosphere]\nany = {oxidising = 0.98, neutral = 0.01, reducing = 0.01}\n"
    )
    sherd = read(ROOT / "data" / "demo" / "one_sherd.csv").sherds[0]
    mine, usual = answer(sherd, draws=0, priors=path), answer(sherd, draws=0)
    assert mine["atmosphere"]["oxidising"] > usual["atmosphere"]["oxidising"]
    assert mine["priors"]["table"] == "own.toml"
    assert mine["priors"]["traditions"] == 0


def test_outcomes_not_named_share_what_is_left(tmp_path: Path) -> None:
    path = own(tmp_path, '[world.paint]\n"kept;pale" = {iron = 0.9}\n')
    start = sum(len(given.entries) for given in practice_givens())
    found = Tables((*practice_givens(), *read_own(path, start)))
    row = prior(found, "paint", "world", 1, 0)
    assert row[h.PAINT.index("iron")] == pytest.approx(0.9, abs=0.05)  # none falls below the leak
    assert len({round(float(p), 9) for p in np.delete(row, h.PAINT.index("iron"))}) == 1


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[atlantis.atmosphere]\nany = {reducing = 1.0}", "atlantis"),
        ("[world.colour]\nany = {red = 1.0}", "one of atmosphere"),
        ("[world.atmosphere]\nany = {smoky = 1.0}", "one of oxidising"),
        ("[world.atmosphere]\nany = {reducing = 1.5}", "0 to 1"),
        ("[world.atmosphere]\nany = {reducing = -0.1}", "0 to 1"),
        ("[world.atmosphere]\nany = {reducing = true}", "0 to 1"),
        ("[world.atmosphere]\nany = {oxidising = 0.9, reducing = 0.9}", "1 in all"),
        ("[world.atmosphere]\nany = {oxidising = 0.1, neutral = 0.1, reducing = 0.1}", "1 in all"),
        ("[world.paint]\nkept = {iron = 0.5}", "any, or"),
        ("[world.atmosphere]\nreducing = 0.5", "reducing = {"),
        ("world = 1", "a table"),
        ("", "world.atmosphere"),
    ],
)
def test_what_is_no_prior_is_refused(tmp_path: Path, text: str, says: str) -> None:
    with pytest.raises(BreaksShape, match="would do") as refused:
        read_own(own(tmp_path, text), 0)
    assert says in str(refused.value)


def test_what_is_no_toml_is_unreadable(tmp_path: Path) -> None:
    with pytest.raises(Unreadable, match="TOML"):
        read_own(own(tmp_path, "[world"), 0)
    with pytest.raises(Unreadable, match="TOML"):
        read_own(tmp_path / "missing.toml", 0)
