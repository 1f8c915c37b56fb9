import json
from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.errors import Unreadable
from wareontology.sherd.cells import Refused
from wareontology.sherd.columns import REQUIRED
from wareontology.sherd.context import CONTEXT, context
from wareontology.sherd.json_rows import objects, table

ROW = {"zone": "rim", "layer": "slip", "colour": "white"}


def lines(*items: Mapping[str, object]) -> list[dict[str, object]]:
    made = table(items, "t")
    found = [dict(zip(made.headings, cells, strict=True)) for _, cells in made.rows]
    return [{key: cell for key, cell in line.items() if cell != "" or key not in REQUIRED} for line in found]


def test_flat_rows_and_rows_inside_a_sherd_are_the_same_lines() -> None:
    flat = [{"sherd": "k", "form": "open", **ROW}, {"sherd": "k", "form": "", **ROW}]
    inside: dict[str, object] = {"sherd": "k", "form": "open", "rows": [ROW, ROW]}
    assert lines(*flat) == lines(inside)


def test_rows_are_counted_from_one() -> None:
    inside = {"sherd": "k", "rows": [ROW, ROW]}
    assert [number for number, _ in table([inside, {"sherd": "m", **ROW}], "t").rows] == [1, 2, 3]


@pytest.mark.parametrize(
    ("key", "value", "cell"),
    [
        ("colour", "cream?", "cream?"), ("wall_mm", 5, "5"), ("wall_mm", 5.5, "5.5"), ("slakes", True, "yes"),
        ("slakes", False, "no"), ("edge", None, ""), ("looked", ["rim", "base"], "rim, base"),
        ("colour", ["cream", "buff"], Refused('["cream", "buff"]', "one text or number")),
        ("looked", [1], Refused("[1]", "a list of words, or one text")),
        ("colour", {"a": 1}, Refused('{"a": 1}', "one text or number")),
    ],
)  # fmt: skip
def test_a_value_as_a_cell(key: str, value: object, cell: object) -> None:
    assert lines({"sherd": "k", key: value})[0][key] == cell


def test_a_cell_in_the_wrong_place_is_refused_and_not_moved() -> None:
    (line,) = lines({"sherd": "k", "colour": "red", "rows": [{"zone": "rim", "layer": "slip"}]})
    assert line["colour"] == Refused(
        "red", "it inside the objects of `rows`", "it belongs to a layer in a zone"
    )


def test_a_row_may_not_claim_another_sherd() -> None:
    (line,) = lines({"sherd": "k", "rows": [{"sherd": "m", **ROW}]})
    assert line["sherd"] == Refused("m", "k", "not what the sherd says that holds the row")


@pytest.mark.parametrize("rows", [[], None, "rim", [3], {}])
def test_a_sherd_without_rows_still_has_a_line_to_be_faulted(rows: object) -> None:
    assert lines({"sherd": "k", "rows": rows}) == [{"sherd": "k"}]


def test_what_is_required_has_a_heading_unless_ones_own_key_means_it() -> None:
    assert table([{"Scherbe": "k"}], "t").headings == ["Scherbe", "sherd", "zone", "layer"]
    assert table([{"Scherbe": "k"}], "t", {"Scherbe": "sherd"}).headings == ["Scherbe", "zone", "layer"]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("[1]", "item 1: found a number"),
        ('[{}, "x"]', "item 2: found text"),
        ("[null]", "item 1: found null"),
        ("true", "item 1: found true or false"),
        ("[[]]", "item 1: found an array"),
        ("[]", "found an empty array"),
        ("{", "line 1, place 2: found no JSON"),
        ("[{}\n,]", "line 2, place 2: found no JSON"),
        ('{"a": 1, "a": 2}', "the key 'a' twice in one object"),
        ('{"a": NaN}', "NaN, which is no number"),
        ('{"a": -Infinity}', "-Infinity, which is no number"),
        ("[1" + "0" * 5000 + "]", "found unreadable JSON"),
        ("[" * 100_000, "nested too deep"),
    ],
)
def test_what_is_no_table(text: str, message: str) -> None:
    with pytest.raises(Unreadable, match=f"^t.*{message}.*; would do: "):
        objects(text, "t")


def test_our_context_by_its_address_or_written_out() -> None:
    for ours in (CONTEXT, context()):
        assert objects(json.dumps({"@context": ours, "sherd": "k", "rows": [ROW]}), "t")
        assert objects(json.dumps({"@context": ours, "@graph": [{"sherd": "k", "rows": [ROW]}]}), "t")


@pytest.mark.parametrize(
    "other",
    [
        "https://elsewhere.example/",
        "file:///etc/passwd",
        {"@import": "http://x"},
        [CONTEXT, "http://x"],
        None,
        "",
    ],
)
def test_any_other_context_is_refused(other: object) -> None:
    for text in ({"@context": other, "sherd": "k"}, {"@context": other, "@graph": [{"sherd": "k"}]}):
        with pytest.raises(Unreadable, match=f"is not fetched; would do: {CONTEXT}"):
            objects(json.dumps(text), "t")
    with pytest.raises(Unreadable, match="is not fetched"):
        objects(json.dumps([{"sherd": "k"}, {"@context": other, "sherd": "m"}]), "t")


def test_a_context_inside_a_row_is_an_unknown_column() -> None:
    made = table([{"sherd": "k", "rows": [{**ROW, "@context": "http://x", "@import": "http://y"}]}], "t")
    assert "@import" in made.headings


@given(
    st.recursive(
        st.none() | st.booleans() | st.floats() | st.text(),
        lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    )
)
def test_any_json_is_lines_or_unreadable(value: object) -> None:
    try:
        items = objects(json.dumps(value), "t")
    except Unreadable:
        return
    made = table(items, "t")
    for _, cells in made.rows:
        assert len(cells) == len(made.headings)
        assert all(isinstance(cell, (str, Refused)) for cell in cells)
