"""My collection: sherds with answers, notes and photos, every change of them, and all of it as one file."""

import tempfile
from typing import Any, Final

from flask import (
    Blueprint,
    Response,
    abort,
    make_response,
    redirect,
    render_template,
    request,
    send_file,
    url_for,
)
from werkzeug.wrappers import Response as BaseResponse

from wareontology.app import collected, guard, reading, store
from wareontology.app.refusals import refusal
from wareontology.errors import BreaksShape, Conflict, Fault
from wareontology.records.store import Store
from wareontology.records.version import Version
from wareontology.sherd.record import Sherd

blueprint = Blueprint("collection", __name__, url_prefix="/collection")

PAGE: Final = 50
MOST_IMPORTED: Final = 2**30
"""Bytes of an export that is brought in: it holds photos, and may be larger than any other body."""
WHO: Final = "who"
"""Cookie that keeps who works here, so that it is typed once."""


@blueprint.url_value_preprocessor
def _larger_for_import(endpoint: str | None, _: Any) -> None:
    """Said before the body is read, which is when the form's token is looked for."""
    if endpoint == "collection.bring":
        request.max_content_length = MOST_IMPORTED


@blueprint.app_context_processor
def _who_works() -> dict[str, Any]:
    from urllib.parse import unquote

    return {"who_works": unquote(request.cookies.get(WHO, ""))[:200]}


@blueprint.get("")
def page() -> str:
    """The sherds kept, by pages, found by words."""
    text, after = request.args.get("text", ""), request.args.get("after")
    here = store.to_read()
    found = here.find("sherd", text=text, after=after, limit=PAGE) if here is not None else None
    return render_template(
        "collection/page.html",
        things=[collected.listed(version) for version in found.things] if found is not None else [],
        next=found.next if found is not None else None,
        count=here.count("sherd") if here is not None else 0,
        text=text,
        after=after,
    )


@blueprint.post("/keep")
def keep() -> BaseResponse:
    """Keep a record with its answer; where another one of its id is kept, both are shown first."""
    return keep_sherd(reading.sherd(request.form.get("record", "")))


def keep_sherd(sherd: Sherd) -> BaseResponse:
    """The same for a sherd that the form gave in its own way."""
    from wareontology.technique import kept

    who, why = _signed("kept from the bench")
    here, name = store.to_save(), kept.id_of(sherd)
    there = here.get("sherd", name)
    expected = _number("version")
    if there is None or not _same(there, sherd):
        if there is not None and there.number != expected:
            return _clash(there, sherd, why)
        try:
            kept.keep(here, sherd, who=who, why=why, expected_version=there.number if there else None)
        except Conflict:  # saved in the moment between
            now = here.get("sherd", name)
            if now is None:
                raise
            return _clash(now, sherd, why)
    kept.keep_answer(here, sherd, reading.answered(sherd), draws=reading.DRAWS, who=who, why=why)
    return _done(name, who)


@blueprint.get("/sherd/<path:name>", merge_slashes=False)
def sherd(name: str) -> str:
    """A sherd with all that is kept of it."""
    from wareontology.technique import kept

    here = store.to_read()
    past = here.history("sherd", name) if here is not None else ()
    if here is None or not past:
        abort(404)
    now = past[-1]
    record = kept.sherd_of(now) if now.body is not None else None
    answers = kept.answers_of(here, name)
    chosen = request.args.get("beside", "")[:500]
    other = collected.beside(here, name, record, chosen) if record is not None and chosen else None
    if chosen and other is None:
        abort(404, "That other sherd is not kept, or can no longer be read.")
    return render_template(
        "collection/sherd.html",
        name=name,
        now=now,
        sherd=record,
        record=reading.record(record) if record is not None else "",
        answers=[(each, record is not None and kept.stands(each, record)) for each in answers],
        changed=collected.between(answers),
        verdict=collected.verdict(answers),
        history=collected.told(past),
        notes=here.find("note", about=("sherd", name), limit=500).things,
        photos=here.find("photo", about=("sherd", name), limit=collected.MOST_PHOTOS).things,
        other=other,
        others=collected.others(here, name) if record is not None else [],
    )


@blueprint.post("/undo/<path:name>", merge_slashes=False)
def undo(name: str) -> BaseResponse:
    """Go back one change or to a version, as a new change."""
    who, why = _signed("undone")
    here = _there("sherd", name)
    here.undo("sherd", name, who=who, why=why, expected_version=_number("version") or 0, to=_number("to"))
    return _done(name, who)


@blueprint.post("/remove/<path:name>", merge_slashes=False)
def remove(name: str) -> BaseResponse:
    """Take a sherd out; its history stays and it can be brought back."""
    who, why = _signed("")
    _there("sherd", name).put("sherd", name, None, who=who, why=why, expected_version=_number("version"))
    return _done(name, who)


