"""The answer of `compare`, for a person."""

from collections.abc import Iterator, Mapping
from typing import Any

from wareontology.technique.block import Block, lines
from wareontology.technique.phrases import listed, sentence, where_words

Answer = Mapping[str, Any]


def compare_text(answer: Answer, *, colour: bool = False, width: int = 88) -> str:
    """A comparison in words; its keys tell whether of tables or of a photo."""
    parts = _photo(answer) if "photo" in answer else _tables(answer)
    said = "\n".join(line for block in parts for line in lines(block, colour, max(width, 40)))
    return said.lstrip("\n") + "\n"


def _tables(answer: Answer) -> Iterator[Block]:
    title = f"{answer['originals']} originals and {answer['replicas']} replicas"
    yield Block("", title, kind="title", gap=False)
    for reading, label in (
        ("apart", "Apart."),
        ("alike so far", "Alike so far."),
        ("too few", "Too few to say."),
    ):
        rows = [one for one in answer["traits"] if one["reading"] == reading]
        if rows:
            yield Block(label, "")
        for one in rows:
            yield Block("- ", trait_words(one), "  ", gap=False)
    yield from _notes(answer)


def trait_words(one: Mapping[str, Any]) -> str:
    """One trait with its numbers."""
    refired = "" if one["refired_c"] is None else f" refired at {one['refired_c']} °C"
    where = f"{one['layer']} {where_words(one['zone'])}{refired}, {one['trait']}"
    count = f"n = {one['n_originals']} and {one['n_replicas']}"
    if one["between"] == 0 and not one["excess"]:
        return f"{sentence(where)[:-1]} ({count}): the same on all."
    unit = " ΔE" if one["unit"] == "CIEDE2000" else ""
    within = " and ".join("–" if value is None else f"{value:.1f}" if unit else f"{value:.2f}"
                          for value in (one["within_originals"], one["within_replicas"]))  # fmt: skip
    between = f"{one['between']:.1f}{unit}" if unit else f"{one['between']:.2f}"
    said = f"{sentence(where)[:-1]} ({count}): "
    said += f"between the groups {between}, within them {within}"
    if one["by_chance"] is not None and one["excess"] is not None:
        low, high = one["by_chance"]
        said += f"; excess {one['excess']:.2f}, by chance {low:.2f} to {high:.2f}"
    return said + _words(one) + "."


def _words(one: Mapping[str, Any]) -> str:
    if one["unit"] == "CIEDE2000" or one["reading"] == "alike so far":
        return ""
    theirs, ours = (listed(sorted(one[key])) for key in ("originals_words", "replicas_words"))
    return f" ({theirs}; {ours})" if theirs and theirs != ours else ""


def _photo(answer: Answer) -> Iterator[Block]:
    yield Block("", f"Photo {answer['photo']}", kind="title", gap=False)
    yield Block("Light. ", f"It changes by {answer['light']['change']:.0%} over the areas.")
    for one in answer["areas"]:
        lab = ", ".join(f"{part:.1f}" for part in one["lab"])
        text = f"{one['of']} {one['box']}: L*, a*, b* {lab}; ± {one['uncertainty']:.1f} ΔE."
        yield Block("- ", text, "  ", gap=False)
    if answer["colour"] is not None:
        one = answer["colour"]
        text = f"{one['between']:.1f} ΔE between the groups, ± {one['uncertainty']:.1f}; {one['reading']}."
        yield Block("Colour. ", f"n = {one['n_originals']} and {one['n_replicas']}: {text}")
    yield from _notes(answer)


def _notes(answer: Answer) -> Iterator[Block]:
    yield Block("To know.", "")
    for note in answer["notes"]:
        yield Block("- ", note, "  ", gap=False)
