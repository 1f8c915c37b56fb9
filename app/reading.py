"""A sherd read: its answer, and the same in parts that a page can set."""

import json
from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from threading import Lock
from typing import Any, Final

from wareontology.app.zones import chips, zones
from wareontology.sherd.json_rows import objects
from wareontology.sherd.jsonld import from_jsonld, to_jsonld
from wareontology.sherd.record import Sherd

Answer = Mapping[str, Any]

DRAWS: Final = 200
MARKS: Final = {
    "oxidising": "oxidising", "neutral": "neutral", "reducing": "reducing",
    "iron": "iron", "iron-organic": "iron", "gloss": "iron", "iron-family": "iron",
    "manganese": "manganese", "iron-manganese": "manganese", "manganese-family": "manganese",
    "organic": "organic", "lead-copper-glaze": "glaze", "alkaline-glaze": "glaze",
}  # fmt: skip
"""The colour a value's bar is set in, beside its words."""
_KEPT: Final = 128
_cache: "OrderedDict[tuple[str, int], dict[str, Any]]" = OrderedDict()
_lock = Lock()


@dataclass(frozen=True, slots=True)
class Bar:
    """One value of a question: its odds here and under flat firings, the spread of its draws, in words too.

    mark: the colour it is set in, a class of page.css; None for plain ink.
    """

    words: str
    said: str
    p: float
    flat: float | None
    low: float | None
    high: float | None
    mark: str | None


@dataclass(frozen=True, slots=True)
class Question:
    """One question of the answer with its verdict and its likelier values."""

    key: str
    words: str
    decided: bool | None
    """None for a finer look at a question that has its verdict already."""
    reason: str
    robust: float | None
    bars: tuple[Bar, ...]
    left: int
    """How many less likely values are not drawn."""


@dataclass(frozen=True, slots=True)
class Told:
    """An answer's prose in parts, each a tuple of paragraphs (lead, text) but for what is said otherwise."""

    title: str
    verdict: str
    why: str
    notes: tuple[str, ...]
    steps: tuple[Any, ...]
    not_applied: tuple[str, ...]
    flips: tuple[str, ...]
    conflict: tuple[str, ...]
    tests: tuple[str, ...]
    not_looked: str
    flat: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]
    sources: tuple[tuple[int, str, str], ...]
    data: str


def record(sherd: Sherd) -> str:
    """A sherd as the JSON-LD text that a form carries along.

    >>> record(sherd('{"sherd": "K-14", "rows": [{"zone": "rim", "layer": "slip", "colour": "white"}]}'))[:50]
    '{"@context": "https://wareontology.example/sherd.j'
    """
    return json.dumps(to_jsonld(sherd), ensure_ascii=False)


def sherd(text: str, name: str = "the record") -> Sherd:
    """The sherd that `record` wrote down. Raises Unreadable or BreaksShape where it is none."""
    (found,) = objects(text, name)[:1]
    return from_jsonld(found, name)


def answered(sherd: Sherd, draws: int = DRAWS) -> dict[str, Any]:
    """The answer as `wareontology infer --json` gives it; the last ones are kept."""
    return dict(_kept(sherd, draws)["answer"])


def shown(sherd: Sherd, answer: Answer | None = None, draws: int = DRAWS) -> dict[str, Any]:
    """What templates/answer/page.html is given for a sherd, with its answer or one that was kept."""
    kept = _kept(sherd, draws)
    answer = kept["answer"] if answer is None else answer
    return {
        "sherd": sherd,
        "answer": answer,
        "told": told(answer, sherd),
        "questions": questions(answer, kept["spread"]),
        "zones": zones(sherd, answer),
        "chips": chips(sherd),
        "record": record(sherd),
        "form": sherd.word("form"),
    }


def questions(answer: Answer, spread: Mapping[str, Mapping[str, tuple[float, float]]]) -> list[Question]:
    """The questions of an answer, those of the fire first, each with the bars of its likelier values."""
    layers = [key for key in answer["materials"] if key != "body"]
    paints = [key for key in layers if key in answer["families"]]
    order = ["atmosphere", "ending", *paints, *(key for key in layers if key not in paints), "body"]
    found = [_question(answer, spread, key) for key in [*order, "temperature", "space"]]
    return found + [_question(answer, spread, key, finer=True) for key in paints]


