"""Generated cells, rows and sherds: all that a table may say, in the one form it is kept in."""

import unicodedata
from collections.abc import Callable
from typing import Final

from hypothesis import strategies as st

from wareontology.graph.vocabulary import scheme
from wareontology.sherd.assemble import in_order
from wareontology.sherd.cells import LONGEST_TEXT, parse, plain
from wareontology.sherd.columns import FIELDS, Column, column, columns
from wareontology.sherd.record import Row, Seen, Sherd

AWKWARD: Final = (
    *('"', "'", "''", "'=x", "=1+1", "-5", "+5", "@x", "a,b", "a;b", "a\tb", "a\nb", "a\r\nb", "a\rb", "\\"),
    *(
        '\\"',
        "..",
        ".",
        "K 14/2",
        "#1",
        "sep=;",
        "ü",
        "é",
        "日本",
        "𝔎",
        "%2F",
        "?",
        "[x]",
        "{}",
        "<http://x>",
    ),
    *("none", "a  b"),
)
"""Text that some form of a table has a meaning of its own for."""

_LETTERS = st.characters(
    codec="utf-8",
    exclude_categories=("Cs", "Cc"),
    exclude_characters="\ufffd\ufffe\uffff",
    include_characters="\n\r\t",
)


def _kept(text: str) -> str:
    return unicodedata.normalize("NFC", text).strip()


def texts(most: int = 30) -> st.SearchStrategy[str]:
    """Text as a cell keeps it: composed, without blanks at its ends, not empty."""
    free = st.text(_LETTERS, min_size=1, max_size=most).map(_kept)
    return st.one_of(st.sampled_from(AWKWARD), free).filter(lambda text: 0 < len(text) <= LONGEST_TEXT)


def written(name: str) -> st.SearchStrategy[str]:
    """Text of a cell of a column, as a person may well type it."""
    found = column(name)
    return _WRITTEN[found.kind](found)


def cells(name: str) -> st.SearchStrategy[Seen]:
    """A cell of a column, read."""

    def read(text: str) -> Seen:
        seen = parse(column(name), text)
        assert isinstance(seen, Seen), (name, text, seen)
        return seen

    return written(name).map(read)


@st.composite
def sherds(draw: st.DrawFn) -> Sherd:
    """A sherd with any cells that go together, its rows in their order."""
    of_sherd = [each.name for each in columns() if each.of == "sherd" and each.name not in FIELDS]
    seen = draw(_some(of_sherd))
    for early, late in (("date_from", "date_to"),):
        if early in seen and late in seen and (seen[early].number or 0) > (seen[late].number or 0):
            del seen[late]
    keys = draw(st.lists(_keys(), min_size=1, max_size=5, unique=True))
    rows = []
    for zone, layer, name, refired in keys:
        row = draw(_some(_of_row(zone, layer))) | {"colour": draw(cells("colour"))}
        if refired is not None:
            row["refire_c"] = refired
        rows.append(Row(zone, layer, name, row))
    observer = draw(st.none() | texts(8))
    return Sherd(draw(texts(12)), observer, seen, in_order(rows))


def _of_row(zone: str, layer: str) -> list[str]:
    fits = {"core": (zone, layer) == ("break", "body")}
    left_out = {*FIELDS, "refire_c"}
    return [
        each.name
        for each in columns()
        if each.of != "sherd" and each.name not in left_out and fits.get(each.name, True)
    ]


@st.composite
def _some(draw: st.DrawFn, names: list[str]) -> dict[str, Seen]:
    chosen = draw(st.lists(st.sampled_from(names), max_size=6, unique=True))
    return {name: draw(cells(name)) for name in chosen}


def _keys() -> st.SearchStrategy[tuple[str, str, str | None, Seen | None]]:
    return st.tuples(
        st.sampled_from(column("zone").choices),
        st.sampled_from(column("layer").choices),
        st.none() | texts(8),
        st.none() | cells("refire_c").filter(lambda seen: not seen.doubtful),
    )


def _doubted(text: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.tuples(text, st.sampled_from(("", "", "?"))).map("".join)


def _word(found: Column) -> st.SearchStrategy[str]:
    choices = found.choices or scheme(found.name).notations()
    several = st.lists(st.sampled_from(choices), min_size=1, max_size=3, unique=True)
    return _doubted(st.one_of(st.sampled_from(choices), several.map("/".join), several.map(" to ".join)))


def _words(found: Column) -> st.SearchStrategy[str]:
    something = [choice for choice in found.choices if choice != "none"]
    several = st.lists(st.sampled_from(something), min_size=1, max_size=4, unique=True).map(", ".join)
    one = st.one_of(several, st.just("none")) if "none" in found.choices else several
    return one if found.kind == "zones" else _doubted(one)


def _munsell(_: Column) -> st.SearchStrategy[str]:
    hues = st.sampled_from(("10R", "2.5YR", "5YR", "7.5YR", "10YR", "2.5Y", "5Y", "5GY", "N"))
    chip = st.tuples(hues, st.sampled_from((3, 4, 5.5, 7, 8)), st.sampled_from((1, 2, 2.5, 4))).map(
        lambda parts: f"N {parts[1]}/" if parts[0] == "N" else f"{parts[0]} {parts[1]}/{parts[2]}"
    )
    return _doubted(st.one_of(chip, st.tuples(chip, chip).map("-".join)))


def _number(found: Column) -> st.SearchStrategy[str]:
    assert found.low is not None
    assert found.high is not None
    if found.unit in ("sherds", "years"):
        numbers: st.SearchStrategy[str] = st.integers(int(found.low), int(found.high)).map(str)
    else:
        numbers = st.floats(found.low, found.high).map(plain)
    below = st.sampled_from(("", "<")) if found.kind == "measure" else st.just("")
    return _doubted(st.tuples(below, numbers).map("".join))


def _text(found: Column) -> st.SearchStrategy[str]:
    return st.sampled_from(("body", "slip", "paint")) if found.name == "on" else texts()


_WRITTEN: Final[dict[str, Callable[[Column], st.SearchStrategy[str]]]] = {
    "word": _word, "colour": _word, "words": _words, "zones": _words, "munsell": _munsell,
    "number": _number, "measure": _number, "text": _text,
}  # fmt: skip
