"""The traditions: filters, the map and the list that says the same, a page each, contrast, network."""

import re

import pytest

from tests.app.helpers_app import a_client
from wareontology.app import world
from wareontology.graph.network import bands
from wareontology.graph.traditions import traditions
from wareontology.report.browse import Asked, browse

CLIENT = a_client()


def page(path: str, status: int = 200) -> str:
    response = CLIENT.get(path, headers={"Accept": "text/html"})
    assert response.status_code == status, path
    return response.get_data(as_text=True)


def linked(text: str) -> set[str]:
    return set(re.findall(r'href="/tradition/([^"/?]+)"', text))


def test_every_tradition_is_listed() -> None:
    assert linked(page("/traditions")) == set(traditions())


@pytest.mark.parametrize(
    ("query", "asked"),
    [
        ("region=aegean", Asked(region="aegean")),
        ("technique=grey-reduced", Asked(technique="grey-reduced")),
        ("material=organic&region=colorado-plateau", Asked("colorado-plateau", material="organic")),
        ("period=1600-1100+BCE", Asked(period="1600-1100 BCE")),
        ("material=manganese&memory=on", Asked(material="manganese", memory=True)),
        ("technique=smudged&region=&material=&period=", Asked(technique="smudged")),
    ],
)
def test_the_filters_are_those_of_the_command(query: str, asked: Asked) -> None:
    assert linked(page(f"/traditions?{query}")) == {one["id"] for one in browse(asked)["traditions"]}


@pytest.mark.parametrize("query", ["region=nowhere", "technique=magic", "material=gold", "period=once"])
def test_a_word_that_names_nothing_is_said_and_all_are_shown(query: str) -> None:
    text = page(f"/traditions?{query}", 422)
    assert query.split("=")[1] in text
    assert linked(text) == set(traditions())


def test_nothing_that_is_typed_becomes_a_tag() -> None:
    assert "<script>x" not in page("/traditions?period=<script>x</script>", 422)


def test_the_list_has_every_region_that_the_map_has_and_those_without_a_dot() -> None:
    text = page("/traditions")
    regions = {one.region for one in traditions().values()}
    assert regions == set(re.findall(r'<h2 id="region-([^"]+)"', text))
    assert {dot.region for dot in world.drawn(list(traditions().values())).dots} <= regions


def test_no_picture_and_no_style_from_elsewhere() -> None:
    for path in ("/traditions", "/traditions/network", "/tradition/aeg-attic-gloss"):
        text = page(path)
        assert " style=" not in text
        assert not re.search(r'(src|href)="(https?:)?//', text)


def test_what_is_stated_and_what_is_from_memory_stand_apart() -> None:
    text = page("/tradition/us-tusayan-white")
    stated, memory = text.split("<h2>From memory</h2>")
    assert "organic." in stated
    assert "750 to 900 °C" in memory
    assert "750 to 900 °C" not in stated
    assert '<a href="#source-1"' in stated
    assert 'id="source-1"' in memory
    assert "110° W" in memory  # whole degrees, with the side of the world


def test_what_rests_on_memory_alone_says_so_first() -> None:
    alone = next(one.id for one in traditions().values() if one.is_from_memory())
    assert "Nothing is stated of it by a text that was read" in page(f"/tradition/{alone}")


@pytest.mark.parametrize("name", list(traditions())[::7])
def test_a_page_each(name: str) -> None:
    text = page(f"/tradition/{name}")
    for key in traditions()[name].source_keys():
        assert f'href="/source/{key}"' in text
    for number in set(re.findall(r'href="#source-(\d+)"', text)):
        assert f'id="source-{number}"' in text


def test_degrees_are_in_the_units_that_were_chosen() -> None:
    client = a_client()
    client.set_cookie("temperature", "f")
    text = client.get("/tradition/us-tusayan-white").get_data(as_text=True)
    assert "1382 to 1652 °F" in text  # 750 and 900 °C by the definition of the degree Fahrenheit


def test_two_side_by_side() -> None:
    text = page("/traditions/contrast?first=us-tusayan-white&second=us-chuska-mineral")
    assert "Refire a chip" in text
    assert "<td>organic</td><td>iron</td>" in text
    assert "Set them side by side" in page("/traditions/contrast")
    assert "one tradition twice" in page("/traditions/contrast?first=ita-bucchero&second=ita-bucchero")
    assert "no such tradition" in page("/traditions/contrast?first=nowhere&second=ita-bucchero", 422)


def test_the_network_is_drawn_and_said_in_words() -> None:
    text = page("/traditions/network")
    drawing, words = text.split("<h2>The same in words</h2>")
    laid = bands()
    for one in laid.rows:
        assert f"/tradition/{one.id}" in drawing
        if one.groups:
            assert words.count(f"/tradition/{one.id}") >= len(one.groups)
    assert drawing.count("<circle") == sum(len(laid.of(one)) for one in laid.rows)
