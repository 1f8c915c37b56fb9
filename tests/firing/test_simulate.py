"""The ensemble: what must be shown, directions, sameness, the published records, what is refused."""

import csv
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology.errors import BreaksShape, OutOfRange
from wareontology.firing import plan as plans
from wareontology.firing import structures
from wareontology.firing.answer import to_data
from wareontology.firing.outcomes import under_fired_share
from wareontology.firing.plan import Plan
from wareontology.firing.simulate import Simulation, causes, quantile, simulate
from wareontology.redox.arrays import Floats, floats

PUBLISHED = Path(__file__).parents[1] / "published"
FROZEN = (
    "plan", "target", "chance", "chance_low", "chance_high", "places", "causes", "open_after_h",
    "under_fired_share", "members", "seed",
)  # fmt: skip


@cache
def ran(name: str, members: int = 200) -> Simulation:
    return simulate(plans.example(name), members, 11)


def changed(name: str, **values: float | str) -> Plan:
    """A shipped plan with some of its values changed, named section__name."""
    base = plans.example(name)
    keys = {tuple(key.split("__")): value for key, value in values.items()}
    return replace(base, values={**base.values, **keys})  # type: ignore[dict-item]


def black(found: Simulation) -> Floats:
    """Share black, (zones, places): outside, then inside."""
    return floats(found.outcome.black(found.drawn).mean(axis=2))


def red(found: Simulation) -> Floats:
    return floats(found.outcome.turned_red(found.drawn).mean(axis=2))


# ---- what must be shown ----


def test_mouth_down_gives_black_inside_and_red_outside() -> None:
    found = ran("pull-and-cover", 400)
    assert black(found)[1].mean() > 2 * black(found)[0].mean()
    assert red(found)[0].mean() > 2 * red(found)[1].mean()
    assert black(found)[1].mean() > red(found)[1].mean()  # inside: black the commoner
    assert red(found)[0].mean() > 2 * black(found)[0].mean()  # outside: red by far


def test_no_charcoal_gives_red() -> None:
    none: Mapping[str, tuple[float, float, float]] = {"ember_share": (0.0, 0.0, 0.0)}
    plan = changed("covered-pit", cover__charcoal_kg=0.0)
    bare = simulate(plan, 200, 11, own=none)
    assert black(bare).mean() < 0.1
    assert red(bare)[:, 1].mean() > 0.6
    assert black(bare).mean() < 0.2 * black(ran("covered-pit")).mean()


def test_an_open_fire_is_black_while_hot_and_reddens_in_air() -> None:
    """Common practice, no source: past about 800 degC. In smoky gas it is black; top and middle redden
    after."""
    hot = changed("open-fire", fire__top_c=900.0)
    found = simulate(hot, 400, 11, own={"spread_k": (5.0, 20.0, 60.0), "reducing_share": (0.9, 0.95, 1.0)})
    while_hot = found.outcome.hot_oxidised < found.drawn["black_below"]
    assert while_hot.mean() > 0.85
    assert black(found)[:, :2].mean() < 0.25
    assert red(found)[:, :2].mean() > 0.6


def test_four_ways_side_by_side_differ() -> None:
    chances = {name: ran(name).chance() for name in ("covered-pit", "pull-and-cover", "trench", "updraft")}
    for value, low, high in chances.values():
        assert 0 <= low <= value <= high <= 1
        assert high - low > 0.3  # wide, and said to be
    assert (
        max(value for value, _, _ in chances.values()) > min(value for value, _, _ in chances.values()) + 0.1
    )


# ---- the answer ----


def test_the_frozen_keys_are_there_and_add_up() -> None:
    found = to_data(ran("covered-pit"))
    assert list(found)[: len(FROZEN)] == list(FROZEN)
    assert [(one["zone"], one["place"]) for one in found["places"]] == [
        (zone, place) for zone in ("outside", "inside") for place in ("top", "mid", "bottom")
    ]
    for one in found["places"]:
        for paint in ("iron", "organic", "manganese"):
            assert sum(one[paint].values()) == pytest.approx(1, abs=0.003)
    assert found["open_after_h"]["low"] < found["open_after_h"]["value"] < found["open_after_h"]["high"]
    said = " ".join(found["notes"])
    assert "pessimistic" in said
    assert "unproven" in said
    assert {one["name"] for one in found["weak_inputs"]} >= {
        "grain_m",
        "reduction_at_600_per_s",
        "char_kj_mol",
    }
    assert found["ground"]
    assert found["fuel"]["needed_kg"]["low"] < found["fuel"]["needed_kg"]["high"]


