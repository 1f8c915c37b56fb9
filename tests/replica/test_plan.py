"""Plans for a look: what is found, what falls out and why, and that nothing stale comes from the disk."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from wareontology.errors import BreaksShape
from wareontology.firing import plan as firing_plan
from wareontology.firing.own import OwnNumbers, OwnRange
from wareontology.firing.simulate import simulate
from wareontology.firing.structures import things
from wareontology.replica import kept_runs, search
from wareontology.replica.fires import Fire, changes, first
from wareontology.replica.look import Look, asked, described, from_sherds, target
from wareontology.replica.materials import materials
from wareontology.replica.means import Limits, at_hand, checked, colours, out_recipe, recipes, ways
from wareontology.replica.plan import planned
from wareontology.replica.states import STATES, fired, looks_right, simulated, states
from wareontology.technique import hypotheses as h

BY_KEY = {one.key: one for one in recipes()}
NONE = OwnNumbers(())
DEMO = Path(__file__).resolve().parents[2] / "data" / "demo"


@pytest.fixture(autouse=True)
def apart(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """A cache of the tests' own, one for the whole run."""
    place = tmp_path_factory.getbasetemp() / "kept"
    monkeypatch.setenv("WAREONTOLOGY_CACHE", str(place))


def black_on_white(**also: str) -> Look:
    return described(asked({"slip": "white", "paint": "black", **also}))


