"""Units and light or dark: a choice kept in a cookie, used by every page."""

import re
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlsplit

from flask import Blueprint, redirect, request
from werkzeug.wrappers import Response

from wareontology.app.guard import keep

blueprint = Blueprint("preferences", __name__)

CHOICES: Final = {"temperature": ("c", "f"), "length": ("cm", "in"), "look": ("system", "light", "dark")}
"""What may be chosen; the first is taken where nothing was."""
_CELSIUS: Final = re.compile(r"(?<![\w.])(?:(\d+(?:\.\d+)?) (to|and|or) )?(\d+(?:\.\d+)?)\s°C")
_CENTIMETRES: Final = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) (cm|mm)\b")
_MM_OF: Final = {"cm": 10.0, "mm": 1.0}
_MM_PER_INCH: Final = 25.4


@dataclass(frozen=True, slots=True)
class Preferences:
    """What this browser's person chose. temperature: c or f. length: cm or in. look: system, light, dark."""

    temperature: str = "c"
    length: str = "cm"
    look: str = "system"


def preferences() -> Preferences:
    """The choices that came with this request; what is unknown is as if nothing had been chosen."""
    chosen = {name: request.cookies.get(name, "") for name in CHOICES}
    return Preferences(
        **{name: value if value in CHOICES[name] else CHOICES[name][0] for name, value in chosen.items()}
    )


@blueprint.app_context_processor
def _chosen() -> dict[str, object]:
    return {"preferences": preferences()}


@blueprint.app_template_filter("in_units")
def in_units(text: str) -> str:
    """A sentence of ours with its temperatures and lengths in the units that were chosen."""
    chosen = preferences()
    if chosen.temperature == "f":
        text = _CELSIUS.sub(_fahrenheit, text)
    return _CENTIMETRES.sub(_inches, text) if chosen.length == "in" else text


def fahrenheit(celsius: float) -> float:
    """A temperature in °F.

    >>> fahrenheit(800)
    1472.0
    """
    return celsius * 9 / 5 + 32


def celsius(fahrenheit: float) -> float:
    """A temperature in °C.

    >>> celsius(1472)
    800.0
    """
    return (fahrenheit - 32) * 5 / 9


@blueprint.post("/preferences")
def choose() -> Response:
    """Keep a choice and go back to the page it was made on."""
    # A page that is the answer to a form is asked for again with the record that the form carried (307).
    code = 307 if "record" in request.form else 303
    response = redirect(_local(request.form.get("back", "/")), code)
    for name, values in CHOICES.items():
        value = request.form.get(name)
        if value in values:
            keep(response, name, value)
    return response


def _fahrenheit(found: re.Match[str]) -> str:
    low, joint, high = found.groups()
    start = f"{fahrenheit(float(low)):.0f} {joint} " if low else ""
    return f"{start}{fahrenheit(float(high)):.0f} °F"


def _inches(found: re.Match[str]) -> str:
    number, unit = found.groups()
    return f"{float(number) * _MM_OF[unit] / _MM_PER_INCH:.2g} in"


def _local(address: str) -> str:
    """A path of this app, whatever was sent: nobody is sent elsewhere from here."""
    parts = urlsplit(address)
    here = address.startswith("/") and not address.startswith(("//", "/\\")) and not parts.netloc
    return address if here and address.isprintable() else "/"