def test_the_same_seed_gives_the_same_and_another_seed_another() -> None:
    one, two = (to_data(simulate(plans.example("pull-and-cover"), 200, 5)) for _ in range(2))
    assert one == two
    assert one != to_data(simulate(plans.example("pull-and-cover"), 200, 6))


def test_the_heat_of_every_member_closes() -> None:
    for name in ("covered-pit", "trench", "updraft", "pull-and-cover"):
        assert ran(name).course.heat_misfit < 1e-6


def test_the_charcoal_burned_is_the_oxygen_that_came_in() -> None:
    found = ran("covered-pit")
    molar = found.table.value("physical-constants", "M_carbon")
    carbon = found.course.charcoal_burned_kg / molar
    assert carbon == pytest.approx(found.course.came_in_mol * found.drawn["carbon_per_oxygen"], rel=1e-6)


def test_causes_are_ranked_and_a_mere_bystander_is_not_among_them() -> None:
    ranked = causes(ran("covered-pit", 600))
    shares = [one.share for one in ranked]
    assert shares == sorted(shares, reverse=True)
    assert ranked
    assert "under_fired_c" not in [one.name for one in ranked]  # decides nothing of black or smoke


def test_progress_is_told_to_its_end() -> None:
    told: list[tuple[int, int]] = []
    simulate(plans.example("open-fire"), 100, progress=lambda done, of: told.append((done, of)))
    assert told[0][0] == 0
    assert told[-1][0] == told[-1][1]


# ---- directions ----


def test_more_charcoal_never_makes_it_redder_and_a_longer_delay_never_hotter() -> None:
    little, much = (simulate(changed("covered-pit", cover__charcoal_kg=kg), 200, 11) for kg in (0.2, 4.0))
    assert much.outcome.oxidised.mean() <= little.outcome.oxidised.mean() + 1e-9
    quick, slow = (simulate(changed("pull-and-cover", cover__delay_s=s), 200, 11) for s in (5.0, 90.0))
    assert np.all(slow.course.at_cover_c <= quick.course.at_cover_c + 1e-9)
    assert slow.outcome.oxidised[1].mean() >= quick.outcome.oxidised[1].mean()


def test_a_tighter_deeper_cover_keeps_more_black() -> None:
    leaky = simulate(plans.example("covered-pit"), 200, 11, own={"cover_gaps": (1e-3, 3e-3, 1e-2)})
    tight = simulate(plans.example("covered-pit"), 200, 11, own={"cover_gaps": (1e-7, 3e-7, 1e-6)})
    assert black(tight).mean() > black(leaky).mean()


def test_sawdust_smokes_the_white() -> None:
    smoky = changed("covered-pit", cover__smoke_fuel="sawdust", cover__smoke_fuel_kg=5.0)
    assert simulate(smoky, 200, 11).outcome.smoked.mean() > ran("covered-pit").outcome.smoked.mean()


def test_gloss_that_sealed_keeps_black_where_plain_paint_does_not() -> None:
    sealed = replace(plans.example("pull-and-cover"), paint="iron-gloss")
    assert sealed.paint == "iron-gloss"
    kept = black(simulate(sealed, 200, 11))
    assert kept[0].mean() > black(ran("pull-and-cover"))[0].mean()


def test_thick_walls_cool_less_in_the_delay() -> None:
    thin, thick = (simulate(changed("pull-and-cover", load__wall_mm=mm), 200, 11) for mm in (4.0, 8.0))
    assert np.all(thick.course.at_cover_c >= thin.course.at_cover_c - 1e-9)


