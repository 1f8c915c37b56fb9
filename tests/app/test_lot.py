"""A table handed in: faults at their cells, good sherds answered, summed up, sorted, filtered, taken away."""

import csv
import io
import re
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from werkzeug.test import TestResponse

from tests.app.helpers_app import SHOWN, a_client, post, token
from wareontology.sherd.table import read
from wareontology.sherd.template import content
from wareontology.technique.answer import answer

HEAD = "sherd,zone,layer,name,colour,edge\n"
GOOD = "A-2,interior,slip,,white,\nA-2,interior,paint,line,black,sharp\nA-1,exterior,body,,red,\n"
BAD = "B-1,inside out,slip,,white,\n"


def hand_in(client: FlaskClient, content: bytes | str, name: str = "lot.csv") -> TestResponse:
    file = io.BytesIO(content.encode() if isinstance(content, str) else content)
    return post(client, "/table", {"table": (file, name)})


def lot_of(client: FlaskClient, content: bytes | str, name: str = "lot.csv") -> str:
    """The address of the lot, all answered."""
    found = hand_in(client, content, name)
    assert found.status_code == 303, found.get_data(as_text=True)
    (lot,) = client.application.extensions["lots"]._lots.values()
    assert lot.wait(60)
    return str(found.location)


def names(page: str) -> list[str]:
    return re.findall(r'<th scope="row"><a href="[^"]+">([^<]+)</a>', page)


def test_good_sherds_are_answered_and_faults_stand_at_their_cells() -> None:
    client = a_client()
    page = client.get(lot_of(client, HEAD + GOOD + BAD)).get_data(as_text=True)
    assert names(page) == ["A-2", "A-1"]
    assert "2 sherds answered; 1 record refused for 1 fault" in page
    assert "<td>5</td><td>zone</td><td>B-1</td>" in page
    assert "inside out" in page


def test_the_answers_are_the_librarys_own() -> None:
    client = a_client()
    address = lot_of(client, (SHOWN / "one_workshop.csv").read_bytes())
    lines = list(csv.DictReader(io.StringIO(client.get(f"{address}/file/csv").get_data(as_text=True))))
    for line, sherd in zip(lines, read(SHOWN / "one_workshop.csv").sherds, strict=True):
        verdict = answer(sherd)["verdict"]
        assert line["sherd"] == sherd.sherd
        assert (line["atmosphere"], line["ending"]) == (
            verdict["atmosphere"]["value"],
            verdict["ending"]["value"],
        )
        assert float(line["atmosphere_p"]) == pytest.approx(verdict["atmosphere"]["p"], abs=1e-4)


def test_sorted_and_filtered_without_scripts() -> None:
    client = a_client()
    address = lot_of(client, HEAD + GOOD)

    def shown(query: str) -> list[str]:
        return names(client.get(f"{address}?{query}").get_data(as_text=True))

    assert shown("sort=sherd") == ["A-1", "A-2"]
    assert shown("text=a-2") == ["A-2"]
    by_fire = [shown(f"atmosphere={fire}") for fire in ("oxidising", "neutral", "reducing")]
    assert sorted(name for names in by_fire for name in names) == ["A-1", "A-2"]
    assert shown("sort=no-such&from=-9&text=") == ["A-2", "A-1"]


def test_each_sherd_has_its_page_and_the_lot_its_files() -> None:
    client = a_client()
    address = lot_of(client, HEAD + GOOD)
    assert "<h1>Sherd A-2</h1>" in client.get(f"{address}/0").get_data(as_text=True)
    assert client.get(f"{address}/9").status_code == 404
    for kind in ("csv", "odds", "json", "jsonld", "turtle", "table"):
        assert client.get(f"{address}/file/{kind}").status_code == 200
    assert client.get(f"{address}/file/exe").status_code == 404


def test_a_lot_is_found_by_its_key_alone() -> None:
    assert a_client().get("/table/none-such").status_code == 404


def test_the_oldest_lot_is_let_go() -> None:
    client = a_client()
    first = hand_in(client, HEAD + GOOD).location
    assert first
    for _ in range(8):
        hand_in(client, HEAD + BAD)
    assert client.get(first).status_code == 404


def test_a_blank_is_given_to_fill_in() -> None:
    assert a_client().get("/table/blank/csv").data == content("csv")
    assert a_client().get("/table/blank/xlsx").data.startswith(b"PK")
    assert a_client().get("/table/blank/exe").status_code == 404


def workbook(rows: list[list[Any]]) -> bytes:
    book = Workbook()
    sheet = book.create_sheet("sherds", 0)
    for row in rows:
        sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_a_workbook_is_read_and_its_formulas_are_refused() -> None:
    client = a_client()
    rows = [
        ["sherd", "zone", "layer", "colour"],
        ["A-1", "rim", "slip", "white"],
        ["A-2", "rim", "slip", '="wh"&"ite"'],
    ]
    page = client.get(lot_of(client, workbook(rows), "lot.xlsx")).get_data(as_text=True)
    assert names(page) == ["A-1"]
    assert "a formula" in page


def test_no_download_holds_a_formula_of_the_table() -> None:
    client = a_client()
    address = lot_of(client, HEAD + "=1+1,rim,slip,,white,\n@x,rim,slip,,white,\n")
    for kind in ("csv", "odds", "table"):
        for line in csv.reader(io.StringIO(client.get(f"{address}/file/{kind}").get_data(as_text=True))):
            assert not any(cell.startswith(("=", "+", "@", "-")) for cell in line)


@given(st.binary(max_size=400), st.sampled_from(["lot.csv", "lot.xlsx", "lot.txt", "x", "../../etc/lot.csv"]))
@settings(max_examples=60, deadline=None)
def test_whatever_is_handed_in_there_is_an_answer_in_words(content: bytes, name: str) -> None:
    client = a_client()
    held = token(client)
    for head in (b"", b"sherd,zone,layer\n", b"PK\x03\x04"):
        file = (io.BytesIO(head + content), name)
        found = client.post("/table", data={"token": held, "table": file})
        assert found.status_code in (303, 422)


def test_no_file_is_said_so() -> None:
    assert post(a_client(), "/table").status_code == 400
