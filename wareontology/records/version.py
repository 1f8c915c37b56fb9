"""One change of one thing, and what a change must say before it is kept."""

import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any, Final, TypeAlias

from wareontology.errors import BreaksShape, Fault

Body: TypeAlias = Mapping[str, Any]

KINDS: Final = ("sherd", "answer", "photo", "note", "firing", "log", "claim", "tile")
LONGEST_ID: Final = 1_000
LONGEST_WHO: Final = 200
LONGEST_WHY: Final = 2_000
MOST_BYTES: Final = 4 * 2**20
"""Bytes of one body as JSON: a sherd has a few kB, an answer some tens."""
DEEPEST: Final = 100
COLUMNS: Final = "number, kind, id, body, who, why, at, restores, origin"

_CONTROL: Final = re.compile(r"[\x00-\x1f\x7f\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class Version:
    """A thing as one change left it.

    number: of the change; no two changes of a store have the same, and a later one has a higher. body: what
    is kept, None where the change took it away. at: UTC. restores: the change whose body an undo brought
    back, 0 where it went back to before the thing was there. origin: where an import brought the change from,
    else "".
    """

    number: int
    kind: str
    id: str
    body: Body | None
    who: str
    why: str
    at: str
    restores: int | None = None
    origin: str = ""

    @property
    def stands_for(self) -> int:
        """The change whose body this is: itself, but for an undo."""
        return self.number if self.restores is None else self.restores

    def as_data(self) -> dict[str, Any]:
        """Plain data, for JSON."""
        return {name: getattr(self, name) for name in COLUMNS.split(", ")}


@dataclass(frozen=True, slots=True)
class Draft:
    """A change that is to be made. expected_version: the version it rests on, None for a thing that is new.

    body None takes the thing away; its history stays.
    """

    kind: str
    id: str
    body: Body | None
    expected_version: int | None = None


def of_row(row: tuple[Any, ...]) -> Version:
    """A row of `change`, its columns in the order of COLUMNS."""
    number, kind, name, body, *others = row
    return Version(number, kind, name, None if body is None else json.loads(body), *others)


def text_of(body: Body) -> str:
    """A body as it is kept: JSON, keys in order. Raises BreaksShape where it is too large or no JSON.

    >>> text_of({"b": 1, "a": "ü"})
    '{"b":1,"a":"ü"}'
    """
    try:
        text = json.dumps(body, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
        size = len(text.encode())
    except (TypeError, ValueError, RecursionError) as error:
        raise refused("body", str(error), "an object that JSON can hold") from None
    if size > MOST_BYTES:
        raise refused("body", f"{size:,} bytes", f"at most {MOST_BYTES:,}")
    if _depth(body) > DEEPEST:
        raise refused("body", "values nested too deep", f"at most {DEEPEST} levels")
    return text


def check_names(kind: str, name: str) -> None:
    """Raises BreaksShape for a kind that is not known and an id that cannot be one."""
    if kind not in KINDS:
        raise refused("kind", kind, ", ".join(KINDS))
    if not 0 < len(name) <= LONGEST_ID or _CONTROL.search(name):
        raise refused("id", name, f"1 to {LONGEST_ID:,} characters in one line")


def signed(who: str, why: str) -> tuple[str, str]:
    """Who and why, trimmed. Raises BreaksShape where either says nothing or too much.

    >>> signed(" AB ", "typed wrong")
    ('AB', 'typed wrong')
    """
    who, why = " ".join(who.split()), why.strip()
    if not 0 < len(who) <= LONGEST_WHO or _CONTROL.search(who):
        raise refused("who", who, f"a name or initials, 1 to {LONGEST_WHO} characters")
    if not 0 < len(why) <= LONGEST_WHY or _CONTROL.search(re.sub(r"[\n\r\t]", "", why)):
        raise refused("why", why, f"a reason, 1 to {LONGEST_WHY:,} characters")
    return who, why


def about(body: Body | None) -> str | None:
    """What a thing belongs to, as `kind/id`: a body may say it as {"about": {"kind": ..., "id": ...}}.

    >>> about({"about": {"kind": "sherd", "id": "K-14"}})
    'sherd/K-14'
    """
    said = body.get("about") if body is not None else None
    if said is None:
        return None
    if not isinstance(said, Mapping) or not all(isinstance(said.get(key), str) for key in ("kind", "id")):
        raise refused("about", str(said), 'an object such as {"kind": "sherd", "id": "K-14"}')
    check_names(said["kind"], said["id"])
    return f"{said['kind']}/{said['id']}"


def now() -> str:
    """The time in UTC to the millisecond."""
    return datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def sayable(text: str) -> str:
    """Text that can be written: half letters, as JSON may hold, become question marks.

    >>> sayable("K\\ud800")
    'K?'
    """
    return text.encode("utf-8", "replace").decode()


def refused(column: str, found: str, would_do: str) -> BreaksShape:
    """The error for something that is not kept because of what it is."""
    shown = found.encode("utf-8", "backslashreplace").decode()
    return BreaksShape([Fault("records", None, column, shown, would_do)])


def _depth(value: object) -> int:
    level, here = 0, [value]
    while here:
        level += 1
        here = [inner for outer in here for inner in _inside(outer)]
    return level


def _inside(value: object) -> Iterable[object]:
    if isinstance(value, Mapping):
        return value.values()
    return value if isinstance(value, (list, tuple)) else ()
