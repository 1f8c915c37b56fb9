"""The start page."""

from flask import Blueprint, render_template

blueprint = Blueprint("start", __name__)


@blueprint.get("/")
def page() -> str:
    """The three doors, and what lies beside them."""
    return render_template("start/page.html")
