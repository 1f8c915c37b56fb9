"""By the fire: the page for the phone, its lines kept once each, the log and what came out."""

from datetime import datetime
from typing import Any, Final
from uuid import uuid4

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as BaseResponse

from wareontology.app import store
from wareontology.app.firing import PICTURE
from wareontology.errors import BreaksShape, Fault, WareontologyError
from wareontology.firing.by_the_fire import by_the_fire, event_of
from wareontology.firing.log_columns import columns, events
from wareontology.firing.plan import Plan
from wareontology.firing.steps import CAUTIONS, steps
from wareontology.firing.told_heat import glow_words
from wareontology.records.store import Store

blueprint = Blueprint("fire", __name__, url_prefix="/fire")

MOST_LINES: Final = 500
"""Lines that a phone sends at once; a fire has some tens."""
BESIDE: Final = ("fed", "soot-gone", "smoke", "crack-closed", "burst", "wind", "rain")
"""Events that belong to no one step, as buttons."""
_SHOWN: Final = 6
_MOST_PHOTOS: Final = 24
"""Photos that are set into a report."""


@blueprint.get("/<name>")
def page(name: str) -> str:
    """One step, large; what was written down last; two buttons."""
    here, plan = _firing(name)
    return render_template(
        "fire/page.html", name=name, plan=plan, glows=glow_words(), cautions=CAUTIONS,
        beside=[events()[one] for one in BESIDE], places=columns()["place"].choices,
        steps=[(one, event_of(one)) for one in steps(plan)], **_state(here, name, plan),
    )  # fmt: skip


@blueprint.post("/<name>")
def line(name: str) -> BaseResponse:
    """One line from the form, without scripts."""
    here, _ = _firing(name)
    cells = {column: request.form[column] for column in columns() if request.form.get(column, "").strip()}
    if not cells.keys() & {"temperature_c", "emf_mv", "glow", "cone"}:
        cells.pop("place", None)
    if cells:
        cells.setdefault("time", _now().isoformat(timespec="seconds"))
        _add(here, name, {request.form.get("id") or uuid4().hex: cells})
    return redirect(url_for("fire.page", name=name), 303)


@blueprint.post("/<name>/lines")
def lines(name: str) -> dict[str, Any]:
    """Lines that a phone held: kept by their ids, each once. Those that are none come back with why."""
    here, plan = _firing(name)
    sent = request.get_json(silent=True)
    if not isinstance(sent, list) or len(sent) > MOST_LINES:
        abort(400, f"Send a list of lines, each with id and cells, at most {MOST_LINES}.")
    kept, refused = [], {}
    for one in sent:
        entry_id, cells = (one.get("id"), one.get("cells")) if isinstance(one, dict) else (None, None)
        if not isinstance(entry_id, str) or not isinstance(cells, dict):
            abort(400, "Each line has an id and cells.")
        try:
            _add(here, name, {entry_id: {str(key): str(value) for key, value in cells.items()}})
            kept.append(entry_id)
        except BreaksShape as error:
            refused[entry_id] = str(error.faults[0])
    now = render_template("fire/now.html", name=name, plan=plan, **_state(here, name, plan))
    return {"kept": kept, "refused": refused, "now": now}


@blueprint.get("/<name>/log")
def log(name: str) -> str:
    """The log: in words, drawn, and the form for what came out."""
    from wareontology.firing import faults, outcome_read
    from wareontology.replica import firings_kept
    from wareontology.report.firing_log import log_data

    here, plan = _firing(name)
    found = firings_kept.log_of(here, name)
    return render_template(
        "fire/log.html", name=name, plan=plan, told=log_data(found.log, found.faults, plan), events=events(),
        faults=found.faults, outcome=_outcome(_kept_outcome(here, name)), rows=range(6),
        photos=here.find("photo", about=("firing", name), limit=200).things,
        choices=outcome_read.columns(), known=faults.faults(), cautions=CAUTIONS,
    )  # fmt: skip


@blueprint.post("/<name>/outcome")
def outcome(name: str) -> BaseResponse:
    """Keep what came out, place by place."""
    import csv
    import io

    from wareontology.app.collection import keep_who
    from wareontology.firing import outcome_read
    from wareontology.replica import firings_kept

    here, _ = _firing(name)
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(outcome_read.columns())
    for row in range(6):
        cells = [request.form.get(f"r{row}.{column}", "") for column in outcome_read.columns()]
        if any(cell.strip() for cell in cells):
            table.writerow(cells)
    who = request.form.get("who", "")
    firings_kept.keep_outcome(here, name, text.getvalue(), who=who)
    return keep_who(redirect(url_for("fire.log", name=name), 303), who)


@blueprint.post("/<name>/photo")
def photo(name: str) -> BaseResponse:
    """Keep a photo of the firing, encoded anew without place and time."""
    from wareontology.app.collection import keep_who

    here, _ = _firing(name)
    file = request.files.get("photo")
    if file is None or not file.filename:
        raise BreaksShape([Fault("the form", None, "photo", "no file", "a photo as JPEG, PNG or WebP")])
    who = request.form.get("who", "")
    caption = request.form.get("caption", "")
    here.add_photo(file.read(), ("firing", name), caption=caption, who=who, why="photographed by the fire")
    return keep_who(redirect(url_for("fire.log", name=name), 303), who)


