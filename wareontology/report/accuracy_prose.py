"""The accuracy report, for a person."""

from collections.abc import Iterator, Mapping
from typing import Any

from wareontology.technique.block import Block, lines

Report = Mapping[str, Any]
_WAYS = {
    "region": "what is usual in the region, without the sherd",
    "world": "what is usual in the world",
    "rules": "the bare rules",
}


def accuracy_text(report: Report, *, colour: bool = False, width: int = 88) -> str:
    """The report in words.

    >>> from wareontology.report.accuracy import shipped
    >>> accuracy_text(shipped()).startswith("How well the answers foretell")
    True
    """
    said = "\n".join(line for block in _blocks(report) for line in lines(block, colour, max(width, 40)))
    return said.lstrip("\n") + "\n"


def three_lines(report: Report) -> tuple[str, str, str]:
    """What the README shows.

    >>> from wareontology.report.accuracy import shipped
    >>> len(three_lines(shipped()))
    3
    """
    blind, left = report["blind"], report["leave_one_out"]
    usual = _short(blind["baselines"]["region"])
    found = f"all {report['wares']} traditions: {_short(left['answer'])}"
    return (
        f"Blind set, first score with frozen tables: {_short(blind['first'])}.",
        f"Blind set now: {_short(blind['now'])}; what is usual in the region, alone: {usual}.",
        f"Leave one out, {found} (data {report['data_hash']}).",
    )


def _short(one: Mapping[str, Any]) -> str:
    return f"{one['top_right']} of {one['labels']} right, log score {one['log_score']['value']:.2f} bits"


def _blocks(report: Report) -> Iterator[Block]:
    yield Block("", "How well the answers foretell what published sources state", kind="title")
    yield Block("", f"{report['wares']} traditions · data {report['data_hash']}", gap=False)
    blind = report["blind"]
    yield Block("The blind set", ": wares looked for after tables and rules were frozen.")
    yield _line("first score, with the frozen tables", blind["first"])
    yield _line("now, none of it counted in the priors", blind["now"])
    yield _line("now, without those that may not be wholly blind", blind["without_doubtful"])
    for way, words in _WAYS.items():
        yield _line(words, blind["baselines"][way])
    left = report["leave_one_out"]
    yield Block("All traditions", ", each with priors counted from the others.")
    yield _line("the answers", left["answer"])
    for way, words in _WAYS.items():
        yield _line(words, left["baselines"][way])
    yield Block("By question", ", leave one out.")
    for question, one in left["by_question"].items():
        yield _line(question.replace(":", " of the ").replace("materials", "material"), one)
    yield Block(
        "How sure and how right", ", leave one out: odds given to the top answer, and share that were right."
    )
    for one in left["answer"]["reliability"]:
        span = f"{one['low']:.1f} to {one['high']:.1f}"
        yield Block(
            "- ",
            f"{span}: {one['count']} labels, mean {one['mean']:.2f}, right {one['true']:.2f}",
            "  ",
            gap=False,
        )
    yield Block("To know.", "")
    for note in report["notes"]:
        yield Block("- ", note, "  ", gap=False)


def _line(words: str, one: Mapping[str, Any]) -> Block:
    share, log, brier = one["top_share"], one["log_score"], one["brier"]
    if one["wares"] == 1:  # draws of one ware are all alike: their span would look like certainty
        said = f"{words}: top answer right {one['top_right']} of {one['labels']} on 1 ware: too few to score"
        return Block("- ", said, "  ", gap=False)
    said = (
        f"{words}: top answer right {one['top_right']} of {one['labels']} on {one['wares']} wares "
        f"({share['low']:.2f} to {share['high']:.2f}); log score {log['value']:.2f} bits "
        f"({log['low']:.2f} to {log['high']:.2f}); Brier {brier['value']:.2f} ({brier['low']:.2f} to "
        f"{brier['high']:.2f}); calibration error {one['calibration_error']:.2f}"
    )
    return Block("- ", said, "  ", gap=False)
