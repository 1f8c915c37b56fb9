"""Munsell notation as people write it, and back in one form.

The notation is hue, value, chroma: `10YR 8/2` is hue 10YR, value 8, chroma 2; `N 4/` is a grey of value 4.
"""

import math
import re
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import Final

FAMILIES: Final = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
"""The ten hue families in the order of the Munsell hue circle."""

HIGHEST_CHROMA: Final = 50.0
"""Highest chroma of any row of data/munsell.csv; a test holds the two equal."""

_DECIMALS: Final = 6
_NUMBER: Final = r"[0-9]+(?:[.,][0-9]+)?"
_COLOURED: Final = re.compile(rf"({_NUMBER})\s*([A-Z]+)\s*({_NUMBER})\s*/\s*({_NUMBER})")
_GREY: Final = re.compile(rf"N\s*({_NUMBER})\s*(?:/\s*(0+(?:[.,]0+)?)?)?")
_GREY_PAGE: Final = re.compile(r"GLEY\s*[12]\s+(.+)")
_PAGE_GREY: Final = re.compile(rf"({_NUMBER})\s*/\s*N")
_PAGE_HUE: Final = re.compile(rf"({_NUMBER})\s*/\s*({_NUMBER})\s*([A-Z]+)\s*(?:_?\s*/?\s*({_NUMBER}))?")
_DASH: Final = re.compile(r"\s*(?:[-‐‑–—]|\bto\b)\s*", re.IGNORECASE)
_PART: Final = re.compile(
    rf"(?P<hue>N|(?:{_NUMBER})\s*[A-Z]+)?\s*(?P<value>{_NUMBER})?\s*(?P<slash>/)?\s*(?P<chroma>{_NUMBER})?"
)


class NotMunsell(ValueError):
    """A text that is no Munsell chip: carries what was found, why it will not do, and what would.

    >>> NotMunsell("10YR 8", "no chroma", "10YR 8/2")
    NotMunsell("found '10YR 8' (no chroma); would do: 10YR 8/2")
    """

    def __init__(self, found: str, why: str, would_do: str) -> None:
        self.found, self.why, self.would_do = found, why, would_do
        super().__init__(f"found {found!r} ({why}); would do: {would_do}")


@dataclass(frozen=True, slots=True)
class Chip:
    """One Munsell colour: hue (`10YR`, or `N` for a grey), value 0 to 10, chroma 0 to 50.

    Kept in one form: `0YR` is `10R`, chroma 0 is hue `N`, numbers are kept to six decimals.
    Raises NotMunsell (a ValueError) where hue, value or chroma is none that can be.

    >>> Chip("0YR", 4, 6)
    Chip(hue='10R', value=4.0, chroma=6.0)
    >>> str(Chip("10YR", 4, 0))
    'N 4/'
    """

    hue: str
    value: float
    chroma: float

    def __post_init__(self) -> None:
        value = _within(self.value, "value", 10.0)
        chroma = _within(self.chroma, "chroma", HIGHEST_CHROMA)
        hue = _one_hue(self.hue)
        if hue == "N" and chroma > 0:
            grey = f"N {_plain(value)}/"
            raise NotMunsell(f"{grey}{_plain(chroma)}", "a grey has no chroma", grey)
        object.__setattr__(self, "hue", hue if chroma > 0 else "N")
        object.__setattr__(self, "value", value)
        object.__setattr__(self, "chroma", chroma)

    def __str__(self) -> str:
        if self.hue == "N":
            return f"N {_plain(self.value)}/"
        return f"{self.hue} {_plain(self.value)}/{_plain(self.chroma)}"


