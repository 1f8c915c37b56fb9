"""What was entered at the bench: a form's fields, the record they make, and back again, nothing lost."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Final

from werkzeug.datastructures import MultiDict

from wareontology.app import fields
from wareontology.app.preferences import Preferences, celsius, fahrenheit
from wareontology.errors import Fault
from wareontology.sherd.cells import plain
from wareontology.sherd.columns import column, columns
from wareontology.sherd.gather import gathered, placed, records
from wareontology.sherd.json_rows import table
from wareontology.sherd.record import Sherd

UNNAMED: Final = "unnamed sherd"
MOST_ROWS: Final = 200
"""Layers that one sherd's form may hold."""

_FIELD: Final = re.compile(r"(?:s|r(\d{1,4}))\.([a-z_]+)(?:\.([a-z]+))?")
_NUMBER: Final = re.compile(r"-?\d+(?:[.,]\d+)?")
_LENGTHS: Final = {"diameter_cm": 2.54, "wall_mm": 25.4}
"""How much of its unit an inch is, for each length that may be filled in with inches."""


@dataclass(slots=True)
class Layer:
    """One layer in one zone as entered: cells by column, in metric units, as text."""

    zone: str
    layer: str
    cells: dict[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Entry:
    """All that a form holds: the sherd's own cells, the zones seen whole, the layers."""

    cells: dict[str, str] = field(default_factory=dict)
    looked: tuple[str, ...] = ()
    layers: list[Layer] = field(default_factory=list)

    def of_zone(self, zone: str) -> list[tuple[int, Layer]]:
        """The layers of a zone with their places among all layers."""
        return [(place, layer) for place, layer in enumerate(self.layers) if layer.zone == zone]


def of_form(form: "MultiDict[str, str]") -> Entry:
    """What a form holds. Fields that are none of ours are left out.

    >>> form = MultiDict([("s.sherd", "K-14"), ("r0.zone", "rim"), ("r0.layer", "slip"),
    ...                   ("r0.edge", "sharp"), ("r0.edge.doubt", "1")])
    >>> of_form(form).layers[0].cells
    {'edge': 'sharp?'}
    """
    units = Preferences(temperature=form.get("units.temperature", "c"), length=form.get("units.length", "cm"))
    groups: dict[int | None, dict[str, dict[str, list[str]]]] = {None: {}}
    for name in form:
        found = _FIELD.fullmatch(name)
        if found is not None:
            place = int(found[1]) if found[1] is not None else None
            groups.setdefault(place, {}).setdefault(found[2], {})[found[3] or ""] = form.getlist(name)
    own = groups.pop(None)
    looked = tuple(zone for zone in own.pop("looked", {}).get("", []) if zone in fields.ZONES)
    layers = []
    for _, group in sorted(groups.items(), key=lambda pair: pair[0] or 0)[:MOST_ROWS]:
        zone, kind = (" ".join(group.pop(name, {}).get("", [])) for name in ("zone", "layer"))
        if zone in fields.ZONES and kind in fields.LAYERS:
            layers.append(Layer(zone, kind, _cells(group, units)))
    return Entry(_cells(own, units), looked, layers)


def of_sherd(sherd: Sherd) -> Entry:
    """A record as a form's content."""
    cells = {name: cell.text for name, cell in sherd.seen.items() if name != "looked"}
    cells["sherd"] = sherd.sherd
    if sherd.observer is not None:
        cells["observer"] = sherd.observer
    layers = []
    for row in sherd.rows:
        named = {"name": row.name} if row.name is not None else {}
        seen = {name: cell.text for name, cell in row.seen.items()}
        layers.append(Layer(row.zone, row.layer, {**named, **seen}))
    looked = tuple(zone for zone in fields.ZONES if zone in sherd.looked)
    return Entry(cells, looked, layers)


def read(entry: Entry) -> tuple[Sherd | None, dict[str, Fault]]:
    """The sherd that was entered, or its faults by the name of the field each belongs to ("" for none).

    Where nothing was entered yet there is neither.
    """
    if not entry.layers and not entry.cells.keys() - {"sherd", "observer"}:
        return None, {}
    item: dict[str, object] = {**entry.cells, "sherd": entry.cells.get("sherd") or UNNAMED}
    if entry.looked:
        item["looked"] = " ".join(entry.looked)
    item["rows"] = [{"zone": each.zone, "layer": each.layer, **each.cells} for each in entry.layers]
    if not entry.layers:
        return None, {"": Fault("the form", None, None, "no layer", "one layer in one zone, such as a slip")}
    content = table([item], "the form")
    reading = gathered(records(content, placed(content, None, ignore_unknown=True)))
    if reading.faults:
        return None, {_place(fault): fault for fault in reversed(reading.faults)}
    return reading.sherds[0], {}


def shown(name: str, text: str, units: Preferences) -> str:
    """A cell as the form shows it, in the units that were chosen.

    >>> shown("refire_c", "800", Preferences(temperature="f"))
    '1472'
    """
    if name == "refire_c" and units.temperature == "f":
        return _turned(text, fahrenheit, 1)
    if name in _LENGTHS and units.length == "in":
        return _turned(text, lambda number: number / _LENGTHS[name], 3)
    return text


def unit(name: str, units: Preferences) -> str:
    """The unit a field is filled in with."""
    if name == "refire_c" and units.temperature == "f":
        return "°F"
    return "in" if name in _LENGTHS and units.length == "in" else column(name).unit


def _cells(group: Mapping[str, Mapping[str, list[str]]], units: Preferences) -> dict[str, str]:
    known = {each.name for each in columns()} - {"zone", "layer", "looked"}
    found = {}
    for name, parts in group.items():
        text = _text(name, parts) if name in known else ""
        if text:
            found[name] = _metric(name, text, units)
    return found


def _text(name: str, parts: Mapping[str, list[str]]) -> str:
    """One cell: what was typed outranks what was chosen; a tick beside it makes it doubtful."""
    typed = " ".join(parts.get("typed", [])).strip()
    chosen = " ".join(filter(None, parts.get("", []))).strip()
    text = typed or chosen
    if name == "munsell" and not text:
        hue, value, chroma = (" ".join(parts.get(part, [])).strip() for part in ("hue", "value", "chroma"))
        text = f"{hue} {value}/{chroma if hue != 'N' else ''}" if hue and value else ""
    doubt = bool(parts.get("doubt")) and text and not text.endswith("?") and not typed
    return f"{text}?" if doubt else text


def _metric(name: str, text: str, units: Preferences) -> str:
    if name == "refire_c" and units.temperature == "f":
        return _turned(text, celsius, 1)
    if name in _LENGTHS and units.length == "in":
        return _turned(text, lambda number: number * _LENGTHS[name], 3)
    return text


def _turned(text: str, turn: Callable[[float], float], places: int) -> str:
    """A number turned to another unit; what is no number is left as it was typed, to be refused as that."""
    bare = text.removesuffix("?")
    if not _NUMBER.fullmatch(bare):
        return text
    return plain(round(turn(float(bare.replace(",", "."))), places)) + "?" * text.endswith("?")


def _place(fault: Fault) -> str:
    """Name of the form's field that a fault belongs to."""
    if fault.column is None:
        return ""
    if fault.row is None or fault.column in ("sherd", "observer") or column(fault.column).of == "sherd":
        return f"s.{fault.column}"
    return f"r{fault.row - 1}.{fault.column}"
