"""Reports: one file that stands alone, the same bytes twice, nothing lost and nothing let in."""

import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from pyshacl import validate
from rdflib import Graph, URIRef

from tests.helpers_cli import DEMO, run
from wareontology.graph.namespaces import PROV
from wareontology.paths import shapes
from wareontology.report.document import Document, Figure, Section, Table, html
from wareontology.report.figures import interval, odds_bars
from wareontology.technique.block import Block

KINDS = {"sherd": str(DEMO / "one_sherd.csv"), "claim": str(DEMO / "claim.toml")}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("reports")
    for name, file in KINDS.items():
        found = run("report", file, str(folder / f"{name}.html"), str(folder / f"{name}.ttl"))
        assert found.exit_code == 0, found.output
    return {path.name: path for path in folder.iterdir()}


def test_made_twice_it_is_the_same_bytes(made: dict[str, Path], tmp_path: Path) -> None:
    for name, file in KINDS.items():
        again = [tmp_path / f"{name}.html", tmp_path / f"{name}.ttl"]
        assert run("report", file, *map(str, again)).exit_code == 0
        assert [path.read_bytes() for path in again] == [made[path.name].read_bytes() for path in again]


@pytest.mark.parametrize("name", ["sherd.html", "claim.html"])
def test_it_stands_alone(made: dict[str, Path], name: str) -> None:
    page = made[name].read_text("utf-8")
    assert not re.search(r"<script|<link|src=\"(?!data:)|url\(|@import", page)
    assert not re.search(r"href=\"http", page)
    assert str(DEMO) not in page


def test_a_sherd_report_says_what_was_seen_concluded_and_is_to_be_minded(made: dict[str, Path]) -> None:
    page = made["sherd.html"].read_text("utf-8")
    for heading in ("In short", "What was seen", "What follows", "What would settle it", "How sure",
                    "What it rests on", "Cautions", "Made from"):  # fmt: skip
        assert f"<h2>{heading}</h2>" in page
    assert "SHA-256" in page
    assert "munsell 10YR 8/1" in page


def test_a_claim_report_says_what_was_tried_compared_and_claimed(made: dict[str, Path]) -> None:
    page = made["claim.html"].read_text("utf-8")
    for part in ("Can it give this look?", "17 of 20", "ΔE", "originals.csv", "firing log"):
        assert part in page
    for heading in ("What was tried", "What was used", "What was compared", "The originals", "The replicas"):
        assert f"<h2>{heading}</h2>" in page
    numbers = [int(number) for number in re.findall(r"Figure (\d+)\.", page)]
    assert numbers == list(range(1, len(numbers) + 1))


def test_the_turtle_says_who_says_what_and_keeps_the_shapes(made: dict[str, Path]) -> None:
    claim = Graph().parse(made["claim.ttl"], format="turtle")
    assert len(list(claim.triples((None, URIRef(PROV + "wasAttributedTo"), None)))) >= 7
    assert len(list(claim.triples((None, URIRef(PROV + "wasInfluencedBy"), None)))) == 3
    sherd = Graph().parse(made["sherd.ttl"], format="turtle")
    conforms, _, text = validate(sherd, shacl_graph=Graph().parse(shapes("records.ttl"), format="turtle"))
    assert conforms, text


def test_a_photo_is_set_in_without_its_place(tmp_path: Path) -> None:
    path = tmp_path / "pot.jpg"
    exif = Image.Exif()
    exif[0x010E] = "secret place"
    Image.fromarray(np.full((40, 60, 3), 90, dtype=np.uint8)).save(path, exif=exif)
    out = tmp_path / "out.html"
    assert run("report", KINDS["sherd"], str(out), "--photo", str(path)).exit_code == 0
    page = out.read_text("utf-8")
    assert "data:image/jpeg;base64," in page
    assert b"secret place" in path.read_bytes()
    assert "pot.jpg" in page


def test_one_sherd_of_a_table(tmp_path: Path) -> None:
    out = tmp_path / "out.html"
    assert run("report", str(DEMO / "sherds.csv"), str(out), "--sherd", "V-06").exit_code == 0
    page = out.read_text("utf-8")
    assert "<h1>Sherd V-06</h1>" in page
    assert "lead" in page
    assert run("report", str(DEMO / "sherds.csv"), str(out), "--sherd", "X-99").exit_code == 1


def test_a_firing_plan_too(tmp_path: Path) -> None:
    plan = tmp_path / "mine.toml"
    plan.write_text(run("simulate", "--example", "covered-pit").stdout, encoding="utf-8")
    outs = [tmp_path / "a.html", tmp_path / "b.html"]
    for out in outs:
        assert run("report", str(plan), str(out)).exit_code == 0
    assert outs[0].read_bytes() == outs[1].read_bytes()
    assert "pessimistic" in outs[0].read_text("utf-8")
    assert run("report", str(plan), str(tmp_path / "a.ttl")).exit_code == 2


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        ((KINDS["sherd"], "out.docx"), 2),
        ((KINDS["sherd"], KINDS["sherd"]), 2),
        ((KINDS["claim"], "out.html", "--sherd", "K-14"), 2),
        (("missing.csv", "out.html"), 1),
        ((KINDS["sherd"], "out.html", "--photo", "missing.jpg"), 1),
        ((KINDS["sherd"], "out.html", "--photo", KINDS["sherd"]), 1),
    ],
)
def test_what_will_not_do_is_refused(
    arguments: tuple[str, ...], code: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("report", *arguments).exit_code == code
    assert not list(tmp_path.iterdir())


@given(st.text(max_size=40))
def test_no_text_becomes_markup(text: str) -> None:
    parts = (Block(text, text), Table((text,), ((text,),)), Figure("<svg/>", text))
    page = html(Document(text, (Section(text, parts),)))
    known = "html|head|meta|title|style|body|main|section|h1|h2|p|strong|ul|li|table|thead|tbody|tr|th|td"
    known += "|figure|svg"
    assert not re.findall(
        rf"</?(?!(?:{known}|figcaption|!doctype)\b)[a-zA-Z!]", page.replace("<!doctype", "")
    )


def test_bars_are_as_long_as_their_odds() -> None:
    drawn = odds_bars({"a": (1.0, None), "b": (0.5, 0.25)}, 0.8)
    whole, half = (float(width) for width in re.findall(r'width="([\d.]+)" height="10"', drawn))
    assert half == pytest.approx(whole / 2)
    assert 'cx="' in interval(0.5, 0.2, 0.8, 0.6)
