"""The local web app: a factory, and one blueprint a noun. It computes nothing itself."""

from collections.abc import Mapping
from typing import Any

from flask import Flask, Response

from wareontology import __version__
from wareontology.app.start import start


def create_app(config: Mapping[str, Any] | None = None) -> Flask:
    """Make the app.

    >>> create_app({"TESTING": True}).test_client().get("/").status_code
    200
    """
    app = Flask(__name__)
    app.config.from_mapping(config or {})
    app.register_blueprint(start)
    app.jinja_env.globals["version"] = __version__
    app.after_request(_guard)
    return app


def _guard(response: Response) -> Response:
    """Nothing is loaded from elsewhere, framed or guessed at."""
    response.headers["Content-Security-Policy"] = (
        "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; "
        "frame-ancestors 'none'"
    )
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Referrer-Policy"] = "no-referrer"
    return response
