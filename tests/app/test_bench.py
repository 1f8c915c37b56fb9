"""The bench without a browser: its zones and their states, layers added and taken out, the live reading."""

import re
from pathlib import Path

import pytest

from tests.app.helpers_app import SHOWN, a_client, fields_of, post
from wareontology.app.zones import zones
from wareontology.sherd.columns import columns
from wareontology.sherd.table import read

(PLAIN,) = read(SHOWN / "plain_case.csv").sherds


def test_every_column_of_the_table_can_be_entered() -> None:
    client = a_client()
    page = client.get("/bench").get_data(as_text=True)
    for zone, layer in (("interior", "paint"), ("break", "body")):
        page += client.get(f"/bench/layer?zone={zone}&layer={layer}&place=0").get_data(as_text=True)
    for column in columns():
        field = (
            f"s.{column.name}" if column.of == "sherd" or column.name == "observer" else f"r0.{column.name}"
        )
        assert f'name="{field}"' in page or f'name="{field}.typed"' in page, column.name


def test_a_layer_is_added_and_taken_out_and_nothing_typed_is_lost() -> None:
    client = a_client()
    typed = {**fields_of(PLAIN), "r1.note": "", "s.note": "a note <b>&", "r1.munsell": "10YR 99/2"}
    page = post(client, "/bench", {**typed, "add": "rim slip"}).get_data(as_text=True)
    assert page.count('<fieldset class="layer"') == 4
    assert "a note &lt;b&gt;&amp;" in page
    assert 'value="10YR 99/2"' in page
    page = post(client, "/bench", {**typed, "remove": "1"}).get_data(as_text=True)
    assert page.count('<fieldset class="layer"') == 2
    assert "10YR 99/2" not in page


def test_a_record_is_taken_up_again() -> None:
    from wareontology.app.reading import record

    page = post(a_client(), "/bench", {"record": record(PLAIN)}).get_data(as_text=True)
    assert page.count('<fieldset class="layer"') == 3
    assert '<option value="colorado-plateau" selected>' in page


def test_the_drawing_tells_not_looked_from_bare_from_seen() -> None:
    found = zones(PLAIN)
    assert (found["interior"].state, found["exterior"].state, found["rim"].state) == (
        "seen", "bare", "not looked",
    )  # fmt: skip
    page = post(a_client(), "/bench/reading", fields_of(PLAIN)).get_data(as_text=True)
    assert 'aria-label="Inside: slip: white; paint line: black, sharp, flat"' in page
    assert 'aria-label="Outside: looked at, nothing noted"' in page
    assert 'aria-label="Rim: not looked at"' in page


def test_an_open_and_a_closed_form_are_drawn_apart() -> None:
    drawn = [
        re.search(
            r'class="wall" d="([^"]+)"',
            post(a_client(), "/bench/reading", {"s.form": form}).get_data(as_text=True),
        )
        for form in ("open", "closed")
    ]
    assert drawn[0]
    assert drawn[1]
    assert drawn[0][1] != drawn[1][1]


def test_the_reading_waits_for_a_cell_at_fault_and_says_what_would_do() -> None:
    page = post(a_client(), "/bench/reading", {**fields_of(PLAIN), "r1.munsell": "blackish"}).get_data(
        as_text=True
    )
    assert 'data-field="r1.munsell"' in page
    assert "would do: hue value/chroma such as 10YR 8/2" in page
    assert "paint line: black" in page  # the drawing shows the rest


def test_a_conflict_is_pointed_at_on_the_pot() -> None:
    sherd = next(
        each
        for each in read(SHOWN.parents[2] / "data" / "demo" / "sherds.csv").sherds
        if each.sherd == "K-07"
    )
    answer = {"conflict": {"items": [{"rows": [sherd.rows[0].number]}]}}
    found = zones(sherd, answer)
    assert found[sherd.rows[0].zone].amiss
    assert "does not fit the rest" in found[sherd.rows[0].zone].said
    assert sum(zone.amiss for zone in found.values()) == 1


def test_an_empty_bench_says_what_to_do() -> None:
    assert "Nothing is entered yet" in a_client().get("/bench").get_data(as_text=True)


@pytest.mark.parametrize(
    "query",
    ["", "?zone=moon&layer=slip&place=0", "?zone=rim&layer=glass&place=0", "?zone=rim&layer=slip&place=-1"],
)
def test_a_layer_that_cannot_be_is_refused(query: str) -> None:
    assert a_client().get(f"/bench/layer{query}").status_code == 400


def test_the_blank_form_prints_on_its_own() -> None:
    page = a_client().get("/bench/blank").get_data(as_text=True)
    assert "blank.css" in page
    assert page.count("<tr>") == 10
    assert "owner's leave" in page


def test_a_chip_is_shown_as_a_plain_patch_with_its_words() -> None:
    page = post(a_client(), "/bench/reading", {**fields_of(PLAIN), "r0.munsell": "10YR 8/2"}).get_data(
        as_text=True
    )
    assert 'fill="#d6c6af"' in page  # regression: colour.munsell.to_srgb, tested there against colour-science
    assert "10YR 8/2, " in page
    assert "no screen shows it" not in page


def test_a_chip_beyond_the_screen_says_so() -> None:
    page = post(a_client(), "/bench/reading", {**fields_of(PLAIN), "r0.munsell": "5BG 5/20"}).get_data(
        as_text=True
    )
    assert "no screen shows it" in page


def test_a_sherd_is_kept_from_the_bench_without_scripts(tmp_path: Path) -> None:
    client = a_client(RECORDS=str(tmp_path / "records"))
    found = post(client, "/bench/keep", {**fields_of(PLAIN), "who": "AB"})
    assert found.status_code == 303
    assert "plain" in client.get("/collection").get_data(as_text=True)


@pytest.mark.parametrize(("lacks", "said"), [("s.sherd", "a name or number"), ("who", "who keeps it")])
def test_what_lacks_to_keep_it_is_said_and_nothing_typed_is_lost(
    tmp_path: Path, lacks: str, said: str
) -> None:
    client = a_client(RECORDS=str(tmp_path / "records"))
    found = post(client, "/bench/keep", {**fields_of(PLAIN), "who": "AB", lacks: ""})
    page = found.get_data(as_text=True)
    assert found.status_code == 422
    assert said in page
    assert page.count('<fieldset class="layer"') == 3
    assert not (tmp_path / "records").exists()
