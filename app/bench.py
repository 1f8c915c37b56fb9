"""The bench: a sherd is entered zone by zone, layer by layer, and the answer reads itself anew."""

from dataclasses import replace
from typing import Any, Final

from flask import Blueprint, Response, abort, render_template, request
from werkzeug.wrappers import Response as BaseResponse

from wareontology.app import collection, entry, fields, reading
from wareontology.app.preferences import preferences
from wareontology.app.zones import NAMES, zones
from wareontology.errors import Fault

blueprint = Blueprint("bench", __name__)

_FAMILIES: Final = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
HUES: Final = (*(f"{step}{family}" for family in _FAMILIES for step in ("2.5", "5", "7.5", "10")), "N")
VALUES: Final = ("1", "2", "2.5", "3", "4", "5", "6", "7", "8", "8.5", "9", "9.5")
CHROMAS: Final = ("1", "2", "3", "4", "6", "8", "10", "12", "14")


@blueprint.get("/bench")
def page() -> str:
    """A blank bench."""
    return bench(entry.Entry())


@blueprint.post("/bench")
def again() -> str:
    """The bench with what it held: a layer added or taken out, or a record taken up again."""
    if "record" in request.form:
        return bench(entry.of_sherd(reading.sherd(request.form["record"])))
    held = entry.of_form(request.form)
    focus = ""
    if "add" in request.form:
        zone, _, layer = request.form["add"].partition(" ")
        held.layers.append(_layer(zone, layer))
        focus = f"r{len(held.layers) - 1}"
    elif "remove" in request.form:
        taken = request.form["remove"]
        if taken.isdecimal() and int(taken) < len(held.layers):
            del held.layers[int(taken)]
    return bench(held, focus=focus)


@blueprint.post("/bench/reading")
def live() -> str:
    """The drawing and the answer for what the form holds now, for the script that sets them in."""
    held = entry.of_form(request.form)
    return render_template("bench/live.html", **_read(held))


@blueprint.get("/bench/layer")
def layer() -> str:
    """A blank layer for the form, for the script that adds it."""
    zone, kind, place = (request.args.get(name, "") for name in ("zone", "layer", "place"))
    if not (place.isdecimal() and len(place) < 4):
        abort(400)
    return render_template(
        "bench/layer.html", **_asked(), place=int(place), layer=_layer(zone, kind), faults={}
    )


@blueprint.get("/bench/blank")
def blank() -> str:
    """A blank sherd form to print and take along."""
    return render_template("bench/blank.html", **_asked(), zones=zones(None), blank=True)


@blueprint.post("/bench/keep")
def keep() -> BaseResponse:
    """Keep what the form holds in the collection; where something lacks, the bench comes back with it all."""
    held = entry.of_form(request.form)
    sherd, faults = entry.read(held)
    if not held.cells.get("sherd"):
        faults["s.sherd"] = Fault("the form", None, "sherd", "", "a name or number to keep it under")
    if not request.form.get("who", "").strip():
        faults["who"] = Fault("the form", None, "who", "", "who keeps it, such as initials")
    if sherd is None or faults:
        return Response(bench(held, faults), 422)
    return collection.keep_sherd(sherd)


def bench(held: entry.Entry, faults: dict[str, Fault] | None = None, focus: str = "") -> str:
    """The bench holding an entry; `faults` are shown at their fields even where the reading shows none."""
    found = _read(held)
    found["faults"] = {**found["faults"], **(faults or {})}
    return render_template("bench/page.html", **_asked(), **found, focus=focus)


def _read(held: entry.Entry) -> dict[str, Any]:
    """What the drawing and the reading beside it show."""
    sherd, faults = entry.read(held)
    if sherd is None:
        drawn = entry.read(replace(held, layers=_without_faults(held, faults)))[0] if faults else None
        return {"entry": held, "faults": faults, "zones": zones(drawn), "told": None, "form": _form(held)}
    return {"entry": held, "faults": {}, **reading.shown(sherd), "form": _form(held)}


def _without_faults(held: entry.Entry, faults: dict[str, Fault]) -> list[entry.Layer]:
    """The layers with the cells that are at fault left out, so that the drawing shows the rest."""
    kept = []
    for place, each in enumerate(held.layers):
        cells = {name: text for name, text in each.cells.items() if f"r{place}.{name}" not in faults}
        kept.append(replace(each, cells=cells))
    return kept


def _form(held: entry.Entry) -> str | None:
    return held.cells.get("form")


def _layer(zone: str, layer: str) -> entry.Layer:
    if zone not in fields.ZONES or layer not in fields.LAYERS:
        abort(400, "No such zone or layer.")
    return entry.Layer(zone, layer)


def _asked() -> dict[str, Any]:
    from wareontology.graph.vocabulary import scheme

    regions = scheme("region")
    return {
        "asked_of_sherd": fields.of_sherd(),
        "asked_of_layer": fields.of_layer,
        "label": fields.label,
        "names": NAMES,
        "regions": [(key, regions[key].label) for key in regions.notations()],
        "hues": HUES, "values": VALUES, "chromas": CHROMAS,
        "cell_shown": lambda name, text: entry.shown(name, text, preferences()),
        "unit_of": lambda name: entry.unit(name, preferences()),
    }  # fmt: skip
