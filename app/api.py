"""The HTTP interface for programs: the same answers as `infer --json`, and the collection with its versions.

Every refusal is problem details (RFC 9457). app/openapi.py says all of it as OpenAPI 3.1.
"""

import json
from collections.abc import Mapping
from typing import Any, Final

from flask import Blueprint, Response, request, url_for
from werkzeug.exceptions import HTTPException

from wareontology.app import store, table_posted
from wareontology.app.guard import for_programs
from wareontology.app.refusals import refusal
from wareontology.errors import BreaksShape, Conflict, Fault, Unreadable
from wareontology.records.store import MOST_FOUND
from wareontology.records.version import KINDS, Version

blueprint = Blueprint("api", __name__, url_prefix="/api/v1")

WRITABLE: Final = tuple(kind for kind in KINDS if kind not in ("answer", "photo"))
"""Answers and photos are made, not written."""
MOST_DRAWS: Final = 1_000


@blueprint.get("/openapi.json")
def openapi() -> Response:
    """What this interface takes and gives."""
    from wareontology.app.openapi import document

    return _json(document())


@blueprint.get("/columns")
def columns() -> Response:
    """The columns of the sherd table; `name`, as often as wanted, for some of them."""
    from wareontology.sherd.columns import as_data

    return _json(as_data(request.args.getlist("name")))


@blueprint.get("/rules")
def rules() -> Response:
    """Every rule."""
    from wareontology.technique import rules

    return _json(rules.rules_list())


@blueprint.get("/rules/<name>")
def rule(name: str) -> Response:
    """One rule in full."""
    from wareontology.technique import rules

    try:
        return _json(rules.explain(name))
    except KeyError:
        return refusal(404, f"There is no rule {name}.")


@blueprint.post("/validate")
@for_programs
def validate() -> Response:
    """Whether a sherd table can be read; every fault of it."""
    posted = table_posted.read()
    sherds = list(posted.sherds())
    faults = [fault.as_data() for fault in posted.faults]
    return _json({"sherds": len(sherds), "rows": sum(len(one.rows) for one in sherds), "faults": faults})


@blueprint.post("/infer")
@for_programs
def infer() -> Response:
    """The answers, in the order of the table; 422 with faults and the good answers where some have faults."""
    from wareontology.technique.asked import Asked, check_question

    draws = _whole("draws", 200, 0, MOST_DRAWS)
    question = request.args.get("question")
    if question is not None:
        try:
            check_question(question)
        except ValueError as error:
            raise BreaksShape([Fault("query", None, "question", question, str(error))]) from None
    posted = table_posted.read()
    answers = [answer for _, answer in Asked(posted, question, draws, stop=True).answers()]
    if posted.faults:
        return refusal(422, f"{posted.refused} records were refused.", posted.faults, answers=answers)
    return _json(answers)


@blueprint.get("/collection/<kind>")
def find(kind: str) -> Response:
    """Things of a kind by pages: `text`, `after`, `limit`."""
    _known(kind)
    limit = _whole("limit", 100, 1, MOST_FOUND)
    here = store.to_read()
    if here is None:
        return _json({"things": [], "next": None})
    found = here.find(kind, text=request.args.get("text", ""), after=request.args.get("after"), limit=limit)
    return _json({"things": [_thing(version) for version in found.things], "next": found.next})


@blueprint.get("/collection/<kind>/<path:name>", merge_slashes=False)
def get(kind: str, name: str) -> Response:
    """A thing as it is now, its version as ETag."""
    _known(kind)
    here = store.to_read()
    version = here.get(kind, name) if here is not None else None
    if version is None:
        return _not_kept(kind, name)
    response = _tagged(version)
    return response.make_conditional(request)  # type: ignore[return-value]


@blueprint.put("/collection/<kind>/<path:name>", merge_slashes=False)
@for_programs
def put(kind: str, name: str) -> Response:
    """Keep a thing: new with If-None-Match: *, on a version with If-Match."""
    _known(kind, WRITABLE)
    expected = _rests_on()
    said = _object()
    body = said.get("body")
    if not isinstance(body, Mapping):
        raise _amiss("body", body, "an object")
    if kind == "sherd":
        from wareontology.technique import kept

        body = kept.checked(body, name)
    who, why = _signed(said)
    version = store.to_save().put(kind, name, body, who=who, why=why, expected_version=expected)
    response = _tagged(version, 201 if expected is None else 200)
    response.headers["Location"] = url_for("api.get", kind=kind, name=name)
    return response


@blueprint.delete("/collection/<kind>/<path:name>", merge_slashes=False)
@for_programs
def remove(kind: str, name: str) -> Response:
    """Take a thing away; its history stays."""
    _known(kind)
    expected = _rests_on(new=False)
    who, why = _signed(request.args)
    here = store.to_read()
    if here is None or here.get(kind, name) is None:
        return _not_kept(kind, name)
    return _tagged(here.put(kind, name, None, who=who, why=why, expected_version=expected))


