"""Sources: what may be cited, and that every key that is used is described."""

import csv
import re
from pathlib import Path

import pytest

from wareontology import paths
from wareontology.graph.sources import source_records, sources

TABLES = sorted(
    path
    for path in paths.data().glob("*.csv")
    if "source" in path.read_text("utf-8").split("\n")[0].split(",")
)
KEY = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*\Z")


def test_every_source_has_a_citation_and_says_what_was_read() -> None:
    assert set(sources()) == set(source_records())
    for key, source in source_records().items():
        assert KEY.match(key)
        assert key == source.key
        assert source.citation
        assert source.read


def test_what_is_known_from_memory_may_not_be_cited() -> None:
    for source in source_records().values():
        assert source.may_be_cited() == (
            "memory" not in source.read.split(";")[0] and source.read != "title only"
        )


def test_no_two_sources_have_one_citation() -> None:
    assert len(set(sources().values())) == len(sources())


@pytest.mark.parametrize("table", TABLES, ids=lambda path: path.name)
def test_every_key_in_a_table_is_a_source_that_was_seen(table: Path) -> None:
    with table.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    for key in {key for row in rows for key in row["source"].split() if KEY.match(row["source"])}:
        assert source_records()[key].may_be_cited(), key


@pytest.mark.parametrize("shape", sorted(paths.shapes().glob("*.ttl")), ids=lambda path: path.name)
def test_every_source_named_in_the_shapes_is_known(shape: Path) -> None:
    for key in set(re.findall(r"\bsource:([a-z][a-z0-9-]*)", shape.read_text("utf-8"))):
        assert key in source_records(), key
