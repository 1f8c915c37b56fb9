"""What several answers on traditions share: a tradition in short, where and when, and what was asked for."""

import re
from collections.abc import Iterable
from typing import Any, Final

from wareontology.errors import BreaksShape, Fault
from wareontology.graph.traditions import Statement, Tradition, tradition_sources
from wareontology.graph.vocabulary import scheme

STATED: Final = ("stated",)
ANY: Final = ("stated", "inferred", "memory")
_YEAR: Final = r"(?P<{0}>-?\d{{1,5}})\s*(?P<{0}_era>bce?|ce|ad)?"
_PERIOD: Final = re.compile(
    rf"\s*{_YEAR.format('start')}\s*(?:(?:to|\.\.|:|-|–)\s*{_YEAR.format('end')})?\s*", re.IGNORECASE
)


def brief(tradition: Tradition, bases: Iterable[str] = STATED) -> dict[str, Any]:
    """A tradition in one entry: its region, years, and what of its material and fire is said on those bases.

    Years are given on whatever basis there is, and the basis with them.

    >>> from wareontology.graph.traditions import tradition
    >>> brief(tradition("us-tusayan-white"))["atmosphere"]
    ['neutral', 'reducing']
    """
    wanted = tuple(bases)
    start, end = (_year(tradition, field) for field in ("date_from", "date_to"))
    said = {
        field: sorted({term for basis in wanted for term in tradition.terms(field, basis)})
        for field in ("atmosphere", "ending", "paint", "slip", "body")
    }
    return {
        "id": tradition.id,
        "label": tradition.label,
        "region": tradition.region,
        "region_label": region_label(tradition.region),
        "date_from": start[0],
        "date_to": end[0],
        "dates_basis": start[1] or end[1],
        "groups": list(tradition.groups),
        **said,
        "nothing_stated": tradition.is_from_memory(),
    }


def region_label(region: str) -> str:
    """A region by its name.

    >>> region_label("colorado-plateau")
    'Colorado Plateau'
    """
    return scheme("region")[region].label


def region_asked(text: str, command: str) -> str:
    """The region meant. Raises BreaksShape, with the nearest names, where there is none.

    >>> region_asked("Four Corners", "browse")
    'colorado-plateau'
    """
    found = scheme("region").resolve(text)
    if found is None:
        near = scheme("region").nearest(text)
        raise unknown(command, "region", text, near or ("an id such as aegean",), "no such region")
    return found


def unknown(command: str, option: str, found: str, would_do: Iterable[str], why: str) -> BreaksShape:
    """The error for a word that names nothing we have."""
    return BreaksShape([Fault(command, None, option, found, ", ".join(would_do), why=why)])


def period_asked(text: str, command: str) -> tuple[int, int]:
    """First and last year meant; years BCE are negative. Raises BreaksShape for anything else.

    >>> period_asked("1600-1100 BCE", "browse"), period_asked("600..900", "browse")
    ((-1600, -1100), (600, 900))
    """
    match = _PERIOD.fullmatch(text)
    if match is None:
        raise unknown(command, "period", text, ("600..900", "1600-1100 BCE"), "no years")
    era = match["end_era"] or match["start_era"]
    start = _signed(match["start"], match["start_era"] or era)
    end = start if match["end"] is None else _signed(match["end"], match["end_era"])
    if start > end:
        raise unknown(command, "period", text, (f"{end}..{start}",), "the last year is before the first")
    return start, end


def years_words(start: int | None, end: int | None) -> str:
    """Years as a reader writes them.

    >>> years_words(-1600, -1100), years_words(-100, 200), years_words(None, None)
    ('1600 to 1100 BCE', '100 BCE to 200 CE', 'years not told')
    """
    if start is None or end is None:
        only = start if end is None else end
        return "years not told" if only is None else _year_words(only)
    if (start < 0) == (end < 0):
        return f"{abs(start)} to {_year_words(end)}"
    return f"{_year_words(start)} to {_year_words(end)}"


def place_words(said: Statement) -> str:
    """The layer and zone a statement is about; empty where it is about the whole.

    >>> place_words(Statement("colour", "black", "stated", zone="interior", layer="paint", name="black"))
    'black paint, interior'
    """
    layer = " ".join(filter(None, (said.name, said.layer))) if said.name != said.layer else said.layer
    return ", ".join(filter(None, (layer, said.zone)))


def cited(keys: Iterable[str]) -> list[dict[str, str | None]]:
    """Sources by key, with what of each was read."""
    known = tradition_sources()
    return [
        {"id": key, "citation": known[key].citation, "read": known[key].read, "doi": known[key].doi}
        for key in dict.fromkeys(keys)
    ]


def _year(tradition: Tradition, field: str) -> tuple[int | None, str | None]:
    for basis in ANY:
        value = tradition.first(field, basis)
        if value is not None and re.fullmatch(r"-?\d+", value):
            return int(value), basis
    return None, None


def _signed(number: str, era: str | None) -> int:
    year = int(number)
    return -abs(year) if era and era.casefold().startswith("b") else year


def _year_words(year: int) -> str:
    return f"{-year} BCE" if year < 0 else f"{year} CE"
