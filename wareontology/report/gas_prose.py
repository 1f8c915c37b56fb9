"""The answers on gas and on cooling, for a person."""

import re
from collections.abc import Iterator, Mapping
from typing import Any, Final

from wareontology.technique.block import Block, lines
from wareontology.technique.phrases import listed, sentence

Answer = Mapping[str, Any]
_ENOUGH: Final = 0.1
"""Colour words expected less often than this are left out of the text; the data keep them."""
_FILE: Final = re.compile(r" \(nasa_\w+\.yaml .*\)$")
"""Which entry of a file a substance was read from: the data keep it, the text says the file's source once."""
_COURSE: Final = {
    "quick": "Pulled out and cooled in still air (a thin bowl, minutes)",
    "slow": "Left to cool slowly while air leaks in (hours)",
}


def gas_text(answer: Answer, *, colour: bool = False, width: int = 88) -> str:
    """The answer of `gas` in words.

    >>> from wareontology.report.gas import answer, tables
    >>> from wareontology.redox.named_gas import Named
    >>> print(gas_text(answer(tables(), Named(900, oxygen=0.2095))).splitlines()[0])
    900 °C · free oxygen, share by volume 0.2095
    """
    return _text(_gas(answer), colour, width)


def opening_text(answer: Answer, *, colour: bool = False, width: int = 88) -> str:
    """The answer of `gas --cooling` in words.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> from wareontology.report.opening import opening
    >>> print(opening_text(opening(load(data("constants.csv")), grain_um=1)).splitlines()[0])
    How cool before air is let in · grain radius 1 µm
    """
    return _text(_opening(answer), colour, width)


def _text(blocks: Iterator[Block], colour: bool, width: int) -> str:
    said = "\n".join(line for block in blocks for line in lines(block, colour, max(width, 40)))
    return said.lstrip("\n") + "\n"


def _gas(answer: Answer) -> Iterator[Block]:
    first, *notes = answer["notes"]
    named = first.removeprefix("The gas: ").removesuffix(".")
    yield Block("", f"{answer['temperature_c']:g} °C · {named}", kind="title")
    oxygen = answer["log10_oxygen_bar"]
    spread = f"{oxygen['low']:.2f} to {oxygen['high']:.2f}"
    yield Block("Oxygen. ", f"Its pressure is 10^{oxygen['value']:.2f} bar (10^{spread}).".replace("-", "−"))
    for gap, (element, phase) in enumerate(answer["phases"].items()):
        lead = f"{element.capitalize()}. "
        yield Block(lead, _phase_words(phase), "  ", kind="verdict", gap=gap == 0)
    yield from _notes(notes, answer)


def _phase_words(phase: Mapping[str, Any]) -> str:
    name, others = phase["name"], phase["neighbours"]
    opaque, thin = (_colour_words(phase["colours"][amount]) for amount in ("opaque", "thin"))
    said = f"{name}, {opaque}; where it is thin, {thin}."
    if others:
        seen = phase["neighbour_colours"]
        said += " Undecided: it may be " + listed(
            (f"{other} ({_colour_words(seen[other]['opaque'])})" for other in others), "or"
        )
        return sentence(said)
    return sentence(said if phase["certain"] else said + " No verdict: too cool for equilibrium")


def _colour_words(words: list[Mapping[str, Any]]) -> str:
    said = [one["word"] for one in words if one["share"] >= _ENOUGH]
    return said[0] if len(said) == 1 else f"{said[0]}, also {listed(said[1:], 'or')}"


def _opening(answer: Answer) -> Iterator[Block]:
    grain = answer["grain_um"]
    of = f"grain radius {grain:g} µm" if grain is not None else "grain radius not known, drawn too"
    yield Block("", f"How cool before air is let in · {of}", kind="title")
    for course, words in _COURSE.items():
        yield Block("", f"{words}:")
        for one in answer["openings"]:
            if one["course"] == course:
                share = round(100 * one["lost_share"])
                said = f"no more than {share} % of the black is lost if opened at {_span(one, answer)}."
                yield Block("- ", said, "  ", gap=False)
    yield from _notes(answer["notes"], answer)


def _span(one: Mapping[str, Any], answer: Answer) -> str:
    low, middle, high = (one["opening_c"][key] for key in ("low", "value", "high"))
    if low >= answer["hottest_c"]:
        return f"any heat up to {low:g} °C"
    low, middle, high = (round(value, -1) for value in (low, middle, high))
    return f"about {middle:g} °C (from {low:g} to {high:g} °C)"


def _notes(notes: list[str], answer: Answer) -> Iterator[Block]:
    yield Block("To know.", "")
    for note in notes:
        yield Block("- ", note, "  ", gap=False)
    yield Block("It rests on.", "")
    told: dict[str, list[str]] = {}
    for source in answer["sources"]:
        mark = f" ({source['provenance']})" if "provenance" in source else ""
        text = _FILE.sub("", source["source"]) + mark
        told.setdefault(text, []).append(source["of"])
    for text, of in told.items():
        yield Block("- ", f"{listed(dict.fromkeys(of))}: {text}.", "  ", "quiet", gap=False)
