"""Parts to a fired composition and back; the trade's ratios; what is refused."""

import json
from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner, Result
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import nnls

from wareontology.cli import cli
from wareontology.errors import BreaksShape, OutOfRange
from wareontology.replica.materials import materials, mixed, named, trade_ratios
from wareontology.replica.oxides import fired
from wareontology.replica.recipe import match, recipe
from wareontology.replica.roast import roast
from wareontology.replica.slip_fit import dry_g_per_litre, fit, shrinkage_percent
from wareontology.report.recipe import batch

KEYS = sorted(materials())
PARTS = st.dictionaries(st.sampled_from(KEYS), st.floats(0.05, 20), min_size=1, max_size=4)


def ask(*words: str) -> Result:
    return CliRunner().invoke(cli, ["recipe", *words])


def answered(*words: str) -> Mapping[str, Any]:
    result = ask(*words, "--json")
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def test_the_mixture_of_the_table() -> None:
    # tests/published/stoichiometry.csv, MIX rows: kaolinite .5, goethite .25, pyrolusite .15, quartz .10
    shares = {"Al2Si2O5(OH)4": 0.5, "FeOOH": 0.25, "MnO2": 0.15, "SiO2": 0.10}
    left = mixed(shares)
    order = ("SiO2", "Al2O3", "Fe2O3", "MnO")
    assert [100 * left.oxides[oxide] for oxide in order] == pytest.approx(
        [33.274, 19.748, 22.466, 12.239], rel=1e-4
    )
    assert [left.percent()[oxide] for oxide in order] == pytest.approx(
        [37.929, 22.510, 25.609, 13.952], rel=1e-4
    )
    matrix = np.array([[fired(formula).oxides.get(oxide, 0) for formula in shares] for oxide in order])
    back, rest = nnls(matrix, [left.oxides[oxide] for oxide in order])
    assert back == pytest.approx(list(shares.values()), abs=1e-9)
    assert rest < 1e-12


@given(PARTS, st.floats(1, 5000))
def test_a_batch_keeps_its_mass_and_sums_to_a_hundred(parts: dict[str, float], batch_g: float) -> None:
    if all(materials()[key].kind == "binder" for key in parts):
        return
    made = recipe(parts, batch_g)
    assert sum(item.grams for item in made.ingredients) == pytest.approx(batch_g)
    assert sum(value for value, _, _ in made.oxides.values()) == pytest.approx(100)
    assert made.fired_g == pytest.approx(batch_g * (1 - made.loss))
    assert all(low <= value <= high for value, low, high in made.oxides.values())


@given(PARTS, st.floats(0.1, 50))
def test_parts_are_parts_whatever_their_sum(parts: dict[str, float], times: float) -> None:
    scaled = {key: part * times for key, part in parts.items()}
    first, second = recipe(parts), recipe(scaled)
    assert first.fired_g == pytest.approx(second.fired_g)


# Two materials whose oxides are no multiple of each other come back exactly (second route: the forward sum).
@given(st.floats(0.1, 0.9))
def test_there_and_back(share: float) -> None:
    made = recipe({"hematite-ore": share, "white-clay": 1 - share})
    target = {oxide: value for oxide, (value, _, _) in made.oxides.items()}
    found = match(target, ["white-clay", "hematite-ore"])
    assert found.parts["hematite-ore"] == pytest.approx(share, abs=1e-6)
    assert found.norm == pytest.approx(0, abs=1e-6)


@given(st.lists(st.sampled_from(KEYS), min_size=1, max_size=5), st.floats(1, 99))
def test_parts_are_never_below_zero(choices: list[str], iron: float) -> None:
    if all(not materials()[key].fired().oxides.get("Fe2O3") for key in choices):
        return
    found = match({"Fe2O3": iron, "SiO2": 100 - iron}, choices)
    assert all(part > 0 for part in found.parts.values())
    assert sum(found.parts.values()) == pytest.approx(1)


def test_by_volume_the_heavier_powder_weighs_more() -> None:
    made = recipe({"hematite": 1, "white clay": 1}, by="volume")
    by_key = {item.material.key: item.grams for item in made.ingredients}
    ratio = named("hematite").bulk_density_g_per_cm3 / named("white clay").bulk_density_g_per_cm3
    assert by_key["hematite-ore"] / by_key["white-clay"] == pytest.approx(ratio)


# The three ratios the trade hands down (common practice, no source).
def test_two_parts_of_ochre_to_one_of_clay_is_as_usual() -> None:
    (check,) = batch({"red ochre": 2, "red clay": 1}, 100, "weight")["checks"]
    assert (check["check"], check["found"], check["basis"]) == (
        "iron-paint-holds",
        "as usual",
        "common practice",
    )


@pytest.mark.parametrize(("ochre", "says"), [(20, "powder or flake"), (0.1, "brown and thin")])
def test_far_from_two_to_one_is_told(ochre: float, says: str) -> None:
    (check,) = batch({"red ochre": ochre, "red clay": 1}, 100, "weight")["checks"]
    assert says in check["found"]


