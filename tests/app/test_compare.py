"""Replicas beside originals: the library's own numbers on a page, faults at their cells, nothing kept."""

import io
import re
import tempfile
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.app.helpers_app import a_client, post
from tests.replica.test_photo import AREA, GREY, OTHER, scene
from wareontology.paths import data
from wareontology.report.compare import photo, tables
from wareontology.sherd.table import read

DEMO = {name: data("demo", f"{name}.csv").read_bytes() for name in ("originals", "replicas")}
HEAD = "sherd,zone,layer,colour\n"
OTHER_PLACE = HEAD + "B,interior,paint,red\n"


@pytest.fixture
def client() -> FlaskClient:
    return a_client()


def hand_in(client: FlaskClient, **files: bytes | str) -> TestResponse:
    sent = {
        key: (io.BytesIO(content.encode() if isinstance(content, str) else content), f"{key}.csv")
        for key, content in files.items()
    }
    return post(client, "/compare", sent)


def cells(page: str) -> list[list[str]]:
    """The rows of the tables of traits, tags taken out."""
    rows = re.findall(r'<tr><th scope="row">(.*?)</tr>', page, re.S)
    rows = [row.replace("\xa0", " ") for row in rows]
    return [[re.sub(r"<[^>]+>", "", cell).strip() for cell in re.split(r"</t[hd]>", row)] for row in rows]


def test_the_numbers_are_the_librarys_own_and_fresh_breaks_come_first(client: FlaskClient) -> None:
    page = hand_in(client, **DEMO).get_data(as_text=True)
    sherds = [read(data("demo", f"{name}.csv")).sherds for name in ("originals", "replicas")]
    answer = tables(*sherds)
    rows = cells(page)
    assert len(rows) == len(answer["traits"])
    for row, one in zip(rows, answer["traits"], strict=True):
        assert row[0].startswith(f"{one['layer']}, {one['zone']}: {one['trait']}")
        assert row[1] == f"{one['n_originals']} and {one['n_replicas']}"
        form = "{:.1f} ΔE" if one["unit"] == "CIEDE2000" else "{:.2f}"
        assert row[4] == form.format(one["between"]).replace("-", "−")
        assert row[7] == one["reading"]
    assert page.index("<h2>Fresh breaks and refired chips</h2>") < page.index("<h2>Surfaces, which age</h2>")
    assert "originals.csv beside replicas.csv" in page


def test_what_is_apart_is_said_first(client: FlaskClient) -> None:
    white = HEAD + "".join(f"A-{n},rim,slip,white\n" for n in range(5))
    red = HEAD + "".join(f"B-{n},rim,slip,red\n" for n in range(5))
    page = hand_in(client, originals=white, replicas=red).get_data(as_text=True)
    assert "1 apart, 0 alike so far" in page
    assert page.index("What is apart") < page.index("<table")
    same = hand_in(client, originals=white, replicas=white).get_data(as_text=True)
    assert "0 apart, 1 alike so far" in same


def test_the_example_is_the_demo_and_says_that_it_is_invented(client: FlaskClient) -> None:
    page = client.get("/compare?example=1").get_data(as_text=True)
    assert ", invented" in page
    assert cells(page) == cells(hand_in(client, **DEMO).get_data(as_text=True))


@pytest.mark.parametrize(
    ("files", "said"),
    [
        ({}, "no file"),
        ({"originals": DEMO["originals"]}, "no file"),
        ({**DEMO, "replicas": HEAD + "B-1,inside out,slip,red\n"}, "inside out"),
        ({**DEMO, "replicas": b"\x00\xff"}, "replicas"),
        ({**DEMO, "replicas": HEAD}, "no rows"),
        ({**DEMO, "originals": HEAD + "A,rim,slip,red\n", "replicas": OTHER_PLACE}, "no trait seen on both"),
        ({**DEMO, "replicas": HEAD + "".join(f"B-{n},rim,slip,red\n" for n in range(101))}, "101 sherds"),
    ],
)  # fmt: skip
def test_what_will_not_do_is_said_at_its_place(
    client: FlaskClient, files: dict[str, bytes | str], said: str
) -> None:
    found = hand_in(client, **files)
    page = found.get_data(as_text=True)
    assert found.status_code == 422
    assert "It was not compared" in page
    assert said in page


def test_every_fault_of_both_tables_is_named(client: FlaskClient) -> None:
    bad = {"originals": HEAD + "A,nowhere,slip,red\n", "replicas": HEAD + "B,rim,slip,reddd\n"}
    page = hand_in(client, **bad).get_data(as_text=True)
    assert page.count('<tr class="fault">') == 2
    assert "nowhere" in page
    assert "reddd" in page


def of_photo(client: FlaskClient, path: Path, **fields: Any) -> TestResponse:
    said = {"grey": str(GREY), "original": str(AREA), "replica": str(OTHER), "grey_l": "50", **fields}
    return post(client, "/compare/photo", {"photo": (io.BytesIO(path.read_bytes()), path.name), **said})


def test_areas_of_a_photo_and_nothing_of_it_is_left(
    client: FlaskClient, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = scene(tmp_path, (1.2, 1.0, 0.7))
    folder = tmp_path / "laid down"
    folder.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(folder))
    page = of_photo(client, path).get_data(as_text=True)
    answer = photo(str(path), [GREY], [AREA], [OTHER], 50.0)
    assert f"{answer['colour']['between']:.1f} ΔE between" in page
    assert [row[0] for row in cells(page)] == ["original", "replica"]
    assert cells(page)[0][2] == f"{answer['areas'][0]['lab'][0]:.1f}"
    assert not list(folder.iterdir())


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"grey": ""}, "no reference"),
        ({"replica": ""}, "a box of each"),
        ({"original": "1,2,3"}, "x,y,width,height"),
        ({"original": "9000,1,40,40"}, "9000,1,40,40"),
        ({"original": "1,1,1,1\n" * 41}, "41 boxes"),
        ({"grey_l": "grey"}, "20 to 95"),
        ({"grey_l": "5"}, "20"),
        ({"grey_l": "nan"}, "20"),
    ],
)
def test_a_photo_that_will_not_do_is_refused_and_what_was_typed_stays(
    client: FlaskClient, tmp_path: Path, fields: dict[str, str], said: str
) -> None:
    found = of_photo(client, scene(tmp_path), **fields)
    page = found.get_data(as_text=True)
    assert found.status_code == 422
    assert said in page
    assert "wareontology-" not in page
    if fields.get("grey") is None:
        assert f">{GREY}</textarea>" in page


def test_uneven_light_and_what_is_no_photo(client: FlaskClient, tmp_path: Path) -> None:
    assert of_photo(client, scene(tmp_path, fall=0.6, noise=0.01)).status_code == 422
    page = tmp_path / "page.jpg"
    page.write_bytes(b"<html>")
    found = of_photo(client, page)
    assert found.status_code == 422
    assert "no picture" in found.get_data(as_text=True)


def test_it_is_reached_from_the_look_and_the_claim(client: FlaskClient) -> None:
    for path in ("/look", "/claim"):
        assert 'href="/compare"' in client.get(path).get_data(as_text=True)
