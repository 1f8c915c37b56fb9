"""Which pages there are: a page links to another noun's page only where that noun is served."""

from typing import Final

from flask import Flask, current_app

BESIDE: Final = (
    ("bench.page", "The bench"),
    ("lot.page", "A table"),
    ("traditions.page", "Traditions"),
    ("rules.page", "Rules"),
    ("terms.page", "Terms"),
    ("sources.page", "Sources"),
    ("replica.page", "A look"),
    ("firing.page", "Firings"),
    ("claim.page", "A claim"),
    ("collection.page", "My collection"),
)
"""What the line at the head of every page names, where it is served."""


def name_pages(app: Flask) -> None:
    """Let templates ask which pages there are."""
    app.jinja_env.globals["has_page"] = has_page
    app.jinja_env.globals["pages_beside"] = pages_beside


def has_page(endpoint: str) -> bool:
    """Whether an endpoint is served."""
    return endpoint in current_app.view_functions


def pages_beside() -> list[tuple[str, str]]:
    """Endpoints and names of the pages at the head of every page."""
    return [(endpoint, words) for endpoint, words in BESIDE if has_page(endpoint)]
