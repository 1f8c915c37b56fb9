"""A plan for a look, for a person: the ranked pairs, why others fell out, the tiles and the steps."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from wareontology.firing.plan_fields import BY_NAME, UNITS
from wareontology.replica.plan import pair_words
from wareontology.report.claim_prose import way_words
from wareontology.technique.block import Block, lines
from wareontology.technique.phrases import listed, sentence, value_words
from wareontology.technique.words_for_odds import odds_words

Answer = Mapping[str, Any]
_CAUSES: Final = 3
_UNSURE: Final = 0.5
"""Width of a chance's spread from which on it is said that the laws decide it."""


def plan_text(answers: Sequence[Answer], *, colour: bool = False, width: int = 88) -> str:
    """The answers of `plan` in words, one after another."""
    said = []
    for answer in answers:
        text = "\n".join(line for block in blocks(answer) for line in lines(block, colour, max(width, 40)))
        said.append(text.lstrip("\n"))
    return "\n\n".join(said) + "\n"


def blocks(answer: Answer) -> Iterator[Block]:
    """The paragraphs of one answer, in the order they are read."""
    yield Block("", f"Plan for {answer['look']['name']}: {look_words(answer)}", kind="title", gap=False)
    limits = limit_words(answer["limits"])
    yield Block("Within: ", f"{limits}." if limits else "no limits given.")
    plans = answer["plans"]
    if not plans:
        yield Block("", "Nothing that was tried gives this look.", kind="verdict")
    for plan in plans:
        yield from _plan(plan)
    yield from _fell_out(answer)
    if plans:
        yield from _first(plans[0])
    yield Block("To know.", "")
    for note in (*answer["notes"], *answer["cautions"]):
        yield Block("- ", note, "  ", gap=False)


def look_words(answer: Answer) -> str:
    """What is wanted, in words.

    >>> wanted = [{"unit": "slip", "side": side, "words": ["white"]} for side in ("inside", "outside")]
    >>> look_words({"look": {"wanted": wanted}})
    'slip white inside and outside'
    """
    sides: dict[tuple[str, str], list[str]] = {}
    for one in answer["look"]["wanted"]:
        key = one["unit"].replace(":", " "), listed(one["words"], "or")
        sides.setdefault(key, []).append(one["side"])
    return "; ".join(f"{unit} {words} {listed(where)}" for (unit, words), where in sides.items())


def limit_words(limits: Answer) -> str:
    """The limits, in words.

    >>> limit_words({"no_kiln": True, "reach": "local", "of": ["iron"], "fuels": [], "without": ["dung"],
    ...     "altitude_m": 0, "hot": False, "own": []})
    'no kiln feature, paint of iron, local materials, without dung'
    """
    reach = {
        "local": "local",
        "traded": "local and traded",
        "modern": "local, traded and modern",
    }
    said = ["no kiln feature"] if limits["no_kiln"] else []
    said += (
        [f"paint of {listed((value_words('paint', one) for one in limits['of']), 'or')}"]
        if limits["of"]
        else []
    )
    said.append(f"{reach[limits['reach']]} materials")
    said += [f"fuel {listed(limits['fuels'], 'or')}"] if limits["fuels"] else []
    said += [f"without {listed(limits['without'])}"] if limits["without"] else []
    said += [f"{limits['altitude_m']:g} m above the sea"] if limits["altitude_m"] else []
    said += ["may be opened hot"] if limits["hot"] else []
    said += [f"{len(limits['own'])} own numbers"] if limits["own"] else []
    return ", ".join(said)


def firing_words(plan: Answer) -> str:
    """A plan's firing in words: structure, end, and what its plan gives."""
    firing = plan["firing"]
    given = [
        _given(one)
        for one in firing["values"]
        if one["name"] not in ("top_by", "altitude_m") and one["value"] != 0
    ]
    return f"{pair_words(firing['structure'], firing['procedure'])} ({', '.join(given)})"


def _given(one: Answer) -> str:
    field = BY_NAME[one["section"], one["name"]]
    if not field.is_number:
        return f"{one['section']} {one['value']}"
    return f"{field.stem.replace('_', ' ')} {one['value']:g} {UNITS.get(field.unit, '')}".rstrip()


def recipe_words(plan: Answer) -> str:
    """Its recipes in words, parts by weight."""
    said = []
    for unit, made in plan["recipe"].items():
        parts = " to ".join(f"{part:g} {name}" for name, part in made["parts"].items())
        said.append(
            f"{unit.replace(':', ' ')}: {made['label']}" + (f" ({parts})" if len(made["parts"]) > 1 else "")
        )
    return "; ".join(said)


