"""The answer page shows what the library answers, and gives it away as files."""

import csv
import html
import io
import json
import re

import pytest

from tests.app.helpers_app import SHOWN, a_client, fields_of, post
from wareontology.app import reading
from wareontology.sherd.table import read
from wareontology.technique.answer import answer
from wareontology.technique.prose_verdict import verdict_sentences

(PLAIN,) = read(SHOWN / "plain_case.csv").sherds


def page_of(fields: dict[str, object]) -> str:
    return post(a_client(), "/answer", fields).get_data(as_text=True)


def test_the_answer_is_the_librarys_own() -> None:
    assert reading.answered(PLAIN) == answer(PLAIN)


def test_the_page_holds_verdict_steps_odds_tests_and_sources() -> None:
    page, found = html.unescape(page_of(fields_of(PLAIN))), answer(PLAIN)
    assert " ".join(verdict_sentences(found)) in page
    assert page.count('<ol class="steps">') == 1
    assert page.split('<ol class="steps">')[1].split("</ol>")[0].count("<li>") == len(found["findings"])
    for source in found["sources"]:
        assert source["citation"] in page
    assert found["data_hash"] in page
    assert found["next_tests"][0]["label"] in page
    assert "Destroys the chip" in page


def test_bars_are_as_long_as_the_odds() -> None:
    page, found = page_of(fields_of(PLAIN)), answer(PLAIN)
    widths = [
        float(width) for width in re.findall(r'<rect class="bar[^"]*" x="0" y="4" width="([\d.]+)"', page)
    ]
    assert round(max(found["atmosphere"].values()) * 200, 1) in widths
    assert all(0 <= width <= 200 for width in widths)


def test_the_flat_answer_is_there_on_demand() -> None:
    page = page_of(fields_of(PLAIN))
    assert '<details class="flat"' in page
    assert "Under flat firings, the evidence apart from what is usual" in page


def test_no_row_numbers_on_a_page_without_rows() -> None:
    page = page_of(fields_of(PLAIN))
    assert not re.search(r"\brows? \d", page)


def test_what_was_typed_is_shown_as_text_not_as_markup() -> None:
    page = page_of({**fields_of(PLAIN), "s.sherd": "<script>alert(1)</script>"})
    assert "<script>alert" not in page


def test_a_form_at_fault_comes_back_with_all_that_was_typed() -> None:
    found = post(a_client(), "/answer", {**fields_of(PLAIN), "r1.munsell": "blackish"})
    assert found.status_code == 422
    page = found.get_data(as_text=True)
    assert 'value="blackish"' in page
    assert 'aria-invalid="true"' in page
    assert '<option value="colorado-plateau" selected>' in page


@pytest.mark.parametrize(
    "record", ["", "{", "[]", "[1]", '{"sherd": 1}', '{"@context": "http://x.example/"}', "[" * 3000]
)
def test_a_record_that_is_none_is_refused_in_words(record: str) -> None:
    for path in ("/answer", "/bench", "/answer/file"):
        found = post(a_client(), path, {"record": record, "form": "json"})
        assert found.status_code == 422, path


def sent(kind: str, sherd: str = "plain") -> str:
    from dataclasses import replace

    found = post(
        a_client(), "/answer/file", {"form": kind, "record": reading.record(replace(PLAIN, sherd=sherd))}
    )
    assert found.status_code == 200
    assert found.headers["Content-Disposition"].startswith("attachment")
    return found.get_data(as_text=True)


def test_files_hold_the_answer() -> None:
    read_again = reading.sherd(reading.record(PLAIN))
    assert json.loads(sent("json"))[0] == json.loads(json.dumps(answer(read_again)))
    graph = json.loads(sent("jsonld"))["@graph"]
    assert json.loads(graph[1]["prov:value"]["@value"])["sherd"] == "plain"
    assert "prov:wasDerivedFrom <https://wareontology.example/sherd/plain>" in sent("turtle")
    (line,) = csv.DictReader(io.StringIO(sent("csv")))
    assert line["atmosphere"] == answer(PLAIN)["verdict"]["atmosphere"]["value"]
    odds = list(csv.DictReader(io.StringIO(sent("odds"))))
    assert sum(float(each["p"]) for each in odds if each["question"] == "ending") == pytest.approx(
        1, abs=1e-3
    )


@pytest.mark.parametrize("kind", ["csv", "odds", "table"])
@pytest.mark.parametrize("name", ["=1+1", "+1", "-1+1", "@SUM(A1)", "=cmd|' /C calc'!A0"])
def test_no_csv_holds_a_formula(kind: str, name: str) -> None:
    for line in csv.reader(io.StringIO(sent(kind, name))):
        for cell in line:
            assert not cell.startswith(("=", "+", "-", "@")), cell


def test_a_form_of_file_that_is_not_there_is_refused() -> None:
    assert (
        post(a_client(), "/answer/file", {"form": "exe", "record": reading.record(PLAIN)}).status_code == 400
    )
