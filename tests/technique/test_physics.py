"""What the ensemble says of paints, and the rows made of it."""

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from tests.technique.helpers_sherds import painted
from wareontology import paths
from wareontology.redox import constants
from wareontology.technique import hypotheses as h
from wareontology.technique.case import Case
from wareontology.technique.likelihoods.computed import BASIS, parse
from wareontology.technique.likelihoods.shipped import shipped_tables
from wareontology.technique.physics import ensemble, rows
from wareontology.technique.physics.ensemble import Ensemble
from wareontology.technique.physics.paints import PAINTS
from wareontology.technique.physics.refire import Chip

SMALL = Ensemble(8, 32)
"""An eighth of the shipped ensemble: enough for directions."""


@cache
def phases(paint: str, atmosphere: str, ending: str, band: str, air: str) -> dict[str, float]:
    """Share of each phase a paint ends with."""
    fire = SMALL.fire(atmosphere, band, spot=atmosphere == "oxidising" and air == "sealed")
    found = SMALL.phases(SMALL.history(fire, atmosphere, ending, air), paint, air)
    shares: dict[str, float] = {}
    for (phase, _), weight in found.items():
        shares[phase] = shares.get(phase, 0.0) + float(weight.mean())
    return shares


# --- what must be shown ---


def test_open_air_above_900_browns_pure_manganese_and_below_800_does_not() -> None:
    """Equilibrium in air: 863 to 884 °C by the three data sets; a short soak overshoots."""
    assert phases("manganese", "oxidising", "in-air", "700-800", "open")["hausmannite"] < 0.02
    assert phases("manganese", "oxidising", "in-air", "900-1000", "open")["hausmannite"] > 0.6
    assert phases("manganese", "oxidising", "in-air", "above-1000", "open")["hausmannite"] > 0.98


def test_the_tool_says_that_air_at_900_browns_manganese() -> None:
    """The shipped table of a painted sherd: brown is the likeliest word above 900 °C, black below 800 °C."""
    made = shipped_tables()
    hot, cool = (
        made.array("paint_colour")[0, h.PAINT.index("manganese"), h.HISTORIES.index("oxidised"), 0, heat]
        for heat in (h.TEMPERATURE.index("900-1000"), h.TEMPERATURE.index("700-800"))
    )
    assert h.COLOURS[int(hot.argmax())] == "brown"
    assert h.COLOURS[int(cool.argmax())] == "black"


def test_brown_manganese_speaks_for_more_heat_than_black() -> None:
    """So the posterior takes the brown of a paint known to be pure manganese as a sign of heat."""

    def hot(colour: str) -> float:
        case = Case.of(painted({"colour": colour, "phases": "hausmannite"}), flat=True)
        fires = case.marginals.fires[0].reshape(len(h.REGIMES), len(h.TEMPERATURE))
        return float(fires[h.REGIMES.index(("oxidising", "in-air"))][4:].sum() / fires[0].sum())

    assert hot("brown") > hot("black")


def test_iron_is_not_reduced_in_a_cool_short_fire_as_in_a_hot_one() -> None:
    cool, hot = (phases("iron", "reducing", "in-air", band, "sealed") for band in ("below-550", "800-900"))
    assert hot["magnetite"] > 0.95
    assert cool["magnetite"] < 0.8


def test_gloss_once_sealed_keeps_its_black_where_matt_iron_goes_red() -> None:
    matt, sealed = (
        phases(paint, "reducing", "air-finish", "800-900", "open")["magnetite"] for paint in ("iron", "gloss")
    )
    assert matt < 0.15
    assert sealed > 0.6


def test_organic_black_is_kept_without_air_and_gone_in_it() -> None:
    assert phases("organic", "reducing", "sealed", "800-900", "sealed")["carbon"] > 0.99
    assert phases("organic", "oxidising", "in-air", "700-800", "open")["carbon"] < 0.01
    underfired = phases("organic", "oxidising", "in-air", "below-550", "open")["carbon"]
    assert 0.1 < underfired < 0.9


@pytest.mark.parametrize("band", h.TEMPERATURE)
def test_more_air_never_keeps_more_black(band: str) -> None:
    """Sealed, leaked, open: iron black falls in that order in a reducing fire at every heat."""
    sealed, leaked, opened = (
        phases("iron", "reducing", "in-air", band, air)["magnetite"] for air in ("sealed", "leaked", "open")
    )
    assert sealed >= leaked >= opened - 0.1


@pytest.mark.parametrize("paint", PAINTS)
@pytest.mark.parametrize("air", h.AIR)
def test_weights_of_phases_add_up_for_every_member(paint: str, air: str) -> None:
    fire = SMALL.fire("neutral", "700-800")
    found = SMALL.phases(SMALL.history(fire, "neutral", "sealed", air), paint, air)
    assert sum(found.values()) == pytest.approx(np.ones(SMALL.draws.size))
    assert all((weight >= 0).all() for weight in found.values())


def test_a_refired_chip_goes_by_the_same_law() -> None:
    """Iron by 700 °C, carbon by 500 °C, manganese only above 900 °C; a longer soak asks less heat."""
    chip = Chip(SMALL)
    assert chip.turned("iron", 700).mean() > 0.9
    assert chip.turned("organic", 500).mean() > 0.99
    assert chip.turned("manganese", 900).mean() < 0.1
    assert chip.turned("manganese", 1000).mean() > 0.9
    assert (chip.kelvin_per_doubling() > 0).all()


# --- the rows ---


def computed_lines() -> list[dict[str, str]]:
    with paths.data("likelihoods.csv").open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["basis"] == BASIS]


def test_the_shipped_rows_are_what_the_ensemble_gives(tmp_path: Path) -> None:
    """The real thing, whole: the same input gives the same bytes as are shipped."""
    target = rows.write(tmp_path / "likelihoods.csv")
    assert target.read_bytes() == paths.data("likelihoods.csv").read_bytes()


def test_an_ensemble_has_two_thousand_histories_or_more() -> None:
    assert ensemble.SETS * ensemble.FIRES >= 2000


def test_every_computed_row_names_data_sets_ensemble_and_law() -> None:
    known = {row.data_set for row in constants.load(paths.data("constants.csv")).rows}
    found = computed_lines()
    assert len(found) > 300
    for row in found:
        source = parse(row["source"])
        assert source is not None, row
        assert set(source.data_sets) <= known
        assert source.size == ensemble.SETS * ensemble.FIRES
        assert str(source) == row["source"]


def test_what_physics_contradicts_keeps_its_basis_and_says_so() -> None:
    marked = {
        (given.given[0][0], entry.basis)
        for given in shipped_tables().rows("paint_colour")
        for entry in given.entries
        if entry.note == "not thermodynamics"
    }
    assert marked == {("lead-copper-glaze", "common practice"), ("iron-manganese", "judgement")}


def test_rows_of_a_paint_that_the_file_lacks_are_refused() -> None:
    with pytest.raises(KeyError, match="no rows to put anew"):
        rows.written(["table,given"], {("paint_colour", "iron"): []})
