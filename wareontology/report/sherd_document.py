"""A report on sherds: what was seen, what follows, how sure, what would settle it, what it rests on."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from wareontology.colour.munsell import to_srgb
from wareontology.colour.notation import Chip, NotMunsell, parse_range
from wareontology.errors import OutOfRange
from wareontology.report.document import Document, Figure, Part, Read, Section, Table
from wareontology.report.figures import odds_bars, patches
from wareontology.sherd.columns import columns
from wareontology.sherd.record import Sherd
from wareontology.technique.block import Block
from wareontology.technique.phrases import question_words, value_words, zone_words
from wareontology.technique.prose import parts
from wareontology.technique.verdict import DECIDED

Answer = Mapping[str, Any]
Photo = tuple[str, bytes]
"""A caption and a JPEG."""
_TITLES: Final = {
    "verdict": "In short", "explain": "What moved the odds", "steps": "What follows",
    "not_applied": "What could not be applied", "flips": "What would change this",
    "conflict": "What does not fit together", "next": "What would settle it", "not_looked": "Not looked at",
    "odds": "How sure", "flat": "With all fires alike", "sources": "What it rests on", "cautions": "Cautions",
}  # fmt: skip


def sherd_document(
    answered: Sequence[tuple[Sherd, Answer]], files: Sequence[Read], photos: Sequence[Photo] = ()
) -> Document:
    """The report on one sherd or several, in the order given. files: what it was made from."""
    names = [sherd.sherd for sherd, _ in answered]
    title = f"Sherd {names[0]}" if len(names) == 1 else f"{len(names)} sherds"
    sections: list[Section] = []
    for sherd, answer in answered:
        head = "" if len(names) == 1 else f"{sherd.sherd}: "
        sections += _sherd(sherd, answer, head)
    sections.append(Section("Photos", tuple(Figure(content, caption) for caption, content in photos)))
    sections.append(made_from(files, [answer for _, answer in answered]))
    return Document(title, tuple(sections))


def _sherd(sherd: Sherd, answer: Answer, head: str) -> Iterator[Section]:
    said = parts(answer, sherd)
    yield Section(f"{head}{_TITLES['verdict']}", said["verdict"])
    yield Section(f"{head}What was seen", tuple(seen(sherd)))
    for name, title in _TITLES.items():
        if name == "odds":
            yield Section(head + title, (_bars(answer), *said[name]))
        elif name != "verdict":
            yield Section(head + title, _without_lead(said[name]))


def _without_lead(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    """Paragraphs without a first one that only says again what the heading says."""
    return blocks[1:] if blocks and not blocks[0].text else blocks


def seen(sherd: Sherd) -> Iterator[Part]:
    """What was recorded, cell by cell, and its chips as patches."""
    order = [column.name for column in columns()]
    whole = tuple((_plain(name), sherd.seen[name].text) for name in order if name in sherd.seen)
    if whole:
        yield Table(("Of the sherd", "Seen"), whole)
    rows = tuple(
        (
            zone_words(row.zone), row.layer + (f" “{row.name}”" if row.name else ""),
            "; ".join(f"{_plain(name)} {row.seen[name].text}" for name in order if name in row.seen),
        )
        for row in sherd.rows
    )  # fmt: skip
    yield Table(("Zone", "Layer", "Seen"), rows)
    found = chips([sherd])
    if found:
        caption = "The chips that were read, as patches: to recognise, not to match by."
        outside = any(not to_srgb(chip)[1] for places in found.values() for chip in places)
        yield Figure(
            patches(found), caption + (" * no screen shows it; the patch is the nearest." if outside else "")
        )


def chips(sherds: Sequence[Sherd]) -> dict[str, list[Chip]]:
    """The chips of sherds by zone and layer; those beyond the table of colours are left out."""
    found: dict[str, list[Chip]] = {}
    for sherd in sherds:
        for row in sherd.rows:
            cell = row.get("munsell")
            for chip in _parsed(cell.text) if cell is not None else ():
                found.setdefault(f"{zone_words(row.zone)}, {row.layer}", []).append(chip)
    return found


def _parsed(text: str) -> tuple[Chip, ...]:
    try:
        chips = parse_range(text.rstrip("?"))
        for chip in chips:
            to_srgb(chip)
    except (NotMunsell, OutOfRange):
        return ()
    return chips


def _bars(answer: Answer) -> Figure:
    bars: dict[str, tuple[float, float | None]] = {}
    for question, found in answer["verdict"].items():
        value = found["value"]
        bars[f"{question_words(question)}: {value_words(question, value)}"] = (
            found["p"],
            _flat(answer, question, value),
        )
    caption = (
        "The likeliest answer to each question. Dashed: from here on it may be called decided. Tick: the "
        "same with all fires alike at the start."
    )
    return Figure(odds_bars(bars, DECIDED), caption)


def _plain(column: str) -> str:
    return column.replace("_", " ")


def _flat(answer: Answer, question: str, value: str) -> float | None:
    flat = answer["flat"]
    for odds in (flat.get(question), flat["materials"].get(question), flat["families"].get(question)):
        if isinstance(odds, Mapping) and value in odds:
            return float(odds[value])
    return None


def made_from(files: Sequence[Read], answers: Sequence[Answer]) -> Section:
    """What the report was made from: files with their hashes, the program and its data."""
    rows = [(read.name, f"SHA-256 {read.sha256}") for read in files]
    for one in dict.fromkeys((answer["software"], answer["data_hash"]) for answer in answers):
        rows.append((str(one[0]), f"data {one[1]}"))
    text = "The same files and the same program give the same report, byte for byte."
    return Section("Made from", (Table(("What", "Which"), tuple(rows)), Block("", text, kind="quiet")))
