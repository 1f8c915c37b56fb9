"""What is said when something is refused: a page for a person, problem details (RFC 9457) for a program."""

import json
from collections.abc import Sequence
from typing import Any, Final

from flask import Flask, Response, current_app, render_template, request
from werkzeug.exceptions import HTTPException, SecurityError

from wareontology.errors import BreaksShape, Fault, WareontologyError

PROBLEM: Final = "application/problem+json"
_UNPROCESSABLE: Final = 422
_TITLES: Final = {
    400: "That cannot be read",
    403: "That is not taken",
    404: "No such page",
    405: "That cannot be done here",
    406: "Not in that form",
    409: "Somebody was here before",
    413: "That is too much at once",
    415: "Not a kind of file that is read here",
    422: "Something in it is not what it must be",
    429: "Too many tries",
    500: "A fault of this program",
    503: "Too many at once",
}
_DETAILS: Final = {
    404: "Nothing is kept at this address.",
    405: "This address is there, but it does not take what was asked of it.",
    413: "A file of at most {mb} MB is taken. The command takes larger ones: wareontology infer FILE.",
    500: "It was written down where this program runs. What was typed is still in the page before.",
}


def answer_in_words(app: Flask) -> None:
    """Answer every error of an app in words, by what the asker accepts."""
    app.register_error_handler(SecurityError, _another_host)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(WareontologyError, _ours)
    app.register_error_handler(Exception, _unforeseen)


def refusal(
    status: int, detail: str, faults: Sequence[Fault] = (), *, data: bool | None = None, **more: Any
) -> Response:
    """A refusal as a page, or as problem details where JSON is what the asker would rather have.

    data: problem details for sure, or a page. more: keys of the problem; `nearest`, pairs of words and path,
    are links on the page.
    """
    title = _TITLES.get(status, "That was refused")
    if wants_data() if data is None else data:
        problem = {"type": "about:blank", "title": title, "status": status, "detail": detail, **more}
        if faults:
            problem["faults"] = [fault.as_data() for fault in faults]
        body = json.dumps(problem, ensure_ascii=False)
        return Response(body, status, content_type=PROBLEM)
    page = render_template("refused.html", heading=title, detail=detail, faults=faults, status=status, **more)
    return Response(page, status, content_type="text/html; charset=utf-8")


def wants_data() -> bool:
    """Whether the asker would rather have JSON than a page: by Accept; a script that says nothing of it, too.

    What is under /api answers with data unless a page is asked for by name.
    """
    accepts = request.accept_mimetypes
    page = accepts["text/html"]
    if request.path.startswith("/api/") and "text/html" not in accepts.values():
        return True
    never_a_page = bool(accepts) and page == 0  # a program that takes rows or Turtle alone
    return never_a_page or max(accepts[PROBLEM], accepts["application/json"]) > page


def _http(error: HTTPException) -> Response:
    status = error.code or 500
    most_mb = (current_app.config["MAX_CONTENT_LENGTH"] or 0) // 2**20
    said = _DETAILS.get(status)  # what an error says itself may hold braces of its own
    detail = said.format(mb=most_mb) if said is not None else error.description or ""
    response = refusal(status, detail)
    for name, value in error.get_headers():
        if name not in ("Content-Type", "Content-Length"):
            response.headers[name] = value
    return response


def _another_host(error: SecurityError) -> Response:
    """No page can be made for a host this is not: its links would lead there."""
    text = f"{error.description} Open the address that `wareontology serve` names.\n"
    return Response(text, 400, content_type="text/plain; charset=utf-8")


def _ours(error: WareontologyError) -> Response:
    faults = error.faults if isinstance(error, BreaksShape) else ()
    return refusal(_UNPROCESSABLE, "" if faults else str(error), faults)


def _unforeseen(error: Exception) -> Response:
    if current_app.config["TESTING"]:
        raise error
    current_app.logger.exception("a fault of this program")
    return refusal(500, _DETAILS[500])
