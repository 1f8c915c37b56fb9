"""One cell: the text a person typed, read as what was seen."""

import re
import unicodedata
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Final, Literal

from wareontology.errors import OutOfRange
from wareontology.sherd import words
from wareontology.sherd.columns import Column, allowed
from wareontology.sherd.record import Seen

Decimal = Literal["point", "comma", "either"]
"""Decimal mark of a file: a point; a comma (a semicolon table); whichever is meant (a tab table)."""

LONGEST_TEXT: Final = 32_767
"""Most characters in a cell of text: what a spreadsheet cell holds, so that every form of the table can."""

_PLAIN_NUMBER: Final = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?")
_POINT_THOUSANDS: Final = re.compile(r"[+-]?[1-9][0-9]{0,2}\.[0-9]{3}")
_COMMA_THOUSANDS: Final = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
_NOT_TEXT: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffd\ufffe\uffff]")
_NOT_LOOKED: Final = frozenset({"-", "–", "—", "?", "n/a", "na", "nan", "null", "unknown", "nil", "x"})
_WHOLE_UNITS: Final = frozenset({"sherds", "years"})


@dataclass(frozen=True, slots=True)
class Refused:
    """A cell that is not what its column holds: what was found, what would do, and why where that helps."""

    found: str
    would_do: str
    why: str = ""


def parse(column: Column, text: str, decimal: Decimal = "point") -> Seen | Refused | None:
    """What a cell says. None for a blank cell: not looked at.

    A question mark at the end makes it doubtful. Words may be a range (`cream-buff`), chips too.

    >>> from wareontology.sherd.columns import column
    >>> parse(column("colour"), "Cream to buff?")
    Seen(column='colour', text='cream-buff?', words=(('buff', 0.5), ('cream', 0.5)), number=None, \
below=False, doubtful=True)
    >>> parse(column("wall_mm"), "5,5", "comma").number
    5.5
    >>> parse(column("edge"), "wobbly").would_do
    'sharp, soft'
    """
    bare = text.strip()
    if not bare:
        return None
    return _READERS[column.kind](column, bare, decimal)


def plain(number: float) -> str:
    """A number as it stands in a cell: the shortest text that reads back as the same number.

    >>> plain(12.0), plain(5.5)
    ('12', '5.5')
    """
    return str(int(number)) if number == int(number) and abs(number) < 1e15 else repr(number)


def _word(column: Column, text: str, _: Decimal) -> Seen | Refused:
    bare, doubtful = _doubt(text)
    found = words.between(column, bare)
    if found is None:
        return _no_word(column, text)
    joint = "/" if any("-" in word for word in found) else "-"
    shares = {word: 1 / len(found) for word in found}
    return Seen(column.name, joint.join(found) + "?" * doubtful, _sorted(shares), doubtful=doubtful)


def _words(column: Column, text: str, _: Decimal) -> Seen | Refused:
    bare, doubtful = _doubt(text)
    found = words.listed(column, bare)
    if found is None:
        return _no_word(column, text)
    if "none" in found and len(found) > 1:
        return Refused(text, "none alone, or what is there without none", "none and something at once")
    return Seen(
        column.name, " ".join(found) + "?" * doubtful, _sorted(dict.fromkeys(found, 1.0)), doubtful=doubtful
    )


def _zones(column: Column, text: str, decimal: Decimal) -> Seen | Refused:
    seen = _words(column, text, decimal)
    if isinstance(seen, Seen) and seen.doubtful:
        return Refused(text, "only the zones that were seen whole", "a zone in doubt was not seen whole")
    return seen


def _munsell(column: Column, text: str, _: Decimal) -> Seen | Refused:
    from wareontology.colour import notation
    from wareontology.colour.words import membership

    if len(text) > words.LONGEST:
        return Refused(text, allowed(column))
    bare, doubtful = _doubt(text)
    try:
        chips = notation.parse_range(bare)
    except notation.NotMunsell as refused:
        return Refused(text, refused.would_do, refused.why)
    shares: dict[str, float] = {}
    try:
        for chip in chips:
            for word, share in membership(chip).items():
                if share > 0:
                    shares[word] = shares.get(word, 0.0) + share / len(chips)
    except OutOfRange as refused:
        part = refused.quantity.partition(" ")[0]
        would_do = f"a {part} from {refused.low:g} to {refused.high:g}"
        return Refused(text, would_do, "outside the Munsell table")
    return Seen(column.name, _range_of(chips) + "?" * doubtful, _sorted(shares), doubtful=doubtful)


