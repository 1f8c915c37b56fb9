"""The sources: all of them, how much was read, and what rests on each."""

import re
from html import unescape

import pytest

from tests.app.helpers_app import a_client
from wareontology.graph.traditions import tradition_sources, traditions
from wareontology.graph.vocabulary import scheme

CLIENT = a_client()


def page(path: str) -> str:
    response = CLIENT.get(path, headers={"Accept": "text/html"})
    assert response.status_code == 200, path
    return unescape(response.get_data(as_text=True))


def test_every_source_is_listed_under_how_much_was_read() -> None:
    text = page("/sources")
    assert sorted(re.findall(r'href="/source/([^"]+)"', text)) == sorted(tradition_sources())
    not_seen = text.split(scheme("seen")["not-seen"].definition)[1]
    assert 'href="/source/rye-1981"' in not_seen


@pytest.mark.parametrize("key", list(tradition_sources())[::11])
def test_a_source_says_what_was_read_and_what_rests_on_it(key: str) -> None:
    text, source = page(f"/source/{key}"), tradition_sources()[key]
    assert source.citation in text
    assert source.read[1:] in text
    for one in traditions().values():
        rests = any(key in said.sources for said in one.statements)
        assert (f'href="/tradition/{one.id}"' in text) == rests


def test_only_web_addresses_are_linked() -> None:
    with_doi = next(one for one in tradition_sources().values() if one.doi and one.doi.startswith("10."))
    assert f'href="https://doi.org/{with_doi.doi}"' in page(f"/source/{with_doi.key}")
    for one in tradition_sources().values():
        if one.doi and not one.doi.startswith(("10.", "https://", "http://")):
            assert f'href="{one.doi}"' not in page(f"/source/{one.key}")


def test_numbers_of_tables_are_counted() -> None:
    from csv import DictReader

    from wareontology.paths import data

    with data("likelihoods.csv").open(encoding="utf-8", newline="") as file:
        rows = list(DictReader(line for line in file if not line.startswith("#")))
    count = sum("aloupi-siotis-2020" in row["source"].split() for row in rows)  # second route
    assert f"{count} rows of <code>likelihoods.csv</code>" in page("/source/aloupi-siotis-2020")