# A trial calculation of another hand on one firing with every number held (2 um, 675 degC when covered, 10
# cm of dry earth, 5 cm deep in charcoal), so a range: charcoal in kg to share oxidised once cold. It took
# the bed as deep whatever its charcoal; here a little charcoal is a thin bed, so small amounts come out
# redder, as they must.
TRIAL = {0.0: 1.0, 0.5: 0.49, 1.0: 0.44, 2.0: 0.40}
HELD = {
    "grain_m": 2e-6, "sealing_growth": 1.0, "diffusivity_at_200_m2_s": 1e-19, "oxidation_kj_mol": 90.0,
    "reduction_at_600_per_s": 0.01, "reduction_kj_mol": 80.0, "char_kj_mol": 130.0, "top_error_k": 0.0,
    "spread_k": 0.0, "load_fill_j_m3_k": 4.9e5, "load_w_m_k": 0.6, "ground_w_m_k": 0.8,
    "ground_j_m3_k": 1.6e6,
    "surface_w_m2_k": 12.0, "cover_as_laid": 1.0, "delay_ratio": 1.0, "heap_share": 1.0, "middle_share": 1.0,
    "ember_share": 0.0, "bed_kg_m3": 50.0, "carbon_per_oxygen": 1.0, "cover_w_m_k": 0.3,
    "cover_j_m3_k": 1.2e6,
    "cover_porosity": 0.45, "cover_air_filled": 1.0, "cover_water_kg_m3": 0.0, "cover_gaps": 1e-12,
    "reducing_share": 1.0,
}  # fmt: skip


def test_charcoal_counts_as_in_the_trial_calculation() -> None:
    own = {name: (value, value, value) for name, value in HELD.items()}
    shares = []
    for charcoal, trial in TRIAL.items():
        given = changed(
            "covered-pit", cover__charcoal_kg=charcoal, cover__delay_s=15.0, cover__depth_in_charcoal_m=0.05,
            fire__heat_min=60.0, fire__soak_min=30.0, site__wind_m_s=0.0, site__air_c=20.0, load__pots=1.0,
        )  # fmt: skip
        found = simulate(given, 100, own=own)
        assert np.median(found.course.at_cover_c) == pytest.approx(675, abs=3)
        shares.append(float(found.outcome.oxidised[0, 0, 0]))
        assert shares[-1] == pytest.approx(trial, abs=0.25)
    assert shares == sorted(shares, reverse=True)


# ---- published firing records (tests/published/firing_records.csv and its page) ----


RECORDS = (
    ("trench kiln experiment 1997", "trench-kiln", 880),
    ("shallow pit kiln experiments", "pit", 900), ("shallow pit kiln experiments", "trench-kiln", 900),
    ("Carleton ARCN222 group A", "open-fire", 830),
    ("Eastern Desert Ware experiment", "open-fire", 700),
    ("Archaeomagnetic series, 16 firings", "open-fire", 800),
    ("Archaeomagnetic series, 16 firings", "open-fire", 900),
    ("Archaeomagnetic series, 16 firings", "updraft-kiln", 800),
    ("Archaeomagnetic series, 16 firings", "updraft-kiln", 900),
)  # fmt: skip
"""Record, what it was fired in, and a top heat it tells of."""


@pytest.mark.parametrize(("record", "structure", "top_c"), RECORDS)
def test_recorded_top_heats_fall_inside_the_ensemble(record: str, structure: str, top_c: int) -> None:
    """Inside: between the least and the most of the members; 900 degC is near the upper end, as reported."""
    lines = (PUBLISHED / "firing_records.csv").read_text(encoding="utf-8").splitlines()
    told = csv.DictReader(line for line in lines if not line.startswith("#"))
    (row,) = (one for one in told if one["record"] == record)
    assert str(top_c) in row["Tmax_C"]
    found = simulate(plans.from_text(f'structure = "{structure}"'), 400, 11)
    hottest = found.course.peak_c.max(axis=0)
    assert hottest.min() <= top_c <= hottest.max()


def test_the_spread_in_one_fire_reaches_what_was_recorded_and_no_further() -> None:
    found = simulate(plans.from_text('structure = "open-fire"'), 400, 11)
    spread = np.ptp(found.course.peak_c, axis=0)
    assert spread.max() <= 390  # published: Maggetti et al. 2011, within one firing
    assert np.percentile(spread, 97.5) > 300
    assert (
        np.percentile(found.course.peak_c.min(axis=0), 2.5) < 500
    )  # Goodwin & Hollenback 2016: many below 500


