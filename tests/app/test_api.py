"""The HTTP interface: the same answers as the command, versions held, every refusal as problem details."""

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from flask.testing import FlaskClient
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from werkzeug.test import TestResponse

from tests.app.helpers_app import a_client
from tests.helpers_cli import DEMO, GOOD, HEADING, ONE, run
from wareontology.app.openapi import document
from wareontology.app.table_posted import XLSX
from wareontology.sherd.template import content

API = "/api/v1"
SHERD: dict[str, Any] = {
    "sherd": "K 14/2", "observer": "AB",
    "rows": [{"zone": "rim", "layer": "slip", "colour": "white"}],
}  # fmt: skip
ID = "K%252014%252F2/by/AB"  # K%2014%2F2/by/AB, percent-encoded
NEW = {"If-None-Match": "*"}


@pytest.fixture
def client(tmp_path: Path) -> FlaskClient:
    return a_client(RECORDS=str(tmp_path / "records"))


def post(client: FlaskClient, path: str, body: bytes | str, kind: str = "text/csv") -> TestResponse:
    return client.post(API + path, data=body, content_type=kind)


def problem(response: TestResponse, status: int) -> dict[str, Any]:
    assert response.status_code == status, response.get_data(as_text=True)
    assert response.content_type == "application/problem+json"
    found: dict[str, Any] = response.get_json(force=True)
    assert found["status"] == status
    assert {"type", "title", "detail"} <= found.keys()
    return found


def test_the_answers_are_those_of_the_command(client: FlaskClient) -> None:
    response = post(client, "/infer?draws=0", Path(ONE).read_bytes())
    assert response.status_code == 200
    assert response.get_json() == json.loads(run("infer", ONE, "--json", "--draws", "0").stdout)


def test_draws_and_question_are_those_of_the_command(client: FlaskClient) -> None:
    response = post(client, "/infer?draws=20&question=ending", Path(ONE).read_bytes())
    out = run("infer", ONE, "--json", "--draws", "20", "--question", "ending").stdout
    assert response.get_json() == json.loads(out)


def test_every_form_of_a_table_gives_the_same(client: FlaskClient) -> None:
    from wareontology.sherd.jsonld import document as jsonld
    from wareontology.sherd.table import read
    from wareontology.sherd.turtle import to_turtle

    sherds = read(ONE).sherds
    by_csv = post(client, "/infer?draws=0", Path(ONE).read_bytes()).get_json()
    for kind, text in (
        ("application/ld+json", json.dumps(jsonld(sherds))),
        ("application/json", json.dumps(jsonld(sherds))),
        ("text/turtle", to_turtle(sherds)),
    ):
        found = post(client, "/infer?draws=0", text, kind).get_json()
        assert [one["atmosphere"] for one in found] == [one["atmosphere"] for one in by_csv], kind
    assert post(client, "/infer?draws=0", content("xlsx"), XLSX).status_code == 200


def test_a_table_with_a_fault_is_refused_with_the_good_answers(client: FlaskClient) -> None:
    bad = "B-1,,interior,slip,redish,,,\n"
    found = problem(post(client, "/infer?draws=0", HEADING + GOOD + bad), 422)
    (fault,) = found["faults"]
    assert (fault["row"], fault["column"], fault["found"]) == (4, "colour", "redish")
    assert [answer["sherd"] for answer in found["answers"]] == ["G-1"]


def test_validate_lists_every_fault(client: FlaskClient) -> None:
    found = post(client, "/validate", HEADING + GOOD + "B-1,,interior,slip,redish,,,\n").get_json()
    assert (found["sherds"], found["rows"], len(found["faults"])) == (1, 2, 1)
    assert problem(post(client, "/validate", ""), 422)["faults"]


@pytest.mark.parametrize(
    ("path", "kind", "status"),
    [
        ("/infer?draws=-1", "text/csv", 422),
        ("/infer?draws=x", "text/csv", 422),
        ("/infer?question=atmosfere", "text/csv", 422),
        ("/infer?draws=0&question=paint:none", "text/csv", 422),
        ("/infer", "image/png", 415),
        ("/infer", "text/plain", 403),
        ("/infer", "application/x-www-form-urlencoded", 403),
        ("/nowhere", "text/csv", 404),
    ],
)
def test_what_is_refused_is_a_problem(client: FlaskClient, path: str, kind: str, status: int) -> None:
    problem(post(client, path, HEADING + GOOD, kind), status)


