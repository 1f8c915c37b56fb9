"""A sherd as it was looked at: what each cell of the table says, before anything is concluded."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Seen:
    """One cell as it was seen. Blank cells have no `Seen`: blank means not looked at.

    words: for a word, a colour or a Munsell chip, (word, share) pairs that sum to 1. `cream` gives
        (("cream", 1.0),); `cream-buff` shares alike; a chip shares by membership of the colour words.
        The word `none` (looked and absent) is a word like another. Where a column lists what is there
        together (`looked`, `marks`, `after_firing`, `phases`) each has share 1.
    number: for numbers and measurements. `below` marks a reading below detection (`<12`).
    doubtful: the cell ended in a question mark: its likelihood is half its table, half flat.

    >>> Seen("colour", "cream-buff", (("buff", 0.5), ("cream", 0.5))).word() is None
    True
    >>> Seen("colour", "cream", (("cream", 1.0),)).word()
    'cream'
    """

    column: str
    text: str
    words: tuple[tuple[str, float], ...] = ()
    number: float | None = None
    below: bool = False
    doubtful: bool = False

    def word(self, lead: float = 0.1) -> str | None:
        """The word with the highest share; None where two are within `lead` of each other or in doubt."""
        if not self.words or self.doubtful:
            return None
        ranked = sorted(self.words, key=lambda pair: (-pair[1], pair[0]))
        if len(ranked) > 1 and ranked[0][1] - ranked[1][1] < lead:
            return None
        return ranked[0][0]

    def share(self, word: str) -> float:
        """Share of one word, 0 where it is not among them."""
        return dict(self.words).get(word, 0.0)


@dataclass(frozen=True, slots=True)
class Row:
    """One layer in one zone (a refiring series gives a layer several rows, one a step)."""

    zone: str
    layer: str
    name: str | None
    seen: Mapping[str, Seen]
    number: int = field(default=0, compare=False)
    """Row of the table it came from, the heading being row 1; 0 where there was no table."""

    def get(self, column: str) -> Seen | None:
        return self.seen.get(column)

    def word(self, column: str) -> str | None:
        cell = self.seen.get(column)
        return cell.word() if cell is not None else None

    def colour(self) -> Seen | None:
        """The colour observation: a Munsell chip outranks a word, the two are one observation."""
        return self.seen.get("munsell") or self.seen.get("colour")


@dataclass(frozen=True, slots=True)
class Sherd:
    """All that one observer saw on one sherd."""

    sherd: str
    observer: str | None
    seen: Mapping[str, Seen]
    """Cells of the sherd as a whole: region, form, looked, fire_clouds ..."""
    rows: tuple[Row, ...]
    file: str = field(default="", compare=False)

    def word(self, column: str) -> str | None:
        cell = self.seen.get(column)
        return cell.word() if cell is not None else None

    @property
    def region(self) -> str | None:
        return self.word("region")

    @property
    def looked(self) -> frozenset[str]:
        """Zones seen whole: there a blank `patches` means none."""
        cell = self.seen.get("looked")
        return frozenset(zone for zone, _ in cell.words) if cell is not None else frozenset()

    @property
    def permission(self) -> str:
        """none, surface, chip, or ask where it was left blank."""
        return self.word("permission") or "ask"

    def rows_of(self, layer: str) -> Iterator[Row]:
        return (row for row in self.rows if row.layer == layer)
