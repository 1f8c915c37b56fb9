"""Reading our own files: what is read, and what a missing or damaged one says."""

import gzip
from pathlib import Path

import pytest

from wareontology import paths
from wareontology.errors import Unreadable
from wareontology.graph.namespaces import SKOS
from wareontology.graph.store import described, graph, graph_files, zipped


def test_both_readers_read_the_same_statements() -> None:
    for path in graph_files():
        fast = sum(len(values) for said in described(path).values() for values in said.values())
        assert fast == len(graph([path])), path.name


def test_values_keep_the_order_they_are_written_in(tmp_path: Path) -> None:
    path = tmp_path / "order.ttl"
    path.write_text(f'<https://wareontology.example/a> <{SKOS}altLabel> "b", "a", "c" .', "utf-8")
    assert described(path)["https://wareontology.example/a"][SKOS + "altLabel"] == ["b", "a", "c"]


def test_the_demo_is_not_part_of_the_graph() -> None:
    assert not [path for path in graph_files() if "demo" in path.parts]
    assert {"vocabulary.ttl", "regions.ttl", "sources.ttl", "alignment.ttl"} <= {
        path.name for path in graph_files()
    }


@pytest.mark.parametrize("content", [None, b"<a> <b", b"\xff\xfe\x00"])
def test_a_missing_or_damaged_file_says_so(tmp_path: Path, content: bytes | None) -> None:
    path = tmp_path / "broken.ttl"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(Unreadable, match=r"broken\.ttl.*would do"):
        described(path)


@pytest.mark.parametrize("content", [None, b"not gzip", gzip.compress(b"cut off", mtime=0)[:-9]])
def test_a_missing_or_damaged_archive_says_so(tmp_path: Path, content: bytes | None) -> None:
    path = tmp_path / "broken.gz"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(Unreadable, match=r"broken\.gz.*would do"):
        zipped(path)


def test_a_shipped_archive_is_read() -> None:
    assert zipped(paths.data("closure.nt.gz")).startswith(b"<")
