"""The colour a paint of one phase is expected to be called. Computed is the phase; the word for it is
judged."""

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from wareontology.errors import BreaksShape, Fault, Unreadable

COLUMNS = ("phase", "amount", "colour", "share", "low", "high", "basis", "source")
AMOUNTS = ("opaque", "thin")
WORDS = (
    "white", "cream", "buff", "orange", "red", "brown", "grey", "black", "green", "purple", "silver",
    "yellow", "blue",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ColourShare:
    """How often observers are expected to give one colour word to a phase at one amount, with low and
    high."""

    word: str
    share: float
    low: float
    high: float
    basis: str
    source: str


PhaseColours = dict[tuple[str, str], tuple[ColourShare, ...]]


def read(lines: Iterable[str], file: str = "phase_colours.csv") -> PhaseColours:
    """The table from the lines of a CSV file: for each phase and amount its colour words, commonest first.

    Raises Unreadable for wrong columns, BreaksShape for an unknown word, a share outside its low and high, or
    shares of one phase and amount that do not add up to 1.
    """
    numbered = [(number, line) for number, line in enumerate(lines, 1) if not line.startswith("#")]
    table = csv.DictReader(line for _, line in numbered)
    if tuple(table.fieldnames or ()) != COLUMNS:
        raise Unreadable(f"{file}: columns found {table.fieldnames}; would do {','.join(COLUMNS)}")
    grouped: dict[tuple[str, str], list[ColourShare]] = {}
    faults = []
    for (number, _), row in zip(numbered[1:], table, strict=True):
        low, share, high = (float(row[column]) for column in ("low", "share", "high"))
        if row["colour"] not in WORDS:
            faults.append(Fault(file, number, "colour", row["colour"], "one of " + " ".join(WORDS)))
        if row["amount"] not in AMOUNTS:
            faults.append(Fault(file, number, "amount", row["amount"], "one of " + " ".join(AMOUNTS)))
        if not 0 < low <= share <= high < 1:
            faults.append(
                Fault(file, number, "share", row["share"], f"a share from {low} to {high}, within 0 to 1")
            )
        grouped.setdefault((row["phase"], row["amount"]), []).append(
            ColourShare(row["colour"], share, low, high, row["basis"], row["source"])
        )
    for (phase, amount), shares in grouped.items():
        total = sum(share.share for share in shares)
        if abs(total - 1) > 1e-9:
            faults.append(
                Fault(file, None, "share", f"{phase}, {amount}: {total:.3f}", "shares that add up to 1")
            )
    if faults:
        raise BreaksShape(faults)
    return {
        key: tuple(sorted(shares, key=lambda share: (-share.share, share.word)))
        for key, shares in grouped.items()
    }


def load(path: Path) -> PhaseColours:
    """The table from a file the caller names.

    >>> from wareontology.paths import data
    >>> load(data("phase_colours.csv"))["manganosite", "opaque"][0].word
    'green'
    """
    try:
        with path.open(encoding="utf-8", newline="") as lines:
            return read(lines, path.name)
    except OSError as fault:
        raise Unreadable(f"{path}: {fault.strerror}") from fault
