"""One file to hand on: a document of paragraphs, tables and figures as a single page of HTML.

The same document gives the same bytes: nothing of the day, the machine or the order of a set goes in.
"""

import hashlib
from base64 import b64encode
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import TypeAlias

from wareontology.report.page_style import CSS
from wareontology.technique.block import Block
from wareontology.technique.phrases import printable


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing (SVG of ours) or a photo (JPEG), with what to see in it."""

    content: str | bytes
    caption: str


@dataclass(frozen=True, slots=True)
class Table:
    """A table as in print. Cells are text."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


Part: TypeAlias = Block | Figure | Table


@dataclass(frozen=True, slots=True)
class Section:
    """A heading, a sentence or a noun of the trade, and what stands under it."""

    title: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Document:
    """The whole report; sections without parts are left out."""

    title: str
    sections: tuple[Section, ...]


@dataclass(frozen=True, slots=True)
class Read:
    """A file a report was made from: its name and the SHA-256 of its bytes."""

    name: str
    sha256: str

    @staticmethod
    def of(path: str | Path) -> "Read":
        """A file as it lies there. Raises OSError where it cannot be read."""
        return Read(Path(path).name, hashlib.sha256(Path(path).read_bytes()).hexdigest())


def html(document: Document) -> str:
    """The document as one page: no script, nothing fetched; prints on A4.

    >>> html(Document("K-14", (Section("Seen", (Block("", "white <slip>"),)),))).count("white &lt;slip&gt;")
    1
    """
    sections = [section for section in document.sections if section.parts]
    numbers = iter(range(1, 1_000_000))
    body = "".join(_section(section, numbers) for section in sections)
    title = escape(printable(document.title))
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; img-src data:; '
        "style-src 'unsafe-inline'\">\n"
        f"<title>{title}</title>\n<style>\n{CSS}</style>\n</head>\n<body>\n<main>\n<h1>{title}</h1>\n"
        f"{body}</main>\n</body>\n</html>\n"
    )


def _section(section: Section, numbers: Iterator[int]) -> str:
    parts = "".join(_parts(section.parts, numbers))
    return f"<section>\n<h2>{escape(printable(section.title))}</h2>\n{parts}</section>\n"


def _parts(parts: Iterable[Part], numbers: Iterator[int]) -> Iterator[str]:
    """Paragraphs that begin with a dash are a list, and stand together."""
    listed = False
    for part in parts:
        item = isinstance(part, Block) and part.lead.strip() == "-"
        if listed != item:
            yield "<ul>\n" if item else "</ul>\n"
            listed = item
        if isinstance(part, Block):
            yield _block(part, item)
        elif isinstance(part, Table):
            yield _table(part)
        else:
            yield _figure(part, next(numbers))
    if listed:
        yield "</ul>\n"


def _block(block: Block, item: bool) -> str:
    text = escape(printable(block.text))
    if item:
        return f"<li>{text}</li>\n"
    if block.kind == "title":
        return f"<h3>{text}</h3>\n"
    lead = escape(printable(block.lead.strip()))
    kind = f' class="{block.kind}"' if block.kind in ("verdict", "quiet") else ""
    return f"<p{kind}>" + (f"<strong>{lead}</strong> " if lead else "") + f"{text}</p>\n"


def _table(table: Table) -> str:
    head = "".join(f'<th scope="col">{escape(printable(cell))}</th>' for cell in table.head)
    rows = "".join(
        "<tr>" + "".join(f"<td>{escape(printable(cell))}</td>" for cell in row) + "</tr>\n"
        for row in table.rows
    )
    return f"<table>\n<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}</tbody>\n</table>\n"


def _figure(figure: Figure, number: int) -> str:
    caption = escape(printable(figure.caption))
    if isinstance(figure.content, bytes):
        coded = b64encode(figure.content).decode("ascii")
        picture = f'<img src="data:image/jpeg;base64,{coded}" alt="{caption}">'
    else:
        picture = figure.content
    return f"<figure>\n{picture}\n<figcaption>Figure {number}. {caption}</figcaption>\n</figure>\n"
