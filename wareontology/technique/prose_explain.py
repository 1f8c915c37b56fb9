"""Why an answer has its odds, for a person: a line an item, the column of steps adding up as it is shown."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from wareontology.technique.block import Block
from wareontology.technique.phrases import answer_words, listed, rows_words, unit_words
from wareontology.technique.prose_basis import numbers
from wareontology.technique.words_for_odds import odds_words

Answer = Mapping[str, Any]


def explained(answer: Answer) -> Iterator[Block]:
    """Nothing where it was not asked for."""
    found = answer.get("explain")
    if found is None:
        return
    yield Block(f"Why {answer_words(found['question'], found['value'])}. ", _how(found))
    yield _line(
        "", found["prior"]["decibans"], f"before anything was seen: {odds_words(found['prior']['p'])}"
    )
    before = found["prior"]["decibans"]
    for step in found["steps"]:
        yield _line(_signed(_tenths(step["reached"]) - _tenths(before)), step["reached"], _step(step, answer))
        before = step["reached"]
    end = found["posterior"]
    yield _line("", end["decibans"], f"all of it: {odds_words(end['p'])}, {end['p']:.2f}")
    yield from _curves(found["steps"])


def _how(found: Mapping[str, Any]) -> str:
    return (
        "Odds of it against all else, in decibans: 0 is even, +3 doubles the odds, +10 makes them ten times."
        " Each line has its step and what the odds then are; the steps add up to the whole. They are taken in"
        f" this order: {found['order']}. A step hangs on what was read before it; in brackets stands what it"
        " would be if read last."
    )


def _line(step: str, reached: float, text: str) -> Block:
    return Block(f"{step:>6} {_signed(_tenths(reached)):>6}  ", text, " " * 15, gap=False)


def _tenths(decibans: float) -> int:
    return round(10 * decibans)


def _signed(tenths: int) -> str:
    """Tenths of a deciban as written.

    >>> _signed(-7), _signed(123)
    ('-0.7', '+12.3')
    """
    return f"{tenths / 10:+.1f}"


def _step(step: Mapping[str, Any], answer: Answer) -> str:
    seen = ", ".join(filter(None, (step["said"], rows_words(step["rows"]))))
    trait = f"{step['trait']} of {unit_words(step['unit'])}"
    return f"{trait}: {seen} ({_signed(_tenths(step['left_out']))}). {_rests(step, answer)}"


def _rests(step: Mapping[str, Any], answer: Answer) -> str:
    """The bases of the rows it was read from, with the numbers of their sources."""
    numbered = numbers(answer)
    by_basis: dict[str, dict[int, None]] = {}
    for row in step["rests_on"]:
        for one in row["rests"]:
            cited = by_basis.setdefault(one["basis"], {})
            cited |= {numbered[one["source"]]: None} if one["source"] in numbered else {}
    said = (
        f"{basis} {''.join(f'[{number}]' for number in sorted(cited))}".strip()
        for basis, cited in by_basis.items()
    )
    return f"Rests on {listed(said)}."


def _curves(steps: Sequence[Mapping[str, Any]]) -> Iterator[Block]:
    """For the computed rows: the command that shows the law as a curve or a map."""
    by_command: dict[str, dict[str, None]] = {}
    for step in steps:
        for row in step["rests_on"]:
            if row["curve"]:
                shortly = " ".join(row["given"].split(";")[:2])  # material and local history
                by_command.setdefault(row["curve"], {})[shortly] = None
    if by_command:
        yield Block("Computed rows. ", "Commands that show the law behind them, the heat an example.")
    for command, rows in by_command.items():
        yield Block("- ", f"{command}: {listed(rows)}.", "  ", gap=False)
