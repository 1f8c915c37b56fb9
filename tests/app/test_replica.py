"""The door *I want this look*: form, waiting, plans, files, recipe; what cannot be planned is refused."""

import re
import time
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.datastructures import MultiDict
from werkzeug.test import TestResponse

from tests.app.helpers_app import a_client, post
from wareontology.app import reading
from wareontology.firing import plan as firing_plan
from wareontology.paths import data
from wareontology.sherd.table import read

FEW = "open-fire tunnel bury mouth-down leave trench-kiln updraft-kiln saggar pit"
ASKED = {"slip": "white", "paint": "black", "no_kiln": "on", "of": "iron-family", "without": FEW}


@pytest.fixture(autouse=True)
def apart(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    monkeypatch.setenv("WAREONTOLOGY_CACHE", str(tmp_path_factory.getbasetemp() / "kept"))


@pytest.fixture
def client() -> FlaskClient:
    return a_client(PLAN_MEMBERS=100)


def planned(client: FlaskClient, fields: dict[str, Any], **more: Any) -> tuple[str, TestResponse]:
    """The address of a plan and its page once it is whole."""
    sent = post(client, "/look", {**fields, **more})
    assert sent.status_code == 303, sent.get_data(as_text=True)
    until = time.monotonic() + 60
    while time.monotonic() < until:
        page = client.get(sent.location)
        if "Refresh" not in page.headers:
            return sent.location, page
        time.sleep(0.05)
    raise AssertionError("never whole")


def words(page: TestResponse) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", page.get_data(as_text=True)).split())


def test_the_start_page_leads_to_both_doors(client: FlaskClient) -> None:
    text = client.get("/").get_data(as_text=True)
    assert 'href="/look"' in text
    assert 'href="/claim"' in text
    assert "still to come: recipes" not in text


def test_iron_black_on_white_without_a_kiln(client: FlaskClient) -> None:
    address, page = planned(client, ASKED)
    said = words(page)
    for part in (
        "Slip white inside and outside; paint black inside and outside", "no kiln feature",
        "Covered pit, smothered",
        "Chance of the look: about", "The ground would show:", "Still giving the look:",
        "Why others fell out",
        "Tiles first", "Slip-fit tiles", "Then fire plan 1", "Carbon monoxide",
    ):  # fmt: skip
        assert part in said, part
    toml = client.get(f"{address}/1.toml")
    assert firing_plan.from_text(toml.get_data(as_text=True)).structure == "covered-pit"
    assert client.get(f"{address}/9.toml").status_code == 404
    # its button hands the plan to the editor of firings
    held = dict(
        re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)">', page.get_data(as_text=True))
    )
    held.pop("token", None)
    edited = post(client, "/firing/plan", held)
    assert edited.status_code == 200
    assert "covered" in words(edited)


def test_while_it_is_planned_the_page_says_how_far(client: FlaskClient) -> None:
    sent = post(client, "/look", {**ASKED, "altitude_m": "1234"})
    page = client.get(sent.location)
    if "Refresh" in page.headers:
        assert "simulated" in words(page) or "waits for its turn" in words(page)
    assert page.status_code == 200
    again = post(client, "/look", {**ASKED, "altitude_m": "1234"})
    assert again.location == sent.location  # the same question is planned once


def test_the_look_of_a_sherd_handed_on_by_a_page(client: FlaskClient) -> None:
    (sherd,) = read(data("demo", "one_sherd.csv")).sherds
    _, page = planned(client, {"record": reading.record(sherd), "without": FEW, "no_kiln": "on"})
    assert "K-14" in words(page)
    assert "is read as another material" in words(page)


def test_the_look_of_a_table(client: FlaskClient) -> None:
    with data("demo", "one_sherd.csv").open("rb") as file:
        _, page = planned(client, {"without": FEW, "no_kiln": "on", "table": (file, "one_sherd.csv")})
    assert "paint line" in words(page)


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({}, "none inside or outside"), ({"slip": "glum"}, "glum"), ({**ASKED, "altitude_m": "high"}, "5500"),
        ({**ASKED, "altitude_m": "nan"}, "5500"), ({**ASKED, "without": "red-ocher"}, "red-ochre"),
        ({**ASKED, "fuel": "peat"}, "peat"), ({"tradition": "nowhere"}, "nowhere"),
        ({**ASKED, "of": "lead"}, "iron"),
    ],
)  # fmt: skip
def test_what_cannot_be_planned_is_refused_and_nothing_typed_is_lost(
    client: FlaskClient, fields: dict[str, str], said: str
) -> None:
    page = post(client, "/look", fields)
    assert page.status_code == 422
    assert said in words(page)
    if fields.get("slip") == "white":
        assert "<option selected>white</option>" in page.get_data(as_text=True)


def test_limits_that_leave_nothing_are_said_on_the_page(client: FlaskClient) -> None:
    without = "open-fire pit covered-pit trench-kiln updraft-kiln saggar"
    _, page = planned(client, {**ASKED, "without": without})
    assert page.status_code == 422
    assert "none left" in words(page)


def test_a_plan_no_longer_held_and_a_form_without_its_token(client: FlaskClient) -> None:
    assert client.get("/look/plan/nothing").status_code == 404
    assert client.post("/look", data=ASKED).status_code == 403


def test_a_recipe(client: FlaskClient) -> None:
    query = MultiDict([("material", "red-ochre"), ("parts", "2"), ("material", "red-clay"), ("parts", "1")])
    said = words(client.get("/look/recipe", query_string=query))
    assert "66.67" in said  # two parts in three of 100 g
    assert "Fe2O3" in said
    assert "Silica dust" in said


@pytest.mark.parametrize("parts", ["none", "-1", "0", "nan", "1e999"])
def test_a_recipe_that_sums_to_nothing_is_refused(client: FlaskClient, parts: str) -> None:
    page = client.get("/look/recipe", query_string={"material": "red-ochre", "parts": parts})
    assert page.status_code == 422
    assert "would do" in words(page) or "Would do" in words(page)


def test_nothing_is_kept_by_asking(tmp_path: Path) -> None:
    records = tmp_path / "records"
    planned(a_client(PLAN_MEMBERS=100, RECORDS=str(records)), ASKED)
    assert not records.exists()
