"""The phone: let in by six digits, which cannot be tried out one after the other."""

import hashlib
import secrets
import time
from collections import defaultdict, deque
from dataclasses import dataclass, field
from hmac import compare_digest
from ipaddress import ip_address
from threading import Lock
from typing import TYPE_CHECKING, Final

from flask import Blueprint, Flask, abort, current_app, redirect, render_template, request, url_for
from markupsafe import Markup
from werkzeug.wrappers import Response as BaseResponse

from wareontology.app import guard
from wareontology.app.refusals import refusal

if TYPE_CHECKING:
    from segno import QRCode

blueprint = Blueprint("phone", __name__)

COOKIE: Final = "paired"
TRIES: Final = 5
"""Wrong digits from one address before it has to wait."""
WAIT_S: Final = 600.0
MOST_WRONG: Final = 50
"""Wrong digits from all addresses together before no new phone is let in: of a million, few are tried."""

_EXTENSION: Final = "phone"


@dataclass
class Pairing:
    """The digits of this run, who was let in, and who guessed wrong and when."""

    code: str = field(default_factory=lambda: f"{secrets.randbelow(1_000_000):06d}")
    let_in: set[str] = field(default_factory=set)
    wrong: dict[str, deque[float]] = field(default_factory=lambda: defaultdict(deque))
    all_wrong: int = 0
    lock: Lock = field(default_factory=Lock)

    def must_wait_s(self, address: str, now: float) -> float:
        """Seconds before this address may try again; 0 where it may now."""
        with self.lock:
            if self.all_wrong >= MOST_WRONG:
                return WAIT_S
            tries = self.wrong[address]
            while tries and now - tries[0] > WAIT_S:
                tries.popleft()
            return WAIT_S - (now - tries[0]) if len(tries) >= TRIES else 0.0

    def tried(self, address: str, digits: str, now: float) -> str | None:
        """A key where the digits are right, else None; the try is counted."""
        if compare_digest(digits.encode(), self.code.encode()):
            key = secrets.token_urlsafe(32)
            with self.lock:
                self.let_in.add(_hashed(key))
            return key
        with self.lock:
            self.wrong[address].append(now)
            self.all_wrong += 1
        return None

    def knows(self, key: str) -> bool:
        """Whether a key is one that was given out in this run."""
        return bool(key) and _hashed(key) in self.let_in


def pairing(app: Flask) -> Pairing:
    """The pairing of an app's run."""
    found = app.extensions.setdefault(_EXTENSION, Pairing())
    assert isinstance(found, Pairing)  # nobody else writes there
    return found


def code(app: Flask) -> str:
    """The six digits of this run."""
    return pairing(app).code


def address_code(address: str) -> "QRCode":
    """An address as a square code that a phone reads."""
    import segno

    return segno.make_qr(address, error="m")


@blueprint.before_app_request
def only_paired() -> BaseResponse | None:
    """With `serve --phone`, what comes from another machine is let in only with a key."""
    if not current_app.config["PHONE"] or _from_here():
        return None
    if request.endpoint in ("phone.pair", "phone.paired", "static"):
        return None
    if pairing(current_app).knows(request.cookies.get(COOKIE, "")):
        return None
    if request.method == "GET" and not request.path.startswith("/api/"):
        return redirect(url_for("phone.pair"))
    return refusal(403, f"This phone is not paired. Open {url_for('phone.pair')} and type the six digits.")


@blueprint.get("/phone")
def page() -> str:
    """What to scan and to type, shown on this machine alone."""
    if not _from_here():
        abort(404)
    shown = None
    if current_app.config["PHONE"]:
        host = current_app.config["TRUSTED_HOSTS"][-1]
        port = request.host.rpartition(":")[2]
        address = f"http://{host}:{port}{url_for('phone.pair')}"
        square = Markup(address_code(address).svg_inline(scale=5, dark="#211c17", light="#fbf8f2"))
        digits = code(current_app)
        shown = {"address": address, "square": square, "digits": f"{digits[:3]} {digits[3:]}"}
    return render_template("phone/page.html", shown=shown)


@blueprint.get("/phone/pair")
def pair() -> str:
    """The form for the six digits."""
    return render_template("phone/pair.html")


@blueprint.post("/phone/pair")
def paired() -> BaseResponse:
    """Let a phone in that sends the right digits."""
    here, now = pairing(current_app), time.monotonic()
    address = request.remote_addr or ""
    wait_s = here.must_wait_s(address, now)
    if wait_s > 0:
        detail = "Too many wrong digits. Start `wareontology serve --phone` again for new ones, or wait."
        response = refusal(429, f"{detail} Next try in {max(1, round(wait_s / 60))} min.")
        response.headers["Retry-After"] = str(int(wait_s) + 1)
        return response
    digits = "".join(letter for letter in request.form.get("digits", "")[:40] if letter.isdigit())
    key = here.tried(address, digits, now)
    if key is None:
        return refusal(403, "Those are not the digits shown where it was started.")
    let_in = redirect(url_for("bench.page"))
    guard.keep(let_in, COOKIE, key)
    return let_in


def _from_here() -> bool:
    try:
        return ip_address(request.remote_addr or "").is_loopback
    except ValueError:
        return False


def _hashed(key: str) -> str:
    return hashlib.sha256(key.encode()).hexdigest()
