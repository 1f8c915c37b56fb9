"""The answer page, and the answer as files."""

from flask import Blueprint, Response, abort, render_template, request

from wareontology.app import entry, files, reading
from wareontology.app.bench import bench

blueprint = Blueprint("answer", __name__)


@blueprint.post("/answer")
def page() -> str | Response:
    """The answer to what the bench's form holds, or to a record; a form with faults comes back with them."""
    if "record" in request.form:
        return render_template("answer/page.html", **reading.shown(reading.sherd(request.form["record"])))
    held = entry.of_form(request.form)
    sherd, faults = entry.read(held)
    if sherd is None:
        return Response(bench(held, faults), 422 if faults else 200)
    return render_template("answer/page.html", **reading.shown(sherd))


@blueprint.post("/answer/file")
def file() -> Response:
    """The record with its answer as a file: JSON, JSON-LD, Turtle or CSV."""
    kind = request.form.get("form", "")
    if kind not in files.KINDS:
        abort(400, f"There is no such form; would do: {', '.join(files.KINDS)}.")
    sherd = reading.sherd(request.form.get("record", ""))
    return files.sent(kind, [(sherd, reading.answered(sherd))], sherd.sherd)