@blueprint.get("/history/<kind>/<path:name>", merge_slashes=False)
def history(kind: str, name: str) -> Response:
    """Every change of a thing, the first one first."""
    _known(kind)
    here = store.to_read()
    past = here.history(kind, name) if here is not None else ()
    return _json([version.as_data() for version in past]) if past else _not_kept(kind, name)


@blueprint.post("/undo/<kind>/<path:name>", merge_slashes=False)
@for_programs
def undo(kind: str, name: str) -> Response:
    """Go back one change, or to a version, as a new change."""
    _known(kind)
    expected = _rests_on(new=False)
    said = _object()
    to = said.get("to")
    if to is not None and (not isinstance(to, int) or isinstance(to, bool) or not 0 < to < 2**63):
        raise _amiss("to", to, "the number of a version")
    who, why = _signed(said)
    here = store.to_read()
    if here is None or here.latest(kind, name) is None:
        return _not_kept(kind, name)
    assert expected is not None  # asked for above
    return _tagged(here.undo(kind, name, who=who, why=why, expected_version=expected, to=to))


@blueprint.get("/answers/<path:name>", merge_slashes=False)
def answers(name: str) -> Response:
    """The answers kept of a sherd, the last one first, each with the data that gave it."""
    from wareontology.technique import kept

    here = store.to_read()
    if here is None or not here.history("sherd", name):
        return _not_kept("sherd", name)
    return _json([_thing(version) for version in kept.answers_of(here, name)])


@blueprint.post("/answers/<path:name>", merge_slashes=False)
@for_programs
def read_again(name: str) -> Response:
    """Answer a kept sherd with the data of now and keep that."""
    from wareontology.technique import kept

    who, why = _signed(_object())
    here = store.to_read()
    version = kept.read_again(here, name, who=who, why=why) if here is not None else None
    return _not_kept("sherd", name) if version is None else _tagged(version)


@blueprint.errorhandler(Conflict)
def conflict(error: Conflict) -> Response:
    """A save on another version than is there: both are named."""
    return refusal(412, str(error), read=error.read, now=error.now)


@blueprint.errorhandler(Unreadable)
def unreadable(error: Unreadable) -> Response:
    """What cannot be read at all, as a fault."""
    from wareontology.app.handed_in import refused_whole

    return refusal(422, str(error), refused_whole(error, "body"))


def _json(data: object, status: int = 200) -> Response:
    text = json.dumps(data, ensure_ascii=False, allow_nan=False)
    return Response(text, status, content_type="application/json")


def _thing(version: Version) -> dict[str, Any]:
    return version.as_data()


def _tagged(version: Version, status: int = 200) -> Response:
    response = _json(_thing(version), status)
    response.set_etag(str(version.number))
    return response


def _not_kept(kind: str, name: str) -> Response:
    return refusal(404, f"There is no {kind} {name} here.")


def _known(kind: str, kinds: tuple[str, ...] = KINDS) -> None:
    if kind not in kinds:
        raise _amiss("kind", kind, ", ".join(kinds))


def _rests_on(*, new: bool = True) -> int | None:
    """The version a change rests on, by If-Match; None for a new thing, by If-None-Match: *."""
    match = request.headers.get("If-Match", "").strip()
    number = match.removeprefix('"').removesuffix('"')
    if number.isascii() and number.isdecimal() and len(number) < 19:
        return int(number)
    if not match and new and request.headers.get("If-None-Match", "").strip() == "*":
        return None
    wanted = 'If-Match: "VERSION"' + (" or, for a new one, If-None-Match: *" if new else "")
    raise _Precondition(f"found {match or 'nothing'!r}; would do: {wanted}")


class _Precondition(HTTPException):
    code = 428


def _object() -> Mapping[str, Any]:
    if request.mimetype != "application/json":
        raise _Media(f"found {request.mimetype or 'no kind'}; would do: application/json")
    try:
        found = json.loads(request.get_data())
    except (ValueError, RecursionError) as error:
        raise Unreadable(f"body: found no JSON ({error}); would do: an object") from None
    if not isinstance(found, dict):
        raise _amiss("body", found, "an object")
    return found


class _Media(HTTPException):
    code = 415


def _signed(said: Mapping[str, Any]) -> tuple[str, str]:
    from wareontology.records.version import signed

    who, why = said.get("who"), said.get("why")
    for name, value in (("who", who), ("why", why)):
        if not isinstance(value, str):
            raise _amiss(name, value, "text")
    return signed(str(who), str(why))


def _whole(name: str, otherwise: int, low: int, high: int) -> int:
    text = request.args.get(name)
    if text is None:
        return otherwise
    if not (text.isascii() and text.isdecimal() and len(text) < 10 and low <= int(text) <= high):
        raise BreaksShape([Fault("query", None, name, text, f"a whole number from {low} to {high:,}")])
    return int(text)


def _amiss(name: str, found: object, would_do: str) -> BreaksShape:
    shown = found if isinstance(found, str) else json.dumps(found)
    return BreaksShape([Fault("request", None, name, shown, would_do)])
