"""Queries: what is answered, and what is refused, cut off or stopped."""

import json
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology.errors import BreaksShape
from wareontology.graph.namespaces import WO, term
from wareontology.graph.query import Limits, query
from wareontology.graph.query_refusals import check_parsed, check_text
from wareontology.graph.store import described
from wareontology.graph.vocabulary import scheme
from wareontology.paths import data

LITTLE = Limits(rows=50, cpu_s=4, wall_s=60, memory_bytes=600 << 20)


@pytest.fixture
def listener() -> Iterator[tuple[str, list[bytes]]]:
    """A server on this machine, and what it was asked."""
    heard: list[bytes] = []
    server = socket.create_server(("127.0.0.1", 0))

    def listen() -> None:
        while True:
            try:
                connection, _ = server.accept()
            except OSError:
                return
            with connection:
                heard.append(connection.recv(1000))
                connection.sendall(b"HTTP/1.0 404 Not Found\r\n\r\n")

    thread = threading.Thread(target=listen, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.getsockname()[1]}/", heard
    server.shutdown(socket.SHUT_RDWR)
    server.close()
    thread.join(5)


def test_a_select_gives_rows_and_an_ask_a_boolean() -> None:
    found = query(
        "SELECT ?n { ?e skos:inScheme <https://wareontology.example/term/edge> ; skos:notation ?n }"
    )
    assert found.variables == ("n",)
    # second route: the reader that uses neither rdflib nor SPARQL
    assert {row[0].value for row in found.rows if row[0]} == set(scheme("edge").notations())
    assert not found.truncated
    assert query("ASK { ?a wo:nothingOfTheKind ?b }").boolean is False


def test_the_closure_is_asked_too() -> None:
    # written in regions.ttl: every region says only what it is directly part of; OWL RL draws the way up
    asked = "ASK { region:colorado-plateau wo:partOf region:world }"
    assert query(asked).boolean is True
    said = described(data("regions.ttl"))[term("region", "colorado-plateau")]
    assert term("region", "world") not in said[WO + "partOf"]


REACHING = (
    "SELECT * { SERVICE <URL> { ?a ?b ?c } }",
    "SELECT * { SERVICE SILENT <URL> { ?a ?b ?c } }",
    "SELECT * { BIND(<URL> AS ?s) SERVICE ?s { ?a ?b ?c } }",
    "SELECT * { ?a ?b ?c FILTER EXISTS { SERVICE <URL> { ?a ?b ?c } } }",
    "SELECT * { ?a ?b ?c FILTER NOT EXISTS { { SELECT * { SERVICE SILENT <URL> { ?a ?b ?c } } } } }",
    "SELECT * { { SELECT ?a { { SELECT ?a { sErViCe<URL> { ?a ?b ?c } } } } } }",
    "ASK { OPTIONAL { SERVICE <URL> { ?a ?b ?c } } MINUS { SERVICE <URL> { ?a ?b ?c } } }",
    "ASK { { ?a ?b ?c } UNION { GRAPH ?g { SERVICE <URL> { ?a ?b ?c } } } }",
    "SELECT * FROM <URL> { ?a ?b ?c }",
    "SELECT * FROM NAMED <URL> { GRAPH ?g { ?a ?b ?c } }",
    "SELECT * FROM <file:///etc/passwd> { ?a ?b ?c }",
    "ASK FROM<URL>{ ?a ?b ?c }",
    "LOAD <URL>",
    "LOAD SILENT <file:///etc/passwd> INTO GRAPH <http://example.org/g>",
)
CHANGING = (
    "INSERT DATA { <urn:a> <urn:b> <urn:c> }",
    "DELETE WHERE { ?a ?b ?c }",
    "PREFIX a: <urn:a> DROP ALL",
    "CLEAR DEFAULT",
    "ASK { } ; INSERT DATA { <urn:a> <urn:b> <urn:c> }",
    "WITH <urn:g> DELETE { ?a ?b ?c } WHERE { ?a ?b ?c }",
    "CONSTRUCT WHERE { ?a ?b ?c }",
    "DESCRIBE <urn:a>",
)


@pytest.mark.parametrize("text", [*REACHING, *CHANGING])
def test_what_reaches_out_or_changes_is_refused(text: str, listener: tuple[str, list[bytes]]) -> None:
    address, heard = listener
    with pytest.raises(BreaksShape) as caught:
        query(text.replace("URL", address), LITTLE)
    assert "would do: SELECT or ASK" in str(caught.value)
    assert heard == []


def parsed(text: str) -> list[object]:
    from rdflib.plugins.sparql.algebra import translateQuery
    from rdflib.plugins.sparql.parser import parseQuery

    first = parseQuery(text)
    return [first, translateQuery(parseQuery(text)).algebra]


@pytest.mark.parametrize("text", [text for text in REACHING if not text.startswith("LOAD")])
def test_the_parsed_query_is_refused_by_itself_too(text: str) -> None:
    """Were the text's words hidden from the first look, the walk over either form would still find them."""
    for form in parsed(text.replace("URL", "http://example.org/")):
        with pytest.raises(BreaksShape, match="reads this graph and nothing else"):
            check_parsed(form)


UNGUARDED = """
import sys; sys.path[:0] = {path!r}
from wareontology.graph import query_child
query_child._check = lambda text: None
query_child.main()
"""