@blueprint.get("/<name>/log.svg")
def picture(name: str) -> Response:
    """The log drawn on its plan's simulated firings."""
    from wareontology.app.simulated import MEMBERS, SEED
    from wareontology.firing.curves import curves
    from wareontology.firing.simulate import simulate
    from wareontology.plots.firing_log import firing_log
    from wareontology.replica import firings_kept

    here, plan = _firing(name)
    drawn = curves(simulate(plan, MEMBERS, SEED))
    drawing = firing_log(firings_kept.log_of(here, name).log, drawn, f"{name} on {plan.name}")
    return Response(drawing, content_type="image/svg+xml", headers=PICTURE)


@blueprint.get("/<name>/report.html")
def report(name: str) -> Response:
    """One file to hand on: the log drawn, what came out, the photos, what its plan was expected to give."""
    from wareontology import __version__
    from wareontology.app.simulated import MEMBERS, SEED
    from wareontology.firing.curves import curves
    from wareontology.firing.simulate import simulate
    from wareontology.plots.firing_log import DATA, firing_log
    from wareontology.plots.style import data_hash
    from wareontology.replica import firings_kept
    from wareontology.report.document import html
    from wareontology.report.log_document import Fired, log_document

    here, plan = _firing(name)
    made = simulate(plan, MEMBERS, SEED)
    drawn, log = curves(made), firings_kept.log_of(here, name)
    svg = firing_log(log.log, drawn, f"{name} on {plan.name}").decode("utf-8")
    fired = Fired(
        name, log, plan, _outcome(_kept_outcome(here, name)), _files(here, name), _photos(here, name)
    )
    made_by = {"software": f"wareontology {__version__}", "data_hash": data_hash(DATA)}
    document = log_document(fired, made, drawn, svg[svg.index("<svg") :], made_by)
    response = Response(html(document), content_type="text/html; charset=utf-8")
    response.headers["Content-Disposition"] = 'attachment; filename="firing.html"'
    return response


@blueprint.get("/<name>/log.csv")
def table(name: str) -> Response:
    """The log as CSV, as `wareontology log` and `learn` read it."""
    from wareontology.replica import firings_kept

    here, _ = _firing(name)
    headers = {"Content-Disposition": 'attachment; filename="log.csv"'}
    text = firings_kept.csv_of(here, name)
    return Response(text, content_type="text/csv; charset=utf-8", headers=headers)


@blueprint.get("/<name>/outcome.csv")
def outcome_table(name: str) -> Response:
    """What came out as CSV, as `wareontology learn` reads it."""
    here, _ = _firing(name)
    text = _kept_outcome(here, name)
    if not text:
        abort(404)
    headers = {"Content-Disposition": 'attachment; filename="outcome.csv"'}
    return Response(text, content_type="text/csv; charset=utf-8", headers=headers)


def _firing(name: str) -> tuple[Store, Plan]:
    from wareontology.replica import firings_kept

    here = store.to_read()
    if here is None or here.get("firing", name) is None:
        abort(404)
    return here, firings_kept.plan_of(here, name)


def _add(here: Store, name: str, entries: dict[str, dict[str, str]]) -> None:
    from wareontology.replica import firings_kept

    firings_kept.add_lines(here, name, entries, who=request.form.get("who") or _who())


def _who() -> str:
    from urllib.parse import unquote

    return unquote(request.cookies.get("who", ""))[:200] or "by the fire"


def _state(here: Store, name: str, plan: Plan) -> dict[str, Any]:
    """How the firing stands now: the step, what is off, the last lines, when it was last saved."""
    from wareontology.replica import firings_kept

    read = firings_kept.log_of(here, name)
    now_s = _since(read.log.began, read.log.last_s)
    kept = list(firings_kept.lines_of(here, name))
    last = sorted(kept, key=lambda one: one.number)[-_SHOWN:][::-1]
    return {
        "now": by_the_fire(plan, read.log, now_s),
        "last": [(one.body or {}).get("entry") or {"note": "a file of the log"} for one in last],
        "saved": last[0].at if last else "",
    }


def _since(began: datetime | None, last_s: float) -> float:
    """Seconds since the log began: by the clock where it has days in it, else to its last row."""
    if began is None:
        return last_s
    now = _now() if began.tzinfo is not None else datetime.now()
    return max((now - began).total_seconds(), last_s)


def _now() -> datetime:
    return datetime.now().astimezone()


def _kept_outcome(here: Store, name: str) -> str:
    """The CSV of what came out; "" where it was not written down."""
    kept = here.get("firing", name)
    return str((kept.body or {}).get("outcome", "")) if kept is not None else ""


def _files(here: Store, name: str) -> list[Any]:
    """What is kept of a firing in words, as the files that its page gives, with their hashes."""
    from hashlib import sha256

    from wareontology.replica import firings_kept
    from wareontology.report.document import Read

    kept = here.get("firing", name)
    texts = {
        "plan.toml": str((kept.body or {}).get("plan", "")) if kept is not None else "",
        "log.csv": firings_kept.csv_of(here, name),
        "outcome.csv": _kept_outcome(here, name),
    }
    return [Read(file, sha256(text.encode()).hexdigest()) for file, text in texts.items() if text]


def _photos(here: Store, name: str) -> list[tuple[str, bytes]]:
    found = []
    for one in here.find("photo", about=("firing", name), limit=_MOST_PHOTOS).things:
        content = here.photo(one.id)
        if content is not None:
            found.append((str((one.body or {}).get("caption") or "Photo of the firing"), content))
    return found


def _outcome(text: str) -> list[Any]:
    from wareontology.firing import outcome_read

    try:
        return list(outcome_read.from_text(text)) if text else []
    except WareontologyError:
        return []