def test_a_glaze_paint_needs_no_clay_and_much_clay_is_told() -> None:
    def found(parts: dict[str, float]) -> str:
        said: list[dict[str, str]] = batch(parts, 100, "weight")["checks"]
        return {one["check"]: one["found"] for one in said}["glaze-needs-no-clay"]

    assert found({"roasted galena": 3, "quartz sand": 1, "malachite": 0.3}) == "as usual"
    assert "may not melt" in found({"roasted galena": 1, "red clay": 1})


def test_raw_galena_is_told_and_its_caution_stands_first() -> None:
    answer = batch({"galena": 3, "quartz sand": 1}, 100, "weight")
    assert "roasted first" in {one["check"]: one["found"] for one in answer["checks"]}["galena-roasted"]
    assert answer["cautions"][0].startswith("Roasting galena gives off lead fume")
    text = ask("galena=3", "quartz sand=1").output
    assert text.index("Caution.") < text.index("Weigh out.")


def test_a_modern_material_is_named() -> None:
    assert batch({"synthetic iron oxide": 2, "red clay": 1}, 100, "weight")["modern"] == [
        "manufactured red iron oxide"
    ]
    assert batch({"red ochre": 2, "red clay": 1}, 100, "weight")["modern"] == []


@pytest.mark.parametrize("key", KEYS)
def test_a_materials_shares_are_in_order_and_near_a_whole(key: str) -> None:
    material = materials()[key]
    assert all(part.low <= part.share <= part.high for part in material.parts)
    assert sum(part.share for part in material.parts) == pytest.approx(1, abs=0.011)
    assert material.access in ("local", "traded", "modern")
    assert material.hazard


def test_the_red_clay_holds_the_iron_its_source_tells_of() -> None:
    # direction: "clay with Fe 3-7 wt% should fire red" (Some notes on the firing colour of
    # clay bricks, abstract)
    iron = materials()["red-clay"].fired().oxides["Fe2O3"] / 1.4297
    assert 0.03 < iron < 0.07


def test_every_ratio_says_it_is_common_practice() -> None:
    assert {ratio.basis for ratio in trade_ratios()} == {"common practice"}


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        ({}, "one material or more"),
        ({"red ochre": 0.0}, "above 0"),
        ({"red ochre": -1.0}, "above 0"),
        ({"red ochre": float("nan")}, "above 0"),
        ({"red okre": 1.0}, "red-ochre"),
    ],
)
def test_a_recipe_that_cannot_be_is_refused(parts: dict[str, float], says: str) -> None:
    with pytest.raises(BreaksShape, match=says):
        recipe(parts)


@pytest.mark.parametrize("words", [[], ["red ochre"], ["red ochre=two"], ["--roast-g", "5", "red ochre=1"]])
def test_wrong_usage_is_exit_two(words: list[str]) -> None:
    assert ask(*words).exit_code == 2


def test_unknown_material_is_exit_one_and_offers_the_nearest() -> None:
    result = ask("haematit=1")
    assert result.exit_code == 1
    assert "hematite-ore" in result.output


def test_back_from_a_composition_says_what_it_cannot_give() -> None:
    answer = answered("red clay", "--to", "PbO=80 SiO2=20")
    assert answer["residual"]["PbO"] == pytest.approx(-80, abs=0.1)


def test_roasting_puts_its_caution_first() -> None:
    answer = answered("--roast-g", "100")
    assert next(iter(answer)) == "caution"
    assert answer["sulphur_dioxide_g"] == pytest.approx(26.78, abs=0.01)  # tests/published/stoichiometry.csv
    with pytest.raises(OutOfRange):
        roast(-1)


# Second route: a litre is V of dry matter and 1 - V of water, so it weighs 1000 (1 - V) + 1000 G V.
@given(st.floats(0, 1), st.floats(1.5, 5.2))
def test_dry_matter_of_a_litre(volume: float, density: float) -> None:
    litre_g = 1000 * (1 - volume) + 1000 * density * volume
    assert dry_g_per_litre(litre_g, density) == pytest.approx(1000 * density * volume, rel=1e-6, abs=1e-6)


def test_slip_and_shrinkage_are_kept_apart_from_the_oxides() -> None:
    answer = answered("--litre-g", "1325", "--shrinkage", "12", "7")
    assert answer["slip"]["dry_g"] + answer["slip"]["water_g"] == pytest.approx(1325)
    assert "crazing" in answer["shrinkage"]["reading"]
    assert "peeling" in fit(5, 9).reading
    assert "near enough" in fit(8, 8.4).reading
    assert shrinkage_percent(100, 90) == pytest.approx(10)
    with pytest.raises(OutOfRange, match="water"):
        dry_g_per_litre(900)
    with pytest.raises(OutOfRange, match="tile"):
        shrinkage_percent(0, 9)