def test_a_body_over_the_caps_is_refused(tmp_path: Path) -> None:
    client = a_client(RECORDS=str(tmp_path), MAX_CONTENT_LENGTH=1000, MOST_SHERDS=1)
    problem(post(client, "/infer", "x" * 2000), 413)
    two = HEADING + "G-1,,rim,slip,white,,,\nG-2,,rim,slip,white,,,\n"
    assert "more than 1 sherds" in problem(post(client, "/infer", two), 422)["detail"]
    both = json.dumps([{**SHERD, "sherd": name} for name in ("a", "b")])
    assert "over 1 sherds" in problem(post(client, "/infer", both, "application/json"), 422)["detail"]


def test_columns_and_rules(client: FlaskClient) -> None:
    assert [one["name"] for one in client.get(f"{API}/columns?name=edge&name=Core").get_json()] == [
        "edge",
        "core",
    ]
    problem(client.get(f"{API}/columns?name=edje"), 422)
    name = client.get(f"{API}/rules").get_json()[0]["rule"]
    assert client.get(f"{API}/rules/{name}").get_json()["rule"] == name
    problem(client.get(f"{API}/rules/None"), 404)


def put(client: FlaskClient, body: object, headers: dict[str, str], name: str = ID) -> TestResponse:
    return client.put(f"{API}/collection/sherd/{name}", json=body, headers=headers)


def said(**more: Any) -> dict[str, Any]:
    return {"who": "AB", "why": "a look", **more}


def test_a_sherd_is_kept_changed_undone_and_taken_away(client: FlaskClient) -> None:
    made = put(client, said(body=SHERD), NEW)
    assert made.status_code == 201
    got = client.get(made.headers["Location"])
    assert (got.get_json()["body"]["sherd"], got.headers["ETag"]) == ("K 14/2", made.headers["ETag"])
    assert (
        client.get(made.headers["Location"], headers={"If-None-Match": got.headers["ETag"]}).status_code
        == 304
    )
    other = {**SHERD, "rows": [{"zone": "rim", "layer": "slip", "colour": "cream"}]}
    changed = put(client, said(body=other), {"If-Match": made.headers["ETag"]})
    assert changed.status_code == 200
    stale = problem(put(client, said(body=SHERD), {"If-Match": made.headers["ETag"]}), 412)
    assert (stale["read"], stale["now"]) == (made.get_json()["number"], changed.get_json()["number"])
    tag = {"If-Match": changed.headers["ETag"]}
    back = client.post(f"{API}/undo/sherd/{ID}", json=said(), headers=tag)
    assert back.get_json()["body"]["rows"][0]["colour"] == "white"
    history = client.get(f"{API}/history/sherd/{ID}").get_json()
    assert [one["restores"] for one in history] == [None, None, history[0]["number"]]
    gone = client.delete(
        f"{API}/collection/sherd/{ID}?who=AB&why=x", headers={"If-Match": back.headers["ETag"]}
    )
    assert gone.status_code == 200
    problem(client.get(made.headers["Location"]), 404)


def test_a_change_must_say_what_it_rests_on(client: FlaskClient) -> None:
    problem(put(client, said(body=SHERD), {}), 428)
    problem(put(client, said(body=SHERD), {"If-Match": "*"}), 428)
    problem(put(client, said(body=SHERD), {"If-Match": '"7"'}), 412)
    assert client.get(f"{API}/collection/sherd").get_json() == {"things": [], "next": None}
    put(client, said(body=SHERD), NEW)
    problem(put(client, said(body=SHERD), NEW), 412)


@pytest.mark.parametrize(
    ("body", "name", "column"),
    [
        (said(body=SHERD), "K-15", "sherd"),
        (said(body={**SHERD, "colr": "red"}), ID, "colr"),
        (said(body=[]), ID, "body"),
        ({"who": "AB", "body": SHERD}, ID, "why"),
        ({"who": "", "why": "x", "body": SHERD}, ID, "who"),
        ([], ID, "body"),
    ],
)
def test_a_sherd_that_is_none_is_not_kept(client: FlaskClient, body: object, name: str, column: str) -> None:
    found = problem(put(client, body, NEW, name), 422)
    assert column in {fault["column"] for fault in found["faults"]}


