import pytest
from hypothesis import given
from hypothesis import strategies as st

from wareontology.sherd.columns import column, columns
from wareontology.sherd.words import LONGEST, between, listed, nearest, resolve

WITH_CHOICES = [one for one in columns() if one.choices]


@pytest.mark.parametrize(
    ("name", "text", "word"),
    [
        ("relief", "soaked-in", "soaked-in"),
        ("relief", "Soaked_In", "soaked-in"),
        ("relief", " soaked  in ", "soaked-in"),
        ("edge", "fuzzy edge", "soft"),  # an alternate label of the vocabulary
        ("colour", "gray", "grey"),  # the same
        ("refire_colour", "gray", "grey"),  # through the scheme of colours
        ("refire_colour", "gone", "gone"),
        ("slakes", "Y", "yes"),
        ("slakes", "TRUE", "yes"),
        ("slakes", "false", "no"),
        ("slakes", "absent", "no"),
        ("patches", "no", "none"),
        ("patches", "absent", "none"),
        ("region", "Colorado Plateau", "colorado-plateau"),
        ("edge", "none", None),  # nothing without an edge has one
        ("colour", "gone", None),
        ("refire_ground_colour", "ghost", None),
        ("edge", "", None),
        ("region", "nowhere at all", None),
    ],
)
def test_resolve(name: str, text: str, word: str | None) -> None:
    assert resolve(column(name), text) == word


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("colour", "cream-buff", ("cream", "buff")),
        ("colour", "Cream to Buff", ("cream", "buff")),
        ("colour", "cream/buff", ("cream", "buff")),
        ("colour", "cream – buff", ("cream", "buff")),
        ("colour", "red-brown-black", ("red", "brown", "black")),
        ("colour", "cream-cream", ("cream",)),
        ("relief", "soaked-in", ("soaked-in",)),
        ("relief", "soaked-in-flat", ("soaked-in", "flat")),
        ("relief", "flat-soaked-in", ("flat", "soaked-in")),
        ("applied", "before-firing/after-firing", ("before-firing", "after-firing")),
        ("colour", "cream buff", None),  # without a mark between them two words are no range
        ("colour", "cream, buff", None),
        ("colour", "cream-", None),  # a range that was not written to its end
        ("colour", "-", None),
        ("colour", "cream/", None),
        ("colour", "cream-wobbly", None),
    ],
)
def test_between(name: str, text: str, words: tuple[str, ...] | None) -> None:
    assert between(column(name), text) == words


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("looked", "interior exterior break", ("interior", "exterior", "break")),
        ("looked", "break; exterior + interior", ("interior", "exterior", "break")),
        ("looked", "Outer margin and rim", ("rim", "outer-margin")),
        ("looked", "interior interior", ("interior",)),
        ("looked", "interior hall", None),
        ("after_firing", "worn, cooking soot", ("cooking-soot", "worn")),
        ("phases", "Magnetite + hematite", ("hematite", "magnetite")),
        ("looked", " , ", None),
    ],
)
def test_listed(name: str, text: str, words: tuple[str, ...] | None) -> None:
    assert listed(column(name), text) == words


@given(st.data())
def test_any_range_of_a_column_is_read_whole(data: st.DataObject) -> None:
    one = data.draw(st.sampled_from(WITH_CHOICES))
    words = data.draw(st.lists(st.sampled_from(one.choices), min_size=1, max_size=4, unique=True))
    joint = data.draw(st.sampled_from(["-", "/", " to ", " / "]))
    assert between(one, joint.join(words)) == tuple(words)


@given(st.text(max_size=40))
def test_no_text_is_more_than_words_or_none(text: str) -> None:
    for one in (column("colour"), column("relief"), column("looked")):
        for read in (between, listed):
            assert set(read(one, text) or ()) <= set(one.choices)


def test_a_long_cell_is_no_word() -> None:
    long = "red-" * LONGEST + "red"
    assert between(column("colour"), long) is None
    assert listed(column("looked"), "rim " * LONGEST) is None
    assert nearest(column("colour"), long) == ()


def test_nearest() -> None:
    assert nearest(column("colour"), "redish")[0] == "red"
    assert nearest(column("region"), "colorado platau") == ("colorado-plateau",)
    assert nearest(column("edge"), "qqqq") == ()
