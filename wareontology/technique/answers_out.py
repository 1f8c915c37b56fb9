"""Answers written as they come: a JSON array, a line of JSON a sherd, or prose."""

import json
from collections.abc import Iterable, Mapping
from typing import Any, TextIO, TypeAlias

from wareontology.sherd.record import Sherd

Answered: TypeAlias = Iterable[tuple[Sherd, Mapping[str, Any]]]


def write_array(answers: Answered, out: TextIO) -> None:
    """A JSON array. Where this stops half-way it is left open, so that nobody takes it for the whole."""
    between = "[\n"
    for _, answer in answers:
        out.write(between + as_json(answer, out))
        between = ",\n"
    out.write("[]\n" if between == "[\n" else "\n]\n")


def write_lines(answers: Answered, out: TextIO) -> None:
    """JSON, a line a sherd."""
    for _, answer in answers:
        out.write(as_json(answer, out) + "\n")


def write_prose(answers: Answered, out: TextIO, width: int, colour: bool) -> None:
    """Prose, a rule between two sherds."""
    from wareontology.technique.prose import prose

    rule = ""
    for sherd, answer in answers:
        out.write(rule + prose(answer, sherd=sherd, colour=colour, width=width))
        rule = f"\n{'─' * width}\n\n"


def as_json(data: object, out: TextIO, indent: int | None = None) -> str:
    """JSON in the letters that `out` can write; where those are not Unicode's, the others are escaped."""
    encoding = (getattr(out, "encoding", None) or "").replace("-", "").casefold()
    return json.dumps(data, ensure_ascii=not encoding.startswith("utf"), allow_nan=False, indent=indent)
