"""The answers of `browse` and `show`, for a person."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from wareontology.report.traditions import years_words
from wareontology.technique.block import Block, lines
from wareontology.technique.phrases import listed, sentence

Answer = Mapping[str, Any]


def text(blocks: Iterable[Block], colour: bool, width: int) -> str:
    """Paragraphs as lines of at most `width` characters."""
    said = "\n".join(line for block in blocks for line in lines(block, colour, max(width, 40)))
    return said.lstrip("\n") + "\n"


def browse_text(answer: Answer, *, colour: bool = False, width: int = 88) -> str:
    """The answer of `browse` in words.

    >>> from wareontology.report.browse import Asked, browse
    >>> browse_text(browse(Asked("cyprus"))).splitlines()[0].partition(" traditions ")[2]
    '· region cyprus'
    """
    return text(_browse(answer), colour, width)


def show_text(answer: Answer, *, colour: bool = False, width: int = 88) -> str:
    """The answer of `show` in words.

    >>> from wareontology.graph.traditions import tradition
    >>> from wareontology.report.show import show
    >>> print(show_text(show(tradition("us-tusayan-white"))).splitlines()[0])
    Tusayan White Ware · Colorado Plateau · 600 to 1325 CE
    """
    return text(_show(answer), colour, width)


def heading(entry: Answer) -> str:
    """A tradition with its region and years."""
    years = years_words(entry["date_from"], entry["date_to"])
    doubt = "" if entry["dates_basis"] in ("stated", None) else " (years from memory)"
    return f"{entry['label']} · {entry['region_label']} · {years}{doubt}"


def _browse(answer: Answer) -> Iterator[Block]:
    asked = ", ".join(f"{name} {value}" for name, value in answer["asked"].items() if name != "memory")
    on = " · what is from memory counted too" if answer["asked"].get("memory") else ""
    title = f"{answer['count']} of {answer['of']} traditions" + (f" · {asked}" if asked else "") + on
    yield Block("", title, kind="title")
    region = None
    for one in answer["traditions"]:
        if one["region_label"] != region:
            region = one["region_label"]
            yield Block("", region)
        yield Block("- ", _line(one), "  ", gap=False)
    more = answer["only_from_memory"]
    if more and not answer["asked"].get("memory"):
        verb = "fits" if more == 1 else "fit"
        yield Block("", f"{more} more {verb} on what is from memory or inferred alone: --memory shows them.")
    yield Block("To know.", "")
    for note in answer["notes"]:
        yield Block("- ", note, "  ", gap=False)


def _line(one: Answer) -> str:
    years = years_words(one["date_from"], one["date_to"])
    doubt = "" if one["dates_basis"] in ("stated", None) else ", from memory"
    said = [f"{field} {' or '.join(one[field])}" for field in ("atmosphere", "ending") if one[field]]
    said += [f"paint {', '.join(one['paint'])}"] if one["paint"] else []
    stated = "; ".join(said) or ("nothing stated" if one["nothing_stated"] else "")
    return f"{one['id']}: {one['label']} ({years}{doubt}){'. ' if stated else ''}{sentence(stated)}"


def _show(answer: Answer) -> Iterator[Block]:
    yield Block("", heading(answer), kind="title")
    yield Block("", f"{answer['id']} · {' › '.join(answer['regions'])}", gap=False, kind="quiet")
    for group in answer["groups"]:
        yield Block(f"{group['label']}. ", group["definition"], "  ", kind="verdict")
    for name, lead in (
        ("twins", "Its twin. "), ("influenced_by", "Took its technique from. "),
        ("influenced", "Gave its technique to. "),
    ):  # fmt: skip
        if answer[name]:
            yield Block(lead, listed(f"{one['label']} ({one['id']})" for one in answer[name]) + ".", "  ")
    heads = {
        "seen": "Seen on it, as stated.", "concluded": "Concluded of material and fire, as stated.",
        "describing": "Told besides.",
    }  # fmt: skip
    for side, head in heads.items():
        yield from _statements([one for one in answer["stated"] if one["side"] == side], head)
    yield from _statements(
        answer["inferred"], "Inferred by a source from the trait itself; not counted for it."
    )
    yield from _statements(answer["memory"], "From memory, unverified: never counted.")
    if answer["note"]:
        yield Block("Note of the compiler. ", answer["note"], "  ")
    yield Block("Sources.", "" if answer["sources"] else "None was read.")
    for number, source in enumerate(answer["sources"], start=1):
        where = f" {source['doi']}." if source["doi"] else ""
        yield Block(
            f"[{number}] ",
            f"{sentence(source['citation'])}{where} {sentence('read: ' + str(source['read']))}",
            "    ",
            gap=False,
        )
    yield Block("To know. ", answer["warning"], "  ")


def _statements(said: Sequence[Answer], head: str) -> Iterator[Block]:
    if not said:
        return
    yield Block(head, "")
    for one in said:
        where = f", {one['where']}" if one["where"] else ""
        numbers = "".join(f" [{number}]" for number in one["sources"])
        drawn = f" (from {one['inferred_from'].replace('_', ' ')})" if one["inferred_from"] else ""
        note = f" {sentence(one['note'])}" if one["note"] else ""
        yield Block(
            "- ", f"{one['label']}{where}: {one['value'].rstrip('.')}{drawn}{numbers}.{note}", "  ", gap=False
        )
