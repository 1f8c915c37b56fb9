"""`query` and `export` as a person uses them, and that a first graph command starts light."""

import csv
import io
import json
from pathlib import Path

import pytest

from tests.helpers_cli import process, run
from wareontology.graph.network import graphml
from wareontology.graph.traditions import traditions

NAMES = "SELECT ?t ?name { ?t a wo:Tradition ; skos:prefLabel ?name } ORDER BY ?t"


def test_a_query_from_text_a_file_and_standard_input(tmp_path: Path) -> None:
    file = tmp_path / "question.rq"
    file.write_text(NAMES, encoding="utf-8")
    from_text, from_file, from_input = (
        run("query", NAMES), run("query", str(file)), run("query", "-", stdin=NAMES),
    )  # fmt: skip
    assert from_text.exit_code == 0, from_text.stderr
    assert from_text.stdout == from_file.stdout == from_input.stdout
    assert f"{len(traditions())} rows" in from_text.stdout
    assert "tradition:us-tusayan-white" in from_text.stdout


def test_json_and_csv_hold_the_same_rows() -> None:
    as_json = json.loads(run("query", NAMES, "--json").stdout)
    rows = list(csv.reader(io.StringIO(run("query", NAMES, "--csv").stdout)))
    assert as_json["head"]["vars"] == rows[0] == ["t", "name"]
    bindings = as_json["results"]["bindings"]
    assert [[one["t"]["value"], one["name"]["value"]] for one in bindings] == rows[1:]
    assert {row[1] for row in rows[1:]} == {one.label for one in traditions().values()}


def test_ask_is_answered_yes_or_no() -> None:
    assert run("query", "ASK { ?t a wo:Tradition }").stdout == "yes\n"
    assert json.loads(run("query", "ASK { ?t a wo:NoSuchThing }", "--json").stdout)["boolean"] is False


def test_too_many_rows_are_cut_off_and_it_is_said() -> None:
    result = run("query", "SELECT * { ?a ?b ?c }", "--rows", "7", "--csv")
    assert result.exit_code == 0
    assert len(result.stdout.splitlines()) == 8
    assert "Cut off after 7 rows" in result.stderr


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (
            ("SELECT * { SERVICE <http://example.org/> { ?a ?b ?c } }",),
            1,
            "reads this graph and nothing else",
        ),
        (("SELECT * FROM <file:///etc/passwd> { ?a ?b ?c }",), 1, "reads this graph and nothing else"),
        (("INSERT DATA { <urn:a> <urn:b> <urn:c> }",), 1, "never changed"),
        (("LOAD <http://example.org/>",), 1, "reads this graph and nothing else"),
        (("SELECT {",), 1, "not SPARQL"),
        (("no-such-file.rq",), 1, "the query itself"),
        (("",), 1, "would do"),
        (("ASK { }", "--rows", "0"), 2, "rows"),
        ((), 2, "FILE|-|TEXT"),
    ],
)
def test_what_is_refused(words: tuple[str, ...], code: int, said: str) -> None:
    result = run("query", *words)
    assert result.exit_code == code, result.output
    assert said in result.stderr
    assert "Traceback" not in result.output
    assert result.stdout == ""


def test_a_file_that_is_no_text_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "question.rq"
    file.write_bytes(b"\xff\xfe\x00")
    result = run("query", str(file))
    assert result.exit_code == 1
    assert "no UTF-8 text" in result.stderr


def test_csv_has_a_row_a_statement() -> None:
    rows = list(csv.DictReader(io.StringIO(run("export", "--format", "csv").stdout)))
    assert len(rows) == sum(len(one.statements) for one in traditions().values())
    assert all(row["sources"] for row in rows if row["basis"] == "stated")
    assert not any(row["sources"] for row in rows if row["basis"] == "memory")


def test_geojson_holds_whole_degrees_alone() -> None:
    """RFC 7946: longitude first; nothing finer than a degree, so that no site can be found by it."""
    found = json.loads(run("export", "--format", "geojson").stdout)
    assert found["type"] == "FeatureCollection"
    assert [one["id"] for one in found["features"]] == list(traditions())
    points = [one["geometry"]["coordinates"] for one in found["features"] if one["geometry"]]
    assert points
    for longitude, latitude in points:
        assert longitude == round(longitude)
        assert latitude == round(latitude)
        assert -180 <= longitude <= 180
        assert -90 <= latitude <= 90


def test_a_region_is_exported_alone() -> None:
    whole, part = (
        run("export", "--format", "csv", *also).stdout for also in ((), ("--region", "East Mediterranean"))
    )
    assert set(part.splitlines()) < set(whole.splitlines())
    assert {row["region"] for row in csv.DictReader(io.StringIO(part))} <= {
        "cyprus", "levant", "east-mediterranean", "anatolia", "levant-and-caucasus",
    }  # fmt: skip


def test_graphml_goes_to_a_file(tmp_path: Path) -> None:
    out = tmp_path / "network.graphml"
    result = run("export", str(out), "--format", "graphml")
    assert result.exit_code == 0
    assert out.read_bytes() == graphml()
    assert "written" in result.stderr


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("--format", "csv", "--closed"), 2, "turtle or json-ld"),
        (("--format", "rdf-xml"), 2, "graphml"),
        (("--region", "Atlantis"), 1, "no such region"),
        (("no/such/folder/graph.ttl",), 1, "would do"),
    ],
)
def test_an_export_that_is_refused(words: tuple[str, ...], code: int, said: str) -> None:
    result = run("export", *words)
    assert result.exit_code == code, result.output
    assert said in result.stderr
    assert result.stdout == ""


HEAVY = ("rdflib", "owlrl", "pyshacl", "networkx", "matplotlib", "scipy", "openpyxl")
AT_EXIT = (
    "import atexit; atexit.register(lambda: sys.stderr.write("
    f"'HEAVY ' + ' '.join(name for name in {HEAVY!r} if name in sys.modules)))"
)


@pytest.mark.parametrize(
    "words",
    [("browse",), ("show", "us-tusayan-white"), ("rarity", "paint=organic"), ("export", "--format", "csv")],
)
def test_a_first_graph_command_loads_nothing_heavy(words: tuple[str, ...]) -> None:
    """No reasoner, no rdflib: it reads the index that is shipped."""
    done = process(*words, before=AT_EXIT)
    assert done.returncode == 0, done.stderr
    assert done.stderr.decode().rpartition("HEAVY")[2].split() == []
