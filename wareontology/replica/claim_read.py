"""A claim read from a file: Turtle, or a form in TOML or JSON. What is wrong in it is refused by name."""

import json
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Any, Final

from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.replica import claim_turtle
from wareontology.replica.claim_fields import Form
from wareontology.replica.claim_form import Checker, with_people
from wareontology.sherd import iris, json_rows
from wareontology.sherd.gather import Reading, gathered, placed, records
from wareontology.sherd.record import Sherd
from wareontology.sherd.table import read as read_table
from wareontology.sherd.turtle import Said, objects_of, parsed, to_turtle

MOST_BYTES: Final = 20_000_000
_SHERDS: Final = ("original", "replica")


@dataclass(frozen=True, slots=True)
class Claim:
    """One claim: its form, and the records of originals and of replicas, its own and those of its tables."""

    form: Form
    originals: tuple[Sherd, ...]
    replicas: tuple[Sherd, ...]
    file: str

    def address(self) -> str:
        return claim_turtle.address(self.form)

    def turtle(self) -> str:
        """The claim and its own records as Turtle; tables it names are named, not copied."""
        own = [sherd for sherd in (*self.originals, *self.replicas) if sherd.sherd in self._own()]
        addresses = {sherd.sherd: iris.of_sherd(sherd) for sherd in own}
        head = "# A claim, with the records it brings along.\n"
        said = claim_turtle.written(claim_turtle.triples(self.form, addresses))
        return head + (to_turtle(own) if own else "") + said

    def _own(self) -> set[str]:
        return {name for key in _SHERDS for name in self.form.get(key, ())}


def read(path: str | Path) -> Claim:
    """The claim of a file: `.toml`, `.json`, else Turtle; `-` is standard input, Turtle or TOML.

    Raises Unreadable where it cannot be read at all, BreaksShape with every fault that was found.
    """
    import sys

    name = "standard input" if str(path) == "-" else str(path)
    try:
        content = sys.stdin.buffer.read(MOST_BYTES + 1) if str(path) == "-" else Path(path).read_bytes()
        text = content.decode("utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "no UTF-8"
        raise Unreadable(
            f"{name}: found no readable text ({reason}); would do: a claim as TOML or Turtle"
        ) from None
    folder = None if str(path) == "-" else Path(path).parent
    return from_text(text, Path(name).name, folder=folder, stem=Path(name).stem)


def from_text(text: str, name: str, *, folder: Path | None = None, stem: str = "claim") -> Claim:
    """The claim of a text. folder: where its tables lie; None: it may name none. Errors as `read`."""
    if len(text) > MOST_BYTES:
        raise Unreadable(f"{name}: found over {MOST_BYTES:,} characters; would do: a shorter claim")
    if name.endswith(".json") or text.lstrip().startswith("{"):
        raw, objects = _apart(_json(text, name))
    elif name.endswith(".toml") or not _like_turtle(text):
        raw, objects = _apart(_toml(text, name))
    else:
        raw, sherds = claim_turtle.raw_form(parsed(text, name, claim_turtle.WOULD_DO), name)
        objects = [*_objects(sherds, name)]
    raw.setdefault("id", stem)
    return _claim(raw, objects, name, folder)


def from_form(raw: Mapping[str, Any], name: str = "form") -> Claim:
    """The claim of a form that was filled in, records inside. Errors as `read`."""
    form, objects = _apart(dict(raw))
    return _claim({"id": name, **form}, objects, name, None)


def _claim(
    raw: Mapping[str, Any], objects: Sequence[json_rows.Object], name: str, folder: Path | None
) -> Claim:
    checker = Checker(name)
    form = with_people(checker.part("claim", raw))
    reading = Reading(())
    if objects:
        table = json_rows.table(objects, name)
        reading = gathered(records(table, placed(table, None, False)))
    faults = [*checker.faults, *reading.faults]
    by_name = {sherd.sherd: sherd for sherd in reading.sherds}
    found: dict[str, list[Sherd]] = {key: [] for key in _SHERDS}
    for key in _SHERDS:
        for one in form.get(key, ()):
            if one in by_name:
                found[key].append(by_name[one])
            elif not reading.faults:
                faults.append(
                    Fault(
                        name, None, key, one, ", ".join(by_name) or "a sherd's record", why="no such record"
                    )
                )
        if f"{key}s" in form:
            more, wrong = _table(form, f"{key}s", name, folder)
            found[key] += more
            faults += wrong
    if faults:
        raise BreaksShape(faults)
    return Claim(form, tuple(found["original"]), tuple(found["replica"]), name)


def _table(form: Form, key: str, name: str, folder: Path | None) -> tuple[list[Sherd], list[Fault]]:
    """The sherds of a table the claim names: those of its ware, where any is."""
    said = form[key]
    path = PurePosixPath(said)
    if folder is None or path.is_absolute() or ".." in path.parts or "\\" in said:
        would_do = (
            "a file in the folder of the claim" if folder is not None else "the records inside the claim"
        )
        return [], [Fault(name, None, key, said, would_do, why="it is not read from there")]
    reading = read_table(folder / said, name=said)
    own = [sherd for sherd in reading.sherds if _ware(sherd) == form.get("ware")]
    return own or list(reading.sherds), list(reading.faults)


def _ware(sherd: Sherd) -> str | None:
    cell = sherd.seen.get("ware")
    return cell.text if cell is not None else None


def _apart(raw: dict[str, Any]) -> tuple[dict[str, Any], list[json_rows.Object]]:
    """A form without the records inside, which are named instead, and those records."""
    objects: list[json_rows.Object] = []
    form = dict(raw)
    for key in _SHERDS:
        items = form.get(key)
        if isinstance(items, list):
            objects += [item for item in items if isinstance(item, dict)]
            form[key] = [item.get("sherd", "") if isinstance(item, dict) else item for item in items]
    return form, objects


def _objects(sherds: Mapping[tuple[str, str], Said], name: str) -> Sequence[json_rows.Object]:
    return objects_of(sherds, name) if sherds else ()


def _like_turtle(text: str) -> bool:
    lines = (line.strip().casefold() for line in text.splitlines())
    first = next((line for line in lines if line and not line.startswith("#")), "")
    return first.startswith(("@prefix", "@base", "prefix ", "base ", "<", "_:"))


def _toml(text: str, name: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise Unreadable(f"{name}: found no TOML ({error}); would do: a claim as TOML or Turtle") from None


def _json(text: str, name: str) -> dict[str, Any]:
    try:
        found = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise Unreadable(f"{name}: found no JSON ({error}); would do: one claim, an object") from None
    if not isinstance(found, dict):
        raise Unreadable(f"{name}: found no object; would do: one claim, an object")
    return found
