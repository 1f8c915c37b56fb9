"""A look that is wanted: which colours each slip, paint and body is to have, inside and outside."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Final

from wareontology.errors import BreaksShape, Fault
from wareontology.replica.traits import mean
from wareontology.sherd.cells import parse
from wareontology.sherd.columns import column
from wareontology.sherd.record import Row, Seen, Sherd
from wareontology.technique.limits import limits

SIDES: Final = {"exterior": "outside", "interior": "inside"}
"""Zone of a sherd to the surface of a pot a simulated firing knows; no other zone is simulated."""
MOST_PAINTS: Final = 3
LAYERS: Final = ("slip", "paint", "body")


@dataclass(frozen=True, slots=True)
class Wanted:
    """Of one layer on one surface: the colour words of which any will do."""

    unit: str
    side: str
    words: frozenset[str]


@dataclass(frozen=True, slots=True)
class Look:
    """What is wanted, and the sherds it was read from or that stand for it.

    read: where it is of a thing that was made, layer to what it is made of with the chance of each, by the
    answer or as a source states it; empty for a look that is only described.
    """

    name: str
    wanted: tuple[Wanted, ...]
    sherds: tuple[Sherd, ...]
    read: Mapping[str, Mapping[str, float]] = field(default_factory=dict)

    def units(self) -> tuple[str, ...]:
        """Its layers, paints by name: `slip`, `paint`, `paint:line`."""
        return tuple(dict.fromkeys(one.unit for one in self.wanted))

    @property
    def region(self) -> str | None:
        """Region of the first sherd that has one."""
        return next((cell.text for one in self.sherds if (cell := one.seen.get("region"))), None)


def asked(colours: Mapping[str, str], zone: str = "both") -> dict[tuple[str, str], str]:
    """What `described` takes, from colours by name: slip, paint, body, and the paint's own inside or outside.

    >>> asked({"slip": "white", "inside": "black"}, "inside")
    {('slip', 'inside'): 'white', ('paint', 'inside'): 'black'}
    """
    sides = SIDES.values() if zone == "both" else (zone,)
    found = {(layer, side): colours[layer] for layer in LAYERS if layer in colours for side in sides}
    return {**found, **{("paint", side): colours[side] for side in sides if side in colours}}


def described(colours: Mapping[tuple[str, str], str], region: str | None = None) -> Look:
    """The look a person describes: (layer, side) to a colour, `white` or a range `cream-buff` or a chip.

    Raises BreaksShape for what is no colour or no region, and where nothing is wanted.

    >>> look = described({("slip", "inside"): "white", ("paint", "inside"): "black"})
    >>> [(one.unit, one.side, sorted(one.words)) for one in look.wanted]
    [('slip', 'inside', ['white']), ('paint', 'inside', ['black'])]
    """
    zones = {side: zone for zone, side in SIDES.items()}
    faults: list[Fault] = []
    rows = []
    for (layer, side), text in colours.items():
        cell = _cell("colour", text, f"{layer} {side}", faults)
        rows += [Row(zones[side], layer, None, {"colour": cell})] if cell is not None else []
    of_sherd = {}
    if region is not None and (cell := _cell("region", region, "region", faults)) is not None:
        of_sherd["region"] = cell
    if faults:
        raise BreaksShape(faults)
    return from_sherds([Sherd("the look", None, of_sherd, tuple(rows))], "the look described")


def _cell(name: str, text: str, where: str, faults: list[Fault]) -> Seen | None:
    cell = parse(column(name), text)
    if isinstance(cell, Seen):
        return cell
    would_do = cell.would_do if cell is not None else "white, black or another colour"
    faults.append(Fault("look", None, where, text, would_do))
    return None


def from_sherds(sherds: Sequence[Sherd], name: str) -> Look:
    """The look of one sherd, or of several together: of each layer and surface the words that are common.

    Paint put on after the firing is left out. Raises BreaksShape where no colour inside or outside was seen,
    or more than MOST_PAINTS paints.
    """
    found: dict[tuple[str, str], list[Mapping[str, float]]] = {}
    for sherd in sherds:
        rows = list(_rows(sherd))
        for row in rows:
            cell = row.colour()
            if cell is not None and cell.words:
                found.setdefault((_unit(row, rows), SIDES[row.zone]), []).append(dict(cell.words))
    least = limits()["plan_wanted"]
    wanted = [
        Wanted(unit, side, frozenset(word for word, share in mean(shares).items() if share >= least))
        for (unit, side), shares in found.items()
    ]
    wanted = sorted(
        (one for one in wanted if one.words),
        key=lambda one: (LAYERS.index(one.unit.partition(":")[0]), one.unit, one.side),
    )
    paints = {one.unit for one in wanted if one.unit.startswith("paint")}
    if not wanted:
        raise BreaksShape(
            [Fault(name, None, "colour", "none inside or outside", "--slip white --paint black")]
        )
    if len(paints) > MOST_PAINTS:
        many = f"{len(paints)} paints"
        raise BreaksShape([Fault(name, None, "paint", many, f"a sherd with {MOST_PAINTS} paints or fewer")])
    return Look(name, tuple(wanted), tuple(sherds))


def _rows(sherd: Sherd) -> Iterator[Row]:
    for row in sherd.rows:
        if row.zone in SIDES and row.word("applied") != "after-firing" and row.get("refire_c") is None:
            yield row


def _unit(row: Row, rows: Sequence[Row]) -> str:
    """A layer, a paint by its name; of several paints without names in one place each by its colour."""
    beside = [one for one in rows if (one.zone, one.layer, one.name) == (row.zone, row.layer, row.name)]
    cell = row.colour()
    if row.name is None and row.layer == "paint" and len(beside) > 1 and cell is not None:
        return f"paint:{max(cell.words, key=lambda pair: pair[1])[0]}"
    return f"{row.layer}:{row.name}" if row.name else row.layer


def target(text: str, names: Sequence[str] = ()) -> Look:
    """The look of a sherd table, or of a published tradition by its name. names: of a table these alone.

    Raises Unreadable or BreaksShape: no such file or tradition, faults in the table, several wares in it.
    """
    from wareontology.graph.traditions import tradition
    from wareontology.sherd.table import read
    from wareontology.technique.tradition_sherd import labels_of, sherd_of

    if text != "-" and not Path(text).exists() and not Path(text).suffix:
        found = tradition(text)
        sherd = sherd_of(found)
        if sherd is None:
            raise BreaksShape([Fault(text, None, "tradition", "no stated trait", "another tradition")])
        stated = {
            question.partition(":")[2]: dict.fromkeys(values, 1.0)
            for question, values in labels_of(found).items()
            if question.startswith("materials:")
        }
        look = from_sherds([sherd], found.id)
        return replace(look, read={**_read(look), **stated})
    reading = read(text)
    faults = [one for one in reading.faults if not names or one.sherd in (None, *names)]
    if faults:
        raise BreaksShape(faults)
    return of_sherds(reading.sherds, text, names)


def of_sherds(sherds: Sequence[Sherd], name: str, names: Sequence[str] = ()) -> Look:
    """The look of sherds of one ware, with what their answers read them as. names: these alone.

    Raises BreaksShape for a name that none has, several wares, or no colour.
    """
    chosen = [one for one in sherds if not names or one.sherd in names]
    known = ", ".join(one.sherd for one in sherds[:20])
    missing = sorted(set(names) - {one.sherd for one in chosen})
    if missing:
        raise BreaksShape([Fault(name, None, "sherd", missing[0], known, why="no such sherd")])
    wares = {cell.text for one in chosen if (cell := one.seen.get("ware"))}
    if len(wares) > 1:
        would_do = f"one of the sherds: {known}"
        raise BreaksShape([Fault(name, None, "ware", f"{len(wares)} wares", would_do)])
    look = from_sherds(chosen, ", ".join(names) or name)
    return replace(look, read=_read(look))


def _read(look: Look) -> dict[str, dict[str, float]]:
    """What each layer is made of by the answers of the sherds, mean over them."""
    from wareontology.technique.case import Case, material_odds

    found: dict[str, list[dict[str, float]]] = {}
    for sherd in look.sherds:
        case = Case.of(sherd)
        for unit in case.units.all():
            odds = material_odds(unit, case.marginals)
            found.setdefault(unit.key, []).append({name: float(p[0]) for name, p in odds.items()})
    return {unit: mean(odds) for unit, odds in found.items()}
