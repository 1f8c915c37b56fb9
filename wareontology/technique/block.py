"""A paragraph of an answer as lines: wrapped first, coloured after, so that the words are the same."""

import re
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from wareontology.technique.phrases import printable

_MEANS: Final = {
    "oxidising": "31", "neutral": "33", "reducing": "34", "iron": "31", "manganese": "35", "glaze": "32",
    "undecided": "1",
}  # fmt: skip
"""Colour of a word on a terminal. The word says it all without: nothing is lost where there is no colour."""
_MEANING_WORD: Final = re.compile(rf"\b({'|'.join(_MEANS)})\b")


@dataclass(frozen=True, slots=True)
class Block:
    """A paragraph: a lead set off from its text, an indent for its later lines, and how it is set."""

    lead: str
    text: str
    indent: str = ""
    kind: str = "plain"
    gap: bool = True
    """Whether an empty line stands before it."""


def lines(block: Block, colour: bool, width: int) -> Iterator[str]:
    if block.gap:
        yield ""
    text = printable(block.lead + block.text)
    wrapped = textwrap.wrap(text, width, subsequent_indent=block.indent, break_on_hyphens=False) or [""]
    if not colour:
        yield from wrapped
        return
    lead = len(block.lead.rstrip()) if wrapped[0].startswith(printable(block.lead.rstrip())) else 0
    for place, line in enumerate(wrapped):
        yield _coloured(line, block.kind, lead if place == 0 else 0)


def _coloured(line: str, kind: str, lead: int) -> str:
    if kind == "title":
        return f"\x1b[1m{line}\x1b[0m"
    if kind == "quiet":
        return f"\x1b[2m{line}\x1b[0m"
    rest = line[lead:]
    if kind == "verdict":
        rest = _MEANING_WORD.sub(lambda word: f"\x1b[{_MEANS[word[0]]}m{word[0]}\x1b[0m", rest)
    return f"\x1b[1m{line[:lead]}\x1b[0m{rest}" if lead else rest
