"""A phone is let in by the digits alone, and they cannot be tried out."""

from pathlib import Path

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.app.helpers_app import a_client, token
from wareontology.app import phone

ELSEWHERE = {"REMOTE_ADDR": "192.168.1.30"}


@pytest.fixture
def client(tmp_path: Path) -> FlaskClient:
    return a_client(RECORDS=str(tmp_path), PHONE=True)


def type_in(client: FlaskClient, digits: str, address: str = "192.168.1.30") -> TestResponse:
    return client.post(
        "/phone/pair", data={"token": token(client, "/phone/pair"), "digits": digits},
        environ_base={"REMOTE_ADDR": address},
    )  # fmt: skip


def wrong(client: FlaskClient) -> str:
    return f"{(int(phone.code(client.application)) + 1) % 1_000_000:06d}"


def test_this_machine_needs_no_digits(client: FlaskClient) -> None:
    assert client.get("/").status_code == 200
    shown = client.get("/phone").get_data(as_text=True)
    digits = phone.code(client.application)
    assert f"{digits[:3]} {digits[3:]}" in shown
    assert "<svg" in shown


def test_another_machine_sees_nothing_without_them(client: FlaskClient) -> None:
    for path in ("/", "/collection", "/bench"):
        response = client.get(path, environ_base=ELSEWHERE)
        assert (response.status_code, response.headers["Location"]) == (302, "/phone/pair")
    assert client.get("/api/v1/columns", environ_base=ELSEWHERE).status_code == 403
    assert client.post("/collection/keep", environ_base=ELSEWHERE).status_code == 403
    assert client.get("/phone", environ_base=ELSEWHERE).status_code == 302
    assert client.get("/phone/pair", environ_base=ELSEWHERE).status_code == 200
    with client.get("/static/page.css", environ_base=ELSEWHERE) as style:
        assert style.status_code == 200


def test_the_right_digits_let_it_in(client: FlaskClient) -> None:
    digits = phone.code(client.application)
    response = type_in(client, f" {digits[:3]} {digits[3:]} ")
    assert response.status_code == 302
    cookie = response.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert client.get("/", environ_base=ELSEWHERE).status_code == 200
    assert client.get("/phone", environ_base=ELSEWHERE).status_code == 404  # the digits are for this machine


def test_a_made_up_key_does_not(client: FlaskClient) -> None:
    client.set_cookie(phone.COOKIE, "x" * 43)
    assert client.get("/", environ_base=ELSEWHERE).status_code == 302


def test_after_five_wrong_tries_even_the_right_ones_wait(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = [1000.0]
    monkeypatch.setattr("wareontology.app.phone.time.monotonic", lambda: clock[0])
    for _ in range(phone.TRIES):
        assert type_in(client, wrong(client)).status_code == 403
    waiting = type_in(client, phone.code(client.application))
    assert waiting.status_code == 429
    assert int(waiting.headers["Retry-After"]) > 500
    assert type_in(client, wrong(client), "192.168.1.31").status_code == 403  # another address may try
    clock[0] += phone.WAIT_S + 1
    assert type_in(client, phone.code(client.application)).status_code == 302


def test_from_many_addresses_it_is_shut_in_the_end(client: FlaskClient) -> None:
    for number in range(phone.MOST_WRONG):
        assert type_in(client, wrong(client), f"192.168.2.{number}").status_code == 403
    assert type_in(client, phone.code(client.application), "192.168.3.1").status_code == 429
    assert client.get("/").status_code == 200


def test_without_phone_nobody_is_asked(tmp_path: Path) -> None:
    client = a_client(RECORDS=str(tmp_path))
    assert client.get("/", environ_base=ELSEWHERE).status_code == 200
    assert "serve --phone" in client.get("/phone").get_data(as_text=True)
