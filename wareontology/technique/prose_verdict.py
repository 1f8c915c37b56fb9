"""The first sentences of an answer: what was probably done, and what is undecided, in the same weight."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from wareontology.technique.phrases import (
    MATERIAL,
    bands_words,
    odds_list,
    question_words,
    sentence,
    unit_words,
    value_words,
)
from wareontology.technique.words_for_odds import odds_words, ranked, together

Answer = Mapping[str, Any]

LIKELY: Final = 0.8
"""Several values are said together where together they are at least so likely."""
SETS: Final = {"atmosphere": ("reducing", "neutral"), "ending": ("sealed", "mouth-down")}
"""Values that mean something together: not fired in air, kept from air."""
LIKELY_FLAT: Final = 0.75
"""... and under flat firings at least so likely, so that the region alone cannot say it."""
NEARLY_CERTAIN: Final = 0.965

_FIRED: Final = {
    "oxidising": "fired in air",
    "neutral": "fired with next to no air",
    "reducing": "fired without air",
}
_COOLED: Final = {
    "in-air": "cooled in open air",
    "sealed": "cooled sealed from air",
    "mouth-down": "cooled mouth down, sealed inside and in air outside",
    "air-finish": "reduced, then given air while hot",
    "smudged": "smudged at the end",
}
_SHORT: Final = "its odds are below"
"""Start of the reason that the odds themselves show already."""


def verdict_sentences(answer: Answer) -> Iterator[str]:
    """The fire, the paints and how it cooled, a sentence each; then the rest, the undecided together."""
    verdict = answer["verdict"]
    yield _atmosphere(answer)
    layers = sorted(unit for unit in verdict if unit.partition(":")[0] in ("slip", "paint"))
    paints = [unit for unit in layers if unit.startswith("paint")]
    for unit in paints:
        yield from _applied(answer, unit)
        yield _unit(answer, unit)
    yield _ending(answer)
    rest = ["temperature", *(unit for unit in layers if unit not in paints), "body", "space"]
    open_ = [question for question in rest if verdict[question]["state"] == "undecided"]
    for question in rest:
        if question not in open_:
            yield _unit(answer, question) if question in answer["materials"] else _whole(answer, question)
    if open_:
        too = any(verdict[question]["state"] == "undecided" for question in verdict if question not in rest)
        likeliest = "; ".join(_likeliest(answer, question) for question in open_)
        yield f"Undecided{' too' if too else ''}: {likeliest}."


def why_undecided(answer: Answer) -> Iterator[str]:
    """Why the undecided are so, beyond their odds; a reason that several share is said once."""
    shared: dict[str, list[str]] = {}
    for question, verdict in answer["verdict"].items():
        if verdict["state"] == "undecided" and not _said_with_odds(answer, question):
            for reason in _lacks(verdict):
                shared.setdefault(reason, []).append(question_words(question))
    for reason, questions in shared.items():
        yield sentence(f"{', '.join(questions)}: {reason}")


def probably(p: float) -> str:
    """How sure a sentence may sound.

    >>> probably(0.85), probably(0.99)
    ('probably', 'almost certainly')
    """
    return "almost certainly" if p >= NEARLY_CERTAIN else "probably"


def _atmosphere(answer: Answer) -> str:
    verdict = answer["verdict"]["atmosphere"]
    if verdict["state"] == "decided":
        value, p = verdict["value"], verdict["p"]
        return sentence(f"{probably(p)} {_FIRED[value]}: {value}, {odds_words(p)}")
    p = _set(answer, "atmosphere")
    if p:
        first, second = (value for value, _ in ranked(answer["atmosphere"]) if value != "oxidising")
        return (
            f"Probably not fired in air: {first} or {second}, {odds_words(p)}. Which of the two is undecided."
        )
    return _undecided(answer, "atmosphere", "Whether it was fired in air", answer["atmosphere"])


def _ending(answer: Answer) -> str:
    verdict = answer["verdict"]["ending"]
    if verdict["state"] == "decided":
        return sentence(f"{probably(verdict['p'])} {_COOLED[verdict['value']]}, {odds_words(verdict['p'])}")
    p = _set(answer, "ending")
    if p:
        return (
            f"Probably kept from air while it cooled: sealed, or mouth down, {odds_words(p)}."
            " Which of the two is undecided."
        )
    return _undecided(answer, "ending", "How it cooled", answer["ending"])


def _whole(answer: Answer, question: str) -> str:
    """A decided question of the sherd that has no sentence of its own: the peak heat, the firing space."""
    verdict = answer["verdict"][question]
    value = f"{probably(verdict['p'])} {value_words(question, verdict['value'])}"
    return sentence(f"{question_words(question)} {value}, {odds_words(verdict['p'])}")


def _likeliest(answer: Answer, question: str) -> str:
    """An undecided question with its likeliest answer; of the peak heat the bands that hold most."""
    if question != "temperature":
        verdict = answer["verdict"][question]
        likely = f"{value_words(question, verdict['value'])} {odds_words(verdict['p'])}"
        return f"{question_words(question)} ({likely})"
    odds, (low, high) = answer["temperature"], answer["verdict"]["temperature"]["interval"]
    bands = list(odds)
    held = tuple(bands[bands.index(low) : bands.index(high) + 1])
    if len(held) == len(bands):
        return "peak heat (nothing seen narrows it)"
    return f"peak heat ({bands_words(low, high)} {odds_words(together(odds, held))})"


def _unit(answer: Answer, unit: str) -> str:
    verdict, words = answer["verdict"][unit], unit_words(unit)
    if verdict["state"] == "decided":
        value = verdict["value"]
        named = f"of the {MATERIAL[value]}" if value.endswith("-family") else MATERIAL[value]
        return sentence(f"{words} is {probably(verdict['p'])} {named}, {odds_words(verdict['p'])}")
    odds = answer["families"][unit] if unit in answer["families"] else answer["materials"][unit]
    return _undecided(answer, unit, f"What {words} is made of", odds)


def _applied(answer: Answer, unit: str) -> Iterator[str]:
    after = answer["applied"][unit]["after"]
    words = unit_words(unit)
    if after >= LIKELY:
        put_on = f"{words} was {probably(after)} put on after the firing, {odds_words(after)}"
        yield sentence(f"{put_on}: it says nothing of the fire")
    elif after > 1 - LIKELY:
        whether = f"Whether {words} was put on before or after the firing"
        yield f"{whether} is undecided: after, {odds_words(after)}."


def _undecided(answer: Answer, question: str, topic: str, odds: Mapping[str, float]) -> str:
    """The likelier answers; where the odds alone would do, what it lacks besides."""
    verdict = answer["verdict"][question]
    lacks = f", but {'; '.join(_lacks(verdict))}" if _said_with_odds(answer, question) else ""
    return f"{topic} is undecided: {odds_list(question, odds, 3)}{lacks}."


def _said_with_odds(answer: Answer, question: str) -> bool:
    """Whether the sentence of an undecided question says what it lacks: its odds alone would decide it."""
    own = question.startswith("paint") or (question in SETS and _set(answer, question) is None)
    return own and bool(answer["verdict"][question]["p"] >= LIKELY)


def _lacks(verdict: Mapping[str, Any]) -> list[str]:
    return [reason for reason in verdict["reason"].split("; ") if not reason.startswith(_SHORT)]


def _set(answer: Answer, question: str) -> float | None:
    """Probability of several values together where that may be said, else None."""
    values = SETS[question]
    p = together(answer[question], values)
    return p if p >= LIKELY and together(answer["flat"][question], values) >= LIKELY_FLAT else None
