"""The answers of `contrast` and `rarity`, for a person."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from wareontology.report.traditions_prose import heading, text
from wareontology.technique.block import Block
from wareontology.technique.phrases import listed, sentence, unit_words, where_words
from wareontology.technique.words_for_odds import odds_words

Answer = Mapping[str, Any]
_IN_FULL: Final = 8
"""So many tests are written out; the data keep them all."""


def contrast_text(answer: Answer, *, colour: bool = False, width: int = 88) -> str:
    """The answer of `contrast` in words.

    >>> from wareontology.graph.traditions import tradition
    >>> from wareontology.report.contrast import contrast
    >>> found = contrast(tradition("us-tusayan-white"), tradition("ita-bucchero"))
    >>> contrast_text(found).splitlines()[0]
    'A: Tusayan White Ware · Colorado Plateau · 600 to 1325 CE'
    """
    return text(_contrast(answer), colour, width)


def rarity_text(answer: Answer, *, colour: bool = False, width: int = 88) -> str:
    """The answer of `rarity` in words.

    >>> from wareontology.report.rarity import rarity
    >>> print(rarity_text(rarity(["paint=organic"])).splitlines()[0])
    paint=organic
    """
    return text(_rarity(answer), colour, width)


def _contrast(answer: Answer) -> Iterator[Block]:
    yield Block("A: ", heading(answer["first"]), kind="title")
    yield Block("B: ", heading(answer["second"]), kind="title", gap=False)
    yield from _differences(answer["differs"], "What differs, as stated.")
    yield from _differences(answer["alike"], "What is alike or overlaps, as stated.")
    yield from _differences(answer["in_words"], "Told of both, but not in words that can be held together.")
    for key, head in (("only_first", "Told of A alone."), ("only_second", "Told of B alone.")):
        yield from _differences(answer[key], head)
    if answer["tests"]:
        yield Block("What would tell them apart on a sherd.", "")
    for told in answer["tests"][:_IN_FULL]:
        yield Block("- ", words_of_test(told), "  ", gap=False)
    more = len(answer["tests"]) - _IN_FULL
    if more > 0:
        rest = answer["tests"][_IN_FULL]["bits"]
        at_most = f"{_bits(rest)} or less" if rest >= 0.05 else _bits(rest)
        yield Block("- ", f"{more} more tell {at_most}; --json lists them.", "  ", gap=False)
    yield Block("To know.", "")
    for note in answer["notes"]:
        yield Block("- ", note, "  ", gap=False)
    yield Block("Sources.", "" if answer["sources"] else "None was read.")
    for source in answer["sources"]:
        yield Block("- ", sentence(source["citation"]), "  ", "quiet", gap=False)


def _differences(entries: Sequence[Answer], head: str) -> Iterator[Block]:
    if not entries:
        return
    yield Block(head, "")
    for one in entries:
        where = f", {one['where']}" if one["where"] else ""
        sides = [listed(dict.fromkeys(one[side]), "or") for side in ("first", "second")]
        told = f"A {sides[0]} · B {sides[1]}" if all(sides) else "".join(sides)
        yield Block("- ", f"{one['label']}{where}: {told}", "  ", gap=False)


def words_of_test(told: Answer) -> str:
    """One test of a contrast in words: where, what it tells, its outcomes, what it destroys."""
    unit, comma, zone = told["where"].rpartition(", ")
    place = f"{unit_words(unit)} {where_words(zone)}" if comma else told["where"]
    if not comma and told["where"].partition(":")[0] in ("body", "slip", "paint"):
        place = unit_words(told["where"])
    said = [f"{told['label']} ({place}; {_bits(told['bits'])})."]
    for outcome in told["outcomes"][:2]:
        seen = outcome["seen"]
        odds = f"A {odds_words(outcome['first'])}, B {odds_words(outcome['second'])}"
        said.append(f"{seen[0].upper()}{seen[1:]}: {odds}.")
    if told["destroys"] != "nothing":
        said.append(sentence(f"destroys {told['destroys']}"))
    if told["needs_leave"]:
        said.append("Needs the owner's leave.")
    if told["caution"]:
        said.append(sentence(told["caution"]))
    return " ".join(said)


def _bits(bits: float) -> str:
    return f"about {bits:.1f} bit" if bits >= 0.05 else "less than 0.1 bit"


def _rarity(answer: Answer) -> Iterator[Block]:
    region = f" · {answer['region']}" if answer["region"] else ""
    yield Block("", " and ".join(one["text"] for one in answer["asked"]) + region, kind="title")
    told, found = answer["told"], answer["found"]
    if not told:
        yield Block("Not told. ", f"Of {answer['of']} traditions none is stated on every part of this.")
    else:
        low, high = (100 * end for end in answer["interval"])
        share = 100 * answer["share"]
        verb = "has" if found == 1 else "have"
        yield Block(
            "Count. ",
            f"{found} of the {told} traditions that are stated on every part {verb} it: {share:.0f} %,"
            f" chance alone from {low:.0f} to {high:.0f} %. Looked through: {answer['of']}.",
        )
    if len(answer["each"]) > 1:
        parts = [f"{one['text']}, {one['found']} of {one['told']}" for one in answer["each"]]
        yield Block("Each part alone. ", f"{listed(parts)}.", "  ")
    if len(answer["by_region"]) > 1:
        parts = [f"{one['label']} {one['found']} of {one['told']}" for one in answer["by_region"]]
        yield Block("By region. ", f"{', '.join(parts)}.", "  ")
    if answer["traditions"]:
        yield Block("They are.", "")
        for one in answer["traditions"]:
            yield Block("- ", f"{one['label']} ({one['id']})", "  ", gap=False)
    for place, warning in enumerate(answer["warnings"]):
        yield Block("Caution. " if place == 0 else "- ", warning, "  ", gap=place == 0)
