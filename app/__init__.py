"""The local web app: a factory, and one blueprint a noun. It computes nothing itself."""

from collections.abc import Mapping
from typing import Any, Final

from flask import Flask

from wareontology import __version__
from wareontology.app import (
    answer,
    api,
    bench,
    claim,
    collection,
    compare,
    described,
    fire,
    firing,
    guard,
    lot,
    pages,
    phone,
    preferences,
    refusals,
    replica,
    rules,
    sources,
    sparql,
    start,
    terms,
    traditions,
)  # fmt: skip

BLUEPRINTS: Final = (
    start, preferences, bench, answer, lot, traditions, rules, terms, sources, sparql, firing, fire,
    replica, compare, claim, collection, phone, api,
)  # fmt: skip
"""Modules that each hold one `blueprint`. A new noun is added here, in the order of the start page."""

DEFAULTS: Final = {
    "RECORDS": "records",
    "PHONE": False,
    # A page that is no page of this machine may name it as its host (DNS rebinding): only these are answered.
    "TRUSTED_HOSTS": ["localhost", "127.0.0.1", "[::1]"],
    "MAX_CONTENT_LENGTH": 16 * 2**20,
    "MAX_FORM_MEMORY_SIZE": 2 * 2**20,
    "MAX_FORM_PARTS": 2_000,
    "MOST_UNPACKED": 64 * 2**20,
    "MOST_SHEETS": 20,
    "MOST_ROWS": 20_000,
    "MOST_CELLS": 1_000_000,
    "MOST_SHERDS": 2_000,
}


def create_app(config: Mapping[str, Any] | None = None) -> Flask:
    """Make the app.

    config: RECORDS, folder of the user's own store; PHONE, whether another machine of the local net may use
    it; TRUSTED_HOSTS, the names it answers to; the caps on what is handed in (bytes, rows, cells, sheets,
    bytes unpacked, sherds of one table); TESTING.

    >>> create_app({"TESTING": True}).test_client().get("/").status_code
    200
    """
    app = Flask(__name__)
    app.config.from_mapping(DEFAULTS)
    app.config.from_mapping(config or {})
    app.jinja_env.globals["version"] = __version__
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    guard.protect(app)
    pages.name_pages(app)
    described.give_paths(app)
    refusals.answer_in_words(app)
    for module in BLUEPRINTS:
        app.register_blueprint(module.blueprint)
    return app
