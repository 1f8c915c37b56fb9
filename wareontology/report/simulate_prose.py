"""Simulated firings in words: side by side as a table, then each plan on its own."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from wareontology.technique.block import Block, lines
from wareontology.technique.phrases import listed
from wareontology.technique.words_for_odds import odds_words

Answer = Mapping[str, Any]
_HEADS: Final = ("", "chance", "spread", "black in", "out", "smoked", "soft", "open after")
_LEAST: Final = 0.01
"""A cause that explains less than this is left out of the text; the data keep it."""


def simulate_text(answers: Sequence[Answer], *, colour: bool = False, width: int = 88) -> str:
    """The answers of `simulate` in words, one plan or several.

    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.answer import to_data
    >>> from wareontology.firing.simulate import simulate
    >>> text = simulate_text([to_data(simulate(example("covered-pit"), 100))])
    >>> text.splitlines()[0]
    'Covered pit, iron black on white · covered-pit, smother'
    """
    whole: list[str] = []
    if len(answers) > 1:
        whole += [
            "Side by side. Chance that black stays black and the white is not smoked, with its spread; share",
            "of places black inside and outside, and smoked; share of pots soft (under-fired).",
            "",
        ]
        whole += [*table(answers), ""]
    for answer in answers:
        blocks = [*_plan(answer), *(_steps(answer) if len(answers) == 1 else ())]
        said = [line for block in blocks for line in lines(block, colour, max(width, 40))]
        whole += [*("\n".join(said).lstrip("\n").splitlines()), ""]
    blocks = list(_notes(answers))
    whole += [line for block in blocks for line in lines(block, colour, max(width, 40))]
    return "\n".join(whole).strip("\n") + "\n"


def table(answers: Sequence[Answer]) -> list[str]:
    """The plans as rows of a table in text.

    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.answer import to_data
    >>> from wareontology.firing.simulate import simulate
    >>> rows = table([to_data(simulate(example(name), 100)) for name in ("open-fire", "trench")])
    >>> len(rows)
    4
    """
    rows = [_HEADS, *(_row(answer) for answer in answers)]
    widths = [max(len(row[column]) for row in rows) for column in range(len(_HEADS))]
    said = [
        "  ".join(
            cell.ljust(wide) if place == 0 else cell.rjust(wide)
            for place, (cell, wide) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]
    return [said[0], "─" * max(map(len, said)), *said[1:]]


def _row(answer: Answer) -> tuple[str, ...]:
    inside, outside = (_mean(answer, zone, "iron", "black") for zone in ("inside", "outside"))
    smoked = sum(one["smoked"] for one in answer["places"]) / len(answer["places"])
    return (
        str(answer["plan"]["name"])[:34], _share(answer["chance"]),
        f"{_share(answer['chance_low'])} to {_share(answer['chance_high'])}", _share(inside), _share(outside),
        _share(smoked), _share(answer["under_fired_share"]["value"]), _hours(answer["open_after_h"]["value"]),
    )  # fmt: skip


def _share(value: float) -> str:
    return f"{value:.1f}" if 0.05 <= value <= 0.95 else ("<0.1" if value < 0.05 else ">0.9")


def _hours(value: float | None) -> str:
    if value is None:
        return "not within 5 days"
    return f"{value:.0f} h" if value >= 2 else f"{value * 60:.0f} min"


def _mean(answer: Answer, zone: str, paint: str, colour: str) -> float:
    found = [one[paint][colour] for one in answer["places"] if one["zone"] == zone]
    return float(sum(found) / len(found))


def _plan(answer: Answer) -> Iterator[Block]:
    plan = answer["plan"]
    yield Block("", f"{plan['name']} · {plan['structure']}, {plan['procedure']}", kind="title")
    value, low, high = (odds_words(answer[name]) for name in ("chance", "chance_low", "chance_high"))
    yield Block(
        "Target. ", f"{sentence_start(answer['target']['words'])}: {value}. Depending on what is not known of"
        f" paint and charcoal it may be {low} or {high}.", "  ", "verdict",
    )  # fmt: skip
    yield from _zones(answer)
    yield Block("What decides it.", "")
    told = [one for one in answer["causes"] if one["share"] >= _LEAST]
    for number, one in enumerate(told, 1):
        sense = (
            "more helps"
            if one["direction"] > 0.05
            else "less helps"
            if one["direction"] < -0.05
            else "either way"
        )
        weak = "; weak: little is known of it" if one["weak"] else ""
        yield Block(f"{number}. ", f"{one['words']} ({sense}{weak})", "   ", gap=False)
    if not told:
        yield Block("- ", "nothing alone; or the outcome hardly varies.", "  ", gap=False)
    yield from _practical(answer)


def _zones(answer: Answer) -> Iterator[Block]:
    for gap, zone in enumerate(("inside", "outside")):
        found = [one for one in answer["places"] if one["zone"] == zone]
        said = []
        for one in found:
            iron = one["iron"]
            word = max(iron, key=lambda name: iron[name])
            said.append(f"{one['place']} {word} ({odds_words(iron[word])})")
        hot = sum(one["iron_while_hot"]["black"] for one in found) / len(found)
        smoked = sum(one["smoked"] for one in found) / len(found)
        others = ", ".join(
            f"{paint.replace('_', '-')} {max(found[1][paint], key=lambda name: found[1][paint][name])}"
            for paint in ("organic", "manganese")
        )
        yield Block(
            f"{zone.capitalize()}. ", f"Iron paint: {listed(said)}. While hot it was black"
            f" {odds_words(hot)}. White"
            f" smoked: {odds_words(smoked)}. In the middle place {others}; manganese with iron black"
            f" either way.",
            "  ", "verdict", gap=gap == 0,
        )  # fmt: skip


def _practical(answer: Answer) -> Iterator[Block]:
    opened, fuel, under = answer["open_after_h"], answer["fuel"], answer["under_fired_share"]
    low, middle, high = (_hours(opened[name]) for name in ("low", "value", "high"))
    yield Block(
        "Open. ", f"Cooler than {opened['below_c']:g} °C after about {middle} ({low} to {high})."
        + (" Dug out hot: unproven." if opened["below_c"] > 200 else " Cold opening is the default."), "  ",
    )  # fmt: skip
    needed = fuel["needed_kg"]
    yield Block(
        "Fuel. ", f"{fuel['mass_kg']:g} kg of {fuel['kind']}; by the heat of load and ground about"
        f" {needed['value']:.0f} kg ({needed['low']:.0f} to {needed['high']:.0f}) would do.", "  ", gap=False,
    )  # fmt: skip
    yield Block(
        "Under-fired. ", f"Of a hundred pots {100 * under['low']:.0f} to {100 * under['high']:.0f}, about"
        f" {100 * under['value']:.0f} on the whole.", "  ", gap=False,
    )  # fmt: skip
    for warning in answer["warnings"]:
        yield Block("Warning. ", warning, "  ", gap=False)
    yield Block("The ground would show. ", " ".join(answer["ground"]), "  ", gap=False)


def _steps(answer: Answer) -> Iterator[Block]:
    yield Block("By the fire.", "")
    for number, one in enumerate(answer["steps"], 1):
        yield Block(f"{number}. ", f"{one['title']}. {one['do']} Until {one['until']}.", "   ", gap=False)


def sentence_start(words: str) -> str:
    """The words with a capital.

    >>> sentence_start("black stays")
    'Black stays'
    """
    return words[0].upper() + words[1:]


def _notes(answers: Sequence[Answer]) -> Iterator[Block]:
    first = answers[0]
    yield Block("To know.", "")
    for note in first["notes"]:
        yield Block("- ", note, "  ", gap=False)
    weak = dict.fromkeys(one["words"] for answer in answers for one in answer["weak_inputs"])
    yield Block("- ", f"Weak inputs: {listed(weak)}.", "  ", gap=False)
    yield Block(
        "- ", f"{first['members']} firings drawn for each plan, seed {first['seed']}.", "  ", gap=False
    )
    yield Block("Cautions.", "")
    for caution in first["cautions"]:
        yield Block("- ", caution, "  ", gap=False)
