"""A firing log as plain data and in words: what is in it, how it stands against its plan."""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from wareontology.errors import Fault
from wareontology.firing.by_the_fire import Now, by_the_fire, clock_offset_s, quickest_k_min
from wareontology.firing.log import PLACES, WAYS, Log, gaps
from wareontology.firing.log_columns import events
from wareontology.firing.plan import Plan
from wareontology.firing.steps import CAUTIONS
from wareontology.technique.block import Block, lines

if TYPE_CHECKING:
    from wareontology.firing.curves import Curves


def log_data(
    log: Log, faults: Sequence[Fault] = (), plan: Plan | None = None, drawn: "Curves | None" = None,
    now_s: float | None = None,
) -> dict[str, Any]:  # fmt: skip
    """The log as plain data; with a plan how it stands at `now_s` (the last row where it is not said).

    >>> from wareontology.firing.log_read import from_rows
    >>> said = log_data(from_rows([{"time": "0", "event": "lit"}, {"time": "9", "glow": "orange"}]).log)
    >>> said["readings"], said["minutes"], said["events"][0]["event"]
    (1, 9.0, 'lit')
    """
    found: dict[str, Any] = {
        "log": log.name,
        "began": log.began.isoformat() if log.began is not None else None,
        "minutes": round(log.last_s / 60, 2),
        "readings": log.readings,
        "places": [_place(log, place) for place in PLACES if log.at(place).any()],
        "events": [
            {
                "minutes": round(one.time_s / 60, 2), "event": one.event, "fuel": one.fuel,
                "weather": one.weather, "note": one.note, "row": one.row,
            }
            for one in log.said
        ],
        "quickest_k_min": _rounded(quickest_k_min(log)),
        "gaps_min": [[round(a / 60, 1), round(b / 60, 1)] for a, b in gaps(log)],
        "faults": [one.as_data() for one in faults],
    }  # fmt: skip
    if plan is not None:
        now = by_the_fire(plan, log, log.last_s if now_s is None else now_s, drawn)
        found["plan"] = plan.name
        found["now"] = now_data(now)
        zero = clock_offset_s(log, drawn) if drawn is not None else log.zero_s()
        found["covered_after_min"] = None if zero is None else round(zero / 60, 1)
    return found


def now_data(now: Now) -> dict[str, Any]:
    """How a firing stands, as plain data."""
    return {
        "step": None if now.step is None else {
            "number": now.step.number, "title": now.step.title, "do": now.step.do, "until": now.step.until,
            "caution": now.step.caution,
        },
        "next": None if now.next is None else {"title": now.next.title, "do": now.next.do},
        "since_min": _rounded(now.since_min),
        "left_min": None if now.left_min is None else [round(one, 1) for one in now.left_min],
        "off": list(now.off),
        "ends": now.ends,
    }  # fmt: skip


def _place(log: Log, place: str) -> dict[str, Any]:
    here = log.at(place)
    heat = log.temperature_c[here]
    top = int(heat.argmax())
    ways = sorted({WAYS[one] for one in log.way[here]}, key=WAYS.index)
    return {
        "place": place or "not said", "readings": int(here.sum()), "highest_c": round(float(heat[top]), 1),
        "give_or_take_c": float(log.give_or_take_c[here][top]),
        "highest_min": round(float(log.time_s[here][top]) / 60, 1), "last_c": round(float(heat[-1]), 1),
        "ways": ways,
    }  # fmt: skip


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 1)


def log_text(found: Mapping[str, Any], *, colour: bool = False, width: int = 88) -> str:
    """`log_data` in words.

    >>> from wareontology.firing.log_read import from_rows
    >>> log = from_rows([{"time": "0", "place": "mid", "glow": "orange"}]).log
    >>> print(log_text(log_data(log)).splitlines()[0])
    log · 1 reading in 0 min
    """
    return "\n".join(line for block in blocks(found) for line in lines(block, colour, max(width, 40))) + "\n"


def blocks(found: Mapping[str, Any]) -> Iterator[Block]:
    """`log_data` as paragraphs."""
    count = found["readings"]
    lasted = _time(found["minutes"])
    yield Block(
        "",
        f"{found['log']} · {count:,} reading{'s' if count != 1 else ''} in {lasted}",
        kind="title",
        gap=False,
    )
    for one in found["places"]:
        top = f"{one['highest_c']:.0f} °C, {one['give_or_take_c']:.0f} either way"
        said = f"Highest {top}, at {_time(one['highest_min'])}; last {one['last_c']:.0f} °C."
        ways = f" {one['readings']:,} by {', '.join(one['ways'])}."
        yield Block(f"{one['place'].capitalize()}. ", said + ways, "  ", gap=False)
    if found["quickest_k_min"] is not None:
        yield Block(
            "Quickest. ", f"{found['quickest_k_min']:.0f} °C a minute while it was lit.", "  ", gap=False
        )
    for start, end in found["gaps_min"]:
        yield Block("Gap. ", f"Nothing from {_time(start)} to {_time(end)}.", "  ", gap=False)
    told = [one for one in found["events"] if one["event"]]
    if told:
        yield Block("What was done.", "")
    for one in told:
        beside = "; ".join(one[name] for name in ("fuel", "weather", "note") if one[name])
        words = events()[one["event"]].words
        yield Block(
            "- ", f"{_time(one['minutes'])}: {words}{f' ({beside})' if beside else ''}.", "  ", gap=False
        )
    if "now" in found:
        yield from now_blocks(found["now"])
        yield Block("Cautions.", "")
        for caution in CAUTIONS:
            yield Block("- ", caution, "  ", gap=False)


def now_blocks(now: Mapping[str, Any]) -> Iterator[Block]:
    """What comes next and what is off."""
    step = now["step"]
    if step is None:
        yield Block(
            "Next. ", "The last step is done. Write down what came out: wareontology learn --template."
        )
    else:
        left = f" About {_span(now['left_min'])} more." if now["left_min"] else ""
        yield Block("Now. ", f"{step['title']}. {step['do']} Until {step['until']}.{left}")
    if now["next"] is not None:
        yield Block("Then. ", f"{now['next']['title']}. {now['next']['do']}", "  ", gap=False)
    for off in now["off"] or ():
        yield Block("Off. ", off, "  ", gap=False)
    if not now["off"]:
        yield Block("Off. ", "Nothing that this log shows.", "  ", gap=False)


def _span(left: Sequence[float]) -> str:
    low, high = left
    return f"{low:.0f} to {high:.0f} min" if low > 0.5 else f"up to {high:.0f} min"


def _time(minutes: float) -> str:
    if minutes < 100:
        return f"{minutes:.0f} min"
    return f"{int(minutes // 60)} h {minutes % 60:02.0f} min"
