"""The start page."""

from flask import Blueprint, render_template

start = Blueprint("start", __name__)


@start.get("/")
def page() -> str:
    """What can be done here now, and what is still to come."""
    return render_template("start.html")