def parse(text: str) -> Chip:
    """The chip a text names.

    Taken: with or without spaces, any case, decimal point or comma, `N 4/` `N4` `N4/0`, `10YR 4/0`
    (the grey N 4/), `0YR` (10R), the grey pages as `GLEY1 4/N` or `GLEY 1 10Y 4/1`.
    Raises NotMunsell (a ValueError) that says what was found and the nearest reading.

    >>> str(parse("10yr8/2")), str(parse("n4")), str(parse("2,5 YR 4.5 / 6"))
    ('10YR 8/2', 'N 4/', '2.5YR 4.5/6')
    >>> parse("10YR 8-2")
    Traceback (most recent call last):
    wareontology.colour.notation.NotMunsell: found '10YR 8-2' (no Munsell notation); would do: 10YR 8/2
    """
    bare = text.strip().upper()
    page = _GREY_PAGE.fullmatch(bare)
    if page:
        return _of_grey_page(text, page[1])
    grey = _GREY.fullmatch(bare)
    coloured = _COLOURED.fullmatch(bare)
    try:
        if grey:
            return Chip("N", _number(grey[1]), 0.0)
        if coloured:
            return Chip(coloured[1] + coloured[2], _number(coloured[3]), _number(coloured[4]))
    except NotMunsell as refused:
        raise NotMunsell(text, refused.why, _nearest_reading(bare)) from None
    raise NotMunsell(text, "no Munsell notation", _nearest_reading(bare))


def parse_range(text: str) -> tuple[Chip, ...]:
    """The two ends of a range, or the one chip where there is no range; what lies between is not filled in.

    The second end may leave out what it shares with the first, and the first what it shares with the
    second. Raises NotMunsell (a ValueError) as `parse` does.

    >>> [str(chip) for chip in parse_range("10YR 8/2-7/3")]
    ['10YR 8/2', '10YR 7/3']
    >>> [str(chip) for chip in parse_range("2.5YR 5/6-8")]
    ['2.5YR 5/6', '2.5YR 5/8']
    >>> [str(chip) for chip in parse_range("7.5YR-10YR 7/4")]
    ['7.5YR 7/4', '10YR 7/4']
    """
    ends = _DASH.split(text.strip())
    if len(ends) == 1:
        return (parse(text),)
    would_do = "two ends, such as 10YR 8/2-8/3"
    if len(ends) > 2:
        raise NotMunsell(text, "more than two ends", would_do)
    first, second = (_PART.fullmatch(end.upper()) for end in ends)
    if first is None or second is None or not all(ends):
        raise NotMunsell(text, "no range of Munsell chips", would_do)
    try:
        low, high = _filled(first, second)
        chips = (parse(low), parse(high))
    except NotMunsell as refused:
        raise NotMunsell(text, refused.why, would_do) from None
    return chips if chips[0] != chips[1] else chips[:1]


def hue_number(hue: str) -> float:
    """Place of a hue on the Munsell circle, above 0 to 100: 10R is 10, 10YR is 20, 10RP is 100.

    The ASTM hue number (ASTM D1535, as colour-science documents it; the standard itself was not read).
    Raises NotMunsell where it is no hue, or grey, which has none.

    >>> hue_number("2.5YR"), hue_number("10RP")
    (12.5, 100.0)
    """
    number, family = _hue_parts(hue)
    return 10.0 * FAMILIES.index(family) + number


def _filled(first: re.Match[str], second: re.Match[str]) -> tuple[str, str]:
    """Both ends of a range in full; what is missing in one is taken from the other."""
    hue_1, value_1, chroma_1 = _named(first)
    hue_2, value_2, chroma_2 = _named(second)
    bare_end = hue_2 is None and value_2 and chroma_2 is None and not second["slash"]
    if bare_end and first["slash"] and hue_1 != "N":  # `5/6-8`: a bare number after a whole chip is a chroma
        value_2, chroma_2 = None, value_2
    if hue_1 is None and not first["slash"] and value_1 and chroma_1 is None and hue_2 and hue_2 != "N":
        family = hue_2.lstrip("0123456789.,").strip()
        hue_1, value_1 = f"{value_1}{family}", None  # `7.5-10YR 7/4`: a bare number before one is a hue
    if value_1 is None and chroma_1 is None and hue_2 is None:  # `10YR-8/2` may be one chip with a stray dash
        raise NotMunsell(first[0], "a hue alone is no end", "a whole chip")
    hue_1, hue_2 = hue_1 or hue_2, hue_2 or hue_1
    low = chroma_1 or ("" if hue_1 == "N" else chroma_2 or "")
    high = chroma_2 or ("" if hue_2 == "N" else chroma_1 or "")
    return f"{hue_1} {value_1 or value_2}/{low}", f"{hue_2} {value_2 or value_1}/{high}"


