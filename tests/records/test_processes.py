"""Several processes at one store, and a process killed in mid-save: no acknowledged save lost, none half."""

import random
import sqlite3
import time
from pathlib import Path
from typing import Final

from tests.records.helpers import process
from wareontology.records.store import Store

KILLS: Final = 30

COUNT_UP: Final = """
import sys
from wareontology.errors import Conflict
from wareontology.records.store import Store
store = Store(sys.argv[1])
done = 0
while done < int(sys.argv[3]):
    now = store.get("note", "count")
    number, value = (now.number, now.body["value"]) if now else (None, 0)
    try:
        body = {"value": value + 1}
        store.put("note", "count", body, who=sys.argv[2], why="one more", expected_version=number)
        done += 1
    except Conflict:
        pass
print("done")
"""

SAVE_ON: Final = r"""
import hashlib, os, sys
from wareontology.records.store import Store
from tests.records.helpers import picture
store = Store(sys.argv[1])
photo = picture("JPEG", (400, 300))
said = os.open(sys.argv[3], os.O_WRONLY | os.O_CREAT | os.O_APPEND)
def acknowledge(made):
    os.write(said, f"{made.kind} {made.id} {made.number}\n".encode())
number = 0
while True:
    number += 1
    name = f"{sys.argv[2]}-{number}"
    text = (name + " ") * 2000
    body = {"text": text, "sum": hashlib.sha256(text.encode()).hexdigest()}
    made = store.put("note", name, body, who="AB", why="x", expected_version=None)
    acknowledge(made)
    body["again"] = True
    changed = store.put("note", name, body, who="AB", why="y", expected_version=made.number)
    acknowledge(changed)
    if number % 5 == 0:
        kept = store.add_photo(photo, ("note", name), caption="", who="AB", why="z")
        acknowledge(kept)
"""


def test_two_processes_lose_nothing_to_each_other(tmp_path: Path) -> None:
    folder = tmp_path / "records"  # neither finds it made: both make it at once
    both = [process(COUNT_UP, str(folder), who, "60") for who in ("AB", "CD")]
    for one in both:
        out, errors = one.communicate(timeout=120)
        assert out == "done\n", errors
    store = Store(folder)
    history = store.history("note", "count")
    assert [change.body for change in history] == [{"value": value} for value in range(1, 121)]
    assert {change.who for change in history} == {"AB", "CD"}


def test_no_acknowledged_save_is_lost_and_none_is_half(tmp_path: Path) -> None:
    folder = tmp_path / "records"
    moment = random.Random(6)
    acknowledged: list[tuple[str, str, int]] = []
    for run in range(KILLS):
        said = tmp_path / f"said{run}"
        one = process(SAVE_ON, str(folder), str(run), str(said))
        while not (said.exists() and said.stat().st_size) and one.poll() is None:  # until it is at work
            time.sleep(0.005)
        time.sleep(moment.uniform(0.0, 0.12))
        one.kill()
        _, errors = one.communicate(timeout=60)
        assert not errors, errors
        for line in said.read_text().splitlines():
            kind, name, number = line.split()
            acknowledged.append((kind, name, int(number)))
    _check(Store(folder), acknowledged)


def _check(store: Store, acknowledged: list[tuple[str, str, int]]) -> None:
    assert len(acknowledged) > 2 * KILLS
    kept = {(change.kind, change.id, change.number) for change in store.changes()}
    assert set(acknowledged) <= kept
    for change in store.changes():
        assert change.body is not None
        if change.kind == "photo":
            content = store.photo(change.id)
            assert content is not None
            assert content.endswith(b"\xff\xd9")
        else:
            whole = change.body["text"] == (change.id + " ") * 2000
            assert whole, change.id
    db = sqlite3.connect(store.path)
    assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    db.close()
