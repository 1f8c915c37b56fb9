"""A fault of firing as plain data and in words."""

from typing import Any

from wareontology.firing.faults import FiringFault, faults
from wareontology.graph.sources import source_records
from wareontology.technique.block import Block, lines


def fault_data(one: FiringFault) -> dict[str, Any]:
    """The fault as plain data.

    >>> fault_data(faults()["lime-pop"])["fault"]
    'lime-pop'
    """
    known = faults()
    return {
        "fault": one.key, "label": one.label, "also": list(one.alternates), "arises": one.arises,
        "sign": one.sign, "cause": one.cause, "remedy": one.remedy,
        "mistaken_for": [
            {"fault": key, "label": known[key].label, "sign": known[key].sign} for key in one.mistaken_for
        ],
        "basis": one.basis, "source": one.source,
        "citation": source_records()[one.source].citation if one.source is not None else None,
    }  # fmt: skip


def fault_text(one: FiringFault, *, colour: bool = False, width: int = 88) -> str:
    """The fault in words.

    >>> print(fault_text(faults()["lime-pop"]).splitlines()[0])
    Lime pop · a fault of firing, arises after
    """
    found = fault_data(one)
    blocks = [
        Block(
            "",
            f"{_start(one.label)} · a fault of firing, arises {_when(one.arises)}",
            kind="title",
            gap=False,
        ),
        Block("Also called. ", ", ".join(one.alternates) + ".", "  "),
        Block("Sign. ", one.sign, "  "),
        Block("Cause. ", one.cause, "  ", gap=False),
        Block("Remedy. ", one.remedy, "  ", gap=False),
        Block("Mistaken for.", ""),
        *(
            Block("- ", f"{other['label']}: {other['sign']}", "  ", gap=False)
            for other in found["mistaken_for"]
        ),
        Block("Rests on. ", found["citation"] or f"{one.basis}.", "  "),
    ]
    return "\n".join(line for block in blocks for line in lines(block, colour, max(width, 40))) + "\n"


def _when(arises: str) -> str:
    return "after" if arises == "after" else f"in {arises}"


def _start(words: str) -> str:
    return words[0].upper() + words[1:]
