"""The SPARQL endpoint held to the protocol, and to reading only, whatever is sent."""

import csv
import io
import json
import threading
import time
from collections.abc import Iterator
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rdflib import Graph, URIRef
from werkzeug.test import TestResponse

from tests.app.helpers_app import a_client
from tests.graph.test_query import CHANGING, REACHING
from wareontology.app import sparql
from wareontology.graph.traditions import traditions

CLIENT = a_client()
COUNT = "SELECT (COUNT(?ware) AS ?wares) WHERE { ?ware a wo:Tradition }"
JSON = "application/sparql-results+json"
QUERY = "application/sparql-query"


def get(query: str | None, accept: str = JSON, **more: str) -> TestResponse:
    asked = {"query": query, **more} if query is not None else more
    return CLIENT.get("/sparql", query_string=asked, headers={"Accept": accept})


def refused(response: TestResponse, *statuses: int) -> str:
    assert response.status_code in statuses, response.get_data(as_text=True)[:300]
    assert response.mimetype == "application/problem+json"
    detail: str = response.get_json()["detail"]
    return detail


def counted(response: TestResponse) -> int:
    assert response.status_code == 200, response.get_data(as_text=True)[:300]
    found = json.loads(response.get_data(as_text=True))
    return int(found["results"]["bindings"][0]["wares"]["value"])


def test_a_query_by_each_of_the_three_ways() -> None:
    # SPARQL 1.1 Protocol, 2.1.1 to 2.1.3; a program has no token and no cookie
    many = len(traditions())  # second route: the reader
    accept = {"Accept": JSON}
    assert counted(get(COUNT)) == many
    assert counted(CLIENT.post("/sparql", data={"query": COUNT}, headers=accept)) == many
    assert counted(CLIENT.post("/sparql", data=COUNT, content_type=QUERY, headers=accept)) == many


@pytest.mark.parametrize(
    ("accept", "kind"),
    [
        ("*/*", JSON),
        ("application/json", "application/json"),
        ("application/sparql-results+xml", "application/sparql-results+xml"),
        ("text/csv", "text/csv"),
        ("text/tab-separated-values;q=0.9, text/csv;q=0.8", "text/tab-separated-values"),
        ("text/html,application/xml;q=0.9,*/*;q=0.8", "text/html"),
    ],
)
def test_rows_in_the_form_that_is_asked_for(accept: str, kind: str) -> None:
    response = get(COUNT, accept)
    assert (response.status_code, response.mimetype) == (200, kind)
    assert "Accept" in response.headers["Vary"]


def test_all_forms_hold_the_same_rows() -> None:
    query = "SELECT ?n { ?e skos:inScheme term:edge ; skos:notation ?n } ORDER BY ?n"
    by_json = [row["n"]["value"] for row in get(query).get_json(force=True)["results"]["bindings"]]
    assert by_json == ["sharp", "soft"]
    by_csv = list(csv.reader(io.StringIO(get(query, "text/csv").get_data(as_text=True))))
    assert by_csv == [["n"], ["sharp"], ["soft"]]
    by_xml = ElementTree.fromstring(get(query, "application/sparql-results+xml").get_data())
    assert [one.text for one in by_xml.iter("{http://www.w3.org/2005/sparql-results#}literal")] == by_json
    page = get(query, "text/html").get_data(as_text=True)
    assert "<td>sharp</td>" in page.replace("\n", "")


def test_a_browser_that_asks_nothing_gets_a_form_and_a_program_what_is_offered() -> None:
    page = get(None, "text/html")
    assert page.mimetype == "text/html"
    assert "<textarea" in page.get_data(as_text=True)
    told = get(None, "text/turtle")
    found = Graph().parse(data=told.get_data(as_text=True), format="turtle")
    service = "http://www.w3.org/ns/sparql-service-description#"
    assert (None, URIRef(service + "endpoint"), URIRef("http://localhost/sparql")) in found
    refused(get(None, JSON), 400)


@pytest.mark.parametrize("text", [one for _, one in sparql.EXAMPLES])
def test_the_examples_are_answered(text: str) -> None:
    found = get(text).get_json(force=True)
    assert found.get("boolean") is True or found["results"]["bindings"]


@pytest.mark.parametrize("text", [*REACHING, *CHANGING])
def test_what_reaches_out_or_changes_is_refused(text: str) -> None:
    refused(get(text.replace("URL", "http://127.0.0.1:9/")), 400)


@pytest.mark.parametrize(
    "text",
    [
        "", " ", "SELECT", "SELECT * WHERE { ?a ?b", "ASK { ?a nope:b ?c }", "{" * 5000, "\0", "DROP ALL",
        "SELECT ?a { ?a ?b ?c } LIMIT x", "ASK { ?a ?b '\\u0000' }", "ASK { ?a ?b ?c } #" + "x" * 25_000,
        "ASK { <javascript:x> ?b <<a>> }",
    ],
)  # fmt: skip
def test_what_is_no_query_is_a_400(text: str) -> None:
    refused(get(text), 400)