def chance_words(plan: Answer) -> str:
    """Its chance in words, with its spread."""
    low, high = plan["chance_low"], plan["chance_high"]
    wide = ": what is not known of the laws decides" if high - low > _UNSURE else ""
    return f"{odds_words(plan['chance'])} ({low:.1f} to {high:.1f}{wide})"


def _plan(plan: Answer) -> Iterator[Block]:
    yield Block(f"{plan['rank']}. ", sentence(firing_words(plan)), "   ", "verdict")
    yield Block("   ", sentence(recipe_words(plan)), "   ", gap=False)
    yield Block("   Chance of the look: ", f"{chance_words(plan)}.", "   ", gap=False)
    worst = min(plan["wanted"], key=lambda one: one["share"])
    yield Block(
        "   Weakest: ",
        f"{worst['unit'].replace(':', ' ')} {worst['side']} {listed(worst['words'], 'or')} in"
        f" {100 * worst['share']:.0f} of 100; soft (under-fired) in"
        f" {100 * plan['under_fired_share']['value']:.0f} of 100.",
        "   ", gap=False,
    )  # fmt: skip
    causes = [one["words"] for one in plan["causes"][:_CAUSES]]
    if causes:
        yield Block("   What decides it: ", f"{listed(causes)}.", "   ", gap=False)
    yield Block("   The ground would show: ", " ".join(plan["ground"]), "   ", gap=False)
    yield Block("   If it comes out: ", remains_words(plan), "   ", gap=False)
    for made in plan["recipe"].values():
        for note in made["notes"]:
            yield Block("   ", note, "   ", gap=False)


def remains_words(plan: Answer) -> str:
    """What remains of the evidence for the technique once the plan has given the look."""
    found = plan["remains"]
    said = f"by its look alone a pot is read as fired and painted so {_chance(found['p'])}."
    if found["rivals"]:
        others = [f"{way_words(one)} ({_chance(max(one['p'], one['flat']))})" for one in found["rivals"]]
        said += f" Still giving the look: {'; '.join(others)}."
        test = next((one["test"] for one in found["rivals"] if one["test"]), None)
        said += f" To tell them apart: {test['label']}." if test else ""
    return said


def _chance(p: float) -> str:
    return odds_words(p)


def _fell_out(answer: Answer) -> Iterator[Block]:
    yield Block("Why others fell out.", "")
    for text in fell_out(answer):
        yield Block("- ", text, "  ", gap=False)


def fell_out(answer: Answer) -> Iterator[str]:
    """Why firings and recipes fell out, a sentence a reason, and what is less likely."""
    by_reason: dict[str, list[str]] = {}
    for one in answer["firings"]:
        if one["why"]:
            what = pair_words(one["structure"], one["procedure"])
            by_reason.setdefault(one["why"], []).append(what)
    for one in answer["recipes"]:
        if one["why"]:
            by_reason.setdefault(one["why"], []).append(one["label"])
    for why, which in by_reason.items():
        yield sentence(f"{'; '.join(which)}: {why}".rstrip("."))
    ranked = {(one["firing"]["structure"], one["firing"]["procedure"]) for one in answer["plans"]}
    rest = [
        f"{pair_words(one['structure'], one['procedure'])} ({_chance(one['chance'])})"
        for one in answer["firings"]
        if not one["why"] and (one["structure"], one["procedure"]) not in ranked
    ]
    if rest:
        yield f"Less likely, usual numbers alone tried: {'; '.join(rest)}."
    used = {made["key"] for plan in answer["plans"] for made in plan["recipe"].values()}
    others = [
        f"{one['label']} ({_chance(one['chance'])}: {pair_words(*one['firing'])})"
        for one in answer["recipes"]
        if not one["why"] and one["recipe"] not in used
    ]
    if others:
        yield f"Other recipes, each in its best fire: {'; '.join(others)}."


def _first(plan: Answer) -> Iterator[Block]:
    yield Block("Tiles first.", "")
    for number, step in enumerate(plan["tiles"], 1):
        yield Block(f"{number}. ", f"{step['title']}. {step['do']} Until: {step['until']}.", "   ", gap=False)
    yield Block("Then fire plan 1.", "")
    for number, step in enumerate(plan["steps"], 1):
        yield Block(f"{number}. ", f"{step['title']}. {step['do']} Until: {step['until']}.", "   ", gap=False)
    for warning in plan["warnings"]:
        yield Block("! ", warning, "  ", gap=False)
