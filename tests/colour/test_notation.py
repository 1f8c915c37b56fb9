"""Munsell notation: what people write is read as one chip; nonsense is refused with the nearest reading."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wareontology.colour.notation import (
    FAMILIES,
    HIGHEST_CHROMA,
    Chip,
    NotMunsell,
    hue_number,
    parse,
    parse_range,
)

numbers = st.one_of(st.integers(0, 10).map(float), st.floats(0, 10))
chips = st.builds(
    Chip,
    st.builds(lambda number, family: f"{number:.6f}{family}", st.floats(0, 10), st.sampled_from(FAMILIES)),
    numbers,
    st.one_of(st.sampled_from([0.0, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0]), st.floats(0, HIGHEST_CHROMA)),
)


@settings(deadline=None)
@given(chips)
def test_a_chip_is_read_back_as_itself(chip: Chip) -> None:
    assert parse(str(chip)) == chip


@settings(deadline=None)
@given(chips, st.sampled_from(["", " ", "  "]), st.booleans())
def test_spaces_and_case_do_not_matter(chip: Chip, space: str, lower: bool) -> None:
    text = str(chip).replace(" ", space).replace("/", f"{space}/{space}")
    assert parse(text.lower() if lower else text) == chip


@settings(deadline=None)
@given(st.text(max_size=20))
def test_any_text_is_a_chip_or_refused_with_what_would_do(text: str) -> None:
    refused = None
    try:
        chip = parse(text)
    except NotMunsell as error:
        refused = error
    if refused is None:
        assert parse(str(chip)) == chip
    else:
        assert (refused.found, bool(refused.would_do)) == (text, True)


# What people write, and the canonical text; the forms are those the brief and Munsell soil charts use.
WRITTEN = [
    ("10YR 8/2", "10YR 8/2"),
    ("10YR8/2", "10YR 8/2"),
    ("10 YR 8/2", "10YR 8/2"),
    ("10yr 8/2", "10YR 8/2"),
    (" 10YR 8 / 2 ", "10YR 8/2"),
    ("10YR 8.0/2.0", "10YR 8/2"),
    ("2.5YR 4.5/6", "2.5YR 4.5/6"),
    ("2,5YR 4,5/6", "2.5YR 4.5/6"),
    ("N 4/", "N 4/"),
    ("N4/", "N 4/"),
    ("N 4", "N 4/"),
    ("n4", "N 4/"),
    ("N4/0", "N 4/"),
    ("N 2.5/", "N 2.5/"),
    ("10YR 4/0", "N 4/"),
    ("0YR 4/6", "10R 4/6"),
    ("0R 4/6", "10RP 4/6"),
    ("0.0Y 6.0/4.0", "10YR 6/4"),
    ("GLEY1 4/N", "N 4/"),
    ("Gley 1 2.5/N", "N 2.5/"),
    ("GLEY 1 10Y 4/1", "10Y 4/1"),
    ("GLEY2 5PB 4/1", "5PB 4/1"),
]


@pytest.mark.parametrize(("text", "canonical"), WRITTEN)
def test_reads_what_people_write(text: str, canonical: str) -> None:
    assert str(parse(text)) == canonical


# Nonsense, and the reading the message must offer.
REFUSED = [
    ("", "10YR 8/2"),
    ("red", "10YR 8/2"),
    ("10YR", "10YR 8/2"),
    ("10YR 8", "10YR 8/2"),
    ("10YR 8-2", "10YR 8/2"),
    ("10YR 82", "10YR 8/2"),
    ("10YR 8//2", "10YR 8/2"),
    ("10YR 8/2?", "10YR 8/2"),
    ("10RY 8/2", "10YR 8/2"),
    ("1OYR 8/2", "10YR 8/2"),
    ("25YR 5/6", "2.5YR 5/6"),
    ("12YR 8/2", "10YR 8/2"),
    ("10YR 11/2", "10YR 10/2"),
    ("10YR 8/200", "10YR 8/2"),
    ("N", "N 4/"),
    ("N 4/2", "N 4/"),
    ("N/4", "N 4/"),
    ("N 44/", "N 10/"),
    ("GLEY 4/N", "N 4/"),
    ("GLEY1 4/10Y", "10Y 4/1"),
    ("GLEY1 5/5G_/2", "5G 5/2"),
    ("GLEY1 red", "10YR 8/2"),
    ("-10YR 8/2", "10YR 8/2"),
    ("10YR 8/2-8/3", "10YR 8/2"),
    ("8/2", "10YR 8/2"),
]


@pytest.mark.parametrize(("text", "reading"), REFUSED)
def test_refuses_nonsense_with_the_nearest_reading(text: str, reading: str) -> None:
    with pytest.raises(ValueError, match="would do") as refused:
        parse(text)
    assert reading in str(refused.value)
    assert repr(text) in str(refused.value)


@pytest.mark.parametrize(
    ("hue", "value", "chroma"),
    [
        ("11YR", 4, 4),
        ("10YR", 11, 4),
        ("10YR", -1, 4),
        ("10YR", 4, -1),
        ("10YR", 4, HIGHEST_CHROMA + 1),
        ("10YR", float("nan"), 4),
        ("10YR", 4, float("inf")),
        ("10XX", 4, 4),
        ("YR", 4, 4),
        ("N", 4, 2),
        ("", 4, 2),
    ],
)
def test_no_chip_can_be_made_that_cannot_be(hue: str, value: float, chroma: float) -> None:
    with pytest.raises(ValueError, match="would do"):
        Chip(hue, value, chroma)


def test_a_chip_never_changes_and_counts_as_one_thing() -> None:
    chip = parse("10YR 8/2")
    with pytest.raises(AttributeError):
        chip.value = 7.0  # type: ignore[misc]
    assert len({chip, parse("10yr8/2"), Chip("10YR", 8, 2)}) == 1


def test_hue_numbers_run_once_round_the_circle() -> None:
    names = [f"{number:g}{family}" for family in FAMILIES for number in (2.5, 5, 7.5, 10)]
    assert [hue_number(name) for name in names] == [2.5 * step for step in range(1, 41)]
    with pytest.raises(NotMunsell):
        hue_number("N")


RANGES = [
    ("10YR 8/2", ["10YR 8/2"]),
    ("10YR 8/2-8/3", ["10YR 8/2", "10YR 8/3"]),
    ("10YR 8/2-7/3", ["10YR 8/2", "10YR 7/3"]),
    ("10YR 8/2 – 8/3", ["10YR 8/2", "10YR 8/3"]),
    ("10YR 8/2 to 8/3", ["10YR 8/2", "10YR 8/3"]),
    ("2.5YR 5/6-8", ["2.5YR 5/6", "2.5YR 5/8"]),  # as Perkins writes it, Internet Archaeology 4, Coarseware 1
    ("2.5YR 6/6-7.5YR 7/4", ["2.5YR 6/6", "7.5YR 7/4"]),  # the same, Coarse Creamware 1
    ("7.5YR-10YR 7/4", ["7.5YR 7/4", "10YR 7/4"]),
    ("7.5-10YR 7/4", ["7.5YR 7/4", "10YR 7/4"]),
    ("10YR 7-8/2", ["10YR 7/2", "10YR 8/2"]),
    ("N 4/-N 5/", ["N 4/", "N 5/"]),
    ("N 4/-5/", ["N 4/", "N 5/"]),
    ("N 4-5", ["N 4/", "N 5/"]),
    ("N 4/-10YR 5/1", ["N 4/", "10YR 5/1"]),
    ("10YR 5/1-N 4/", ["10YR 5/1", "N 4/"]),
    ("10YR 8/2-8/2", ["10YR 8/2"]),
]


@pytest.mark.parametrize(("text", "ends"), RANGES)
def test_reads_both_ends_of_a_range(text: str, ends: list[str]) -> None:
    assert [str(chip) for chip in parse_range(text)] == ends


@settings(deadline=None)
@given(chips, chips)
def test_two_whole_chips_are_a_range(first: Chip, second: Chip) -> None:
    assert parse_range(f"{first}-{second}") == ((first, second) if first != second else (first,))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "-",
        "10YR 8/2-",
        "-8/2",
        "10YR 8/2-8/3-8/4",
        "10YR 8/2-red",
        "10YR 8-2",
        "10YR-8/2",
        "8/2-8/3",
        "10YR 8/2-12/3",
        "10YR 8/2?",
    ],
)
def test_refuses_what_is_no_range(text: str) -> None:
    with pytest.raises(ValueError, match="would do"):
        parse_range(text)


@settings(deadline=None)
@given(st.text(alphabet="0123456789./- NYRGBP?", max_size=16))
def test_any_text_is_a_range_or_refused(text: str) -> None:
    try:
        ends = parse_range(text)
    except NotMunsell:
        return
    assert 1 <= len(ends) <= 2
    assert parse_range("-".join(str(end) for end in ends)) == ends
