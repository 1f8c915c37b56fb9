"""Drawings for a report, as SVG of our own: odds as bars, chips as patches, shares with their intervals."""

from collections.abc import Mapping, Sequence
from html import escape
from typing import Final

from wareontology.colour.munsell import to_srgb
from wareontology.colour.notation import Chip
from wareontology.technique.phrases import printable

WIDE: Final = 520
_LABEL: Final = 230
_BAR: Final = WIDE - _LABEL - 20
_ROW: Final = 22
_PATCH: Final = 34


def odds_bars(odds: Mapping[str, tuple[float, float | None]], decided: float) -> str:
    """A bar for each label: its probability, with the flat one as a tick and a line where it is decided.

    >>> odds_bars({"reducing": (0.9, 0.8)}, 0.8).count("<rect")
    1
    """
    rows = []
    for number, (label, (p, flat)) in enumerate(odds.items()):
        y = number * _ROW + 4
        rows.append(_text(0, y + 11, label))
        rows.append(f'<rect class="bar" x="{_LABEL}" y="{y + 2}" width="{_BAR * p:.1f}" height="10"/>')
        rows.append(_text(WIDE - 16, y + 11, f"{p:.2f}", "small", "end"))
        if flat is not None:
            rows.append(f'<path class="line" d="M{_LABEL + _BAR * flat:.1f} {y}v14"/>')
    height = len(odds) * _ROW + 6
    x = _LABEL + _BAR * decided
    rows.append(f'<path class="mark" d="M{x:.1f} 0V{height}"/>')
    return _svg(
        WIDE, height, "Odds as bars: " + "; ".join(f"{label} {p:.2f}" for label, (p, _) in odds.items()), rows
    )


def interval(value: float, low: float, high: float, limit: float) -> str:
    """A share with its interval on a line from 0 to 1, and a limit."""
    x = [20 + (WIDE - 40) * part for part in (value, low, high, limit)]
    rows = [
        f'<path class="line" d="M20 24H{WIDE - 20}M20 20v8M{WIDE - 20} 20v8"/>',
        f'<path class="line" stroke-width="4" d="M{x[1]:.1f} 24H{x[2]:.1f}"/>',
        f'<circle class="bar" cx="{x[0]:.1f}" cy="24" r="6"/>',
        f'<path class="mark" d="M{x[3]:.1f} 6V42"/>',
        _text(20, 44, "0", "small"), _text(WIDE - 20, 44, "1", "small", "end"),
    ]  # fmt: skip
    return _svg(WIDE, 50, f"Share {value:.2f}, from {low:.2f} to {high:.2f}; limit {limit:.2f}", rows)


def patches(groups: Mapping[str, Sequence[Chip]]) -> str:
    """Chips as plain patches, a row for each group, each with its notation.

    >>> patches({"originals": [Chip("N", 5, 0)]}).count("<rect")
    1
    """
    rows, height = [], 0
    across = (WIDE - 110) // (_PATCH + 40)
    for label, chips in groups.items():
        rows.append(_text(0, height + 22, label))
        for number, chip in enumerate(chips):
            x, y = 110 + number % across * (_PATCH + 40), height + number // across * 52
            colour, inside = to_srgb(chip)
            rows.append(
                f'<rect x="{x}" y="{y}" width="{_PATCH}" height="{_PATCH}" fill="{colour}" class="patch"/>'
            )
            rows.append(_text(x, y + _PATCH + 12, f"{chip}{'' if inside else ' *'}", "small"))
        height += 52 * max(1, -(-len(chips) // across))
    said = "; ".join(f"{label}: {', '.join(map(str, chips))}" for label, chips in groups.items())
    return _svg(WIDE, height, f"Chips as patches. {said}", rows)


def _text(x: float, y: float, text: str, kind: str = "", anchor: str = "start") -> str:
    css = f' class="{kind}"' if kind else ""
    return f'<text x="{x}" y="{y}" text-anchor="{anchor}"{css}>{escape(printable(text))}</text>'


def _svg(width: int, height: int, label: str, rows: Sequence[str]) -> str:
    inside = "\n".join(rows)
    name = escape(printable(label), quote=True)
    size = f'viewBox="0 0 {width} {height}" width="{width}"'
    return f'<svg {size} role="img" aria-label="{name}">\n{inside}\n</svg>'