def _number(column: Column, text: str, decimal: Decimal) -> Seen | Refused:
    bare, doubtful = _doubt(text)
    below = column.kind == "measure" and bare.startswith("<")
    number = _value(bare[1:].strip() if below else bare, decimal)
    if isinstance(number, str):
        return Refused(text, _or_blank(column, text), number)
    low, high = column.low, column.high
    if (low is not None and number < low) or (high is not None and number > high):
        if column.kind == "measure" and number == 0:
            return Refused(text, "< and the detection limit, such as <12", "nothing found is below detection")
        return Refused(text, allowed(column), "out of range")
    if column.unit in _WHOLE_UNITS and number != int(number):
        return Refused(text, f"a whole number of {column.unit}")
    canonical = "<" * below + plain(number) + "?" * doubtful
    return Seen(column.name, canonical, number=number, below=below, doubtful=doubtful)


def _text(column: Column, text: str, _: Decimal) -> Seen | Refused:
    if not text.isascii():
        text = unicodedata.normalize("NFC", text)
    wrong = _NOT_TEXT.search(text)
    if wrong:
        lost = "a mark left where a letter was lost" if wrong[0] == "\ufffd" else "a character no text holds"
        return Refused(text, "the text without it", f"{lost}, at place {wrong.start() + 1}")
    if len(text) > LONGEST_TEXT:
        return Refused(text, f"at most {LONGEST_TEXT:,} characters", f"{len(text):,} characters")
    return Seen(column.name, text)


def _doubt(text: str) -> tuple[str, bool]:
    bare = text.rstrip("?").rstrip()
    return (bare, True) if bare and text.endswith("?") else (text, False)


def _no_word(column: Column, text: str) -> Refused:
    one = column.kind not in ("words", "zones") or text.isalpha()
    near = words.nearest(column, text) if one else ()
    would_do = _or_blank(column, text)
    if near and near != column.choices:
        would_do = f"{near[0]}; or {would_do}" if len(column.choices) > 3 else would_do
        would_do = ", ".join(near) if not column.choices else would_do
    return Refused(text, would_do, "" if column.choices else f"no {column.name} of that name")


def _or_blank(column: Column, text: str) -> str:
    if text.casefold() not in _NOT_LOOKED:
        return allowed(column)
    blank = "leave it blank where it was not looked at"
    absent = next((word for word in ("none", "no") if word in column.choices), None)
    return f"{blank}; " + (f"{absent} where it was looked at and is absent" if absent else allowed(column))


def _value(text: str, decimal: Decimal) -> float | str:
    """The number, or why there is none."""
    bare = text.replace("−", "-")  # the minus sign of print
    if "," in bare and decimal == "point":
        return "in this file the decimal mark is a point"
    if "," in bare and "." in bare:
        return "a point and a comma in one number"
    if (decimal == "comma" and _POINT_THOUSANDS.fullmatch(bare)) or (
        decimal == "either" and _COMMA_THOUSANDS.fullmatch(bare)
    ):
        return "thousands or decimals? it may be read both ways"
    bare = bare.replace(",", ".")
    return float(bare) + 0.0 if _PLAIN_NUMBER.fullmatch(bare) else "no number"


def _range_of(chips: Iterable[object]) -> str:
    """`10YR 8/2-8/3` where the ends share a hue, else both in full; reads back as the same chips."""
    texts = [str(chip) for chip in chips]
    hues = {text.partition(" ")[0] for text in texts}
    if len(hues) == 1 and hues != {"N"}:
        return texts[0] + "".join("-" + text.partition(" ")[2] for text in texts[1:])
    return "-".join(texts)


def _sorted(shares: dict[str, float]) -> tuple[tuple[str, float], ...]:
    return tuple(sorted(shares.items()))


_READERS: Final[dict[str, Callable[[Column, str, Decimal], Seen | Refused]]] = {
    "word": _word,
    "colour": _word,
    "words": _words,
    "zones": _zones,
    "munsell": _munsell,
    "number": _number,
    "measure": _number,
    "text": _text,
}
