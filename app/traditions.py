"""The traditions: by region on a drawn map, a page each, two side by side, and all as a network."""

from typing import Any, Final

from flask import Blueprint, Response, render_template, request

from wareontology.app import world
from wareontology.app.described import described
from wareontology.errors import BreaksShape
from wareontology.graph.namespaces import TRADITION

blueprint = Blueprint("traditions", __name__)

_MATERIALS: Final = ("paint-material", "paint-family", "clay")
_FIRES: Final = ("atmosphere", "ending", "structure")
_SIDES: Final = {"latitude": ("N", "S"), "longitude": ("E", "W")}
_LONGEST: Final = 100
_NO_FAULTS: Final[tuple[Any, ...]] = ()


@blueprint.get("/traditions")
def page() -> str | Response:
    """The traditions that fit what is asked for, on a map and by region."""
    from wareontology.graph.traditions import traditions
    from wareontology.report.browse import Asked, browse, chosen

    given = {name: _given(name) for name in ("region", "technique", "material", "period")}
    asked = Asked(**given, memory=request.args.get("memory") == "on")
    faults = _NO_FAULTS
    try:
        answer, found = browse(asked), chosen(asked)
    except BreaksShape as error:
        faults, answer, found = tuple(error.faults), browse(Asked()), list(traditions().values())
    drawn, regions = world.drawn(found), _by_region(answer["traditions"])
    numbers = {dot.region: dot.number for dot in drawn.dots}
    shown = render_template(
        "traditions/page.html", answer=answer, asked=asked, faults=faults, choices=_choices(),
        regions=regions, map=drawn, small=world.drawn_small(found), numbers=numbers,
        listed=sorted(regions, key=lambda region: numbers.get(region[0], len(regions))),
    )  # fmt: skip
    return Response(shown, 422) if faults else shown


@blueprint.get("/tradition/<name>")
def one(name: str) -> str | Response:
    """One tradition: what is stated and by whom, and apart from that what is from memory."""
    return described(f"tradition/{name}", lambda: _page(name))


@blueprint.get("/traditions/contrast")
def contrast() -> str | Response:
    """Two traditions side by side, and what would tell them apart on a sherd."""
    from wareontology.graph.traditions import tradition
    from wareontology.report import contrast as report
    from wareontology.report.contrast_prose import words_of_test

    names = {name: _given(name) for name in ("first", "second")}
    faults, found = _NO_FAULTS, None
    try:
        pair = [tradition(name) for name in names.values() if name is not None]
    except BreaksShape as error:
        faults, pair = tuple(error.faults), []
    if len(pair) == 2 and pair[0].id != pair[1].id:
        found = report.contrast(*pair)
    shown = render_template(
        "traditions/contrast.html", answer=found, pair=pair, faults=faults, words=words_of_test,
        by_region=_by_region(_all()), same=len(pair) == 2 and pair[0].id == pair[1].id,
    )  # fmt: skip
    return Response(shown, 422) if faults else shown


@blueprint.get("/traditions/network")
def network() -> str:
    """The traditions linked by shared technique, drawn as bands, and the same in words."""
    from wareontology.graph.network import bands
    from wareontology.plots.network import colour_word
    from wareontology.report.traditions import region_label

    laid = bands()
    return render_template(
        "traditions/network.html", laid=laid, rows={one.id: one for one in laid.rows}, region=region_label,
        colour=colour_word, place={one.id: place for place, one in enumerate(laid.rows)},
    )  # fmt: skip


def _page(name: str) -> str:
    from wareontology.graph.traditions import traditions
    from wareontology.report.show import show
    from wareontology.report.traditions import years_words
    from wareontology.technique.rule_record import shipped
    from wareontology.technique.rules import rule

    found = traditions()[name]
    answer = show(found)
    tried = [
        (rule(key), name not in record["failed"])
        for key, record in shipped().items()
        if record is not None and name in record["traditions"]
    ]
    return render_template(
        "traditions/one.html", answer=answer, years=years_words(answer["date_from"], answer["date_to"]),
        address=TRADITION + name, tried=tried, regions=_path(found.region), map=world.placed(found),
        by_region=_by_region(_all()),
    )  # fmt: skip


def _given(name: str) -> str | None:
    return request.args.get(name, "").strip()[:_LONGEST] or None


def _all() -> list[dict[str, Any]]:
    from wareontology.report.browse import Asked, browse

    found: list[dict[str, Any]] = browse(Asked())["traditions"]
    return found


def _by_region(found: list[dict[str, Any]]) -> list[tuple[str, str, list[dict[str, Any]]]]:
    """(notation, name, traditions) in the order they come in."""
    regions: dict[str, list[dict[str, Any]]] = {}
    for entry in found:
        regions.setdefault(entry["region"], []).append(entry)
    return [(name, here[0]["region_label"], here) for name, here in regions.items()]


def _path(region: str) -> list[tuple[str, str]]:
    """A region and all it is part of, the widest first, without the world."""
    from wareontology.graph.vocabulary import region_path
    from wareontology.report.traditions import region_label

    return [(name, region_label(name)) for name in reversed(region_path(region)[:-1])]


def _choices() -> dict[str, list[tuple[str, list[tuple[str, str]]]]]:
    """What may be picked: group to (value, words)."""
    from wareontology.graph.traditions import groups, traditions
    from wareontology.graph.vocabulary import region_path, scheme

    used = {part for one in traditions().values() for part in region_path(one.region)} - {"world"}
    regions = [
        (one.notation, "\u2003" * (len(region_path(one.notation)) - 2) + one.label)
        for one in scheme("region").concepts
        if one.notation in used
    ]
    fires = [(scheme(name).title, _values(name)) for name in _FIRES]
    return {
        "region": [("", regions)],
        "technique": [("Technique", [(one.name, one.label) for one in groups().values()]), *fires],
        "material": [(scheme(name).title, _values(name)) for name in _MATERIALS],
    }


def _values(name: str) -> list[tuple[str, str]]:
    from wareontology.graph.vocabulary import scheme

    members = [one for one in scheme(name).concepts if one.address.endswith(f"/{name}/{one.notation}")]
    return [(one.notation, one.label) for one in members]


@blueprint.app_template_filter("years")
def _years(entry: dict[str, Any]) -> str:
    """Years of an entry in words, empty where none are told."""
    from wareontology.report.traditions import years_words

    if entry["date_from"] is None and entry["date_to"] is None:
        return ""
    doubt = "" if entry["dates_basis"] == "stated" else " from memory"
    return years_words(entry["date_from"], entry["date_to"]) + doubt


@blueprint.app_template_filter("field_value")
def _field_value(value: str, field: str) -> str:
    """A statement's value with its unit where the field has one that is left unsaid."""
    if field == "temperature" and value.replace("-", "").isdigit():
        return f"{value.replace('-', ' to ')} °C"
    if field in ("date_from", "date_to"):
        return f"{-int(value)} BCE" if value.startswith("-") else f"{value} CE"
    if field in _SIDES:
        return f"{value.removeprefix('-')}° {_SIDES[field][value.startswith('-')]}"
    return value