def test_what_the_protocol_has_beside_a_query_is_refused() -> None:
    accept = {"Accept": JSON}

    def post(data: object, kind: str, path: str = "/sparql") -> TestResponse:
        return CLIENT.post(path, data=data, content_type=kind, headers=accept)

    update = "INSERT DATA { <urn:a> <urn:b> <urn:c> }"
    form = "application/x-www-form-urlencoded"
    assert "never changed" in refused(post({"update": update}, form), 403)
    assert "never changed" in refused(post(update, "application/sparql-update"), 403)
    refused(get(COUNT, update=update), 403)
    refused(post(update, QUERY), 400)
    refused(post({}, form), 400)
    refused(post(b"\xff\xfe", QUERY), 400)
    refused(post("<a/>", "text/xml"), 415)
    refused(post(COUNT, "text/plain"), 415)
    refused(post(COUNT, QUERY, "/sparql?query=ASK{}"), 400)
    refused(post({"query": [COUNT, COUNT]}, form), 400)
    refused(get(COUNT, **{"default-graph-uri": "http://example.org/"}), 400)
    refused(get(COUNT, **{"named-graph-uri": "file:///etc/passwd"}), 400)
    refused(get(COUNT, "image/png"), 406)
    refused(get(COUNT, format="pdf"), 406)
    assert CLIENT.put("/sparql", data=COUNT).status_code in (403, 405)
    assert CLIENT.delete("/sparql").status_code in (403, 405)


def test_a_page_elsewhere_cannot_send_a_query() -> None:
    for headers in ({"Origin": "https://elsewhere.example"}, {"Sec-Fetch-Site": "cross-site"}):
        response = CLIENT.post("/sparql", data={"query": COUNT}, headers={**headers, "Accept": JSON})
        refused(response, 403)
    image = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Dest": "image", "Accept": "image/*"}
    refused(CLIENT.get("/sparql", query_string={"query": COUNT}, headers=image), 403)
    link = {"Sec-Fetch-Site": "cross-site", "Sec-Fetch-Dest": "document", "Accept": "text/html"}
    assert CLIENT.get("/sparql", query_string={"query": COUNT}, headers=link).status_code == 200
    assert "Access-Control-Allow-Origin" not in get(COUNT).headers


def test_a_fault_is_told_on_the_page_where_it_was_typed() -> None:
    response = get("SELECT * WHERE { ?a <b", "text/html")
    assert response.status_code == 400
    assert response.mimetype == "text/html"
    assert "SELECT * WHERE { ?a &lt;b" in response.get_data(as_text=True)


def test_what_a_query_makes_up_is_no_tag_and_no_link() -> None:
    made_up = (
        'SELECT ?a ?b ?c { BIND(IRI("javascript:alert(1)") AS ?a)'
        ' BIND("<script>alert(1)</script>" AS ?b) BIND(IRI("data:text/html,x") AS ?c) }'
    )
    text = get(made_up, "text/html").get_data(as_text=True)
    assert "<script>alert" not in text
    assert 'href="javascript:' not in text
    assert 'href="data:' not in text
    assert "javascript:alert(1)" in text
    for accept in (JSON, "text/csv", "application/sparql-results+xml"):
        response = get(made_up, accept)
        assert response.headers["X-Content-Type-Options"] == "nosniff"
        assert "script-src 'self'" in response.headers["Content-Security-Policy"]


def test_rows_over_the_cap_are_cut_off_and_that_is_said() -> None:
    every = "SELECT * { ?a ?b ?c }"
    response = get(every, "text/csv")
    assert response.headers["Rows-Cut-Off-At"] == "10000"
    assert "Rows-Cut-Off-At" not in get(COUNT).headers
    assert "more were cut off" in get(every, "text/html").get_data(as_text=True)


def test_a_query_without_end_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    from wareontology.graph import query

    little = query.Limits(cpu_s=1, wall_s=30)
    monkeypatch.setattr(query, "Limits", lambda: little)
    cross = "SELECT (COUNT(*) AS ?n) { ?a ?b ?c . ?d ?e ?f . ?g ?h ?i FILTER(?c != ?f && ?f != ?i) }"
    assert "the time ran out" in refused(get(cross), 400)


@pytest.fixture
def busy(monkeypatch: pytest.MonkeyPatch) -> Iterator[threading.Event]:
    """A graph that takes as long to answer as the test lets it."""
    from wareontology.graph import query

    let_go = threading.Event()

    def slow(_: str) -> query.Result:
        let_go.wait(20)
        return query.Result(boolean=True)

    monkeypatch.setattr(query, "query", slow)
    monkeypatch.setattr(sparql, "WAIT_S", 0.05)
    yield let_go
    let_go.set()


def test_so_many_at_once_and_the_next_is_told_to_come_again(busy: threading.Event) -> None:
    statuses: list[int] = []
    waiting = [
        threading.Thread(target=lambda: statuses.append(a_client().get("/sparql?query=ASK{}").status_code))
        for _ in range(sparql.AT_ONCE)
    ]
    for one in waiting:
        one.start()
    deadline = time.monotonic() + 20
    while sparql._free._value and time.monotonic() < deadline:
        time.sleep(0.01)
    response = get("ASK {}")
    refused(response, 503)
    assert int(response.headers["Retry-After"]) > 0
    busy.set()
    for one in waiting:
        one.join(20)
    assert statuses == [200] * sparql.AT_ONCE
    assert get("ASK {}").status_code == 200  # and the places are free again


@given(text=st.text(max_size=60))
@settings(max_examples=12, deadline=None)
def test_no_text_is_a_fault_of_the_program(text: str) -> None:
    for response in (
        get(text),
        CLIENT.post("/sparql", data=text.encode("utf-8", "replace"), content_type=QUERY),
    ):
        assert response.status_code in (200, 400, 406)
