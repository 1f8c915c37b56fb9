"""The user's own store, opened when it is first needed; no folder is made before something is saved."""

from pathlib import Path

from flask import current_app

from wareontology.records.store import Store

NAME = "store"


def to_save() -> Store:
    """The store, made if it is not there yet. Errors as `Store`."""
    app = current_app
    found = app.extensions.get(NAME)
    if not isinstance(found, Store):
        found = app.extensions[NAME] = Store(Path(app.config["RECORDS"]))
    return found


def to_read() -> Store | None:
    """The store; None where nothing was saved yet."""
    found = current_app.extensions.get(NAME)
    if isinstance(found, Store):
        return found
    there = Path(current_app.config["RECORDS"]) / "records.sqlite"
    return to_save() if there.is_file() else None
