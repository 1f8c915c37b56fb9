"""A person's own firings in the store: the plan, every line of the log, what came out. Nothing is lost or
doubled.

A firing is of kind `firing`; its log is things of kind `log` about it: a line each where it was typed, with
an id that the one who typed gave it, so that a line sent twice is kept once; a file in parts, as it was
handed in.
"""

import csv
import hashlib
import io
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Final

from wareontology.errors import BreaksShape, Conflict, Fault
from wareontology.firing import log_read
from wareontology.firing.log import Read
from wareontology.firing.log_columns import columns
from wareontology.firing.log_times import in_order
from wareontology.firing.plan import Plan, from_text
from wareontology.records.store import Store
from wareontology.records.version import Draft, Version

_PART: Final = 2**20
"""Characters of one part of a file: well below what the store keeps in one body."""
_LONGEST_LINE_ID: Final = 64
_PAGE: Final = 1000


def begin(store: Store, name: str, plan_text: str, *, who: str, why: str = "begun") -> Version:
    """Keep a firing with its plan, or another plan for it. BreaksShape where the plan is none."""
    from_text(plan_text, name)
    there = store.get("firing", name)
    body = {**(there.body if there is not None and there.body is not None else {}), "plan": plan_text}
    expected = there.number if there is not None else None
    return store.put("firing", name, body, who=who, why=why, expected_version=expected)


def keep_outcome(store: Store, name: str, outcome_text: str, *, who: str, why: str = "came out") -> Version:
    """Keep what the tiles and pots showed. BreaksShape where it is no outcome, or there is no such firing."""
    from wareontology.firing import outcome_read

    outcome_read.from_text(outcome_text, name)
    there = _there(store, name)
    body = {**(there.body or {}), "outcome": outcome_text}
    return store.put("firing", name, body, who=who, why=why, expected_version=there.number)


def plan_of(store: Store, name: str) -> Plan:
    """The plan of a firing. BreaksShape where there is no such firing."""
    return from_text(str((_there(store, name).body or {})["plan"]), name)


def add_lines(
    store: Store, name: str, entries: Mapping[str, Mapping[str, str]], *, who: str
) -> tuple[str, ...]:
    """Keep lines that were typed, by their ids; gives the ids that are kept now, those that were before too.

    A line that has a fault of its own is refused (BreaksShape) and none is kept. Lines may come late and in
    any order: time sorts them when the log is read.
    """
    _there(store, name)
    drafts = []
    for entry_id, entry in entries.items():
        cells = {column: text for column, text in entry.items() if text.strip()}
        _check(entry_id, cells)
        if store.latest("log", f"{name}/{entry_id}") is None:
            body = {"about": {"kind": "firing", "id": name}, "entry": cells}
            drafts.append(Draft("log", f"{name}/{entry_id}", body))
    try:
        if drafts:
            store.put_all(drafts, who=who, why="logged")
    except Conflict:  # the same line, sent twice at once: one of the two kept it
        return add_lines(store, name, entries, who=who)
    return tuple(entries)


def keep_file(store: Store, name: str, text: str, *, who: str) -> int:
    """Keep a log's file as it is; gives its number of parts. The same file is kept once.

    Unreadable where it is no log. Faults in rows do not keep it from being kept.
    """
    _there(store, name)
    log_read.from_text(text, name)
    mark = hashlib.sha256(text.encode()).hexdigest()[:16]
    parts = [text[at : at + _PART] for at in range(0, len(text), _PART)]
    if store.latest("log", f"{name}/file-{mark}/0001") is None:
        about = {"kind": "firing", "id": name}
        drafts = [
            Draft(
                "log", f"{name}/file-{mark}/{number:04}",
                {"about": about, "part": number, "of": len(parts), "text": part},
            )
            for number, part in enumerate(parts, 1)
        ]  # fmt: skip
        store.put_all(drafts, who=who, why="log handed in")
    return len(parts)


def log_of(store: Store, name: str) -> Read:
    """The whole log of a firing: its files and its typed lines, in the order of time."""
    texts, rows = _gathered(store, name)
    if len(texts) == 1 and not rows:
        return log_read.from_text(texts[0], name)
    return log_read.from_rows(_sorted(texts, rows), name)


def csv_of(store: Store, name: str) -> str:
    """The whole log of a firing as one CSV, in the order of time, as `log` and `learn` read it."""
    out = io.StringIO()
    table = csv.DictWriter(out, tuple(columns()), lineterminator="\n", extrasaction="ignore")
    table.writeheader()
    table.writerows(_sorted(*_gathered(store, name)))
    return out.getvalue()


def lines_of(store: Store, name: str) -> Iterator[Version]:
    """Every thing that the log of a firing is kept in, in the order of their ids."""
    after: str | None = None
    while True:
        found = store.find("log", about=("firing", name), after=after, limit=_PAGE)
        yield from found.things
        if found.next is None:
            return
        after = found.next


def _gathered(store: Store, name: str) -> tuple[list[str], list[dict[str, str]]]:
    """The texts of a firing's log files, and its typed lines."""
    rows: list[dict[str, str]] = []
    files: dict[str, list[str]] = {}
    for thing in sorted(lines_of(store, name), key=lambda one: one.number):  # as they were kept
        body = thing.body or {}
        if "entry" in body:
            rows.append({str(key): str(value) for key, value in body["entry"].items()})
        else:
            files.setdefault(thing.id.rsplit("/", 1)[0], []).append(str(body["text"]))
    return ["".join(parts) for parts in files.values()], rows


def _sorted(texts: Iterable[str], rows: Iterable[dict[str, str]]) -> list[dict[str, str]]:
    every = [*rows, *(row for text in texts for row in _rows(text))]
    return sorted(every, key=lambda row: in_order(row.get("time", "")))


def _rows(text: str) -> Iterable[dict[str, str]]:
    """Rows of a kept file by column; it was read as a log before it was kept."""
    lines = [line for line in text.splitlines(keepends=True) if line.strip() and not line.startswith("#")]
    mark = max(",;\t", key=lines[0].count)
    for row in csv.DictReader(io.StringIO("".join(lines)), delimiter=mark):
        cells = {str(column).strip().lower(): text or "" for column, text in row.items() if column}
        yield {
            column: text.replace(",", ".") if mark == ";" and columns()[column].kind == "number" else text
            for column, text in cells.items()
        }


def _check(entry_id: str, cells: Mapping[str, str]) -> None:
    if not 0 < len(entry_id) <= _LONGEST_LINE_ID or not entry_id.isascii() or "/" in entry_id:
        raise BreaksShape(
            [Fault("the log", None, "id", entry_id, f"1 to {_LONGEST_LINE_ID} letters, figures or dashes")]
        )
    unknown: Sequence[str] = [column for column in cells if column not in columns()]
    if unknown:
        raise BreaksShape([Fault("the log", None, unknown[0], cells[unknown[0]], ", ".join(columns()))])
    read = log_read.from_rows([cells], "the log")
    if read.faults:
        raise BreaksShape(read.faults)
    if set(cells) <= {"time", "place"}:
        raise BreaksShape(
            [Fault("the log", None, None, "a time alone", "a heat, an event or a note with it")]
        )


def _there(store: Store, name: str) -> Version:
    found = store.get("firing", name)
    if found is None:
        known = ", ".join(one.id for one in store.find("firing", limit=5).things) or "one begun first"
        raise BreaksShape([Fault("records", None, "firing", name, known)])
    return found
