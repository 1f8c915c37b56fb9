"""An app to test, and forms sent to it as a page would send them."""

import re
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from wareontology.app import create_app
from wareontology.sherd.record import Sherd

SHOWN = Path(__file__).parents[1] / "cases" / "shown"


def a_client(**config: Any) -> FlaskClient:
    """A client of a fresh app."""
    return create_app({"TESTING": True, **config}).test_client()


def token(client: FlaskClient, page: str = "/") -> str:
    """The token that a page's form holds, its cookie set."""
    found = re.search(r'name="token" value="([^"]+)"', client.get(page).get_data(as_text=True))
    assert found
    return found[1]


def post(client: FlaskClient, path: str, data: dict[str, Any] | None = None, **more: Any) -> TestResponse:
    """A form sent with its token."""
    return client.post(path, data={"token": token(client), **(data or {})}, **more)


def fields_of(sherd: Sherd) -> dict[str, Any]:
    """A sherd as the bench's form would send it."""
    fields: dict[str, Any] = {"s.sherd": sherd.sherd, "s.looked": sorted(sherd.looked)}
    fields |= {f"s.{name}": cell.text for name, cell in sherd.seen.items() if name != "looked"}
    if sherd.observer:
        fields["s.observer"] = sherd.observer
    for place, row in enumerate(sherd.rows):
        fields |= {f"r{place}.zone": row.zone, f"r{place}.layer": row.layer}
        if row.name:
            fields[f"r{place}.name"] = row.name
        for name, cell in row.seen.items():
            typed = ".typed" if name in ("colour", "patches", "refire_colour", "refire_ground_colour") else ""
            fields[f"r{place}.{name}{typed}"] = cell.text
    return fields
