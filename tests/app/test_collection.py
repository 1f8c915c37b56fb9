"""The collection in the browser: kept, changed, compared, undone; two browsers at once lose nothing."""

import io
import re
import zipfile
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.app.helpers_app import SHOWN, a_client, token
from tests.records.helpers import picture
from wareontology.app import reading
from wareontology.records.store import Store
from wareontology.sherd.jsonld import from_jsonld
from wareontology.sherd.record import Sherd
from wareontology.sherd.table import read
from wareontology.technique.kept import id_of


@pytest.fixture
def client(tmp_path: Path) -> FlaskClient:
    return a_client(RECORDS=str(tmp_path / "records"))


@pytest.fixture(autouse=True)
def _without_draws(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "DRAWS", 0)  # what is tested here does not hang on them
    monkeypatch.setattr(reading.answered, "__defaults__", (0,))
    monkeypatch.setattr(reading.shown, "__defaults__", (None, 0))


def slip(colour: str, sherd: str = "K 14/2") -> Sherd:
    return from_jsonld({"sherd": sherd, "rows": [{"zone": "rim", "layer": "slip", "colour": colour}]})


def send(client: FlaskClient, path: str, **fields: Any) -> TestResponse:
    said = {"token": token(client), "who": "AB", "why": "a look", **fields}
    return client.post(f"/collection/{path}", data={k: v for k, v in said.items() if v is not None})


def keep(client: FlaskClient, sherd: Sherd, **fields: Any) -> TestResponse:
    return send(client, "keep", record=reading.record(sherd), **fields)


def page_of(client: FlaskClient, sherd: Sherd) -> str:
    response = client.get(f"/collection/sherd/{id_of(sherd).replace('%', '%25')}")
    assert response.status_code == 200
    return response.get_data(as_text=True)


def store_of(client: FlaskClient) -> Store:
    return Store(client.application.config["RECORDS"], create=False)


def number_of(client: FlaskClient, sherd: Sherd) -> int:
    found = store_of(client).latest("sherd", id_of(sherd))
    assert found is not None
    return found.number


def test_looking_makes_no_folder(client: FlaskClient) -> None:
    assert "Nothing is kept yet" in client.get("/collection").get_data(as_text=True)
    assert client.get("/collection/sherd/K").status_code == 404
    assert client.get("/collection/export.zip").status_code == 404
    assert not Path(client.application.config["RECORDS"]).exists()


@pytest.mark.parametrize("case", ["red_drips_outside.csv", "plain_case.csv"])
def test_a_sherd_is_kept_with_its_answer(client: FlaskClient, case: str) -> None:
    sherd = read(SHOWN / case).sherds[0]
    response = keep(client, sherd)
    assert response.status_code == 303
    shown = client.get(response.headers["Location"]).get_data(as_text=True)
    assert f"Sherd {sherd.sherd}" in shown
    assert "a look" in shown
    link = re.search(r'href="(/collection/answer/[0-9a-f]+)"', shown)
    assert link is not None
    answer = client.get(link[1])
    assert answer.status_code == 200
    assert sherd.sherd in client.get("/collection").get_data(as_text=True)


def test_who_is_typed_once(client: FlaskClient) -> None:
    keep(client, slip("white"), who="Ä <b>")
    assert 'value="Ä &lt;b&gt;"' in page_of(client, slip("white"))


def test_kept_twice_the_same_is_one_version(client: FlaskClient) -> None:
    for _ in range(2):
        assert keep(client, slip("white")).status_code == 303
    assert len(store_of(client).history("sherd", id_of(slip("white")))) == 1


def test_the_later_of_two_browsers_is_told_of_the_earlier(client: FlaskClient) -> None:
    keep(client, slip("white"))
    read_by_both = number_of(client, slip("white"))
    assert keep(client, slip("cream"), version=read_by_both, who="CD").status_code == 303
    clash = keep(client, slip("buff"), version=read_by_both)
    assert clash.status_code == 409
    said = clash.get_data(as_text=True)
    assert "CD saved it" in said
    assert "cream" in said
    assert "buff" in said
    assert len(store_of(client).history("sherd", id_of(slip("white")))) == 2  # nothing was saved
    version = re.search(r'name="version" value="(\d+)"', said)
    assert version is not None
    assert keep(client, slip("buff"), version=version[1]).status_code == 303
    history = store_of(client).history("sherd", id_of(slip("white")))
    assert [(one.body or {})["rows"][0]["colour"] for one in history] == ["white", "cream", "buff"]


