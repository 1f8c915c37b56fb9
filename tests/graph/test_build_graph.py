"""One command makes what is shipped from the files of traditions; a missing source is refused."""

import gzip
import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from wareontology import paths
from wareontology.build import main
from wareontology.errors import BreaksShape
from wareontology.graph import build_graph
from wareontology.graph.closure import FILE, shipped
from wareontology.graph.store import zipped
from wareontology.graph.traditions import FOLDER, INDEX

CASES = paths.data().parent / "tests" / "cases" / "traditions"
VOCABULARY = tuple(
    paths.data(name) for name in ("vocabulary.ttl", "tradition_terms.ttl", "regions.ttl", "alignment.ttl")
)


@pytest.fixture(scope="module")
def fresh(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Folder with what the command makes now."""
    folder = tmp_path_factory.mktemp("built")
    result = CliRunner().invoke(main, ["closure", "--to", str(folder / FILE)])
    assert result.exit_code == 0, result.output
    assert result.output.split() == [str(folder / FILE), str(folder / INDEX)]
    return folder


def test_the_shipped_closure_is_a_fresh_one(fresh: Path) -> None:
    # The text, not the archive: another zlib may pack the same text otherwise.
    assert gzip.decompress((fresh / FILE).read_bytes()).decode().splitlines() == shipped()


def test_the_shipped_index_is_a_fresh_one(fresh: Path) -> None:
    assert json.loads(zipped(fresh / INDEX)) == json.loads(zipped(paths.data(INDEX)))


def test_an_unknown_part_is_a_wrong_use() -> None:
    assert CliRunner().invoke(main, ["wobble"]).exit_code == 2


def _file(folder: Path, text: str) -> Path:
    path = folder / FOLDER / "invented-region.ttl"
    path.parent.mkdir()
    path.write_text(text, "utf-8")
    return path


def test_adding_a_tradition_touches_one_file_and_one_command(tmp_path: Path) -> None:
    path = _file(tmp_path, (CASES / "sound.ttl").read_text("utf-8"))
    closure, index = build_graph.build(tmp_path / FILE, [*VOCABULARY, path])
    (entry,) = json.loads(zipped(index))["traditions"]
    assert (entry["id"], entry["groups"]) == ("invented-ware", ["iron-black", "iron-black-on-white"])
    assert list(json.loads(zipped(index))["sources"]) == ["doe-1999"]
    assert b"tradition/invented-ware" in zipped(closure)


def test_a_file_with_a_missing_source_is_refused_and_nothing_is_written(tmp_path: Path) -> None:
    text = (CASES / "sound.ttl").read_text("utf-8")
    cut = text.replace("basis:stated ; prov:wasDerivedFrom source:doe-1999 .", "basis:stated .", 1)
    path = _file(tmp_path, cut)
    assert cut != text
    with pytest.raises(BreaksShape) as refused:
        build_graph.build(tmp_path / FILE, [*VOCABULARY, path])
    (fault,) = refused.value.faults
    assert fault.file == "invented-region.ttl"
    assert fault.column == "statement/invented-ware/colour"
    assert "prov:wasDerivedFrom" in fault.would_do
    assert not (tmp_path / FILE).exists()
    assert not (tmp_path / INDEX).exists()