@pytest.fixture(scope="module")
def answer(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """Iron black on white without a kiln; all but pits left out, for speed."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("WAREONTOLOGY_CACHE", str(tmp_path_factory.getbasetemp() / "kept"))
        by = Limits(no_kiln=True, of=("iron",), without=frozenset({"open-fire", "tunnel", "bury"}))
        return planned(black_on_white(), by, members=100)


def test_plans_are_ranked_and_say_how_sure(answer: dict[str, Any]) -> None:
    chances = [one["chance"] for one in answer["plans"]]
    assert chances == sorted(chances, reverse=True)
    assert [one["rank"] for one in answer["plans"]] == list(range(1, len(chances) + 1))
    for one in answer["plans"]:
        assert 0 <= one["chance_low"] <= one["chance"] <= one["chance_high"] <= 1
        assert one["tiles"][0]["title"] == "Shrinkage tiles"  # tiles come before the firing
        assert one["ground"]
        assert 0 <= one["remains"]["p"] <= 1
    # the best is a covered fire: iron black reddens where it is left to burn out
    assert answer["plans"][0]["firing"]["procedure"] == "smother"


def test_what_fell_out_has_its_reason(answer: dict[str, Any]) -> None:
    firings = {(one["structure"], one["procedure"]): one for one in answer["firings"]}
    whole = {(name, end) for name, one in things("structure").items() for end in one.ends}
    assert set(firings) == whole  # every structure with every end is accounted for
    assert "kiln feature" in firings["updraft-kiln", "close"]["why"]
    assert "unproven" in firings["covered-pit", "dig-out"]["why"]
    assert firings["open-fire", "leave"]["why"] == "open-fire is to be done without"
    by_recipe = {one["recipe"]: one for one in answer["recipes"]}
    assert by_recipe["plant-paint"]["why"] == "the paint is to be of iron"
    assert by_recipe["red-clay"]["chance"] == 0.0
    assert by_recipe["red-clay"]["why"].startswith("slip ")
    assert all(one["why"] or one["chance"] >= 0.1 for one in answer["firings"])


def test_other_ways_to_the_look_remain_and_are_none_of_the_plans_own(answer: dict[str, Any]) -> None:
    plan = answer["plans"][0]
    atmosphere, ending = ways(plan["firing"]["procedure"])
    assert plan["remains"]["rivals"]
    for one in plan["remains"]["rivals"]:
        assert not (one["atmosphere"] in atmosphere and one["ending"] in ending and one["paint"] == "iron")
    assert any(one["paint"] == "organic" for one in plan["remains"]["rivals"])  # plant paint looks the same


def test_a_plan_is_read_by_simulate_and_gives_the_same_chance(answer: dict[str, Any]) -> None:
    """Second route: on a slip that stays white in any fire the look is what `simulate` calls its target."""
    plan = next(one for one in answer["plans"] if one["recipe"]["slip"]["key"] == "white-clay")
    mine = firing_plan.from_text(plan["toml"])
    found = simulate(mine, 100, plan["seed"])
    assert found.chance()[0] == pytest.approx(plan["chance"], abs=5e-4)


def test_the_same_question_has_the_same_answer_from_the_disk(
    answer: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object) -> None:
        raise AssertionError("simulated again")

    monkeypatch.setattr("wareontology.replica.states.simulate", never)
    by = Limits(no_kiln=True, of=("iron",), without=frozenset({"open-fire", "tunnel", "bury"}))
    assert planned(black_on_white(), by, members=100) == answer


@pytest.mark.parametrize(
    "other",
    [
        {"fire": first("pit", "smother", Limits()).but(cover__depth_m=0.2)},
        {"members": 120}, {"seed": 8},
        {"own": OwnNumbers((OwnRange("grain_m", "", 1e-7, 2e-7, 3e-7),))},
    ],
)  # fmt: skip
def test_another_question_is_kept_under_another_name(other: dict[str, Any]) -> None:
    usual = {"fire": first("pit", "smother", Limits()), "members": 100, "seed": 7, "own": NONE}
    asked_of = [{**usual, **one} for one in ({}, other)]
    names = {
        kept_runs.key("states", one["fire"].toml(), one["members"], one["seed"], one["own"])
        for one in asked_of
    }
    assert len(names) == 2


def test_what_data_or_code_changed_is_not_found(monkeypatch: pytest.MonkeyPatch) -> None:
    before = kept_runs.key("a")
    kept_runs.put(before, b"old")
    monkeypatch.setattr(kept_runs, "data_hash", lambda: "another")
    assert kept_runs.key("a") != before
    assert kept_runs.get(kept_runs.key("a")) is None


@pytest.mark.parametrize("cut", [0, 5, 31, 40])
def test_a_file_cut_short_is_not_believed(cut: int) -> None:
    name = kept_runs.key("cut", cut)
    kept_runs.put(name, b"some bytes that matter")
    path = kept_runs.folder() / name
    path.write_bytes(path.read_bytes()[:cut])
    assert kept_runs.get(name) is None


def test_where_nothing_can_be_kept_nothing_fails(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setenv("WAREONTOLOGY_CACHE", str(tmp_path / "file"))
    kept_runs.put(kept_runs.key("x"), b"x")
    assert kept_runs.get(kept_runs.key("x")) is None
    kept_runs.tidy()


def test_the_oldest_go_first(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    import os

    monkeypatch.setenv("WAREONTOLOGY_CACHE", str(tmp_path))
    names = [kept_runs.key(number) for number in range(4)]
    for age, name in enumerate(names):
        kept_runs.put(name, b"x")
        os.utime(tmp_path / name, (age, age))
    (tmp_path / "not ours").write_text("stays")
    kept_runs.tidy(2)
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([*names[2:], "not ours"])


def test_black_inside_and_red_outside_wants_a_pot_set_mouth_down() -> None:
    look = black_on_white(outside="red")
    found = search.search(look, Limits(without=frozenset({"pit", "updraft-kiln"})), 7, members=100)
    best = found.ranked()[0]
    assert best.fire.procedure == "mouth-down"
    # one fire in which all surfaces meet the same air cannot give two colours of one paint
    assert all(one.chance == 0 for one in found.best.values() if one.fire.procedure in ("smother", "leave"))


def test_states_are_those_of_the_simulation() -> None:
    """Second route: counted on the outcome itself."""
    plan = firing_plan.example("covered-pit")
    runs = simulated(plan, 100, 3, NONE)
    found = states(runs)
    iron = runs["iron"]
    assert np.array_equal(found.codes["iron"] == 0, iron.outcome.black(iron.drawn) == 1)
    assert np.array_equal(found.codes["iron"] == 2, iron.outcome.turned_red(iron.drawn) == 1)
    plain = simulate(plan, 100, 3)
    assert plain.chance() == iron.chance()
    look = described(asked({"slip": "white", "paint": "black"}, "outside"))
    made = {"slip": BY_KEY["white-clay"], "paint": BY_KEY["iron-paint"]}
    assert np.allclose(looks_right(found, made, look.wanted), plain.success)


def test_what_is_kept_comes_back_whole() -> None:
    fire = first("open-fire", "leave", Limits())
    one, two = (fired(fire, 100, 5, NONE) for _ in range(2))
    for model in STATES:
        assert np.array_equal(one.codes[model], two.codes[model])
    assert np.array_equal(one.smoked, two.smoked)
    assert np.array_equal(one.under_fired, two.under_fired)


def test_every_recipe_and_colour_is_known_to_the_vocabulary() -> None:
    models = {model for model, _ in colours()}
    for one in recipes():
        assert set(one.parts) <= set(materials()), one.key
        assert one.made_of in (h.PAINT if one.layer == "paint" else h.BODY), one.key
        assert one.model in models | {"none"}, one.key
        for state in STATES.get(one.model, ()):
            assert (one.model, state) in colours()
    for words in colours().values():
        assert words <= set(h.COLOURS)
    for name in things("procedure"):
        atmosphere, ending = ways(name)
        legal = {pair for pair in h.REGIMES if pair[0] in atmosphere and pair[1] in ending}
        assert legal, name
    for kind in ("fuel", "cover"):
        assert set(at_hand(kind, Limits(reach="modern"))) == set(things(kind)) - {"none"}


def test_every_change_gives_a_plan_that_can_be_read() -> None:
    for structure in things("structure").values():
        for procedure in structure.ends:
            fire = first(structure.name, procedure, Limits(reach="modern"))
            for change in changes(structure.name, procedure, Limits(reach="modern")):
                assert fire.but(**change).plan.structure == structure.name


@pytest.mark.parametrize(
    ("by", "key", "why"),
    [
        (Limits(), "iron-made-paint", "modern only"), (Limits(reach="modern"), "iron-made-paint", ""),
        (Limits(without=frozenset({"red-ochre"})), "iron-paint", "red-ochre is to be done without"),
        (Limits(of=("organic",)), "iron-paint", "the paint is to be of organic"),
        (Limits(of=("iron-family",)), "iron-plant-paint", ""),
        (Limits(region="colorado-plateau", reach="local"), "white-clay", "scarce"),
        (Limits(region="colorado-plateau"), "white-clay", ""),
        (Limits(), "lead-copper-paint", "melts"),
    ],
)  # fmt: skip
def test_a_limit_leaves_a_recipe_out(by: Limits, key: str, why: str) -> None:
    found = out_recipe(BY_KEY[key], by)
    assert why in found
    assert bool(found) == bool(why)


@pytest.mark.parametrize(
    ("by", "offers"),
    [
        (Limits(without=frozenset({"red-ocher"})), "red-ochre"), (Limits(fuels=("peat",)), "dung"),
        (Limits(of=("irn",)), "iron"),
    ],
)  # fmt: skip
def test_an_unknown_limit_is_refused_with_what_would_do(by: Limits, offers: str) -> None:
    with pytest.raises(BreaksShape) as refused:
        checked(by)
    assert offers in refused.value.faults[0].would_do


def test_limits_that_leave_nothing_are_refused() -> None:
    everything = frozenset(things("structure"))
    with pytest.raises(BreaksShape, match="firing"):
        search.search(black_on_white(), Limits(without=everything), 7)
    with pytest.raises(BreaksShape, match="fuel"):
        search.search(black_on_white(), Limits(fuels=("dung",), without=frozenset({"dung"})), 7)


def test_a_look_from_a_sherd_keeps_inside_and_outside_apart() -> None:
    look = target(str(DEMO / "one_sherd.csv"))
    assert {(one.unit, one.side): set(one.words) for one in look.wanted} == {
        ("slip", "inside"): {"white"}, ("paint:line", "inside"): {"black", "grey"},  # N 2.5/
         ("body", "outside"): {"grey"},
    }  # fmt: skip
    assert look.region == "colorado-plateau"


def test_a_look_from_a_tradition_is_what_is_stated_of_it() -> None:
    look = target("us-tusayan-white")
    assert ("slip", "outside", frozenset({"white", "grey"})) in {
        (one.unit, one.side, one.words) for one in look.wanted
    }


@pytest.mark.parametrize(
    ("what", "said"),
    [
        (lambda: target("no-such-tradition"), "no-such-tradition"),
        (lambda: target(str(DEMO / "sherds.csv")), "wares"),
        (lambda: target(str(DEMO / "one_sherd.csv"), ["K-99"]), "K-14"),
        (lambda: described({("slip", "inside"): "glum"}), "glum"),
        (lambda: described({("slip", "inside"): "white"}, "atlantis"), "atlantis"),
        (lambda: described({}), "none inside or outside"),
        (lambda: from_sherds([], "nothing"), "none inside or outside"),
    ],
)  # fmt: skip
def test_what_is_no_look_is_refused(what: Any, said: str) -> None:
    with pytest.raises(BreaksShape) as refused:
        what()
    assert said in str(refused.value)


def test_a_fire_is_written_as_the_plan_it_is() -> None:
    fire = Fire({("", "structure"): "pit", ("", "procedure"): "smother", ("cover", "material"): "sand"})
    assert firing_plan.from_text(fire.toml()) == fire.plan
    assert fire.but(cover__depth_m=0.2).plan.number("cover", "depth_m") == 0.2


def test_what_a_sherd_hardly_was_made_of_falls_out() -> None:
    look = target(str(DEMO / "one_sherd.csv"))
    assert look.read["paint:line"]["iron"] > 0.5  # as its answer has it
    few = frozenset({"open-fire", "pit", "trench-kiln", "updraft-kiln", "saggar"})
    found = search.search(look, Limits(without=few), 7, members=100)
    assert found.out_recipes["plant-paint"] == "the paint line is read as another material"
    asked_for = search.search(look, Limits(without=few, of=("organic",)), 7, members=100)
    assert {one.made["paint:line"].key for one in asked_for.best.values()} == {"plant-paint"}
