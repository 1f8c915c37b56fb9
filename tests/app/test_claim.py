"""The door *Someone claims*: a form or a file to three verdicts, and the report in one click."""

import io
import re
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.datastructures import MultiDict
from werkzeug.test import TestResponse

from tests.app.helpers_app import a_client, post
from wareontology.app import claim_form
from wareontology.paths import data
from wareontology.replica.claim import judged
from wareontology.replica.claim_read import read


@pytest.fixture
def client() -> FlaskClient:
    return a_client()


def words(page: TestResponse) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", page.get_data(as_text=True)).split())


def demo(name: str) -> tuple[io.BytesIO, str]:
    return io.BytesIO(data("demo", name).read_bytes()), name


def tables() -> dict[str, Any]:
    return {"originals": demo("originals.csv"), "replicas": demo("replicas.csv")}


def test_a_file_gets_the_verdicts_of_the_command(client: FlaskClient) -> None:
    page = post(client, "/claim", {"file": demo("claim.toml"), **tables()})
    assert page.status_code == 200
    said = words(page)
    answer = judged(read(data("demo", "claim.toml")))  # second route: as the command has it
    for name in ("possible", "sufficient", "unique"):
        assert answer["verdicts"][name]["reason"] in said
    for gap in answer["gaps"]:
        assert gap["sentence"] in said
    for part in (
        "Can it give this look? Shown.", "Do others not give it? Not shown.", "17 of 20 came out",
        "A sceptic would ask",
        "Garrick Holm (invented), who learned from Isolde Jarn (invented)",
        "Nothing here says what a pot is worth",
    ):  # fmt: skip
        assert part in said, part


def test_the_form_with_the_example_in_it(client: FlaskClient) -> None:
    assert "Ketterwain Pale" in client.get("/claim?example=1").get_data(as_text=True)
    said = words(post(client, "/claim", {**claim_form.EXAMPLE, **tables()}))
    assert "Can it give this look? Shown." in said
    assert "about" in said.split("By the reasoner")[1]
    without = words(post(client, "/claim", dict(claim_form.EXAMPLE)))
    assert "No table of originals or replicas came" in without


def test_one_success_never_gives_more_than_possible(client: FlaskClient) -> None:
    one = {
        "series.0.fired": "1", "series.0.came_out": "1", "series.0.failed": "0", "series.0.firings": "1",
        "series.0.tiles_kept": "1",
    }  # fmt: skip
    said = words(post(client, "/claim", {**claim_form.EXAMPLE, **one, **tables()}))
    assert "Can it give this look? Shown." in said
    assert "Does it give it reliably? Shown." not in said
    assert "Do others not give it? Shown." not in said


def test_a_claim_with_markup_in_it_is_only_text(client: FlaskClient) -> None:
    page = post(client, "/claim", {**claim_form.EXAMPLE, "ware": "<script>alert(1)</script>"})
    assert "<script>alert" not in page.get_data(as_text=True)


@pytest.mark.parametrize(("form", "begins"), [("html", "<!doctype html>"), ("ttl", "@prefix")])
def test_the_report_in_one_click_is_the_same_bytes_twice(client: FlaskClient, form: str, begins: str) -> None:
    page = post(client, "/claim", {"file": demo("claim.toml"), **tables()}).get_data(as_text=True)
    from html import unescape

    body = re.search(r'name="claim" value="([^"]+)"', page)
    assert body
    held = {"claim": unescape(body[1])}
    one, two = (post(client, f"/claim/report/{form}", held) for _ in range(2))
    assert one.status_code == 200
    assert one.data == two.data
    assert one.get_data(as_text=True).startswith(begins)
    assert "attachment" in one.headers["Content-Disposition"]


def test_a_claim_as_turtle(client: FlaskClient) -> None:
    text = read(data("demo", "claim.toml")).turtle().replace("originals.csv", "mine.csv")
    file = (io.BytesIO(text.encode()), "claim.ttl")
    sent = {
        "file": file,
        "originals": (demo("originals.csv")[0], "mine.csv"),
        "replicas": demo("replicas.csv"),
    }
    assert "Can it give this look? Shown." in words(post(client, "/claim", sent))


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({}, "ware"),
        ({**claim_form.EXAMPLE, "ware": ""}, "ware"),
        ({**claim_form.EXAMPLE, "technique.ending": "frozen"}, "frozen"),
        ({**claim_form.EXAMPLE, "series.0.fired": "many"}, "a whole number"),
        ({"file": (b"nothing", "claim.toml")}, "would do"),
        ({"file": (b"\\xff\\x00", "claim.ttl")}, "claim"),
        ({"file": (b'{"ware": 1', "claim.json")}, "JSON"),
        ({"file": (data("demo", "claim.toml").read_bytes(), "../../claim.toml")}, "originals.csv"),
        ({**claim_form.EXAMPLE, "originals": (b"sherd,zone\\nA,nowhere\\n", "a.csv")}, "nowhere"),
    ],
)
def test_what_is_no_claim_is_refused_with_what_would_do(
    client: FlaskClient, fields: dict[str, Any], said: str
) -> None:
    sent = {
        key: (io.BytesIO(value[0]), value[1]) if isinstance(value, tuple) else value
        for key, value in fields.items()
    }
    page = post(client, "/claim", sent)
    assert page.status_code == 422
    assert said.casefold() in words(page).casefold()
    if fields.get("writer"):
        assert "Adda Brenning" in page.get_data(as_text=True)  # what was typed stands in the form again


@pytest.mark.parametrize("claim", ["", "{}", "[1]", '{"ware": "A"}'])
def test_a_report_on_nothing_is_refused(client: FlaskClient, claim: str) -> None:
    assert post(client, "/claim/report/html", {"claim": claim}).status_code == 422
    assert client.get("/claim/report/html").status_code == 405


def test_what_is_blank_is_left_out() -> None:
    form = MultiDict([("ware", "A"), ("layer.0.layer", "paint"), ("step.0.what", " "), ("says", "")])
    assert claim_form.raw(form) == {"ware": "A", "by_their_means": False}