TRENCH = """
structure = "trench-kiln"
procedure = "smother"
[load]
pots = 63
length_m = 2.0
width_m = 1.2
height_m = 0.2
[fuel]
kind = "juniper"
mass_kg = 400
[fire]
top_c = 880
top_by = "thermocouple"
[cover]
material = "earth-damp"
depth_m = 0.2
"""
"""The record of 1997 as it was told; 750 kg of damp soil on 2.4 m2 is about 0.2 m. Nothing was fitted to
it."""


def test_the_unfitted_trench_record() -> None:
    """63 pots, "many under-fired". Many is read as a quarter, which is our reading: the record gives no
    number.

    The model's own answer: 8 in a hundred on the whole, 0 to 33. So the record lies inside, near the upper
    end: the model, which leaves out that damp soil stopped a fire before its cold places had come up, says
    too few.
    """
    found = simulate(plans.from_text(TRENCH), 1000)
    share = found.outcome.under_fired
    low, high = np.percentile(share, [5, 95])
    assert low <= 0.25 <= high
    assert share.mean() == pytest.approx(0.08, abs=0.02)  # regression
    assert high == pytest.approx(0.33, abs=0.05)  # regression


# ---- helpers ----


@settings(deadline=None)
@given(st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=40), st.floats(0, 1))
def test_a_quantile_lies_within_and_rises(values: list[float], share: float) -> None:
    array = np.array(values)
    found = quantile(array, share)
    assert array.min() <= found <= array.max()
    assert quantile(array, min(1.0, share + 0.1)) >= found


def test_a_weight_of_nought_leaves_a_member_out() -> None:
    base = ran("open-fire")
    keep = base.success > 0.5
    weighted = replace(base, weights=keep / keep.sum())
    assert weighted.chance()[0] > base.chance()[0]
    assert weighted.chance()[0] == pytest.approx(base.success[keep].mean())


def test_under_fired_share_is_that_of_an_even_row_of_pots() -> None:
    # second route: 21 pots even from 600 to 800 degC, those below 650
    row = np.linspace(600, 800, 20001)
    found = under_fired_share(np.array([[800.0], [650.0], [600.0]]), np.array([650.0]))
    assert found[0] == pytest.approx((row < 650).mean(), abs=1e-3)


@pytest.mark.parametrize("members", [10, 1_000_000])
def test_too_few_or_too_many_members_are_refused(members: int) -> None:
    with pytest.raises(OutOfRange, match="members"):
        simulate(plans.example("open-fire"), members)


@pytest.mark.parametrize(
    "own", [{"charcoal": (1.0, 2.0, 3.0)}, {"grain_m": (3e-6, 2e-6, 1e-6)}, {"grain_m": (-1e-6, 1e-6, 2e-6)}]
)
def test_own_numbers_that_are_none_are_refused(own: dict[str, tuple[float, float, float]]) -> None:
    with pytest.raises(BreaksShape, match="own numbers"):
        simulate(plans.example("open-fire"), 100, own=own)


@pytest.mark.parametrize("structure", structures.things("structure"))
def test_every_structure_ends_by_every_procedure_it_may(structure: str) -> None:
    for procedure in structures.things("structure")[structure].ends:
        text = f'structure = "{structure}"\nprocedure = "{procedure}"\n[cover]\ncharcoal_kg = 0.5'
        found = simulate(plans.from_text(text), 100, 11)
        assert np.all(np.isfinite(found.outcome.oxidised)), procedure
        assert found.course.heat_misfit < 1e-6, procedure
        assert to_data(found)["plan"]["procedure"] == procedure


def test_buried_in_charcoal_stays_blacker_than_set_down_in_the_open() -> None:
    head = 'structure = "open-fire"\n[cover]\n'
    buried = plans.from_text('procedure = "bury"\n' + head + "charcoal_kg = 2\ndepth_m = 0.05")
    open_air = plans.from_text('procedure = "mouth-down"\n' + head)
    assert black(simulate(buried, 200, 11))[0].mean() > black(simulate(open_air, 200, 11))[0].mean() + 0.2
