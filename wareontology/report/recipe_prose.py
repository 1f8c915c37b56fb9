"""The answers of `recipe`, for a person."""

from collections.abc import Iterator, Mapping
from typing import Any

from wareontology.technique.block import Block, lines
from wareontology.technique.phrases import listed

Answer = Mapping[str, Any]


def recipe_text(answer: Answer, *, colour: bool = False, width: int = 88) -> str:
    """A batch, a match, a roast or what was measured of a slip in words: which, its keys tell.

    >>> from wareontology.report.recipe import batch
    >>> print(recipe_text(batch({"red ochre": 2, "red clay": 1}, 90, "weight")).splitlines()[0])
    90 g dry, by weight
    """
    said = "\n".join(line for block in _blocks(answer) for line in lines(block, colour, max(width, 40)))
    return said.lstrip("\n") + "\n"


def _blocks(answer: Answer) -> Iterator[Block]:
    if "caution" in answer:
        yield from _roast(answer)
    elif "parts" in answer:
        yield from _match(answer)
    elif "batch_g" in answer:
        yield from _batch(answer)
    yield from _slip(answer)


def _slip(answer: Answer) -> Iterator[Block]:
    if "slip" in answer:
        slip = answer["slip"]
        held = f"{slip['dry_g']:.0f} g dry and {slip['water_g']:.0f} g water"
        yield Block("The slip. ", f"A litre of {slip['litre_g']:g} g holds {held}.")
    if "shrinkage" in answer:
        found = answer["shrinkage"]
        yield Block(
            "Shrinkage. ",
            f"Slip less body {found['difference']:+.1f} %. {found['reading']} (common practice)",
        )


def _batch(answer: Answer) -> Iterator[Block]:
    yield Block("", f"{answer['batch_g']:g} g dry, by {answer['by']}", kind="title")
    for caution in answer["cautions"][:-1]:
        yield Block("Caution. ", caution, "  ")
    yield Block("", answer["cautions"][-1])
    yield Block("Weigh out.", "")
    for item in answer["ingredients"]:
        yield Block("- ", f"{item['label']}: {item['grams']:.1f} g. {item['in_the_fire']}", "  ", gap=False)
    lost = round(100 * answer["loss"])
    gone = f"{lost} % goes in the fire" if lost >= 0 else f"it gains {-lost} % in the fire"
    yield Block("Fired. ", f"{answer['fired_g']:.1f} g ({gone}):")
    for oxide, share in answer["oxides"].items():
        spread = f"{share['value']:.1f} % ({share['low']:.1f} to {share['high']:.1f})"
        yield Block("- ", f"{oxide} {spread}", "  ", gap=False)
    if answer["checks"]:
        yield Block("What the trade says.", "")
        for check in answer["checks"]:
            yield Block("- ", f"{check['label']} ({check['basis']}) Here: {check['found']}", "  ", gap=False)
    if answer["modern"]:
        yield Block("Modern. ", f"No maker before industry had {listed(answer['modern'])}.")
    yield from _notes(answer)
    yield Block("It rests on.", "")
    for source in answer["sources"]:
        yield Block("- ", f"{source['of']}: {source['basis']}; {source['source']}", "  ", "quiet", gap=False)


def _match(answer: Answer) -> Iterator[Block]:
    yield Block("", "Parts by weight that come nearest", kind="title")
    for key, part in answer["parts"].items():
        yield Block("- ", f"{key}: {part:.3f}", "  ", gap=False)
    over = [f"{oxide} {share:+.1f}" for oxide, share in answer["residual"].items() if abs(share) >= 0.1]
    yield Block("Over or short. ", f"{listed(over)}." if over else "Nothing by a tenth of a per cent.", "  ")
    yield from _notes(answer)
    yield from _batch(answer["batch"])


def _roast(answer: Answer) -> Iterator[Block]:
    yield Block("Caution. ", answer["caution"], "  ")
    yield Block("", f"{answer['galena_g']:g} g of galena, roasted through", kind="title")
    for name, label in (
        ("lead_oxide_g", "lead oxide left"), ("lead_g", "lead in it"), ("oxygen_g", "oxygen taken up"),
        ("sulphur_dioxide_g", "sulphur dioxide given off"),
    ):  # fmt: skip
        yield Block("- ", f"{label}: {answer[name]:.2f} g", "  ", gap=False)
    yield from _notes(answer)


def _notes(answer: Answer) -> Iterator[Block]:
    yield Block("To know.", "")
    for note in answer["notes"]:
        yield Block("- ", note, "  ", gap=False)
