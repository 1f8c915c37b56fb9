"""The plan's form, plans side by side, the sheet to print: what is shown, kept, refused."""

import re
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from tests.app.helpers_app import a_client, post
from wareontology.app import plan_form, simulated
from wareontology.firing import plan as plans
from wareontology.firing.plan_fields import FIELDS
from wareontology.firing.steps import CAUTIONS, steps


@pytest.fixture
def client(tmp_path: Path) -> FlaskClient:
    return a_client(RECORDS=str(tmp_path / "records"))


def page(client: FlaskClient, path: str) -> str:
    response = client.get(path)
    assert response.status_code == 200, path
    return response.get_data(as_text=True)


def held(name: str = "covered-pit", **more: str) -> dict[str, str]:
    return plan_form.held_of(plans.example(name)) | {
        key.replace("__", "."): text for key, text in more.items()
    }


# ---- the form and the plan are one ----


@pytest.mark.parametrize("name", plans.examples())
def test_a_plan_through_the_form_is_the_same_plan(name: str) -> None:
    again = plans.from_text(plan_form.toml(plan_form.held_of(plans.example(name))))
    assert again.values == plans.example(name).values


@given(st.dictionaries(st.sampled_from(["name", "note", "cover.depth_m", "fuel.kind"]), st.text(max_size=60)))
def test_whatever_is_typed_is_text_that_can_be_read_or_refused(typed: dict[str, str]) -> None:
    import tomllib

    tomllib.loads(plan_form.toml(plan_form.held_in(typed)))


def test_every_field_has_its_unit_in_words_and_a_control(client: FlaskClient) -> None:
    text = page(client, "/firing/plan")
    for field in FIELDS:
        key = f"{field.section}.{field.name}" if field.section else field.name
        assert f'name="{key}"' in text
    assert "(metres a second)" in text
    assert "usual: " in text


@pytest.mark.parametrize(
    "path",
    ["/firing", "/firing/plan", "/firing/sheet", "/firing/compare", "/firing/compare?plan=trench"],
)
def test_the_cautions_stand_on_each_page(client: FlaskClient, path: str) -> None:
    text = page(client, path)
    for caution in CAUTIONS:
        assert caution[:40].replace("'", "&#39;") in text


# ---- what the editor does ----


def test_a_plan_is_looked_at_with_its_curves(client: FlaskClient) -> None:
    text = post(client, "/firing/plan", {**held(), "do": "look"}).get_data(as_text=True)
    assert "What it is likely to make" in text
    assert "likely pessimistic" in text
    assert f"{simulated.MEMBERS} simulated firings a plan, few" in text
    found = re.search(r"/firing/curves/[\w-]+\.svg", text)
    assert found
    picture = client.get(found[0])
    assert picture.mimetype == "image/svg+xml"
    assert "script-src" not in picture.headers["Content-Security-Policy"]
    assert "default-src 'none'" in picture.headers["Content-Security-Policy"]


def test_a_fault_is_named_and_what_was_typed_stays(client: FlaskClient) -> None:
    response = post(client, "/firing/plan", {**held(cover__depth_m="-1"), "do": "look"})
    text = response.get_data(as_text=True)
    assert response.status_code == 422
    assert "cover.depth_m" in text
    assert "0.001 to 2" in text
    assert 'value="-1"' in text


def test_it_goes_out_and_comes_in_as_toml(client: FlaskClient) -> None:
    import io

    out = post(client, "/firing/plan", {**held("trench"), "do": "toml"})
    assert plans.from_text(out.get_data(as_text=True)).values == plans.example("trench").values
    file = (io.BytesIO(out.data), "mine.toml")
    back = post(client, "/firing/plan", {"do": "take", "file": file}, content_type="multipart/form-data")
    assert plans.example("trench").name in back.get_data(as_text=True)
    wrong = post(
        client, "/firing/plan", {"do": "take", "file": (io.BytesIO(b"x"), "x.toml")},
        content_type="multipart/form-data",
    )  # fmt: skip
    assert wrong.status_code == 422


def test_it_is_kept_as_a_firing_once_under_a_name(client: FlaskClient) -> None:
    kept = post(client, "/firing/plan", {**held(), "do": "keep", "firing": "May 2", "who": "AB"})
    assert (kept.status_code, kept.headers["Location"]) == (303, "/fire/May%202")
    again = post(client, "/firing/plan", {**held("trench"), "do": "keep", "firing": "May 2", "who": "AB"})
    assert again.status_code == 422
    assert "kept already" in again.get_data(as_text=True)
    mine = {**held("trench"), "do": "keep", "firing": "May 2", "who": "AB", "kept": "May 2"}
    assert post(client, "/firing/plan", mine).status_code == 303
    assert plans.example("trench").name in page(client, "/firing/plan?firing=May 2")
    assert "May 2" in page(client, "/firing")


@pytest.mark.parametrize("more", [{"firing": ""}, {"firing": "a/b"}, {"firing": "May", "who": ""}])
def test_without_a_name_or_who_nothing_is_kept(client: FlaskClient, more: dict[str, str]) -> None:
    response = post(client, "/firing/plan", {**held(), "do": "keep", "who": "AB", **more})
    assert response.status_code == 422
    assert "None is kept yet" in page(client, "/firing")


# ---- side by side, to print ----


def test_four_ways_stand_in_one_table(client: FlaskClient) -> None:
    names = ("covered-pit", "pull-and-cover", "trench", "updraft")
    text = page(client, "/firing/compare?" + "&".join(f"plan={name}" for name in names))
    for name in names:
        assert f'<th scope="row">{plans.example(name).name}</th>' in text
    assert text.count("What decides it:") == 4


@pytest.mark.parametrize(
    "path",
    [
        "/firing/compare?plan=oven",
        "/firing/plan?example=oven",
        "/firing/plan?firing=x",
        "/firing/curves/none.svg",
    ],
)
def test_what_is_not_there_is_said(client: FlaskClient, path: str) -> None:
    assert client.get(path).status_code == 404


def test_the_sheet_has_the_steps_and_lines_for_a_pencil(client: FlaskClient) -> None:
    text = page(client, "/firing/sheet?example=pull-and-cover")
    assert "Set mouth-down" in text
    assert text.count("Done at") == len(steps(plans.example("pull-and-cover")))
    assert "Glow, cone or °C" in text


def test_pages_are_in_the_units_that_were_chosen(client: FlaskClient) -> None:
    post(client, "/preferences", {"temperature": "f"})
    assert "1472 °F" in page(client, "/firing/sheet")