def _named(part: re.Match[str]) -> tuple[str | None, str | None, str | None]:
    return part["hue"], part["value"], part["chroma"]


def _of_grey_page(text: str, rest: str) -> Chip:
    """A chip of the soil chart's two grey pages, which print value/hue."""
    grey = _PAGE_GREY.fullmatch(rest)
    if grey:
        return parse(f"N {grey[1]}/")
    hue = _PAGE_HUE.fullmatch(rest)
    if hue:  # which chroma a column of those pages has was not seen in a source, so it is not assumed
        would_do = f"{hue[2]}{hue[3]} {hue[1]}/{hue[4] or '1'}, with the chroma the page prints"
        raise NotMunsell(text, "the grey page's short form leaves the chroma open", would_do)
    try:
        return parse(rest)
    except NotMunsell as refused:
        raise NotMunsell(text, refused.why, refused.would_do) from None


@lru_cache(maxsize=1024)
def _one_hue(hue: str) -> str:
    if hue.strip().upper() == "N":
        return "N"
    number, family = _hue_parts(hue)
    return f"{_plain(number)}{family}"


@lru_cache(maxsize=1024)
def _hue_parts(hue: str) -> tuple[float, str]:
    """Number above 0 to 10, and family; `0YR` gives (10, "R")."""
    match = re.fullmatch(rf"\s*({_NUMBER})\s*([A-Z]+)\s*", hue.upper())
    if match is None or match[2] not in FAMILIES:
        would_do = "a hue such as 10YR; the families are " + " ".join(FAMILIES)
        raise NotMunsell(hue, "no hue family of that name", would_do)
    number = round(_number(match[1]), _DECIMALS)
    if number > 10:
        raise NotMunsell(hue, "a hue number runs from 0 to 10", f"10{match[2]}")
    if number == 0:
        return 10.0, FAMILIES[FAMILIES.index(match[2]) - 1]
    return number, match[2]


def _within(number: float, name: str, high: float) -> float:
    if not (math.isfinite(number) and 0 <= number <= high):
        raise NotMunsell(f"{name} {number:g}", f"a {name} runs from 0 to {high:g}", f"{name} 0 to {high:g}")
    return round(float(number), _DECIMALS)


def _nearest_reading(bare: str) -> str:
    """The chip the writer most likely meant, for a message; never used as data."""
    bare = re.sub(r"(?<=[0-9])O|O(?=[0-9])", "0", bare)
    grey = re.match(rf"N\W*({_NUMBER})", bare) or re.search(rf"({_NUMBER})\s*/\s*N$", bare)
    if grey:
        return f"N {_plain(min(_number(grey[1]), 10.0))}/"
    chip = re.search(rf"({_NUMBER})\W*([A-Z]+)\W*({_NUMBER})?(?:\W+({_NUMBER}))?", bare)
    if chip is None:
        return "hue value/chroma such as 10YR 8/2, or N 4/ for a grey"
    hue, family, value, chroma = chip.groups()
    if family not in FAMILIES:  # RY is YR
        close = get_close_matches(family, FAMILIES, 1, 0.4)
        family = family[::-1] if family[::-1] in FAMILIES else close[0] if close else "YR"
    number = _number(hue)
    if number > 10:  # 25YR is 2.5YR with its point lost
        number = number / 10 if number in (25, 75) else 10.0
    if value and not chroma and re.fullmatch(r"[1-9][0-9]", value):  # 82 is 8/2 with its stroke lost
        value, chroma = value[0], value[1]
    known = f"{_plain(number)}{family}"
    if not value:
        return f"{known} with value/chroma, such as {known} 8/2"
    if not chroma or _number(chroma) > HIGHEST_CHROMA:
        return f"{known} {value}/ with a chroma, such as {known} {value}/2"
    return f"{known} {_plain(min(_number(value), 10.0))}/{_plain(_number(chroma))}"


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _plain(number: float) -> str:
    """A number as it is written on a chart: `8`, `2.5`, never `8.0` or an exponent."""
    return f"{number:.{_DECIMALS}f}".rstrip("0").rstrip(".")