def test_a_new_sherd_of_a_name_that_is_kept_is_asked_about(client: FlaskClient) -> None:
    keep(client, slip("white"))
    assert keep(client, slip("cream")).status_code == 409


def test_history_undo_and_going_back_to_a_version(client: FlaskClient) -> None:
    sherd, name = slip("white"), id_of(slip("white")).replace("%", "%25")
    keep(client, sherd)
    first = number_of(client, sherd)
    keep(client, slip("cream"), version=first)
    second = number_of(client, sherd)
    shown = page_of(client, sherd)
    assert re.search(r"<td>rim, slip</td><td>colour</td><td>white</td><td>cream</td>", shown)
    undone = send(client, f"undo/{name}", version=number_of(client, sherd))
    assert undone.status_code == 303
    assert f"Back to version {first}" in page_of(client, sherd)
    send(client, f"remove/{name}", version=number_of(client, sherd), why="not mine")
    gone = page_of(client, sherd)
    assert "Taken out by AB" in gone
    assert "Nothing is kept yet" in client.get("/collection").get_data(as_text=True)
    send(client, f"undo/{name}", version=number_of(client, sherd), to=second)
    back = store_of(client).get("sherd", id_of(sherd))
    assert back is not None
    assert back.body is not None
    assert back.body["rows"][0]["colour"] == "cream"
    stale = send(client, f"undo/{name}", version=first)
    assert stale.status_code == 409


def test_taking_out_needs_a_reason(client: FlaskClient) -> None:
    keep(client, slip("white"))
    name = id_of(slip("white")).replace("%", "%25")
    assert send(client, f"remove/{name}", version=number_of(client, slip("white")), why="").status_code == 422
    assert send(client, f"undo/{name}", version=1, who="").status_code == 422


