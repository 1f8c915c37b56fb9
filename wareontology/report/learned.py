"""What firings taught, as plain data and in words: before and after, how much carries it, what it is not."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from wareontology.firing.evidence import Piece
from wareontology.firing.learn import Learned, Moved
from wareontology.technique.block import Block, lines
from wareontology.technique.words_for_odds import odds_words

NOTES: Final = (
    "How tiles are misread and how far the model is out is judged (data/learning.csv), and weighs on all of"
    " this.",
    "The model is likely pessimistic; what it lacks is learned as if it were one of these numbers.",
    "What differs from fire to fire is passed on mixed with what is usual; laws are passed on as learned.",
)
_SHOWN: Final = 14
_ALWAYS: Final = ("sealing_length_m", "char_kj_mol", "cover_gaps", "rim_leak_m_s", "at_cover_c")
"""Numbers that are shown whether they moved or not: the ones a person asks for."""


def learned_data(
    found: Learned, onward: Mapping[str, tuple[float, float, float]] | None = None
) -> dict[str, Any]:
    """What was learned as plain data. onward: plan to the chance of its next firing with the own numbers."""
    return {
        "refused": found.refused,
        "firings": [
            {
                "plan": before.plan.name, "members": before.members, "seed": before.seed,
                "pieces": [{"words": piece.words, "missed_bits": _least_missed(piece)} for piece in told],
                "chance_before": _chance(before.chance()), "chance_with_hindsight": _chance(after.chance()),
                "chance_next": _chance((onward or {}).get(before.plan.name)),
            }
            for before, after, told in zip(found.before, found.after, found.pieces, strict=True)
        ],
        "effective_members": round(found.members, 1), "effective_sets": round(found.sets, 1),
        "sets": found.before[0].sets, "missed_bits": round(found.missed_bits, 3),
        "numbers": [_number(one) for one in found.moved], "notes": list(NOTES),
    }  # fmt: skip


def _least_missed(piece: Piece) -> float:
    """Bits by which the member that has this piece best misses it."""
    return round(piece.missed_bits(int(piece.log_likelihood.argmax())), 2)


def _chance(three: tuple[float, float, float] | None) -> dict[str, float] | None:
    if three is None:
        return None
    return dict(zip(("value", "low", "high"), (round(one, 3) for one in three), strict=True))


def _number(one: Moved) -> dict[str, Any]:
    own = None
    if one.own is not None:
        own = {end: _four(value) for end, value in zip(("low", "likeliest", "high"), one.own, strict=True)}
    return {
        "name": one.name, "words": one.words, "before": _figures(one.before), "after": _figures(one.after),
        "shift": round(one.shift, 3), "is_law": one.is_law, "weak": one.weak, "of": one.of,
        "own": own,
    }  # fmt: skip


def _figures(three: Mapping[str, float]) -> dict[str, float]:
    return {name: _four(value) for name, value in three.items()}


def _four(value: float) -> float:
    return float(f"{value:.4g}")


def learned_text(found: Mapping[str, Any], *, colour: bool = False, width: int = 88) -> str:
    """`learned_data` in words."""
    return "\n".join(line for block in _blocks(found) for line in lines(block, colour, max(width, 40))) + "\n"


def _blocks(found: Mapping[str, Any]) -> Iterator[Block]:
    names = ", ".join(one["plan"] for one in found["firings"])
    yield Block("", f"Learned from {names}" if not found["refused"] else names, kind="title", gap=False)
    yield Block("What was seen.", "")
    for one in found["firings"]:
        for piece in one["pieces"]:
            hard = " (no simulated firing has it so)" if piece["missed_bits"] > 1 else ""
            yield Block("- ", f"{piece['words']}{hard}", "  ", gap=False)
    if found["refused"]:
        yield Block("Refused. ", found["refused"], "  ", "verdict")
    members = found["firings"][0]["members"]
    yield Block(
        "What carries it. ", f"As much as {found['effective_members']:.0f} even firings of {members:,} drawn,"
        f" and {found['effective_sets']:.0f} of {found['sets']} sets of laws.", "  ",
    )  # fmt: skip
    if found["refused"]:
        return
    for one in found["firings"]:
        yield from _chances(one)
    yield Block("Before and after (middle, and from to).", "")
    numbers = found["numbers"]
    moved = [one for one in numbers if one["own"] or not one["of"]][:_SHOWN]
    shown = moved + [one for one in numbers if one["name"] in _ALWAYS and one not in moved]
    for one in shown:
        weak = "; was weak" if one["weak"] else ""
        weak += "; no more than luck" if one["of"] and not one["own"] else ""
        then = f"{_three(one['before'])} → {_three(one['after'])}"
        yield Block("- ", f"{one['words']}: {then} ({one['name']}{weak})", "  ", gap=False)
    still = sum(1 for one in numbers if one["of"] and not one["own"] and one not in shown)
    yield Block("- ", f"{still} other numbers did not move more than luck would move them.", "  ", gap=False)
    yield Block("To know.", "")
    for note in found["notes"]:
        yield Block("- ", note, "  ", gap=False)


def _chances(one: Mapping[str, Any]) -> Iterator[Block]:
    before, then, onward = (one[f"chance_{name}"] for name in ("before", "with_hindsight", "next"))
    said = f"Before: {_odds(before)}. Of this firing, with hindsight: {odds_words(then['value'])}."
    if onward is not None:
        said += f" Of the next like it, with these numbers: {_odds(onward)}."
    yield Block("Chance. ", f"{one['plan']}. {said}", "  ", "verdict", gap=False)


def _odds(three: Mapping[str, float]) -> str:
    low, high = odds_words(three["low"]), odds_words(three["high"])
    between = f", may be {low} or {high}" if low != high else ""
    return f"{odds_words(three['value'])}{between}"


def _three(three: Mapping[str, float]) -> str:
    return f"{three['value']:.3g} ({three['low']:.3g} to {three['high']:.3g})"
