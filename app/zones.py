"""What each zone of a sherd holds, in words, for the drawing of the pot and the list beside it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal

from wareontology.sherd.record import Row, Sherd

State = Literal["not looked", "bare", "seen"]

NAMES: Final = {
    "interior": "Inside", "exterior": "Outside", "rim": "Rim", "base": "Base", "break": "Core",
    "inner-margin": "Inner margin", "outer-margin": "Outer margin",
}  # fmt: skip
SAID: Final = {"not looked": "not looked at", "bare": "looked at, nothing noted", "seen": ""}
_SHARED: Final = 0.25
"""A chip is said to lie between two colour words where the second has more than this share."""
_CORE: Final = {"none": "one colour through", "full": "dark to the surfaces"}


@dataclass(frozen=True, slots=True)
class Zone:
    """One zone: its key and name, whether it was looked at, what was seen there, layer by layer.

    whole: all that is left of it was looked at. amiss: what was seen there does not fit the rest.
    """

    key: str
    name: str
    state: State
    seen: tuple[str, ...]
    whole: bool
    amiss: bool = False

    @property
    def said(self) -> str:
        """The zone's state in one line."""
        text = "; ".join(self.seen) if self.seen else SAID[self.state]
        return f"{text}; does not fit the rest" if self.amiss else text

    def short(self, longest: int) -> tuple[str, ...]:
        """At most two lines of at most so many letters, for the drawing."""
        lines = self.seen or (SAID[self.state],)
        cut = [_cut(line, longest) for line in lines[:2]]
        return (*cut[:1], f"and {len(lines) - 1} more") if len(lines) > 2 else tuple(cut)


def zones(sherd: Sherd | None, answer: Mapping[str, Any] | None = None) -> dict[str, Zone]:
    """Every zone of the table by its key; those of nothing but blanks are not looked at.

    answer: points out the zones of the rows that do not fit the rest.

    >>> zones(None)["rim"].said
    'not looked at'
    """
    amiss = {row for item in answer["conflict"]["items"] for row in item["rows"]} if answer else set()
    found = {}
    for key, name in NAMES.items():
        rows = [row for row in sherd.rows if row.zone == key] if sherd is not None else []
        whole = sherd is not None and key in sherd.looked
        state: State = "seen" if rows else "bare" if whole else "not looked"
        seen = tuple(_words(row) for row in rows)
        wrong = any(row.number in amiss for row in rows if row.number)
        found[key] = Zone(key, name, state, seen, whole, wrong)
    return found


@dataclass(frozen=True, slots=True)
class Chip:
    """A Munsell chip for the screen: where it was read, its notation, colour words, and a plain patch.

    inside: whether a screen can show it; where not, `colour` is only the nearest it can.
    """

    where: str
    notation: str
    words: str
    colour: str
    inside: bool


def chips(sherd: Sherd | None) -> list[Chip]:
    """Every chip of a sherd, in the order of its rows."""
    from wareontology.colour.munsell import to_srgb
    from wareontology.colour.notation import parse_range
    from wareontology.colour.words import membership

    found = []
    for row in sherd.rows if sherd is not None else ():
        cell = row.get("munsell")
        for chip in parse_range(cell.text.removesuffix("?")) if cell is not None else ():
            shares = sorted(membership(chip).items(), key=lambda pair: -pair[1])
            words = " to ".join(word for word, share in shares[:2] if share > _SHARED)
            colour, inside = to_srgb(chip)
            name = f"{row.layer} {row.name}" if row.name else row.layer
            found.append(Chip(f"{name}, {NAMES[row.zone].lower()}", str(chip), words, colour, inside))
    return found


def _cut(line: str, longest: int) -> str:
    """A line cut at a comma where one stands early enough, else in mid-word."""
    if len(line) <= longest:
        return line
    at = line.rfind(", ", 0, longest - 1)
    return line[:at] + " …" if at > 0 else line[: longest - 1] + "…"


def _words(row: Row) -> str:
    """A layer as it is written on the drawing: `slip: white`, `paint lines: black, red patches`."""
    name = f"{row.layer} {row.name}" if row.name else row.layer
    colour = row.colour()
    said = [colour.text] if colour is not None else []
    patches = row.get("patches")
    if patches is not None and patches.text != "none":
        said.append(f"{patches.text} patches")
    for column in ("edge", "relief", "lustre", "core"):
        cell = row.get(column)
        if cell is not None and len(said) < 3:
            said.append(
                _CORE.get(cell.text, f"{cell.text} core") if column == "core" else cell.text.replace("-", " ")
            )
    return f"{name}: {', '.join(said)}" if said else name
