"""The report on a firing that was made: the same bytes twice, one file, what came out said as it was seen."""

import re
from pathlib import Path

import pytest

from tests.helpers_cli import DEMO, run

LOG, OUTCOME = str(DEMO / "firing_log.csv"), str(DEMO / "outcome.csv")
WHOLE = ("--plan", "covered-pit", "--outcome", OUTCOME)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("report") / "log.html"
    found = run("report", LOG, str(out), *WHOLE)
    assert found.exit_code == 0, found.output
    return out


def test_made_twice_it_is_the_same_bytes(made: Path, tmp_path: Path) -> None:
    assert run("report", LOG, str(tmp_path / "log.html"), *WHOLE).exit_code == 0
    assert (tmp_path / "log.html").read_bytes() == made.read_bytes()


def test_it_holds_the_picture_and_what_came_out_and_stands_alone(made: Path) -> None:
    page = made.read_text("utf-8")
    for heading in ("How it went", "The log drawn", "What came out", "What its plan was expected to give",
                    "Made from"):  # fmt: skip
        assert f"<h2>{heading}</h2>" in page
    assert page.count("<svg") == page.count("<figcaption>") == 1
    assert "20 readings" in page
    # second route: tiles of data/demo/outcome.csv counted by hand
    assert "14 tiles or pots by place and surface; 1 of them with a fault." in page
    assert "edge next to the crack" in page
    assert "Carbon monoxide" in page
    assert page.count("SHA-256 ") - page.count("SHA-256 of") == 2  # the log and the outcome
    assert not re.search(r"<script|<link|src=\"(?!data:)|@import", page)
    assert str(DEMO) not in page


def test_without_an_outcome_it_says_so_and_faults_stand_in_it(tmp_path: Path) -> None:
    log, out = tmp_path / "mine.csv", tmp_path / "out.html"
    log.write_text("time,place,glow,event\n10:00,,,lit\n10:20,mid,orangish,\n10:30,mid,orange,\n", "utf-8")
    assert run("report", str(log), str(out), "--plan", "covered-pit").exit_code == 0
    page = out.read_text("utf-8")
    assert "What came out was not written down." in page
    assert "orangish" in page
    assert "<h2>What could not be read</h2>" in page


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        ((LOG, "out.html", "--outcome", OUTCOME), 2),
        ((LOG, "out.ttl", "--plan", "covered-pit"), 2),
        ((LOG, "out.html", "--plan", "covered-pit", "--sherd", "K-14"), 2),
        ((LOG, OUTCOME, *WHOLE), 2),
        ((LOG, "out.html", "--plan", "no-such-plan"), 1),
        ((LOG, "out.html", "--plan", "covered-pit", "--outcome", "missing.csv"), 1),
        ((OUTCOME, "out.html", "--plan", "covered-pit"), 1),
    ],
)
def test_what_will_not_do_is_refused(
    arguments: tuple[str, ...], code: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    found = run("report", *arguments)
    assert found.exit_code == code, found.output
    assert not list(tmp_path.iterdir())