def told(answer: Answer, sherd: Sherd) -> Told:
    """The library's prose in parts. Row numbers are left out: a page has no rows."""
    from wareontology.technique.cautions import cautions
    from wareontology.technique.prose import parts
    from wareontology.technique.prose_basis import numbers
    from wareontology.technique.prose_verdict import verdict_sentences, why_undecided
    from wareontology.technique.steps import steps

    found = parts(_without_rows(answer), sherd)
    cited = {source["id"]: source["citation"] for source in answer["sources"]}
    bases: dict[str, list[str]] = {}
    for source in answer["sources"]:
        bases.setdefault(source["id"], []).append(source["basis"])
    return Told(
        title=found["verdict"][0].text,
        verdict=" ".join(verdict_sentences(answer)),
        why=" ".join(why_undecided(answer)),
        notes=tuple(answer["notes"]),
        steps=tuple(steps(answer)),
        not_applied=_items(found["not_applied"]),
        flips=_items(found["flips"]),
        conflict=_items(found["conflict"]),
        tests=_items(found["next"]),
        not_looked=" ".join(block.text for block in found["not_looked"]),
        flat=tuple((block.lead, block.text) for block in found["flat"]),
        cautions=tuple(cautions(answer)),
        sources=tuple((number, cited[key], ", ".join(bases[key])) for key, number in numbers(answer).items()),
        data=f"{answer['software']}, data {answer['data_hash']}",
    )


def _kept(sherd: Sherd, draws: int) -> dict[str, Any]:
    from wareontology.technique.answer import answer, data_hash
    from wareontology.technique.case import Case
    from wareontology.technique.spread import spread_of

    rows = [row.number for row in sherd.rows]
    key = (f"{data_hash()} {rows} {record(sherd)}", draws)
    with _lock:
        found = _cache.get(key)
        if found is not None:
            _cache.move_to_end(key)
            return found
    drawn = Case.of(sherd, draws) if draws else None
    given = answer(sherd, draws=draws, drawn=drawn)
    found = {"answer": given, "spread": spread_of(drawn) if drawn is not None else {}}
    with _lock:
        _cache[key] = found
        while len(_cache) > _KEPT:
            _cache.popitem(last=False)
    return found


def _question(
    answer: Answer, spread: Mapping[str, Mapping[str, tuple[float, float]]], key: str, finer: bool = False
) -> Question:
    """One question; of a paint its family, or finer which material."""
    from wareontology.technique.phrases import LEAST, question_words, value_words
    from wareontology.technique.words_for_odds import odds_words, ranked

    here, flat = _odds(answer, key, finer), _odds(answer["flat"], key, finer)
    order = ranked(here) if key != "temperature" else list(here.items())
    bars = []
    for value, p in order:
        if p < LEAST:
            continue
        low, high = spread.get(key, {}).get(value, (None, None))
        bars.append(
            Bar(value_words(key, value), odds_words(p), p, flat.get(value), low, high, MARKS.get(value))
        )
    verdict = answer["verdict"][key]
    decided = None if finer else verdict["state"] == "decided"
    robust = answer["robust"][key] if answer["robust"] else None
    words = f"{question_words(key)}, its material" if finer else question_words(key)
    return Question(key, words, decided, verdict["reason"], robust, tuple(bars), len(here) - len(bars))


def _odds(answer: Answer, key: str, finer: bool) -> Mapping[str, float]:
    if key in ("atmosphere", "ending", "temperature", "space"):
        return answer[key]  # type: ignore[no-any-return]
    if key in answer["families"] and not finer:
        return answer["families"][key]  # type: ignore[no-any-return]
    return answer["materials"][key]  # type: ignore[no-any-return]


def _items(blocks: Sequence[Any]) -> tuple[str, ...]:
    """The text of each item of a list; a heading on its own is the template's to set."""
    return tuple(block.text for block in blocks if block.text)


def _without_rows(answer: Answer) -> dict[str, Any]:
    conflict = answer["conflict"]
    return {
        **answer,
        "flips": [{**flip, "row": {**flip["row"], "number": 0}} for flip in answer["flips"]],
        "conflict": {**conflict, "items": [{**item, "rows": []} for item in conflict["items"]]},
    }
