import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.sherd.strategies import cells, written
from wareontology.colour.notation import parse as chip
from wareontology.colour.words import membership
from wareontology.sherd.cells import LONGEST_TEXT, Decimal, Refused, parse, plain
from wareontology.sherd.columns import column, columns
from wareontology.sherd.record import Seen

NAMES = [one.name for one in columns()]


def seen(name: str, text: str, decimal: Decimal = "point") -> Seen:
    found = parse(column(name), text, decimal)
    assert isinstance(found, Seen), found
    return found


def refused(name: str, text: str, decimal: Decimal = "point") -> Refused:
    found = parse(column(name), text, decimal)
    assert isinstance(found, Refused), found
    return found


@pytest.mark.parametrize("blank", ["", " ", "\t", "\u00a0", "\r\n"])
@pytest.mark.parametrize("name", ["colour", "wall_mm", "munsell", "note", "looked"])
def test_a_blank_cell_was_not_looked_at(name: str, blank: str) -> None:
    assert parse(column(name), blank) is None


@pytest.mark.parametrize(
    ("text", "canonical", "words", "doubtful"),
    [
        ("cream", "cream", {"cream": 1}, False),
        ("Cream?", "cream?", {"cream": 1}, True),
        ("cream ?", "cream?", {"cream": 1}, True),
        ("cream??", "cream?", {"cream": 1}, True),
        ("cream-buff", "cream-buff", {"buff": 1 / 2, "cream": 1 / 2}, False),
        ("brown to black?", "brown-black?", {"black": 1 / 2, "brown": 1 / 2}, True),
        ("red/brown/black", "red-brown-black", {"black": 1 / 3, "brown": 1 / 3, "red": 1 / 3}, False),
    ],
)
def test_a_colour_word_is_shared_out(
    text: str, canonical: str, words: dict[str, float], doubtful: bool
) -> None:
    found = seen("colour", text)
    assert (found.text, dict(found.words), found.doubtful) == (canonical, words, doubtful)


def test_a_range_with_hyphens_is_kept_with_a_stroke() -> None:
    assert seen("relief", "soaked-in to flat").text == "soaked-in/flat"


def test_what_is_there_together_is_not_shared_out() -> None:
    assert seen("after_firing", "worn, salts").words == (("salts", 1.0), ("worn", 1.0))
    assert seen("looked", "break interior").text == "interior break"


def test_a_chip_is_shared_by_membership() -> None:
    assert dict(seen("munsell", "10yr8/2").words) == pytest.approx(membership(chip("10YR 8/2")))
    both = dict(seen("munsell", "10YR 8/2-8/6").words)  # second route: the mean of the two ends
    ends = membership(chip("10YR 8/2")), membership(chip("10YR 8/6"))
    assert both == pytest.approx({word: (ends[0][word] + ends[1][word]) / 2 for word in both})


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        ("10yr8/2", "10YR 8/2"),
        ("N4", "N 4/"),
        ("2,5 YR 4,5 / 6", "2.5YR 4.5/6"),
        ("10YR 8/2 - 8/3?", "10YR 8/2-8/3?"),
        ("N4-N5", "N 4/-N 5/"),
        ("7.5YR 7/4-10YR 7/4", "7.5YR 7/4-10YR 7/4"),
        ("10YR 8/2-10YR 8/2", "10YR 8/2"),
    ],
)
def test_a_chip_is_kept_in_one_form(text: str, canonical: str) -> None:
    assert seen("munsell", text).text == canonical


@pytest.mark.parametrize(
    ("name", "text", "decimal", "number", "canonical"),
    [
        ("wall_mm", "5.5", "point", 5.5, "5.5"),
        ("wall_mm", "5,5", "comma", 5.5, "5.5"),
        ("wall_mm", "5.5", "comma", 5.5, "5.5"),
        ("wall_mm", "5,5", "either", 5.5, "5.5"),
        ("wall_mm", "5.0", "point", 5.0, "5"),
        ("wall_mm", ".75", "point", 0.75, "0.75"),
        ("wall_mm", "5.5?", "point", 5.5, "5.5?"),
        ("wall_mm", "1,125", "comma", 1.125, "1.125"),
        ("wall_mm", "1.125", "either", 1.125, "1.125"),
        ("wall_mm", "0.625", "comma", 0.625, "0.625"),
        ("date_from", "-1400", "point", -1400.0, "-1400"),
        ("date_from", "−1400", "point", -1400.0, "-1400"),
        ("date_from", "-0", "point", 0.0, "0"),
        ("pxrf_mn", "1.2e3", "point", 1200.0, "1200"),
    ],
)
def test_numbers(name: str, text: str, decimal: Decimal, number: float, canonical: str) -> None:
    found = seen(name, text, decimal)
    assert (found.number, found.text, found.below) == (number, canonical, False)
    assert found.number is not None
    assert math.copysign(1, found.number) == (-1 if number < 0 else 1)  # never minus nought


@pytest.mark.parametrize("text", ["<12", "< 12", "<12.0"])
def test_below_detection(text: str) -> None:
    found = seen("pxrf_mn", text)
    assert (found.number, found.below, found.text) == (12.0, True, "<12")


