"""A report on a firing that was made: its log on its plan's simulated firings, and what came out of it."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from wareontology.firing.answer import to_data
from wareontology.firing.curves import Curves
from wareontology.firing.log import Read as LogRead
from wareontology.firing.outcome_read import Seen
from wareontology.firing.plan import Plan
from wareontology.firing.simulate import Simulation
from wareontology.report.document import Document, Figure, Part, Read, Section, Table
from wareontology.report.firing_document import paragraphs
from wareontology.report.firing_log import blocks, log_data
from wareontology.report.sherd_document import Photo, made_from
from wareontology.report.simulate_prose import simulate_text
from wareontology.technique.block import Block

_CAPTION: Final = (
    "The log on the simulated firings of its plan; shaded is what holds 5 to 95 in 100 of them. Likely"
    " pessimistic."
)
_ONE_FIRING: Final = (
    "One firing. What came out shows that it can be so; how often it is so takes more firings, those that"
    " failed counted too."
)


@dataclass(frozen=True, slots=True)
class Fired:
    """A firing as it was written down. outcome: what tiles and pots showed, where it was looked at.

    files: what the report is made from.
    """

    name: str
    log: LogRead
    plan: Plan
    outcome: Sequence[Seen] = ()
    files: Sequence[Read] = ()
    photos: Sequence[Photo] = ()


def log_document(
    fired: Fired, made: Simulation, drawn: Curves, drawing: str, made_by: Mapping[str, str]
) -> Document:
    """The report on one firing: how it went, its picture, what came out, what its plan was expected to give.

    made: its plan simulated; drawn: the curves of that. drawing: the log on them as SVG. made_by: software
    and data_hash.
    """
    told = log_data(fired.log.log, fired.log.faults, fired.plan, drawn)
    return Document(
        f"The firing {fired.name}",
        (
            Section("How it went", tuple(_went(told))),
            Section("The log drawn", (Figure(drawing, _CAPTION),)),
            Section("What came out", tuple(_came_out(fired.outcome))),
            Section("What could not be read", tuple(_faults(fired.log))),
            Section("Photos", tuple(Figure(content, caption) for caption, content in fired.photos)),
            Section("What its plan was expected to give", tuple(paragraphs(simulate_text([to_data(made)])))),
            made_from(fired.files, [made_by]),
        ),
    )


def _went(told: Mapping[str, Any]) -> Iterator[Part]:
    """The log in words; of how it stands against its plan only what is off, since the fire is over."""
    yield from blocks({key: value for key, value in told.items() if key != "now"})
    if told["covered_after_min"] is not None:
        yield Block("Shut.", f"After {told['covered_after_min']:.0f} min by the log.")
    for off in told["now"]["off"] or ("Nothing that this log shows.",):
        yield Block("Off.", off)


def _came_out(outcome: Sequence[Seen]) -> Iterator[Part]:
    if not outcome:
        yield Block("", "What came out was not written down.")
        return
    from wareontology.firing.faults import faults

    def said(seen: bool | None) -> str:
        return "not looked at" if seen is None else "yes" if seen else "no"

    yield Table(
        ("Place", "Surface", "Tiles", "Colour", "Smoked", "Soft", "Fault", "Note"),
        tuple(
            (
                one.place, one.zone, str(one.tiles), one.colour or "not looked at", said(one.smoked),
                said(one.soft), faults()[one.fault].label if one.fault in faults() else one.fault, one.note,
            )
            for one in outcome
        ),
    )  # fmt: skip
    tiles = sum(one.tiles for one in outcome)
    faulty = sum(one.tiles for one in outcome if one.fault)
    yield Block("", f"{tiles} tiles or pots by place and surface; {faulty} of them with a fault.")
    yield Block("", _ONE_FIRING, kind="quiet")


def _faults(read: LogRead) -> Iterator[Part]:
    if read.faults:
        rows = tuple((str(one.row or ""), one.column or "", one.found, one.would_do) for one in read.faults)
        yield Table(("Row", "Column", "Found", "Would do"), rows)
