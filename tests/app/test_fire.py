"""By the fire: lines kept once each, the step that is next, what came out; what is refused."""

from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.app.helpers_app import a_client, post, token
from wareontology.firing import outcome_read
from wareontology.firing.log_read import from_text
from wareontology.firing.plan import example_text
from wareontology.records.store import Store
from wareontology.replica import firings_kept


@pytest.fixture
def client(tmp_path: Path) -> FlaskClient:
    firings_kept.begin(Store(tmp_path / "records"), "May", example_text("covered-pit"), who="AB")
    return a_client(RECORDS=str(tmp_path / "records"))


def send(client: FlaskClient, lines: Any, name: str = "May") -> TestResponse:
    return client.post(f"/fire/{name}/lines", json=lines, headers={"X-Token": token(client)})


def text_of(client: FlaskClient, path: str = "/fire/May") -> str:
    response = client.get(path)
    assert response.status_code == 200
    return response.get_data(as_text=True)


def test_the_page_has_one_step_and_two_buttons(client: FlaskClient) -> None:
    text = text_of(client)
    assert text.count("<h1") == 1
    assert ">Wedge and build</h1>" in text
    assert text.count('<details class="thumb"') == 2
    assert "Nothing is written down yet" in text
    assert "Carbon monoxide" in text


def test_a_line_from_the_form_moves_the_step_on(client: FlaskClient) -> None:
    assert post(client, "/fire/May", {"event": "lit", "place": "top"}).status_code == 303
    text = text_of(client)
    assert ">Preheat</h1>" in text
    assert "Last saved" in text
    post(client, "/fire/May", {"glow": "cherry red", "place": "mid"})
    log = from_text(text_of(client, "/fire/May/log.csv")).log
    assert log.temperature_c.tolist() == [740.0]
    assert log.at("mid").tolist() == [True]
    assert [one.event for one in log.said] == ["lit"]


def test_lines_sent_twice_are_kept_once(client: FlaskClient) -> None:
    lines = [
        {"id": "a", "cells": {"time": "2026-05-02T10:00:00+00:00", "event": "lit"}},
        {"id": "b", "cells": {"time": "2026-05-02T10:10:00+00:00", "place": "top", "glow": "dark red"}},
    ]
    for _ in range(2):
        found = send(client, lines).get_json()
        assert found["kept"] == ["a", "b"]
        assert "Preheat" in found["now"]
    assert from_text(text_of(client, "/fire/May/log.csv")).log.readings == 1


def test_a_line_that_is_none_comes_back_and_the_rest_is_kept(client: FlaskClient) -> None:
    found = send(
        client,
        [
            {"id": "a", "cells": {"time": "2026-05-02T10:00", "glow": "mauve"}},
            {"id": "b", "cells": {"time": "2026-05-02T10:00", "event": "lit"}},
        ],
    ).get_json()
    assert found["kept"] == ["b"]
    assert "cherry red" in found["refused"]["a"]


@pytest.mark.parametrize("sent", [{}, [1], [{"id": 1, "cells": {}}], [{"id": "a"}], "x", [{}] * 501])
def test_what_is_no_list_of_lines_is_refused(client: FlaskClient, sent: Any) -> None:
    assert send(client, sent).status_code == 400


def test_lines_without_the_token_are_refused(client: FlaskClient) -> None:
    assert client.post("/fire/May/lines", json=[]).status_code == 403


@pytest.mark.parametrize("path", ["/fire/June", "/fire/June/log", "/fire/June/log.svg", "/fire/June/log.csv",
                                  "/fire/May/outcome.csv"])  # fmt: skip
def test_what_is_not_there_is_said(client: FlaskClient, path: str) -> None:
    assert client.get(path).status_code == 404


def test_before_anything_is_kept_there_is_no_fire(tmp_path: Path) -> None:
    assert a_client(RECORDS=str(tmp_path / "none")).get("/fire/May").status_code == 404
    assert not (tmp_path / "none").exists()


def test_the_log_is_shown_and_drawn(client: FlaskClient) -> None:
    send(client, [{"id": "a", "cells": {"time": "0", "event": "lit"}},
                  {"id": "b", "cells": {"time": "50", "place": "mid", "temperature_c": "1200"}}])  # fmt: skip
    text = text_of(client, "/fire/May/log")
    assert "1 reading of heat over 50 min" in text
    assert "let it fall" in text
    picture = client.get("/fire/May/log.svg")
    assert picture.data.startswith(b"<?xml")
    assert "1 reading of May" in picture.get_data(as_text=True)


def test_what_came_out_is_kept_shown_again_and_read_by_learn(client: FlaskClient) -> None:
    cells = {"r0.place": "mid", "r0.zone": "outside", "r0.tiles": "3", "r0.colour": "black", "r0.soft": "no",
             "r1.place": "top", "r1.fault": "fire-cloud", "who": "AB"}  # fmt: skip
    assert post(client, "/fire/May/outcome", cells).status_code == 303
    seen = outcome_read.from_text(text_of(client, "/fire/May/outcome.csv"))
    assert [(one.place, one.tiles, one.colour, one.fault) for one in seen] == [
        ("mid", 3, "black", ""), ("top", 1, "", "fire-cloud"),
    ]  # fmt: skip
    assert 'value="fire-cloud" selected' in text_of(client, "/fire/May/log")


def test_an_outcome_that_is_none_is_refused(client: FlaskClient) -> None:
    assert post(client, "/fire/May/outcome", {"who": "AB"}).status_code == 422
    wrong = {"r0.colour": "black", "who": "AB"}
    response = post(client, "/fire/May/outcome", wrong)
    assert response.status_code == 422
    assert "place" in response.get_data(as_text=True)
    assert client.get("/fire/May/outcome.csv").status_code == 404


def test_a_photo_is_kept_and_shown(client: FlaskClient) -> None:
    import io

    from PIL import Image

    content = io.BytesIO()
    Image.new("RGB", (64, 48), "black").save(content, "JPEG")
    content.seek(0)
    sent = {"photo": (content, "pit.jpg"), "caption": "the west side", "who": "AB"}
    assert post(client, "/fire/May/photo", sent, content_type="multipart/form-data").status_code == 303
    assert "the west side" in text_of(client, "/fire/May/log")
    none = post(client, "/fire/May/photo", {"who": "AB"}, content_type="multipart/form-data")
    assert none.status_code == 422


def test_the_report_is_one_file_and_the_same_bytes_twice(client: FlaskClient) -> None:
    post(client, "/fire/May", {"event": "lit", "time": "2026-05-02T10:00:00+00:00"})
    post(client, "/fire/May", {"glow": "orange", "place": "mid", "time": "2026-05-02T10:30:00+00:00"})
    seen = {"r0.place": "top", "r0.zone": "outside", "r0.tiles": "3", "r0.colour": "black", "who": "AB"}
    assert post(client, "/fire/May/outcome", seen).status_code == 303
    assert 'href="/fire/May/report.html"' in text_of(client, "/fire/May/log")
    page = text_of(client, "/fire/May/report.html")
    assert page == text_of(client, "/fire/May/report.html")
    assert page.count("<svg") == 1
    assert "3 tiles or pots by place and surface; 0 of them with a fault." in page
    assert "plan.toml" in page
    assert client.get("/fire/June/report.html").status_code == 404
