"""A published tradition as if it were a sherd: what is seen on it, and apart from that what was concluded.

Only what a text that was read states goes in. What is from memory, and what a source inferred from the very
trait, is neither a cell nor a label.
"""

from collections.abc import Mapping
from typing import Final

from wareontology.graph.traditions import Statement, Tradition
from wareontology.sherd.assemble import in_order
from wareontology.sherd.cells import parse
from wareontology.sherd.columns import ABOUT, column
from wareontology.sherd.record import Row, Seen, Sherd

_NOT_TOLD: Final = "exterior"
"""Zone of a cell whose zone no source tells: the surface that most descriptions mean."""
_IN_BREAK: Final = frozenset(("core",))
_MATERIAL: Final = frozenset(("body", "slip", "paint"))


def sherd_of(tradition: Tradition) -> Sherd | None:
    """What a person would see on a sherd of it; None where no trait is stated.

    Zones that no source tells are taken as the exterior. Nothing is taken as looked at whole.

    >>> from wareontology.graph.traditions import traditions
    >>> whole = sherd_of(traditions()["us-tusayan-white"])
    >>> [(row.zone, row.layer, row.seen["colour"].text) for row in whole.rows][0]
    ('exterior', 'slip', 'white-grey')
    """
    of_sherd = {"region": _cell("region", tradition.region)}
    rows: dict[tuple[str, str, str | None], dict[str, Seen]] = {}
    for said in tradition.statements:
        if said.side != "seen" or said.basis != "stated":
            continue
        cell = _cell(said.field, said.value)
        if column(said.field).of == "sherd":
            of_sherd[said.field] = cell
        elif said.layer is not None:
            zone = said.zone or ("break" if said.field in _IN_BREAK else _NOT_TOLD)
            rows.setdefault((zone, said.layer, said.name), {})[said.field] = cell
    if not rows and not of_sherd.keys() - ABOUT:
        return None
    return Sherd(tradition.id, None, of_sherd, in_order(Row(*place, seen) for place, seen in rows.items()))


def labels_of(tradition: Tradition) -> Mapping[str, frozenset[str]]:
    """What is stated of its material and fire: question to the values of which any is right.

    Questions are the keys of an answer: `atmosphere`, `materials:paint:NAME`, `carbon:body`. A statement
    whose words fit none of our values gives no label.

    >>> from wareontology.graph.traditions import traditions
    >>> labels_of(traditions()["us-tusayan-white"])["materials:paint:black"]
    frozenset({'organic'})
    """
    found: dict[str, set[str]] = {}
    for said in tradition.statements:
        if said.side == "concluded" and said.basis == "stated" and said.terms:
            # an answer says before and after; the column that a person fills in says before-firing
            short = "-firing" if said.field == "applied" else ""
            found.setdefault(_question(said), set()).update(term.removesuffix(short) for term in said.terms)
    return {question: frozenset(values) for question, values in found.items()}


def _question(said: Statement) -> str:
    unit = f"{said.layer}:{said.name}" if said.name else said.layer
    if said.field in _MATERIAL:
        return f"materials:{unit}"
    return f"{said.field}:{unit}" if said.field in ("applied", "carbon") else said.field


def _cell(name: str, text: str) -> Seen:
    cell = parse(column(name), text)
    assert isinstance(cell, Seen), (name, text, cell)  # the shapes let nothing else into the index
    return cell