@pytest.mark.parametrize(
    ("name", "text", "decimal", "why"),
    [
        ("wall_mm", "5,5", "point", "in this file the decimal mark is a point"),
        ("weight_g", "1.234", "comma", "thousands or decimals? it may be read both ways"),
        ("weight_g", "1,234", "either", "thousands or decimals? it may be read both ways"),
        ("weight_g", "1.234,5", "comma", "a point and a comma in one number"),
        ("wall_mm", "thick", "point", "no number"),
        ("wall_mm", "5 mm", "point", "no number"),
        ("wall_mm", "5-6", "point", "no number"),
        ("wall_mm", "<5", "point", "no number"),  # only a measurement has a detection limit
        ("wall_mm", "nan", "point", "no number"),
        ("wall_mm", "inf", "point", "no number"),
        ("wall_mm", "0x10", "point", "no number"),
        ("wall_mm", "1_0", "point", "no number"),
        ("wall_mm", "٥", "point", "no number"),
        ("wall_mm", "0.4", "point", "out of range"),
        ("wall_mm", "1e99", "point", "out of range"),
        ("wall_mm", "9" * 5000, "point", "out of range"),
        ("refire_c", "1500", "point", "out of range"),
        ("pxrf_mn", "0", "point", "nothing found is below detection"),
    ],
)
def test_numbers_that_are_refused(name: str, text: str, decimal: Decimal, why: str) -> None:
    found = refused(name, text, decimal)
    assert (found.found, found.why) == (text, why)
    assert found.would_do


def test_what_would_do_is_said_in_the_unit_of_the_column() -> None:
    assert refused("wall_mm", "thick").would_do == "a number from 0.5 to 100, in mm"
    assert refused("count", "1.5").would_do == "a whole number of sherds"


@pytest.mark.parametrize("text", ["-", "–", "?", "n/a", "unknown", "X"])
def test_marks_for_nothing_are_asked_about(text: str) -> None:
    """A dash may mean not looked at or absent: only the observer knows."""
    assert refused("patches", text).would_do.startswith(
        "leave it blank where it was not looked at; none where"
    )
    assert "leave it blank" in refused("wall_mm", text).would_do


@pytest.mark.parametrize(
    ("name", "text", "would_do"),
    [
        ("edge", "wobbly", "sharp, soft"),
        ("region", "colorado-platau", "colorado-plateau"),
        ("munsell", "10YR 82", "10YR 8/2"),
        ("munsell", "N 12/", "N 10/"),
        ("looked", "rim?", "only the zones that were seen whole"),
        ("marks", "none stacking", "none alone, or what is there without none"),
    ],
)
def test_words_that_are_refused(name: str, text: str, would_do: str) -> None:
    assert refused(name, text).would_do == would_do


def test_the_nearest_colour_is_named_first() -> None:
    assert refused("colour", "redish").would_do.startswith("red; or white, cream")


def test_text_is_kept_composed_and_without_outer_blanks() -> None:
    assert seen("site", " Cafe\u0301 ").text == "Caf\u00e9"
    assert seen("note", "a\nb?").text == "a\nb?"
    assert not seen("note", "a?").doubtful


@pytest.mark.parametrize("bad", ["\x00", "\x07", "\x1b[31m", "\x9b", chr(0xD83D), "\ufffd", "\ufffe"])
def test_text_no_file_or_screen_should_hold_is_refused(bad: str) -> None:
    found = refused("note", f"ab{bad}c")
    assert "at place 3" in found.why


def test_text_has_a_longest() -> None:
    assert seen("note", "x" * LONGEST_TEXT)
    assert refused("note", "x" * (LONGEST_TEXT + 1)).why == "32,768 characters"


@given(st.data())
def test_what_was_read_reads_back_as_the_same(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(NAMES))
    found = data.draw(cells(name))
    assert parse(column(name), found.text) == found


@given(st.data())
def test_shares_sum_to_one_but_where_words_stand_together(data: st.DataObject) -> None:
    name = data.draw(
        st.sampled_from([one.name for one in columns() if one.kind in ("word", "colour", "munsell")])
    )
    found = data.draw(cells(name))
    assert math.fsum(share for _, share in found.words) == pytest.approx(1)
    assert [word for word, _ in found.words] == sorted({word for word, _ in found.words})


@given(st.sampled_from(NAMES), st.text(max_size=60), st.sampled_from(["point", "comma", "either"]))
def test_any_text_is_read_or_refused(name: str, text: str, decimal: Decimal) -> None:
    found = parse(column(name), text, decimal)
    if isinstance(found, Refused):
        assert found.would_do
    elif found is not None and column(name).kind not in ("text", "munsell", "number", "measure"):
        assert {word for word, _ in found.words} <= set(column(name).choices) or name == "region"


@given(st.data())
def test_a_decimal_comma_reads_as_the_point_does(data: st.DataObject) -> None:
    text = data.draw(written("slip_mm"))
    if "e" not in text:
        assert parse(column("slip_mm"), text.replace(".", ","), "comma") == parse(column("slip_mm"), text)


@given(st.floats(-1e15, 1e15, allow_nan=False))
def test_plain_numbers_read_back(number: float) -> None:
    assert float(plain(number)) == number
