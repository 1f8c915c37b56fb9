"""A table of sherds handed in: its faults at their cells, its good sherds answered, the lot summed up."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from flask import Blueprint, Response, abort, current_app, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from wareontology.app import files, handed_in, reading
from wareontology.app.lots import Lot, Lots
from wareontology.errors import Unreadable

blueprint = Blueprint("lot", __name__)

AT_ONCE_S: Final = 3.0
"""How long a table is waited for before its page shows what is answered so far."""
PAGE: Final = 200
"""Sherds on one page of a lot."""
SORTS: Final = ("order", "sherd", "atmosphere", "ending", "conflict")
_LOTS: Final = "lots"


@dataclass(frozen=True, slots=True)
class Line:
    """One sherd in the list of a lot."""

    place: int
    sherd: str
    observer: str
    region: str
    atmosphere: Mapping[str, Any]
    ending: Mapping[str, Any]
    layers: tuple[tuple[str, str, str, str], ...]
    conflict: float
    test: str


@blueprint.get("/table")
def page() -> str:
    """Where a table is handed in."""
    return render_template("lot/page.html", faults=(), caps=current_app.config)


@blueprint.post("/table")
def take() -> AnyResponse:
    """Read a table; its answers are shown on a page of their own."""
    file = request.files.get("table")
    if file is None or not file.filename:
        abort(400, "No file came with the form. Choose a table first.")
    try:
        table = handed_in.read(file.stream, file.filename, current_app.config)
    except Unreadable as error:
        faults = handed_in.refused_whole(error, file.filename)
        return Response(render_template("lot/page.html", faults=faults, caps=current_app.config), 422)
    lot = _lots().take(table)
    lot.wait(AT_ONCE_S)
    return redirect(url_for("lot.one", key=lot.key), 303)


@blueprint.get("/table/<key>")
def one(key: str) -> Response:
    """A lot: summary, faults, sherds, sorted and filtered as asked."""
    lot = _lot(key)
    lines = [_line(place, lot, answer) for place, answer in lot.answered()]
    sort, wanted = _asked()
    found = [line for line in lines if _is_wanted(line, wanted)]
    found.sort(key=lambda line: _by(line, sort))
    start = _start(len(found))
    page = render_template(
        "lot/one.html", lot=lot, lines=found[start : start + PAGE], found=len(found), start=start,
        step=PAGE, sort=sort, wanted=wanted, sorts=SORTS, summary=_summary(lines), words=_words(),
    )  # fmt: skip
    response = Response(page)
    if lot.done < lot.total:
        response.headers["Refresh"] = "3"
    return response


@blueprint.get("/table/<key>/<int:place>")
def sherd(key: str, place: int) -> str:
    """The answer page of one sherd of a lot."""
    lot = _lot(key)
    if place >= lot.total:
        abort(404)
    return render_template("answer/page.html", **reading.shown(lot.table.sherds[place]))


@blueprint.get("/table/<key>/file/<kind>")
def file(key: str, kind: str) -> Response:
    """The lot with its answers as a file."""
    lot = _lot(key)
    if kind not in files.KINDS:
        abort(404)
    pairs = [(lot.table.sherds[place], dict(answer)) for place, answer in lot.answered()]
    return files.sent(kind, pairs, lot.table.name.rpartition(".")[0] or lot.table.name)


def _lots() -> Lots:
    found = current_app.extensions.setdefault(_LOTS, Lots())
    assert isinstance(found, Lots)
    return found


def _lot(key: str) -> Lot:
    found = _lots().get(key)
    if found is None:
        abort(404, "This table is no longer held. Hand it in again.")
    return found


def _line(place: int, lot: Lot, answer: Mapping[str, Any]) -> Line:
    from wareontology.technique.phrases import unit_words, value_words
    from wareontology.technique.words_for_odds import odds_words

    sherd, verdict, tests = lot.table.sherds[place], answer["verdict"], answer["next_tests"]
    layers = tuple(
        (unit_words(unit).removeprefix("the "), value_words(unit, found["value"]), odds_words(found["p"]),
         found["state"])
        for unit, found in verdict.items()
        if unit.partition(":")[0] in ("slip", "paint")
    )  # fmt: skip
    return Line(
        place, sherd.sherd, sherd.observer or "", sherd.region or "",
        verdict["atmosphere"], verdict["ending"], layers,
        answer["conflict"]["bits"], tests[0]["label"] if tests else "",
    )  # fmt: skip


def _summary(lines: list[Line]) -> dict[str, Any]:
    """How many sherds gave which decided answer, how many are open, and which test comes first most."""
    counted: dict[str, Counter[str]] = {"atmosphere": Counter(), "ending": Counter()}
    for line in lines:
        for question, verdict in (("atmosphere", line.atmosphere), ("ending", line.ending)):
            counted[question][verdict["value"] if verdict["state"] == "decided" else "undecided"] += 1
    return {
        "counted": {question: counts.most_common() for question, counts in counted.items()},
        "conflicts": sum(line.conflict > 3 for line in lines),
        "tests": Counter(line.test for line in lines if line.test).most_common(3),
    }


def _asked() -> tuple[str, dict[str, str]]:
    sort = request.args.get("sort", "order")
    wanted = {name: request.args.get(name, "")[:80] for name in ("text", "atmosphere", "ending", "state")}
    return sort if sort in SORTS else "order", wanted


def _is_wanted(line: Line, wanted: Mapping[str, str]) -> bool:
    text = wanted["text"].casefold()
    return (
        (not text or any(text in cell.casefold() for cell in (line.sherd, line.observer, line.region)))
        and wanted["atmosphere"] in ("", line.atmosphere["value"])
        and wanted["ending"] in ("", line.ending["value"])
        and (
            wanted["state"] != "undecided" or "undecided" in (line.atmosphere["state"], line.ending["state"])
        )
        and (wanted["state"] != "conflict" or line.conflict > 3)
    )


def _by(line: Line, sort: str) -> tuple[Any, ...]:
    if sort == "sherd":
        return (line.sherd.casefold(), line.place)
    if sort in ("atmosphere", "ending"):
        verdict = getattr(line, sort)
        return (verdict["value"], -verdict["p"], line.place)
    return (-line.conflict, line.place) if sort == "conflict" else (line.place,)


def _start(count: int) -> int:
    text = request.args.get("from", "0")
    start = int(text) if text.isascii() and text.isdecimal() and len(text) < 9 else 0
    return min(start, max(count - 1, 0)) // PAGE * PAGE


def _words() -> dict[str, Any]:
    from wareontology.technique.hypotheses import ATMOSPHERE, ENDING
    from wareontology.technique.phrases import value_words
    from wareontology.technique.words_for_odds import odds_words

    return {"value": value_words, "odds": odds_words, "atmosphere": ATMOSPHERE, "ending": ENDING}


@blueprint.get("/table/blank/<kind>")
def template(kind: str) -> Response:
    """A blank table to fill in, as a file."""
    from wareontology.sherd.template import content

    media = {
        "csv": "text/csv; charset=utf-8",
        "xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    }
    if kind not in media:
        abort(404)
    response = Response(content("xlsx" if kind == "xlsx" else "csv"), content_type=media[kind])
    response.headers["Content-Disposition"] = f'attachment; filename="sherds.{kind}"'
    return response
