"""The rows of a table handed in as JSON: flat rows, or sherds with their rows inside (our JSON-LD)."""

import json
from collections.abc import Mapping, Sequence
from typing import Final, TypeAlias

from wareontology.errors import Unreadable
from wareontology.sherd.cells import Refused, plain
from wareontology.sherd.columns import REQUIRED, column, find
from wareontology.sherd.context import CONTEXT, context
from wareontology.sherd.gather import Table
from wareontology.sherd.headings import meant
from wareontology.sherd.rows import Cell

Object: TypeAlias = Mapping[str, object]

_NAMES: Final = {dict: "an object", list: "an array", str: "text", bool: "true or false", type(None): "null"}
_WOULD_DO: Final = "a sherd, a row, or an array of them, each an object"


def objects(text: str, name: str) -> list[Object]:
    """The objects of a JSON text: sherds or rows. Nothing is fetched: only our own context is known.

    Raises Unreadable where it is no JSON, holds no such objects or names another context.

    >>> objects('[{"sherd": "K-14", "zone": "rim", "layer": "slip"}]', "lot.json")[0]["zone"]
    'rim'
    """
    try:
        found = json.loads(text, object_pairs_hook=_once, parse_constant=_no_number)
    except json.JSONDecodeError as error:
        where = f"{name}, line {error.lineno}, place {error.colno}"
        raise Unreadable(f"{where}: found no JSON ({error.msg}); would do: {_WOULD_DO}") from None
    except (ValueError, RecursionError) as error:
        reason = "nested too deep" if isinstance(error, RecursionError) else str(error)
        raise Unreadable(f"{name}: found unreadable JSON ({reason}); would do: {_WOULD_DO}") from None
    if isinstance(found, dict) and "@graph" in found:
        _check_context(found, name)
        found = found["@graph"]
    items = found if isinstance(found, list) else [found]
    if not items:
        raise Unreadable(f"{name}: found an empty array; would do: {_WOULD_DO}")
    for number, item in enumerate(items, start=1):
        if not isinstance(item, dict):
            kind = _NAMES.get(type(item), "a number")
            raise Unreadable(f"{name}, item {number}: found {kind}; would do: {_WOULD_DO}")
        _check_context(item, name)
    return items


def table(items: Sequence[Object], name: str, own: Mapping[str, str] | None = None) -> Table:
    """Objects as a table: a heading of all their keys and of what is required, and rows counted from 1.

    A cell of a sherd with rows inside stands on the first of its rows. own: a person's own keys.
    """
    rows = [row for item in items for row in _flat(item)]
    headings = list(dict.fromkeys(key for row in rows for key in row))
    there = {meant(key, own) for key in headings}
    headings += [key for key in REQUIRED if column(key) not in there]
    lines = [(number, [row.get(key, "") for key in headings]) for number, row in enumerate(rows, start=1)]
    return Table(name, headings, None, lines)


def _flat(item: Object) -> list[dict[str, Cell]]:
    if "rows" not in item:
        return [_cells(item)]
    inside = item["rows"] if isinstance(item["rows"], list) else []
    rows = [_cells(row) if isinstance(row, dict) else {} for row in inside] or [{}]
    outer = _cells({key: value for key, value in item.items() if key != "rows"})
    for key, cell in outer.items():
        place = find(key)
        shared = place is not None and place.name in ("sherd", "observer")
        if place is not None and place.of != "sherd" and not shared:
            text = cell if isinstance(cell, str) else cell.found
            cell = Refused(text, "it inside the objects of `rows`", "it belongs to a layer in a zone")
        for row in rows if shared else rows[:1]:
            if row.get(key, cell) != cell:
                cell = Refused(str(row[key]), str(outer[key]), "not what the sherd says that holds the row")
            row[key] = cell
    return rows


def _cells(item: Object) -> dict[str, Cell]:
    return {key: _cell(key, value) for key, value in item.items() if key not in ("@id", "@type", "@context")}


def _cell(key: str, value: object) -> Cell:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return plain(value)
    if isinstance(value, str):
        return value
    place = find(key)
    several = place is not None and place.kind in ("words", "zones")
    if several and isinstance(value, list) and all(isinstance(part, str) for part in value):
        return ", ".join(value)
    return Refused(json.dumps(value), "a list of words, or one text" if several else "one text or number")


def _check_context(item: Object, name: str) -> None:
    said = item.get("@context", CONTEXT)
    if said != CONTEXT and said != context():
        raise Unreadable(
            f"{name}: found the @context {json.dumps(said)[:80]}, which is not fetched; would do: {CONTEXT}"
        )


def _once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise ValueError(f"the key {twice!r} twice in one object")
    return found


def _no_number(text: str) -> float:
    raise ValueError(f"{text}, which is no number")