def test_an_answer_keeps_the_data_it_came_from_and_is_read_again(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep(client, slip("white"))
    assert "with the data of now" in page_of(client, slip("white"))
    for module in ("answer", "kept"):
        monkeypatch.setattr(f"wareontology.technique.{module}.data_hash", lambda: "0123456789abcdef")
    assert "Read it again" in page_of(client, slip("white"))
    name = id_of(slip("white")).replace("%", "%25")
    assert send(client, f"again/{name}").status_code == 303
    shown = page_of(client, slip("white"))
    hashes = re.findall(r"data ([0-9a-f]{16})", shown)
    assert hashes[0] == "0123456789abcdef"
    assert len(set(hashes)) == 2
    assert "Read it again" not in shown
    older = re.findall(r'href="(/collection/answer/[0-9a-f]+)"', shown)[-1]
    assert hashes[-1] in client.get(older).get_data(as_text=True)


def test_notes_and_photos(client: FlaskClient) -> None:
    keep(client, slip("white"))
    name = id_of(slip("white")).replace("%", "%25")
    send(client, f"note/{name}", text="<script>alert(1)</script> found by the wall")
    file = (io.BytesIO(picture("JPEG", comment=b"SECRET")), "photo.jpg")
    assert send(client, f"photo/{name}", photo=file, caption="The inside").status_code == 303
    shown = page_of(client, slip("white"))
    assert "&lt;script&gt;" in shown
    assert 'alt="The inside"' in shown
    link = re.search(r'src="(/collection/photo/[0-9a-f]+\.jpg)"', shown)
    assert link is not None
    photo = client.get(link[1])
    assert photo.content_type == "image/jpeg"
    assert b"SECRET" not in photo.data
    assert client.get("/collection/photo/none.jpg").status_code == 404


def test_what_is_no_photo_or_no_note_is_refused(client: FlaskClient) -> None:
    keep(client, slip("white"))
    name = id_of(slip("white")).replace("%", "%25")
    page = (io.BytesIO(b"<html>"), "photo.jpg")
    assert send(client, f"photo/{name}", photo=page).status_code == 422
    assert send(client, f"photo/{name}").status_code == 422
    assert send(client, f"note/{name}", text=" ").status_code == 422
    assert send(client, "note/none", text="x").status_code == 404


def test_out_and_in_again(client: FlaskClient, tmp_path: Path) -> None:
    keep(client, slip("white"))
    with client.get("/collection/export.zip") as response:
        content = response.data
    assert zipfile.is_zipfile(io.BytesIO(content))
    other = a_client(RECORDS=str(tmp_path / "other"), MAX_CONTENT_LENGTH=len(content) // 2)
    brought = send(other, "import", file=(io.BytesIO(content), "collection.zip"))  # it may be larger
    assert brought.status_code == 303
    assert "imported by AB" in page_of(other, slip("white"))
    large = send(other, "photo/K", photo=(io.BytesIO(content), "photo.jpg"))  # nothing else may
    assert large.status_code == 413
    bad = send(other, "import", file=(io.BytesIO(b"PK no zip"), "collection.zip"))
    assert bad.status_code == 422


def test_a_list_by_pages_and_words(client: FlaskClient, tmp_path: Path) -> None:
    from wareontology.records.version import Draft
    from wareontology.sherd.jsonld import to_jsonld

    sherds = [slip("white" if at % 2 else "cream", f"K-{at:03}") for at in range(60)]
    drafts = [Draft("sherd", id_of(one), to_jsonld(one)) for one in sherds]
    Store(client.application.config["RECORDS"]).put_all(drafts, who="AB", why="x")
    first = client.get("/collection").get_data(as_text=True)
    assert "K-049" in first
    assert "K-050" not in first
    link = re.search(r'href="(/collection\?[^"]*after[^"]*)"', first)
    assert link is not None
    assert "K-050" in client.get(link[1].replace("&amp;", "&")).get_data(as_text=True)
    found = client.get("/collection?text=cream").get_data(as_text=True)
    assert "K-000" in found
    assert "K-001" not in found


def test_a_form_without_its_token_changes_nothing(client: FlaskClient) -> None:
    data = {"record": reading.record(slip("white")), "who": "AB", "why": "x"}
    assert client.post("/collection/keep", data=data).status_code == 403


def test_a_store_that_cannot_be_used_is_said(tmp_path: Path) -> None:
    (tmp_path / "records").mkdir()
    (tmp_path / "records" / "records.sqlite").write_bytes(b"no database" * 500)
    client = a_client(RECORDS=str(tmp_path / "records"))
    response = client.get("/collection")
    assert response.status_code == 422
    assert "damaged database" in response.get_data(as_text=True)


def test_beside_an_original(client: FlaskClient) -> None:
    ours, original = slip("white"), slip("red", "O-1")
    keep(client, ours)
    name, other = (id_of(one).replace("%", "%25") for one in (ours, original))
    assert "Beside another" not in page_of(client, ours)
    keep(client, original)
    for place, caption in ((name, "Ours, outside"), (other, "The original")):
        file = (io.BytesIO(picture("JPEG", (40 + len(caption), 30))), "photo.jpg")
        assert send(client, f"photo/{place}", photo=file, caption=caption).status_code == 303
    assert f'<option value="{id_of(original)}">O-1</option>' in page_of(client, ours)
    found = client.get(f"/collection/sherd/{name}", query_string={"beside": id_of(original)})
    shown = found.get_data(as_text=True)
    pair = shown[shown.index('<div class="pair">') : shown.index("<h2>Notes")]
    assert pair.index("Ours, outside") < pair.index("The original")
    assert "<td>rim, slip</td><td>colour</td><td>white</td><td>red</td>" in pair
    assert "<h3>Where they differ</h3>" in pair
    assert "alike" not in pair
    for nobody in ("none", id_of(ours)):
        assert client.get(f"/collection/sherd/{name}", query_string={"beside": nobody}).status_code == 404


def test_beside_another_alike_apart_and_looked_at_on_one_alone(client: FlaskClient) -> None:
    rows = {"zone": "rim", "layer": "slip", "colour": "white"}
    ours = from_jsonld({"sherd": "K", "site": "Here", "form": "open", "rows": [{**rows, "lustre": "matte"}]})
    theirs = from_jsonld({"sherd": "O", "site": "There", "form": "closed", "rows": [rows]})
    keep(client, ours)
    keep(client, theirs)
    shown = client.get("/collection/sherd/K?beside=O").get_data(as_text=True)
    parted = shown[shown.index('<div class="pair">') : shown.index("<h2>Notes")].split("<h3>")[-3:]
    for part, words, column in zip(
        parted, ("differ", "alike", "on one alone"), ("form", "colour", "lustre"), strict=True
    ):
        assert words in part
        assert re.findall(r"<tr><td>[^<]*</td><td>([^<]*)</td>", part) == [column]
