"""The commands on published traditions as a person uses them: what is found, told, drawn and refused."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.helpers_cli import run
from wareontology.graph.traditions import groups, tradition, traditions
from wareontology.graph.vocabulary import region_path
from wareontology.technique.scoring import wilson

WHITE, CHUSKA = "us-tusayan-white", "us-chuska-mineral"


def answered(*words: str) -> dict[str, Any]:
    result = run(*words, "--json")
    assert result.exit_code == 0, result.stderr
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def ids(found: dict[str, Any]) -> list[str]:
    return [one["id"] for one in found["traditions"]]


def test_browse_lists_every_tradition_by_region() -> None:
    found = answered("browse")
    assert sorted(ids(found)) == sorted(traditions())
    regions = [one["region"] for one in found["traditions"]]
    assert len([name for place, name in enumerate(regions) if name not in regions[:place]]) == len(
        set(regions)
    )


@pytest.mark.parametrize("region", ["Four Corners", "colorado-plateau", "North America", "Europe"])
def test_browse_by_region_takes_its_parts_too(region: str) -> None:
    found = answered("browse", "--region", region)
    wanted = "colorado-plateau" if region == "Four Corners" else region.lower().replace(" ", "-")
    assert set(ids(found)) == {one.id for one in traditions().values() if wanted in region_path(one.region)}


def test_browse_by_technique_is_the_group_or_what_is_stated_of_the_fire() -> None:
    assert set(ids(answered("browse", "--technique", "organic black kept by lack of air"))) == set(
        groups()["organic-black"].members
    )
    found = answered("browse", "--technique", "reducing")
    assert set(ids(found)) == {
        one.id for one in traditions().values() if "reducing" in one.terms("atmosphere")
    }
    assert found["only_from_memory"] > 0


def test_what_is_from_memory_is_left_out_until_it_is_asked_for() -> None:
    stated, all_of_it = (
        answered("browse", "--material", "iron family", *also) for also in ((), ("--memory",))
    )
    assert set(ids(stated)) < set(ids(all_of_it))
    assert stated["count"] + stated["only_from_memory"] == all_of_it["count"]
    for one in stated["traditions"]:
        assert {"iron", "iron-organic"} & tradition(one["id"]).terms("paint")


@pytest.mark.parametrize(
    ("period", "inside"), [("600..900", True), ("1326-1400", False), ("1000 BCE", False), ("-500:1325", True)]
)
def test_browse_by_period_takes_what_overlaps(period: str, inside: bool) -> None:
    """Tusayan White Ware is stated to run from 600 to 1325."""
    assert (WHITE in ids(answered("browse", f"--period={period}"))) is inside


def test_criteria_are_all_met_at_once() -> None:
    found = answered("browse", "--region", "Four Corners", "--material", "organic", "--technique", "reducing")
    each = [
        set(ids(answered("browse", *pair)))
        for pair in (("--region", "Four Corners"), ("--material", "organic"), ("--technique", "reducing"))
    ]
    assert set(ids(found)) == each[0] & each[1] & each[2]


def test_show_parts_what_is_stated_from_what_is_remembered() -> None:
    found = answered("show", "Tusayan White Ware")
    assert found["id"] == WHITE
    bases = {"stated": found["stated"], "memory": found["memory"], "inferred": found["inferred"]}
    assert sum(map(len, bases.values())) == len(tradition(WHITE).statements)
    assert all(one["sources"] for one in found["stated"])
    assert not any(one["sources"] for one in found["memory"])
    assert {number for one in found["stated"] for number in one["sources"]} == set(
        range(1, len(found["sources"]) + 1)
    )
    text = " ".join(run("show", WHITE).stdout.split())
    for said in (
        "From memory, unverified: never counted",
        "edge, black paint: soft [1]",
        "[1] Northern Arizona",
    ):
        assert said in text


@pytest.mark.parametrize("one", sorted(traditions()))
def test_every_tradition_can_be_shown(one: str) -> None:
    result = run("show", one)
    assert result.exit_code == 0, result.stderr
    assert "!" not in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= 88


def test_contrast_says_what_differs_and_which_test_would_tell() -> None:
    found = answered("contrast", WHITE, CHUSKA)
    (paint,) = [one for one in found["differs"] if one["field"] == "paint"]
    assert (paint["first"], paint["second"]) == (["organic"], ["iron"])
    bits = [told["bits"] for told in found["tests"]]
    assert bits == sorted(bits, reverse=True)
    assert {"refire", "edge"} <= {told["test"] for told in found["tests"][:3]}
    assert found["rests_on"]["first"]["materials:paint:black"] == ["organic"]
    back = answered("contrast", CHUSKA, WHITE)
    assert [told["test"] for told in back["tests"]] == [told["test"] for told in found["tests"]]
    assert [one["second"] for one in back["differs"]] == [one["first"] for one in found["differs"]]


def test_contrast_of_paints_by_other_names_holds_them_against_each_other() -> None:
    found = answered("contrast", "aeg-attic-gloss", "cyp-white-slip-2")
    (paint,) = [one for one in found["differs"] if one["field"] == "paint"]
    assert (paint["first"], paint["second"]) == (["gloss"], ["iron-manganese"])
    assert found["tests"][0]["test"] == "pxrf"


def test_contrast_says_where_nothing_is_stated_to_weigh() -> None:
    silent = [one.id for one in traditions().values() if one.is_from_memory()][:2]
    found = answered("contrast", *silent)
    assert found["tests"] == found["differs"] == []
    assert "No test is expected to tell them apart on what is stated." in found["notes"]


def test_rarity_counts_stated_fields_and_gives_the_interval() -> None:
    found = answered("rarity", "paint=organic", "slip:colour=white")
    # second route: counted here from the statements themselves
    told = [
        one
        for one in traditions().values()
        if one.terms("paint") and any(s.terms for s in one.of("colour", layer="slip"))
    ]
    both = [
        one
        for one in told
        if "organic" in one.terms("paint") and any("white" in s.terms for s in one.of("colour", layer="slip"))
    ]
    assert (found["told"], found["found"]) == (len(told), len(both))
    assert sorted(ids(found)) == sorted(one.id for one in both)
    assert found["interval"] == [round(end, 4) for end in wilson(len(both), len(told))]
    assert sum(one["found"] for one in found["by_region"]) == found["found"]
    assert sum(one["told"] for one in found["by_region"]) == found["told"]


def test_rarity_warns_and_gives_no_price() -> None:
    text = " ".join(run("rarity", "paint=organic").stdout.split())
    assert "no random sample" in text
    assert not {"price", "value", "worth", "rare", "collectors"} & set(text.lower().split())


def test_a_family_counts_all_its_members() -> None:
    family, iron, mixed = (
        answered("rarity", f"paint={name}")["found"]
        for name in ("manganese family", "manganese", "iron-manganese")
    )
    assert max(iron, mixed) <= family <= iron + mixed
    assert family > 0


def test_rarity_of_what_is_told_of_none() -> None:
    found = answered("rarity", "paint=organic", "--region", "Amazonia")
    assert (found["told"], found["share"], found["interval"]) == (0, None, [0.0, 1.0])
    assert "none is stated on every part" in " ".join(
        run("rarity", "paint=organic", "--region", "Amazonia").stdout.split()
    )


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("show", "tusayan whit"), 1, "would do: us-tusayan-white"),
        (("show", "zzzz"), 1, "an id as `browse` lists them"),
        (("contrast", WHITE, "chuska"), 1, "us-chuska-mineral"),
        (("contrast", WHITE, WHITE), 2, "twice"),
        (("contrast", WHITE), 2, "SECOND"),
        (("browse", "--region", "Colorado Platau"), 1, "colorado-plateau"),
        (("browse", "--region", "xyzzy"), 1, "no such region"),
        (("browse", "--technique", "reducin"), 1, "reducing"),
        (("browse", "--material", "mangenese"), 1, "manganese"),
        (("browse", "--period", "once"), 1, "600..900"),
        (("browse", "--period", "900..600"), 1, "600..900"),
        (("browse", "--map", "map.pdf"), 2, "ends in .svg or .png"),
        (("browse", "--network", "net"), 2, "ends in .svg or .png"),
        (("rarity",), 2, "FIELD=VALUE"),
        (("rarity", "paint"), 1, "a field, = and a value"),
        (("rarity", "pant=organic"), 1, "paint"),
        (("rarity", "paint=orgnic"), 1, "organic"),
        (("rarity", "slip:colour=whte"), 1, "white"),
        (("rarity", "slop:colour=white"), 1, "no such field or layer"),
        (("rarity", "method=XRF"), 1, "no fixed values"),
        (("rarity", "paint=organic", "--region", "nowhere at all"), 1, "no such region"),
    ],
)  # fmt: skip
def test_what_is_refused(words: tuple[str, ...], code: int, said: str) -> None:
    result = run(*words)
    assert result.exit_code == code, result.output
    assert said in result.stderr
    assert "Traceback" not in result.output
    assert result.stdout == ""


@pytest.mark.parametrize("ending", ["svg", "png"])
def test_pictures_are_written_beside_the_answer(ending: str, tmp_path: Path) -> None:
    drawn = {name: tmp_path / f"{name}.{ending}" for name in ("map", "network")}
    words = [word for name, out in drawn.items() for word in (f"--{name}", str(out))]
    result = run("browse", "--region", "Americas", *words, "--json")
    assert result.exit_code == 0, result.stderr
    assert json.loads(result.stdout)["count"] > 0
    start = b"<?xml" if ending == "svg" else b"\x89PNG"
    assert all(out.read_bytes().startswith(start) for out in drawn.values())


def test_a_picture_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    result = run("browse", "--map", str(tmp_path / "none" / "map.svg"))
    assert result.exit_code == 1
    assert "would do" in result.stderr