def test_answers_stay_tied_to_their_data_and_are_read_again(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(client, said(body=SHERD), NEW)
    first = client.post(f"{API}/answers/{ID}", json=said()).get_json()
    again = client.post(f"{API}/answers/{ID}", json=said()).get_json()
    assert again["number"] == first["number"]  # nothing changed: nothing new is kept
    monkeypatch.setattr("wareontology.technique.answer.data_hash", lambda: "0123456789abcdef")
    later = client.post(f"{API}/answers/{ID}", json=said()).get_json()
    hashes = [one["body"]["data_hash"] for one in client.get(f"{API}/answers/{ID}").get_json()]
    assert hashes == [later["body"]["data_hash"], first["body"]["data_hash"]]
    assert hashes[0] == "0123456789abcdef" != hashes[1]
    assert first["body"]["answer"]["data_hash"] == hashes[1]


def test_pages_of_the_collection(client: FlaskClient) -> None:
    for number in range(5):
        client.put(f"{API}/collection/note/n{number}", json=said(body={"text": f"{number}"}), headers=NEW)
    page = client.get(f"{API}/collection/note?limit=2").get_json()
    assert [one["id"] for one in page["things"]] == ["n0", "n1"]
    rest = client.get(f"{API}/collection/note?limit=9&after={page['next']}").get_json()
    assert ([one["id"] for one in rest["things"]], rest["next"]) == (["n2", "n3", "n4"], None)
    problem(client.get(f"{API}/collection/note?limit=0"), 422)
    problem(client.get(f"{API}/collection/pot"), 422)
    problem(client.put(f"{API}/collection/answer/x", json=said(body={}), headers=NEW), 422)


def test_another_sites_page_changes_nothing(client: FlaskClient) -> None:
    for headers in ({"Origin": "https://elsewhere.example"}, {"Sec-Fetch-Site": "cross-site"}):
        problem(put(client, said(body=SHERD), {**NEW, **headers}), 403)


def test_the_document_is_openapi_and_names_every_route(client: FlaskClient) -> None:
    found = client.get(f"{API}/openapi.json").get_json()
    assert found == json.loads(json.dumps(document()))
    routes = {
        rule.rule.replace("<path:name>", "{id}").replace("<name>", "{name}").replace("<kind>", "{kind}")
        for rule in client.application.url_map.iter_rules()
        if rule.rule.startswith(API)
    }
    assert set(found["paths"]) == routes
    answer = post(client, "/infer?draws=0", (DEMO / "sherds.csv").read_bytes()).get_json()[0]
    schema = {"$ref": "#/components/schemas/Answer", "components": found["components"]}
    jsonschema.Draft202012Validator(schema).validate(answer)


KINDS = ["text/csv", XLSX, "application/json", "application/ld+json", "text/turtle"]
PIECES = [
    b"sherd,zone,layer,colour\n", b"K,rim,slip,white\n", b"[", b"{", b'"sherd"', b":", b'"K"', b"]", b"}",
    b"PK\x03\x04", b"<", b"@prefix", b"\xff\xfe", b"\x00", b"\n", b",", b"=1+1", b"\xef\xbb\xbf", b";",
    b'"rows":[{"zone":"rim"}]',
]  # fmt: skip


@given(
    body=st.one_of(st.binary(max_size=300), st.lists(st.sampled_from(PIECES), max_size=20).map(b"".join)),
    kind=st.sampled_from(KINDS),
    path=st.sampled_from(["/infer?draws=0", "/validate"]),
)
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=150)
def test_whatever_is_posted_is_answered_or_refused(
    client: FlaskClient, body: bytes, kind: str, path: str
) -> None:
    response = post(client, path, body, kind)  # TESTING lets a fault of the program through as itself
    assert response.status_code in (200, 422)
    if response.status_code == 422:
        problem(response, 422)


@given(st.integers(0, 3_000), st.binary(min_size=1, max_size=40))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=60)
def test_a_damaged_workbook_is_answered_or_refused(client: FlaskClient, at: int, noise: bytes) -> None:
    book = bytearray(content("xlsx"))
    at %= len(book)
    book[at : at + len(noise)] = noise
    assert post(client, "/validate", bytes(book), XLSX).status_code in (200, 422)
