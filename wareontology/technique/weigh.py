"""What one piece of evidence does: conflict with the rest, and what would flip the answer."""

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from wareontology.sherd.record import Row, Seen
from wareontology.technique.case import Case, top
from wareontology.technique.likelihoods import colours, evidence
from wareontology.technique.likelihoods.reading import Context
from wareontology.technique.likelihoods.schema import (
    CORE,
    EDGE,
    FINISH,
    LUSTRE,
    MAGNET,
    RELIEF,
    SINTERED,
    YES_NO,
)
from wareontology.technique.network import Item
from wareontology.technique.units import Unit
from wareontology.technique.what_if import COLUMNS_OF, seen_as

CONFLICT_BITS: Final = 3.0
"""An item is in conflict where it is more than 2^3 times likelier alone than with the rest."""

_COLOURS: Final = ("white", "cream", "buff", "red", "brown", "grey", "black")
ALTERNATIVES: Final[dict[str, tuple[str, ...]]] = {
    "colour": _COLOURS, "munsell": _COLOURS, "patches": ("none", "red", "black"),
    "edge": EDGE, "relief": RELIEF, "lustre": LUSTRE, "sintered": SINTERED, "finish": FINISH, "core": CORE,
    "magnet": MAGNET, "acid": ("none", "fizz"), "white_specks": YES_NO, "rubs_off": ("no", "dry", "wet"),
    "refire_colour": ("red", "brown", "black", "gone"),
    "refire_ground_colour": ("white", "cream", "buff", "red"),
}  # fmt: skip
"""How else each trait might have been seen, for asking what would flip the answer."""


def conflict(case: Case) -> dict[str, object]:
    """Items that the rest of the sherd speaks against, in bits: log2(P(e) / P(e | the rest)).

    Each names the questions whose top answer is another one without it.
    """
    items = case.items
    if len(items) < 2:
        return {"bits": 0.0, "items": []}
    alone = [(item,) for item in items]
    without = [tuple(other for other in items if other is not item) for item in items]
    chance = case.given([items, *alone, *without], only=()).evidence
    count = len(items)
    bits_of = [
        math.log2(float(chance[1 + place]) * float(chance[1 + count + place]) / float(chance[0]))
        for place in range(count)
    ]
    places = [place for place, bits in enumerate(bits_of) if bits > CONFLICT_BITS]
    if not places:
        return {"bits": round(max(0.0, *bits_of), 3), "items": []}
    odds = case.odds(case.given([items, *(without[place] for place in places)], case.questions()))
    now = {question: top(values)[0] for question, values in odds.items()}
    found = []
    for number, place in enumerate(places, start=1):
        item, bits = items[place], bits_of[place]
        else_ = {question: top(values, number)[0] for question, values in odds.items()}
        found.append(
            {
                "unit": item.unit,
                "trait": item.trait,
                "said": item.said,
                "rows": list(item.rows),
                "bits": round(bits, 3),
                "flips": {question: else_[question] for question in now if else_[question] != now[question]},
            }
        )
    found.sort(key=lambda entry: -float(entry["bits"]))  # type: ignore[arg-type]
    return {"bits": round(max(0.0, *bits_of), 3), "items": found}


def flips(case: Case, questions: tuple[str, ...], most: int = 8) -> list[dict[str, object]]:
    """Single traits that, seen otherwise, change a top answer; the likeliest slips of the eye first."""
    changed = list(_changes(case))
    if not changed:
        return []
    odds = case.odds(case.marginals)
    now = {question: top(odds[question])[0] for question in questions}
    found = []
    for group in _by_network(changed):
        result = group[0][0].given([items for *_, items in group], questions)
        varied = group[0][0].odds(result)
        for place, (_, unit, row, cell, word, _) in enumerate(group):
            then = {
                question: value
                for question in questions
                if (value := top(varied[question], place)[0]) != now[question]
            }
            if then:
                found.append((float(result.evidence[place]), _flip(unit, row, cell, word, then)))
    found.sort(key=lambda entry: (-entry[0], str(entry[1])))
    return [entry for _, entry in found[:most]]


Change = tuple[Case, Unit, Row, Seen, str, tuple[Item, ...]]


def _flip(unit: Unit, row: Row, cell: Seen, word: str, then: dict[str, str]) -> dict[str, object]:
    where = {
        "number": row.number,
        "unit": unit.key,
        "zone": row.zone,
        "column": cell.column,
        "said": cell.text,
    }
    return {"row": where, "if_it_were": word, "then": then}


def _changes(case: Case) -> Iterator[Change]:
    for unit in case.units.all():
        for row in unit.rows:
            for cell in row.seen.values():
                if cell.column == "colour" and row.get("munsell"):
                    continue  # the chip outranks the word
                for word in ALTERNATIVES.get(cell.column, ()):
                    if cell.share(word) < 0.3:
                        yield _change(case, unit, row, cell, word)


def _change(case: Case, unit: Unit, row: Row, cell: Seen, word: str) -> Change:
    new = replace(row, seen={**row.seen, cell.column: Seen(cell.column, word, ((word, 1.0),))})
    changed = replace(unit, rows=tuple(new if other is row else other for other in unit.rows))
    rows = tuple(new if other is row else other for other in case.sherd.rows)
    varied = case.with_rows(changed, replace(case.sherd, rows=rows))
    return varied, unit, row, cell, word, _items(case, varied, changed, cell.column)


def _items(case: Case, varied: Case, unit: Unit, column: str) -> tuple[Item, ...]:
    """The evidence with one cell of a unit changed: only what is read from its column is read again."""
    read_anew = [trait for trait, columns in COLUMNS_OF.items() if column in columns]
    others = [item for item in case.items if item.unit not in (unit.key, "sherd")]
    own = [
        item
        for item in case.items
        if item.unit == unit.key and item.trait in COLUMNS_OF and item.trait not in read_anew
    ]
    own += seen_as(case, unit, varied.sherd.rows, read_anew)
    own.sort(key=lambda item: _PLACE[item.trait])
    whole = [
        item
        for item in case.items
        if item.unit in (unit.key, "sherd") and item.trait not in COLUMNS_OF and item.trait != "no red paint"
    ]
    no_red = colours.no_red_paint(Context(varied.sherd, varied.units, varied.model))
    place = sum(item.unit == unit.key for item in whole)  # as they are read: heat, red paint, structure
    return (*others, *own, *whole[:place], *no_red, *whole[place:])


_PLACE: Final = {trait: place for place, trait in enumerate(COLUMNS_OF)}


def _by_network(changes: list[Change]) -> list[list[Change]]:
    """Changes that leave the network alike go together; a new contrast of paints makes another network."""
    groups: dict[frozenset[tuple[str, str]], list[Change]] = {}
    for change in changes:
        groups.setdefault(evidence.contrasts(change[0].units), []).append(change)
    return list(groups.values())
