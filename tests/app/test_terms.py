"""The terms: definitions with what they rest on, how they hang together, what uses them."""

from html import unescape

import pytest

from tests.app.helpers_app import a_client
from wareontology.graph.traditions import traditions
from wareontology.graph.vocabulary import geology, scheme, schemes

CLIENT = a_client()


def page(path: str) -> str:
    response = CLIENT.get(path, headers={"Accept": "text/html"}, follow_redirects=True)
    assert response.status_code == 200, path
    return unescape(response.get_data(as_text=True))


def test_every_value_of_every_scheme_is_linked() -> None:
    text = page("/terms")
    for one in schemes().values():
        assert f'href="/term/{one.name}"' in text
        for concept in one.concepts:
            assert f'href="/{concept.address.split("/", 3)[3]}"' in text


@pytest.mark.parametrize("name", ["edge", "paint-material", "atmosphere", "field", "basis", "refire_colour"])
def test_a_scheme_defines_its_values(name: str) -> None:
    text = page(f"/term/{name}")
    for concept in scheme(name).concepts:
        assert concept.definition in text
    if name == "edge":
        assert "column <code>edge</code>" in text


def test_a_term_says_what_it_is_and_what_it_rests_on() -> None:
    concept = scheme("paint-material")["organic"]
    text = page("/term/paint-material/organic")
    for words in (concept.definition, concept.example, *concept.alternates):
        assert words in text
    assert all(f'href="/source/{key}"' in text for key in concept.sources)
    assert 'href="/rule/OrganicFromSoftSoakedBlackRule"' in text
    stated = {one.id for one in traditions().values() if "organic" in one.terms("paint")}
    assert stated
    assert all(f'href="/tradition/{name}"' in text for name in stated)


def test_wider_and_narrower_are_linked_both_ways() -> None:
    assert 'href="/term/paint-family/iron-family"' in page("/term/paint-material/iron")
    assert 'href="/term/region/north-american-southwest"' in page("/term/region/colorado-plateau")
    assert 'href="/term/region/colorado-plateau"' in page("/term/region/north-american-southwest")


def test_a_technique_names_the_wares_that_show_it() -> None:
    text = page("/term/technique/organic-black-kept")
    assert 'href="/tradition/us-tusayan-white"' in text


def test_a_region_tells_its_clays_and_whose_word_that_is() -> None:
    text = page("/region/colorado-plateau")  # the shorter way leads to the term
    told = geology("colorado-plateau")
    for key in (*told.sources, *told.contradicted_by):
        assert f'href="/source/{key}"' in text
    assert "Otherwise" in text
    assert 'href="/tradition/us-tusayan-white"' in text


@pytest.mark.parametrize(
    ("word", "address"),
    [("fuzzy", "edge/soft"), ("gray", "colour/grey"), ("plant juice", "paint-material/organic")],
)
def test_a_word_of_the_trade_is_found(word: str, address: str) -> None:
    text = page(f"/terms?word={word}").split("All of them")[0]
    assert f'href="/term/{address}"' in text


def test_a_word_that_is_none_is_told_so() -> None:
    assert "No term is called so" in page("/terms?word=qqqqqqq")
    assert "<script>" not in CLIENT.get("/terms?word=<script>").get_data(as_text=True)


def test_classes_shapes_and_statements_have_pages() -> None:
    assert "A way of making painted pottery" in page("/def/Tradition")
    assert 'href="/term/colour/white"' in page("/shape/White")
    assert 'href="/source/nau-ware-descriptions"' in page("/statement/us-tusayan-white/edge")
    assert "Coarse lime" in page("/fault/lime-pop") or "lime" in page("/fault/lime-pop")
    assert "POINT(" in page("/tradition/us-tusayan-white/point")
