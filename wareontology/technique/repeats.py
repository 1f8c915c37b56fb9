"""Sherds of one lot on which the same was seen share one answer, worked out once."""

from collections.abc import Iterable, Mapping
from typing import Any, Final

from wareontology.sherd.record import Sherd

KEPT: Final = 1000
"""So many answers are kept; with more they are begun anew."""


class Repeats:
    """Answers of the sherds so far, by what was seen."""

    def __init__(self) -> None:
        self._known: dict[object, tuple[Sherd, Mapping[str, Any]]] = {}

    def find(self, sherd: Sherd) -> dict[str, Any] | None:
        """The answer of an earlier sherd on which the same was seen, made out to this one."""
        found = self._known.get(_seen(sherd))
        return None if found is None else _made_out(found[1], found[0], sherd)

    def keep(self, sherd: Sherd, answer: Mapping[str, Any]) -> None:
        if len(self._known) >= KEPT:
            self._known.clear()
        self._known[_seen(sherd)] = (sherd, answer)


def _seen(sherd: Sherd) -> object:
    """All that an answer rests on, and how the rows' numbers sort, which breaks ties between them."""
    numbers = [row.number for row in sherd.rows]
    order = sorted(range(len(numbers)), key=lambda place: f"{numbers[place]},")
    alike = tuple(numbers.index(number) for number in numbers)
    rows = tuple((row.zone, row.layer, row.name, tuple(row.seen.items())) for row in sherd.rows)
    return tuple(sherd.seen.items()), rows, tuple(order), alike


def _made_out(answer: Mapping[str, Any], first: Sherd, sherd: Sherd) -> dict[str, Any]:
    """The answer with this sherd's name, observer and row numbers."""
    number = {old.number: new.number for old, new in zip(first.rows, sherd.rows, strict=True)}

    def renumbered(entries: Iterable[Mapping[str, Any]]) -> list[dict[str, Any]]:
        return [{**entry, "rows": [number[row] for row in entry["rows"]]} for entry in entries]

    made = {**answer, "sherd": sherd.sherd, "observer": sherd.observer}
    made["conflict"] = {**answer["conflict"], "items": renumbered(answer["conflict"]["items"])}
    made["flips"] = [
        {**flip, "row": {**flip["row"], "number": number[flip["row"]["number"]]}} for flip in answer["flips"]
    ]
    if "explain" in answer:
        made["explain"] = {**answer["explain"], "steps": renumbered(answer["explain"]["steps"])}
    return made
