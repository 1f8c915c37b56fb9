"""Safe by default: headers, tokens, hosts, caps, and refusals in words or as problem details."""

import re

import pytest
from flask import Flask, abort

from tests.app.helpers_app import a_client, post, token
from wareontology.app import create_app, guard
from wareontology.errors import OutOfRange

PAGES = ("/", "/bench", "/bench/blank", "/table")


@pytest.mark.parametrize("page", PAGES)
def test_nothing_is_inline_and_nothing_comes_from_elsewhere(page: str) -> None:
    response = a_client().get(page)
    text = response.get_data(as_text=True)
    policy = response.headers["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert not re.search(r'(?:src|href)="(?:https?:)?//', text)
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=", text)


def test_headers_are_on_every_answer_errors_too() -> None:
    for path in ("/", "/nowhere", "/static/page.css"):
        with a_client().get(path) as response:
            headers = response.headers
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
        assert "Content-Security-Policy" in headers


def test_cookies_are_kept_from_scripts_and_other_sites() -> None:
    client = a_client()
    cookies = client.get("/bench").headers.getlist("Set-Cookie")
    cookies += post(client, "/preferences", {"temperature": "f"}).headers.getlist("Set-Cookie")
    assert len(cookies) >= 2
    for cookie in cookies:
        assert "HttpOnly" in cookie
        assert "SameSite=Strict" in cookie


def test_a_form_without_its_token_is_refused() -> None:
    client = a_client()
    assert client.post("/bench", data={}).status_code == 403
    held = token(client)
    assert client.post("/bench", data={"token": "x" * 40}).status_code == 403
    assert client.post("/bench", data={"token": held}).status_code == 200
    assert client.post("/bench", data={}, headers={"X-Token": held}).status_code == 200


@pytest.mark.parametrize(
    "headers", [{"Sec-Fetch-Site": "cross-site"}, {"Origin": "http://elsewhere.example"}, {"Origin": "null"}]
)
def test_a_form_sent_by_another_site_is_refused(headers: dict[str, str]) -> None:
    assert post(a_client(), "/bench", headers=headers).status_code == 403


def test_another_host_name_is_not_answered() -> None:
    """A name that was made to point at this machine (DNS rebinding)."""
    client = a_client()
    assert client.get("/", base_url="http://elsewhere.example").status_code == 400
    assert client.get("/", base_url="http://127.0.0.1:8765").status_code == 200


def a_program(app: Flask) -> None:
    @app.post("/api/echo")
    @guard.for_programs
    def echo() -> str:
        return "taken"

    @app.post("/api/range")
    @guard.for_programs
    def out_of_range() -> str:
        raise OutOfRange("temperature_c", 2000, 300, 1200, "a test")

    @app.get("/api/broken")
    def broken() -> str:
        raise RuntimeError("secret detail")

    @app.get("/api/gone")
    def gone() -> str:
        abort(404)


def test_a_program_needs_no_token_but_sends_what_no_form_can() -> None:
    app = create_app({"TESTING": True})
    a_program(app)
    client = app.test_client()
    assert client.post("/api/echo", json={}).status_code == 200
    for kind in ("text/plain", "application/x-www-form-urlencoded", "multipart/form-data"):
        assert client.post("/api/echo", data=b"x", content_type=kind).status_code == 403
    assert (
        client.post("/api/echo", json={}, headers={"Origin": "http://elsewhere.example"}).status_code == 403
    )


def test_refusals_are_problem_details_for_programs_and_pages_for_people() -> None:
    app = create_app({"TESTING": True})
    a_program(app)
    client = app.test_client()
    found = client.post("/api/range", json={})
    assert found.status_code == 422
    assert found.content_type == "application/problem+json"
    assert found.json is not None
    assert found.json["status"] == 422
    assert "2000" in found.json["detail"]
    assert client.get("/api/gone").content_type == "application/problem+json"
    page = client.get("/nowhere", headers={"Accept": "text/html,*/*;q=0.8"})
    assert page.status_code == 404
    assert "<h1>No such page</h1>" in page.get_data(as_text=True)
    data = client.get("/nowhere", headers={"Accept": "application/json"})
    assert data.content_type == "application/problem+json"


def test_a_fault_of_the_program_is_said_without_its_inside() -> None:
    app = create_app({"PROPAGATE_EXCEPTIONS": False})
    a_program(app)
    found = app.test_client().get("/api/broken")
    assert found.status_code == 500
    assert "secret" not in found.get_data(as_text=True)
    assert "Traceback" not in found.get_data(as_text=True)


def test_more_bytes_than_are_taken_are_refused() -> None:
    client = a_client(MAX_CONTENT_LENGTH=2_000)
    found = client.post("/bench", data={"token": token(client), "s.note": "x" * 5_000})
    assert found.status_code == 413
    assert "That is too much at once" in found.get_data(as_text=True)
