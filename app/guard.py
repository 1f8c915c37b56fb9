"""What keeps the app safe by default: headers on every answer, and a token on whatever changes something."""

import secrets
from collections.abc import Callable
from hmac import compare_digest
from typing import Any, Final, TypeVar
from urllib.parse import urlsplit

from flask import Flask, Response, current_app, g, request
from markupsafe import Markup
from werkzeug.exceptions import Forbidden
from werkzeug.wrappers import Response as BaseResponse

View = TypeVar("View", bound=Callable[..., Any])

TOKEN: Final = "token"
"""Name of the cookie and of the form field that must hold the same."""
HEADER: Final = "X-Token"
"""The same token as a header, for our own scripts."""

_YEAR_S: Final = 365 * 24 * 3600
_READING: Final = ("GET", "HEAD", "OPTIONS")
_FROM_A_FORM: Final = ("application/x-www-form-urlencoded", "multipart/form-data", "text/plain", "")
"""What a page elsewhere may send without asking first (the Fetch standard's simple requests)."""
_HEADERS: Final = {
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; "
        "worker-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    # Not no-referrer, which would make browsers send `Origin: null` with our own forms.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
}


def protect(app: Flask) -> None:
    """Guard every request and every answer of an app."""
    app.before_request(_refuse_from_elsewhere)
    app.after_request(_guarded)
    app.jinja_env.globals["csrf"] = csrf


def for_programs(view: View) -> View:
    """Mark a view that takes data without a form's token: JSON and the like, never what a form can send.

    A page elsewhere cannot send such data without the browser asking here first, which is never granted.
    """
    view.for_programs = True  # type: ignore[attr-defined]
    return view


def changes_nothing(view: View) -> View:
    """Mark a view that only reads: a program may send it a form without a token, a page elsewhere may not."""
    view.changes_nothing = True  # type: ignore[attr-defined]
    return view


def csrf() -> Markup:
    """The hidden field that every form of method post must hold."""
    return Markup('<input type="hidden" name="{}" value="{}">').format(TOKEN, token())


def token() -> str:
    """This browser's token: the cookie's, or a new one that is set with this answer."""
    found = request.cookies.get(TOKEN, "")
    if len(found) < 32:
        found = getattr(g, TOKEN, "") or secrets.token_urlsafe(32)
        setattr(g, TOKEN, found)
    return found


def keep(response: BaseResponse, name: str, value: str) -> None:
    """Set a cookie for a year that no script reads and no other site sends."""
    response.set_cookie(
        name, value, max_age=_YEAR_S, httponly=True, samesite="Strict", secure=request.is_secure, path="/"
    )


def _refuse_from_elsewhere() -> None:
    if request.method in _READING:
        return
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in ("same-origin", "none"):
        raise Forbidden("This was sent by another site's page. Open the page here and send it again.")
    origin = request.headers.get("Origin")
    if origin is not None and urlsplit(origin).netloc != request.host:
        raise Forbidden("This was sent by another site's page. Open the page here and send it again.")
    view = current_app.view_functions.get(request.endpoint or "")
    if view is None or getattr(view, "changes_nothing", False):
        return
    sent_by_form = request.method == "POST" and request.mimetype in _FROM_A_FORM
    if getattr(view, "for_programs", False) and not sent_by_form:
        return
    cookie = request.cookies.get(TOKEN, "")
    sent = request.headers.get(HEADER) or request.form.get(TOKEN, "")
    if not cookie or not compare_digest(cookie.encode(), sent.encode()):
        raise Forbidden(
            "The form's token is missing or old. Go back, load the page anew and send it again; what was"
            " typed is still there."
        )


def _guarded(response: Response) -> Response:
    for name, value in _HEADERS.items():
        response.headers.setdefault(name, value)
    if request.endpoint != "static":
        # Kept for the back button, so that nothing typed is lost; asked anew before it is shown again.
        response.headers.setdefault("Cache-Control", "private, no-cache")
        response.headers.add("Vary", "Cookie, Accept")
    if hasattr(g, TOKEN):
        keep(response, TOKEN, getattr(g, TOKEN))
    return response