@blueprint.post("/again/<path:name>", merge_slashes=False)
def again(name: str) -> BaseResponse:
    """Read a sherd again with the data of now."""
    from wareontology.technique import kept

    who, why = _signed("read again with the data of now")
    if kept.read_again(_there("sherd", name), name, who=who, why=why) is None:
        abort(404)
    return _done(name, who)


@blueprint.post("/note/<path:name>", merge_slashes=False)
def note(name: str) -> BaseResponse:
    """Keep a note on a sherd."""
    from uuid import uuid4

    who, why = _signed("noted")
    text = request.form.get("text", "").strip()
    if not 0 < len(text) <= 10_000:
        raise BreaksShape([Fault("the form", None, "text", text, "a note, 1 to 10,000 characters")])
    body = {"about": {"kind": "sherd", "id": name}, "text": text}
    here = _there("sherd", name)
    here.put("note", uuid4().hex, body, who=who, why=why, expected_version=None)
    return _done(name, who)


@blueprint.post("/photo/<path:name>", merge_slashes=False)
def photo(name: str) -> BaseResponse:
    """Keep a photo of a sherd, encoded anew without place and time."""
    who, why = _signed("photographed")
    file = request.files.get("photo")
    if file is None or not file.filename:
        raise BreaksShape([Fault("the form", None, "photo", "no file", "a photo as JPEG, PNG or WebP")])
    caption = request.form.get("caption", "")
    here = _there("sherd", name)
    here.add_photo(file.read(), ("sherd", name), caption=caption, who=who, why=why)
    return _done(name, who)


@blueprint.get("/photo/<name>.jpg")
def picture(name: str) -> Response:
    """The bytes of a photo."""
    here = store.to_read()
    content = here.photo(name) if here is not None else None
    if content is None:
        abort(404)
    return Response(content, content_type="image/jpeg")


@blueprint.get("/answer/<name>")
def answer(name: str) -> str:
    """An answer as it was given, with the data it rests on."""
    from wareontology.sherd.jsonld import from_jsonld
    from wareontology.technique.answer import data_hash

    here = store.to_read()
    version = here.get("answer", name) if here is not None else None
    if version is None or version.body is None:
        abort(404)
    body = version.body
    sherd = from_jsonld(body["sherd"], f"version {version.number}")
    shown = reading.shown(sherd, body["answer"])
    if body["data_hash"] != data_hash():  # the draws of now say nothing of what was drawn then
        shown["questions"] = reading.questions(body["answer"], {})
    return render_template("answer/page.html", **shown, kept=version)


@blueprint.get("/export.zip")
def export() -> Response:
    """Everything, as one file."""
    from wareontology.records.whole import write_whole

    here = store.to_read()
    if here is None:
        abort(404)
    out = tempfile.TemporaryFile()  # noqa: SIM115 - closed with the response
    write_whole(here, out)
    out.seek(0)
    return send_file(out, "application/zip", as_attachment=True, download_name="collection.zip")


@blueprint.post("/import")
def bring() -> BaseResponse:
    """Bring in what another collection exported."""
    from wareontology.records.whole import import_whole

    who, why = _signed("brought in")
    file = request.files.get("file")
    if file is None or not file.filename:
        raise BreaksShape([Fault("the form", None, "file", "no file", "the zip of an export")])
    import_whole(store.to_save(), file.stream, who=who, why=why, name="the file")
    return keep_who(redirect(url_for("collection.page"), 303), who)


@blueprint.app_errorhandler(Conflict)
def _conflict(error: Conflict) -> Response:
    return refusal(409, str(error), your_version=error.read, their_version=error.now)


def _clash(there: Version, sherd: Sherd, why: str) -> Response:
    """What is kept and what was to be kept, side by side; nothing is saved."""
    page = render_template(
        "collection/clash.html",
        there=there, sherd=sherd, record=reading.record(sherd), why=why,
        changed=collected.changed(collected.readable(there), sherd),
    )  # fmt: skip
    return make_response(page, 409)


def _same(there: Version, sherd: Sherd) -> bool:
    from wareontology.sherd.jsonld import to_jsonld

    return there.body == to_jsonld(sherd)


def _there(kind: str, name: str) -> Store:
    """The store, where it holds, or once held, a thing."""
    here = store.to_read()
    if here is None or here.latest(kind, name) is None:
        abort(404)
    return here


def _signed(otherwise: str) -> tuple[str, str]:
    from wareontology.records import version

    return version.signed(request.form.get("who", ""), request.form.get("why", "").strip() or otherwise)


def _number(field: str) -> int | None:
    text = request.form.get(field, "")
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 19 else None


def _done(name: str, who: str) -> BaseResponse:
    return keep_who(redirect(url_for("collection.sherd", name=name), 303), who)


def keep_who(response: BaseResponse, who: str) -> BaseResponse:
    """Remember who works here, so that it is typed once."""
    from urllib.parse import quote

    guard.keep(response, WHO, quote(who))
    return response
