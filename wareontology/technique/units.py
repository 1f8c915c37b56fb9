"""Which layers on a sherd are one thing: the body, each slip, each paint, and what each lies on."""

from collections import Counter
from dataclasses import dataclass
from typing import Final

from wareontology.sherd.record import Row, Sherd
from wareontology.technique.hypotheses import SURFACES

CONTRAST: Final = {
    "black": "dark", "grey": "dark", "brown": "dark", "purple": "dark", "silver": "dark",
    "red": "red", "orange": "red",
    "white": "pale", "cream": "pale", "buff": "pale", "yellow": "pale",
    "green": "green", "blue": "blue",
}  # fmt: skip
"""Colour word to its side of a contrast: two paints of different sides are seldom one material."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One material on the sherd, in all zones where it was seen.

    key: `body`, `slip`, `slip:NAME`, `paint`, `paint:NAME` (the keys of the answer's `materials`).
    ground: key of the unit it lies on; None for the body.
    """

    key: str
    layer: str
    rows: tuple[Row, ...]
    ground: str | None
    applied: str | None = None
    """before-firing or after-firing as the observer saw it; None where it was not said."""

    def zones(self) -> tuple[str, ...]:
        return tuple(sorted({row.zone for row in self.rows}))

    def contrast(self) -> str | None:
        """Side of the contrast this unit's colour falls on, by the commonest over its rows."""
        sides = Counter(side for row in self.rows if (side := _side(row)))
        return min(sides, key=lambda side: (-sides[side], side)) if sides else None


@dataclass(frozen=True, slots=True)
class Units:
    body: Unit
    slips: tuple[Unit, ...]
    paints: tuple[Unit, ...]
    notes: tuple[str, ...] = ()
    """What the reader should know, such as unnamed paints that were taken as two."""

    def all(self) -> tuple[Unit, ...]:
        return (self.body, *self.slips, *self.paints)

    def __getitem__(self, key: str) -> Unit:
        for unit in self.all():
            if unit.key == key:
                return unit
        raise KeyError(key)


def units(sherd: Sherd) -> Units:
    """Gather a sherd's rows into units; the order of rows never matters.

    A paint's ground is what `on` says, else the slip that shares its zone, else the body; over several
    zones the commonest ground counts. Unnamed paints of contrasting colours are taken as two.
    """
    notes: list[str] = []
    body = Unit("body", "body", _sorted(sherd.rows_of("body")), None)
    slip_rows = _by_name(sherd, "slip", notes)
    slips = tuple(Unit(key, "slip", rows, "body", _applied(rows)) for key, rows in sorted(slip_rows.items()))
    paint_rows = _by_name(sherd, "paint", notes)
    paints = tuple(
        Unit(key, "paint", rows, _ground(key, rows, slip_rows, paint_rows), _applied(rows))
        for key, rows in sorted(paint_rows.items())
    )
    return Units(body, slips, paints, tuple(notes))


def _by_name(sherd: Sherd, layer: str, notes: list[str]) -> dict[str, tuple[Row, ...]]:
    rows = _sorted(sherd.rows_of(layer))
    named: dict[str, list[Row]] = {}
    unnamed: list[Row] = []
    for row in rows:
        if row.name is None:
            unnamed.append(row)
        else:
            named.setdefault(f"{layer}:{row.name}", []).append(row)
    for key, group in _split_unnamed(layer, unnamed, notes).items():
        named.setdefault(key, []).extend(group)
    return {key: tuple(group) for key, group in named.items()}


def _split_unnamed(layer: str, rows: list[Row], notes: list[str]) -> dict[str, list[Row]]:
    sides: dict[str, list[Row]] = {}
    plain: list[Row] = []
    for row in rows:
        side = _side(row)
        if side is None:
            plain.append(row)
        else:
            sides.setdefault(side, []).append(row)
    if len(sides) < 2:
        return {layer: rows} if rows else {}
    groups = {f"{layer}:{_commonest_word(group)}": group for _, group in sorted(sides.items())}
    if plain:
        groups[layer] = plain
    names = " and ".join(sorted(key.split(":")[1] for key in groups if ":" in key))
    notes.append(
        f"The {layer}s {names} have no name and are taken as different {layer}s. "
        f"If they are one {layer} that fired to two colours, give its rows the same name."
    )
    return groups


def _ground(
    key: str, rows: tuple[Row, ...], slips: dict[str, tuple[Row, ...]], paints: dict[str, tuple[Row, ...]]
) -> str:
    grounds = Counter(ground for row in rows if (ground := _ground_of_row(row, slips, paints)) != key)
    if not grounds:
        return "body"
    # of equal counts the slip is what was painted on; what lies on the body may have run there
    return min(grounds, key=lambda ground: (-grounds[ground], ground == "body", ground))


def _ground_of_row(row: Row, slips: dict[str, tuple[Row, ...]], paints: dict[str, tuple[Row, ...]]) -> str:
    on = row.get("on")
    if on is not None:
        wanted = on.text.strip()
        if wanted == "body":
            return "body"
        for key in (wanted, f"slip:{wanted}"):
            if key in slips:
                return key
        for key in (wanted, f"paint:{wanted}"):
            if key in paints:  # a paint over a paint lies, for the fire, on that paint's own ground
                others = {name: rows for name, rows in paints.items() if name != key}
                return _ground_of_row(paints[key][0], slips, others)
    here = sorted(key for key, others in slips.items() if any(other.zone == row.zone for other in others))
    if here:
        return here[0]
    if row.zone not in SURFACES and len(slips) == 1:
        return next(iter(slips))
    return "body"


def _applied(rows: tuple[Row, ...]) -> str | None:
    said = {word for row in rows if (word := row.word("applied"))}
    return said.pop() if len(said) == 1 else None


def _side(row: Row) -> str | None:
    colour = row.colour()
    if colour is None or not colour.words:
        return None
    sides: Counter[str] = Counter()
    for word, share in colour.words:
        if word in CONTRAST:
            sides[CONTRAST[word]] += share  # type: ignore[assignment]
    return min(sides, key=lambda side: (-sides[side], side)) if sides else None


def _commonest_word(rows: list[Row]) -> str:
    total: dict[str, float] = {}
    for row in rows:
        colour = row.colour()
        for word, share in colour.words if colour is not None else ():
            total[word] = total.get(word, 0.0) + share
    return min(total, key=lambda word: (-total[word], word))


def _sorted(rows: object) -> tuple[Row, ...]:
    return tuple(sorted(rows, key=_row_order))  # type: ignore[call-overload]


def _row_order(row: Row) -> tuple[object, ...]:
    return (
        row.zone, row.layer, row.name or "",
        tuple(sorted((cell.column, cell.text) for cell in row.seen.values())),
    )  # fmt: skip
