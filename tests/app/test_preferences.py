"""Units and paper: chosen once, used by every page; nobody is sent elsewhere by it."""

import html
import re

import pytest
from flask import Flask

from tests.app.helpers_app import a_client, post
from wareontology.app import create_app
from wareontology.app.preferences import celsius, fahrenheit, in_units


def test_a_choice_is_kept_and_the_page_comes_back() -> None:
    client = a_client()
    found = post(client, "/preferences", {"temperature": "f", "look": "dark", "back": "/bench"})
    assert (found.status_code, found.location) == (303, "/bench")
    page = client.get("/bench").get_data(as_text=True)
    assert 'data-look="dark"' in page
    assert '<option value="f" selected>' in page


def test_a_page_that_answers_a_form_comes_back_with_its_record() -> None:
    client = a_client()
    record = '{"sherd": "K-14", "rows": [{"zone": "rim", "layer": "slip", "colour": "white"}]}'
    page = post(client, "/answer", {"record": record}).get_data(as_text=True)
    form = page.split('<form class="preferences"')[1].split("</form>")[0]
    fields = {name: html.unescape(value) for name, value in re.findall(r'name="(\w+)" value="([^"]*)"', form)}
    sent = {**fields, "temperature": "f"}
    chosen = client.post("/preferences", data=sent)
    assert (chosen.status_code, chosen.location) == (307, "/answer")  # the browser sends the same form on
    found = client.post("/answer", data=sent)
    assert "<h1>Sherd K-14</h1>" in found.get_data(as_text=True)
    assert "°F" in found.get_data(as_text=True)


def test_an_unknown_choice_is_as_none() -> None:
    client = a_client()
    client.set_cookie("look", '"><script>')
    page = client.get("/").get_data(as_text=True)
    assert "data-look" not in page
    assert "<script>" not in page


@pytest.mark.parametrize(
    "back", ["//elsewhere.example", "https://elsewhere.example", "/\\elsewhere.example", "x", "/a\r\nb: c"]
)
def test_nobody_is_sent_elsewhere(back: str) -> None:
    assert post(a_client(), "/preferences", {"back": back}).location == "/"


@pytest.fixture
def app() -> Flask:
    return create_app({"TESTING": True})


def said(app: Flask, text: str, cookie: str) -> str:
    with app.test_request_context(headers={"Cookie": cookie}):
        return in_units(text)


def test_sentences_come_in_the_chosen_units(app: Flask) -> None:
    text = "peak heat (550 to 900 °C about 8 in 10); refire at 800 °C; a wall of 5 mm"
    assert said(app, text, "") == text
    # 550, 900, 800 °C are 1022, 1652, 1472 °F exactly; 5 mm is 0.197 inch
    assert said(app, text, "temperature=f") == (
        "peak heat (1022 to 1652 °F about 8 in 10); refire at 1472 °F; a wall of 5 mm"
    )
    assert said(app, text, "length=in").endswith("a wall of 0.2 in")


@pytest.mark.parametrize("degrees", [0.0, 550.0, 800.0, 1200.0])
def test_degrees_there_and_back(degrees: float) -> None:
    assert celsius(fahrenheit(degrees)) == pytest.approx(degrees)