@pytest.mark.parametrize("text", ["SELECT * { SERVICE <URL> { ?a ?b ?c } }", "ASK FROM <URL> { ?a ?b ?c }"])
def test_without_any_check_the_process_still_cannot_get_out(
    text: str, listener: tuple[str, list[bytes]]
) -> None:
    address, heard = listener
    asked = {
        "text": text.replace("URL", address),
        "rows": 5,
        "characters": 1000,
        "cpu_s": 5,
        "memory_bytes": 1 << 30,
    }
    done = subprocess.run(
        [sys.executable, "-P", "-c", UNGUARDED.format(path=sys.path)],
        input=json.dumps(asked).encode(),
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert heard == []
    found = json.loads(done.stdout)
    assert found.get("refused") or found == {"boolean": False}, found


@pytest.mark.parametrize(
    ("text", "why"),
    [
        # an endless join and a count over it
        ("SELECT (COUNT(*) AS ?n) { ?a ?b ?c . ?d ?e ?f . ?g ?h ?i }", "the time ran out"),
        # every pair sorted
        ("SELECT * { ?a ?b ?c . ?d ?e ?f . ?g ?h ?i } ORDER BY ?f ?a", "the (memory|time) ran out"),
        # paths of any length, both ways, over everything
        ("SELECT (COUNT(*) AS ?n) { ?a (!<urn:b>|^!<urn:c>)* ?c . ?c (!<urn:b>|^!<urn:c>)* ?d }", "ran out"),
        # one text grown without end
        ("SELECT (GROUP_CONCAT(CONCAT(STR(?c), STR(?f), STR(?i))) AS ?n) { ?a ?b ?c . ?d ?e ?f . ?g ?h ?i }",
         "ran out"),
    ],
)  # fmt: skip
def test_what_asks_for_too_much_is_stopped(text: str, why: str) -> None:
    with pytest.raises(BreaksShape, match=why):
        query(text, LITTLE)


def test_the_clock_stops_it_too() -> None:
    with pytest.raises(BreaksShape, match="more than 1 s"):
        query("SELECT (COUNT(*) AS ?n) { ?a ?b ?c . ?d ?e ?f . ?g ?h ?i }", Limits(cpu_s=60, wall_s=1))


def test_a_million_rows_are_cut_off() -> None:
    found = query("SELECT * { ?a ?b ?c . ?d ?e ?f }", LITTLE)
    assert len(found.rows) == LITTLE.rows
    assert found.truncated
    short = query("SELECT * { ?a ?b ?c . ?d ?e ?f }", Limits(characters=5000))
    assert 0 < len(short.rows) < 100
    assert short.truncated


def test_a_bomb_of_a_regular_expression_does_nothing() -> None:
    """The engine's expressions take time in proportion to the text; a backtracking one would never end."""
    bomb = f"ASK {{ FILTER(REGEX('{'a' * 60}', '^(a+)+$b')) }}"
    assert query(bomb, LITTLE).boolean is False


@pytest.mark.parametrize(
    "text",
    [
        "ASK " + "{" * 41 + "}" * 41,
        "ASK { FILTER(" + "(" * 3000 + "1" + ")" * 3000 + ") }",
        "ASK { ?a " + "(" * 60 + "<urn:b>" + ")" * 60 + " ?c }",
    ],
)
def test_what_is_nested_too_deep_is_refused(text: str) -> None:
    with pytest.raises(BreaksShape, match="too deep"):
        query(text, LITTLE)


@pytest.mark.parametrize(
    "text", ["ASK { FILTER(" + "!" * 9000 + "1) }", "ASK { FILTER(" + "-" * 9000 + "1) }"]
)
def test_a_tower_without_brackets_ends_too(text: str) -> None:
    with pytest.raises(BreaksShape):
        query(text, LITTLE)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "there is no query"),
        ("SELCT ?a", "not SPARQL from character 1"),
        ("ASK { ?a ?b", "not SPARQL"),
        ("ASK { nowhere:a ?b ?c }", "nowhere"),
        ("x" * 20_001, "too long"),
        (r"ASK { \u0053ERVICE <urn:x> { } }", "a letter written by its number"),
        ("ASK { ?a ?b 'x\0' }", "a letter"),
    ],
)
def test_what_is_no_query_is_refused(text: str, said: str) -> None:
    with pytest.raises(BreaksShape, match=said):
        query(text, LITTLE)


def test_words_of_the_language_may_stand_in_names_and_strings() -> None:
    check_text(
        "ASK { ?service ?from $load . ?x wo:from 'FROM' . _:load <urn:LOAD> \"SERVICE\"@en } # LOAD", 200
    )


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_taken_or_refused(text: str) -> None:
    with suppress(BreaksShape):
        assert check_text(text, 1000) is None  # type: ignore[func-returns-value]  # nothing else is raised


@settings(max_examples=100, deadline=None)
@given(
    st.sampled_from(["SERVICE", "FROM", "LOAD"]),
    st.sampled_from(["", " ", "\n", "'a'", '"b"', "<urn:a>", "}", ";", "'''it's'''", "# c\n"]),
    st.sampled_from([" ", "<urn:b>", "{", "\n", "#c\n"]),
)
def test_a_word_that_reaches_out_is_seen_between_anything(word: str, before: str, after: str) -> None:
    with pytest.raises(BreaksShape, match="nothing else"):
        check_text(f"ASK {{ }} {before}{word}{after}", 1000)
