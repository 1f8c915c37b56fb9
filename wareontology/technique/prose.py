"""The answer for a person: plain sentences, the deduction step by step, what to do next, what it rests on."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from typing import Any, Final

from wareontology.sherd.record import Sherd
from wareontology.technique.block import Block, lines
from wareontology.technique.cautions import cautions
from wareontology.technique.fact_words import region_words
from wareontology.technique.hypotheses import ZONES
from wareontology.technique.phrases import (
    answer_words,
    listed,
    rows_words,
    sentence,
    unit_words,
    where_words,
    zone_words,
)
from wareontology.technique.prose_basis import flat, odds, sources_cited
from wareontology.technique.prose_explain import explained
from wareontology.technique.prose_verdict import verdict_sentences, why_undecided
from wareontology.technique.steps import rule_label, step_words, steps

Answer = Mapping[str, Any]

_IN_FULL: Final = 3
"""So many next tests are written out; the others are named."""
_AS_OTHERWISE: Final = {
    "munsell": "colour",
    "refire_colour": "colour refired",
    "white_specks": "white specks",
}


def prose(answer: Answer, *, sherd: Sherd | None = None, colour: bool = False, width: int = 88) -> str:
    """The answer in words, lines of at most `width` characters.

    sherd: the sherd itself, for its site and the zones looked at in the title. colour: for a terminal; the
    words are the same without. A character that could move a cursor is shown as a mark.
    """
    blocks = chain.from_iterable(parts(answer, sherd).values())
    return "\n".join(line for block in blocks for line in lines(block, colour, max(width, 40))) + "\n"


def parts(answer: Answer, sherd: Sherd | None = None) -> dict[str, tuple[Block, ...]]:
    """The paragraphs of each part of the answer, the parts in the order they are read."""
    return {
        "verdict": tuple(_title(answer, sherd)),
        "explain": tuple(explained(answer)),
        "steps": tuple(_steps(answer)),
        "not_applied": tuple(_not_applied(answer)),
        "flips": tuple(_flips(answer)),
        "conflict": tuple(_conflict(answer)),
        "next": tuple(_next(answer)),
        "look_alikes": tuple(_look_alikes(answer)),
        "not_looked": tuple(_not_looked(answer)),
        "odds": tuple(odds(answer)),
        "flat": tuple(flat(answer)),
        "sources": tuple(sources_cited(answer)),
        "cautions": tuple(_cautions(answer)),
    }


def _title(answer: Answer, sherd: Sherd | None) -> Iterator[Block]:
    parts = [f"Sherd {answer['sherd']}"]
    if sherd is not None and "site" in sherd.seen:
        parts.append(sherd.seen["site"].text)
    if answer["observer"]:
        parts.append(f"seen by {answer['observer']}")
    if sherd is not None and sherd.looked:
        zones = [zone_words(zone) for zone in ZONES if zone in sherd.looked]
        parts.append(f"{listed(zones)} looked at whole")
    yield Block("", " · ".join(parts), kind="title", gap=False)
    yield Block("", " ".join(verdict_sentences(answer)), kind="verdict")
    why = " ".join(why_undecided(answer))
    if why:
        yield Block("Why undecided. ", why)
    for note in answer["notes"]:
        yield Block("", note)


def _steps(answer: Answer) -> Iterator[Block]:
    for step in steps(answer):
        lead = f"{step.number}. "
        yield Block(lead, step_words(step), " " * len(lead), gap=step.number == 1)
    if not answer["findings"]:
        yield Block("Deduction. ", "No rule applies to what was seen.")


def _not_applied(answer: Answer) -> Iterator[Block]:
    by_why: dict[str, dict[str, None]] = {}
    for one in answer["not_applied"]:
        unit = f" ({unit_words(one['unit'])})" if one["unit"] else ""
        by_why.setdefault(one["why"], {})[f"“{rule_label(one['rule'])}”{unit}"] = None
    if by_why:
        yield Block("Not applied.", "")
    for why, labels in by_why.items():
        yield Block("- ", f"{sentence(why)[:-1]}, so nothing follows by {listed(labels)}.", "  ", gap=False)


def _flips(answer: Answer) -> Iterator[Block]:
    by_change: dict[tuple[str, str, str], list[str]] = {}
    for flip in answer["flips"]:
        row = flip["row"]
        trait = _AS_OTHERWISE.get(row["column"], row["column"].replace("_", " "))
        place = f"{trait} of {unit_words(row['unit'])} {where_words(row['zone'])}"
        seen = ", ".join(filter(None, (f"seen as {row['said']}", rows_words([row["number"]]))))
        by_change.setdefault((place, seen, _then(flip["then"])), []).append(flip["if_it_were"])
    if by_change:
        yield Block("What would change this.", "")
    for (place, seen, then), words in by_change.items():
        text = f"Were the {place} {listed(words, 'or')} ({seen}), the likeliest would be {then}."
        yield Block("- ", text, "  ", gap=False)


def _then(changes: Mapping[str, str]) -> str:
    return listed(answer_words(question, value) for question, value in changes.items())


def _look_alikes(answer: Answer) -> Iterator[Block]:
    for place, one in enumerate(answer["look_alikes"] or ()):
        lead = "Looks like. " if place == 0 else "- "
        said = f"{one['label']} ({region_words(one['region'])}). Alike: {one['why']}."
        if one["differs"]:
            said += f" Otherwise: {one['differs']}."
        yield Block(lead, said, "  ", gap=place == 0)


def _conflict(answer: Answer) -> Iterator[Block]:
    items = answer["conflict"]["items"]
    if items:
        yield Block("What does not fit together.", "")
    for item in items:
        rows = rows_words(item["rows"])
        seen = ", ".join(filter(None, (item["said"], rows)))
        trait = f"{item['trait']} of {unit_words(item['unit'])}"
        text = f"{trait} ({seen}) against the rest, {item['bits']:.1f} bits."
        without = f" Without it the likeliest would be {_then(item['flips'])}." if item["flips"] else ""
        yield Block("- ", sentence(text) + (without or " Without it the top answers stay."), "  ", gap=False)


def _next(answer: Answer) -> Iterator[Block]:
    tests: Sequence[Mapping[str, Any]] = answer["next_tests"]
    if not tests:
        yield Block("Next. ", "No test that the owner's leave allows is expected to tell more.")
        return
    yield Block("Next.", "")
    for test in tests[:_IN_FULL]:
        yield Block("- ", _test(test), "  ", gap=False)
    others = [_shortly(test) for test in tests[_IN_FULL:]]
    if others:
        yield Block("- ", f"Then: {'; '.join(others)}.", "  ", gap=False)


def _shortly(test: Mapping[str, Any]) -> str:
    said = [_where(test["where"])]
    if test["destroys"] != "nothing":
        said.append(f"destroys {test['destroys']}")
    if test["needs_leave"]:
        said.append("needs leave")
    return f"{test['label']} ({'; '.join(said)})"


def _test(test: Mapping[str, Any]) -> str:
    gain = test["gain_bits"]
    bits = f"about {gain:.1f} bit" if gain >= 0.05 else "less than 0.1 bit"
    said = [f"{test['label']} ({_where(test['where'])}; {bits})."]
    said.append(sentence(f"destroys {test['destroys']}"))
    if test["needs_leave"]:
        said.append("Needs the owner's leave.")
    if test["caution"]:
        said.append(sentence(test["caution"]))
    return " ".join(said)


def _where(where: str) -> str:
    """`paint:line, interior` as a place; a name may itself hold a comma."""
    unit, comma, zone = where.rpartition(", ")
    if comma and where_words(zone) != zone:
        return f"{unit_words(unit)} {where_words(zone)}"
    return unit_words(where) if where.partition(":")[0] in ("body", "slip", "paint") else where


def _not_looked(answer: Answer) -> Iterator[Block]:
    by_unit: dict[str, list[str]] = {}
    whole = []
    for missing in answer["not_looked"]:
        unit, colon, trait = missing.rpartition(": ")
        if colon:
            by_unit.setdefault(unit, []).append(trait.replace("_", " "))
        else:
            whole.append(missing)
    parts = [*whole, *(f"{unit_words(unit)}: {', '.join(traits)}" for unit, traits in by_unit.items())]
    if parts:
        yield Block("Not looked at: ", "; ".join(parts) + ".")


def _cautions(answer: Answer) -> Iterator[Block]:
    text = " ".join(cautions(answer))
    if text:
        yield Block("Caution. ", text)
