"""The app starts, shows its start page and loads nothing from elsewhere."""

import re

import pytest
from flask.testing import FlaskClient

from wareontology.app import create_app


@pytest.fixture
def client() -> FlaskClient:
    return create_app({"TESTING": True}).test_client()


def test_start_page_says_what_is_here_and_what_is_to_come(client: FlaskClient) -> None:
    page = client.get("/").get_data(as_text=True)
    for door in ("I have a sherd", "I want this look", "Someone claims"):
        assert door in page
    assert page.count("Still to come") == 2
    assert "wareontology infer" in page


def test_start_page_cautions(client: FlaskClient) -> None:
    page = client.get("/").get_data(as_text=True)
    for word in ("leave", "Lead", "manganese", "food", "authenticity"):
        assert word in page


def test_nothing_is_loaded_from_elsewhere(client: FlaskClient) -> None:
    response = client.get("/")
    assert not re.search(r'(?:src|href)="(?:https?:)?//', response.get_data(as_text=True))
    assert "default-src 'none'" in response.headers["Content-Security-Policy"]


def test_unknown_page_is_not_found(client: FlaskClient) -> None:
    assert client.get("/nowhere").status_code == 404
