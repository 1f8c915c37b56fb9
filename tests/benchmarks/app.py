"""The web app against the library call alone: what a page adds to an answer."""

import io
import re
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from statistics import median
from typing import Final

from tests.benchmarks import Ratio
from wareontology.app import create_app, reading
from wareontology.paths import data
from wareontology.sherd.csv_out import to_csv
from wareontology.sherd.record import Seen, Sherd
from wareontology.sherd.table import read
from wareontology.technique.answer import answer

TURNS: Final = 7
MANY: Final = 1_000


def ratios() -> Iterator[Ratio]:
    """Targets judged: a page adds at most half to an answer, the page of a lot a fifth to its answers."""
    (sherd,) = read(data("demo", "one_sherd.csv")).sherds
    yield _after_a_trait(sherd)
    yield _a_lot(read(data("demo", "sherds.csv")).sherds)


def _after_a_trait(sherd: Sherd) -> Ratio:
    """The bench's reading after a trait was added; each turn a sherd that no cache has seen."""
    client = create_app({"TESTING": True}).test_client()
    found = re.search(r'name="token" value="([^"]+)"', client.get("/bench").get_data(as_text=True))
    assert found
    form = {"token": found[1], "record": ""}
    page, alone = [], []
    for turn in range(TURNS + 1):
        anew = replace(sherd, seen={**sherd.seen, "note": Seen("note", f"turn {turn}")})
        alone.append(_seconds(lambda anew=anew: answer(anew)))  # type: ignore[misc]
        form["record"] = reading.record(anew)
        page.append(_seconds(lambda: client.post("/answer", data=form)))
    times = median(page[1:]), median(alone[1:])
    return Ratio("bench answer after a trait", times[0], "the answer alone", times[1], 1.5, "at most")


def _a_lot(sherds: tuple[Sherd, ...]) -> Ratio:
    """A table of a thousand sherds handed in, answered, and its page."""
    many = [
        replace(sherds[place % len(sherds)], sherd=f"{sherds[place % len(sherds)].sherd}/{place}")
        for place in range(MANY)
    ]
    alone = _seconds(lambda: [answer(sherd) for sherd in many])
    table = to_csv(many).encode()

    def handed_in() -> None:
        client = create_app({"TESTING": True}).test_client()
        found = re.search(r'name="token" value="([^"]+)"', client.get("/table").get_data(as_text=True))
        assert found
        form = {"token": found[1], "table": (io.BytesIO(table), "lot.csv")}
        address = client.post("/table", data=form).location
        while "Refresh" in client.get(address).headers:
            time.sleep(0.5)

    return Ratio("a page of 1,000 sherds", _seconds(handed_in), "their answers alone", alone, 1.2, "at most")


def _seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun
