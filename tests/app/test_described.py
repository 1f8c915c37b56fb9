"""Each address of ours answers at its own path, in the form that is asked for."""

import json

import pytest
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st
from rdflib import Graph, URIRef
from werkzeug.test import TestResponse

from tests.app.helpers_app import a_client
from wareontology.app.described import FORMS
from wareontology.graph import resource
from wareontology.graph.namespaces import BASE

CLIENT = a_client()
SOFT = "/term/edge/soft"


@pytest.fixture
def client() -> FlaskClient:
    return CLIENT


def get(path: str, accept: str | None = None) -> TestResponse:
    return CLIENT.get(path, headers={"Accept": accept} if accept is not None else {})


@pytest.mark.parametrize(
    ("accept", "kind"),
    [
        (None, "text/html"),
        ("*/*", "text/html"),
        ("text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", "text/html"),
        ("text/turtle", "text/turtle"),
        ("application/ld+json", "application/ld+json"),
        ('application/ld+json;profile="http://www.w3.org/ns/json-ld#expanded"', "application/ld+json"),
        ("text/html;q=0.4, text/turtle;q=0.5", "text/turtle"),
        ("text/turtle;q=0.2, application/ld+json;q=0.9, */*;q=0.1", "application/ld+json"),
        ("text/html;q=0, */*", "text/turtle"),
        ("text/*, text/html;q=0.1", "text/turtle"),
        ("application/*", "application/ld+json"),
        ("TEXT/TURTLE", "text/turtle"),
        ("image/png, text/turtle;q=0.001", "text/turtle"),
    ],
)
def test_the_accept_header_is_weighed(accept: str | None, kind: str) -> None:
    response = get(SOFT, accept)  # RFC 9110, 12.5.1
    assert response.status_code == 200
    assert response.mimetype == kind
    assert "Accept" in response.headers["Vary"]


@pytest.mark.parametrize("accept", ["image/png", "application/json", "text/html;q=0", "text/turtle;q=0"])
def test_what_cannot_be_given_is_said_as_data(accept: str) -> None:
    response = get(SOFT, accept)
    assert response.status_code == 406
    assert response.mimetype == "application/problem+json"
    assert all(kind in response.get_json()["detail"] for kind in FORMS)


def test_a_person_may_ask_by_name() -> None:
    page = "text/html"
    assert get(SOFT + "?format=turtle", page).mimetype == "text/turtle"
    assert get(SOFT + "?format=json-ld", page).mimetype == "application/ld+json"
    assert get(SOFT + "?format=html", "text/turtle").mimetype == "text/html"
    assert get(SOFT + "?format=pdf", page).status_code == 406


def test_the_turtle_speaks_of_the_address_itself() -> None:
    found = Graph().parse(data=get(SOFT, "text/turtle").get_data(as_text=True), format="turtle")
    assert (URIRef(BASE + "term/edge/soft"), None, None) in found
    assert json.loads(get(SOFT, "application/ld+json").get_data(as_text=True))


def test_every_address_of_the_graph_answers_at_its_path() -> None:
    addresses = [one for one in resource.known() if "/" in one.removeprefix(BASE)]
    kinds = {one.removeprefix(BASE).split("/")[0] for one in addresses}
    assert {"term", "tradition", "rule", "source", "def", "statement", "shape", "fault"} <= kinds
    some = [one for one in addresses if "/statement/" not in one][::9] + addresses[::61]
    for address in some:
        for accept in ("text/html", "text/turtle"):
            response = get("/" + address.removeprefix(BASE), accept)
            assert response.status_code == 200, address
            assert response.mimetype == accept


def test_every_address_has_a_route() -> None:
    routes = CLIENT.application.url_map.bind("localhost")
    for address in resource.known():
        path = address.removeprefix(BASE.removesuffix("/"))
        assert path in ("/", "/alignment") or routes.match(path)


def test_what_is_unknown_is_told_with_the_nearest() -> None:
    page = get("/term/edge/fuzzy", "text/html")
    assert page.status_code == 404
    assert f'href="{SOFT}"' in page.get_data(as_text=True)
    data = get("/rule/NotOxidisingFromWhiteSlip", "text/turtle")
    assert data.status_code == 404
    assert data.mimetype == "application/problem+json"
    assert "NotOxidisingFromWhiteSlipRule" in data.get_json()["detail"]


@pytest.mark.parametrize(
    "path",
    [
        "/term/edge/%3Cscript%3Ealert(1)%3C/script%3E", "/term/../../etc/passwd", "/def/%00",
        "/source/" + "a" * 3000,
        "/tradition/%22onmouseover=%22x", "/statement/", "/region/nowhere", "/shape//", "/term/edge/soft/",
    ],
)  # fmt: skip
def test_what_is_made_up_is_refused_and_never_echoed_raw(path: str) -> None:
    response = CLIENT.get(path, headers={"Accept": "text/html"}, follow_redirects=True)
    assert response.status_code in (404, 400)
    assert "<script>alert" not in response.get_data(as_text=True)


@given(name=st.text(max_size=40))
@settings(max_examples=60, deadline=None)
def test_no_name_is_a_fault_of_the_program(name: str) -> None:
    from urllib.parse import quote

    for kind in ("term/edge", "rule", "tradition", "source", "def"):
        status = CLIENT.get(f"/{kind}/{quote(name, safe='')}", headers={"Accept": "text/turtle"}).status_code
        assert status in (200, 301, 308, 404)
