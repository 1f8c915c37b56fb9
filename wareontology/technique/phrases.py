"""How an answer names values, layers and places: a choice of style, whose meaning is data/vocabulary.ttl."""

import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from wareontology.technique.fact_words import NOUN, WHERE, layer_words
from wareontology.technique.words_for_odds import odds_words, ranked

MATERIAL: Final = {
    "iron-family": "iron family",
    "manganese-family": "manganese family",
    "iron": "iron",
    "iron-organic": "iron in plant juice",
    "manganese": "manganese alone",
    "iron-manganese": "manganese with iron",
    "organic": "organic plant juice",
    "gloss": "iron gloss",
    "lead-copper-glaze": "lead-copper glaze paint",
    "alkaline-glaze": "alkaline glaze",
    "graphite": "graphite",
    "chromite": "chromite",
    "white-clay": "white clay",
    "carbonate-white": "carbonate white",
    "other-white": "another white",
    "white-firing": "clay that stays white in air",
    "light-firing": "light-firing clay",
    "calcareous": "calcareous clay",
    "red-firing": "red-firing clay",
    "self-slip": "the body's own clay",
    "salt-scum": "salt scum",
    "lime": "lime",
    "organic-coat": "organic coat",
}
ENDING: Final = {
    "in-air": "in open air",
    "sealed": "sealed from air",
    "mouth-down": "mouth down",
    "air-finish": "with an air finish",
    "smudged": "smudged",
}
SPACE: Final = {"one-space": "one space", "two-space": "two spaces"}
BANDS: Final = {
    "below-550": (None, 550),
    "550-700": (550, 700),
    "700-800": (700, 800),
    "800-900": (800, 900),
    "900-1000": (900, 1000),
    "above-1000": (1000, None),
}
QUESTION: Final = {
    "atmosphere": "atmosphere",
    "ending": "cooling",
    "temperature": "peak heat",
    "space": "firing space",
    "structure": "fired in",
}
_TURNS: Final = ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
LEAST: Final = 0.035
"""Values less likely than this are left out of a list of odds; the answer's data keep them."""


def value_words(question: str, value: str) -> str:
    """A value of a question as a person says it.

    >>> value_words("temperature", "550-700"), value_words("paint:line", "iron-manganese")
    ('550 to 700 °C', 'manganese with iron')
    """
    if question == "temperature":
        return bands_words(value, value)
    if question == "ending":
        return ENDING[value]
    if question == "space":
        return SPACE[value]
    if question in ("atmosphere", "structure", "air"):
        return value.replace("-", " ")
    return MATERIAL[value]


def answer_words(question: str, value: str) -> str:
    """A value with what it answers, for a list of several.

    >>> answer_words("atmosphere", "oxidising"), answer_words("slip", "red-firing")
    ('an oxidising fire', 'red-firing clay for the slip')
    """
    words = value_words(question, value)
    if question == "atmosphere":
        return f"{'an' if words[0] in 'aeiou' else 'a'} {words} fire"
    if question == "ending":
        return f"cooling {words}"
    if question == "temperature":
        return f"a peak heat of {words}"
    return words if question == "space" else f"{words} for {unit_words(question)}"


def bands_words(low: str, high: str) -> str:
    """A run of temperature bands.

    >>> bands_words("550-700", "800-900"), bands_words("below-550", "700-800")
    ('550 to 900 °C', 'below 800 °C')
    """
    start, end = BANDS[low][0], BANDS[high][1]
    if start is None:
        return f"below {end} °C" if end is not None else "any heat"
    return f"above {start} °C" if end is None else f"{start} to {end} °C"


def odds_list(question: str, odds: Mapping[str, float], most: int = 13) -> str:
    """The likelier values of a question with their odds.

    >>> odds_list("atmosphere", {"oxidising": 0.01, "neutral": 0.09, "reducing": 0.9})
    'reducing about 9 in 10, neutral about 1 in 10'
    """
    likely = [pair for pair in ranked(odds) if pair[1] >= LEAST][:most]
    return ", ".join(f"{value_words(question, value)} {odds_words(p)}" for value, p in likely)


def question_words(question: str) -> str:
    """A question, or the layer it asks about.

    >>> question_words("ending"), question_words("slip:coat")
    ('cooling', 'the slip coat')
    """
    return QUESTION.get(question) or unit_words(question)


def unit_words(unit: str) -> str:
    """A layer, or the sherd as a whole.

    >>> unit_words("paint:black"), unit_words("sherd")
    ('the black paint', 'the sherd')
    """
    return "the sherd" if unit == "sherd" else layer_words(unit)


def where_words(zone: str) -> str:
    """A zone as a place.

    >>> where_words("interior"), where_words("break")
    ('inside', 'in the broken edge')
    """
    return WHERE.get(zone, zone)


def zone_words(zone: str) -> str:
    """A zone as a thing.

    >>> zone_words("break")
    'broken edge'
    """
    return NOUN.get(zone, zone)


def listed(parts: Iterable[str], last: str = "and") -> str:
    """Parts in a row of words.

    >>> listed(["black", "brown", "red"], "or")
    'black, brown or red'
    """
    words = list(parts)
    return f" {last} ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def sentence(text: str) -> str:
    """Text with a capital at its start and a stop at its end.

    >>> sentence("the slip is white"), sentence("pXRF: lead well above the ground")
    ('The slip is white.', 'pXRF: lead well above the ground.')
    """
    if not text:
        return ""
    first = text if text.startswith("pXRF") else text[0].upper() + text[1:]
    return first if first[-1] in ".?:" else first + "."


def rows_words(rows: Sequence[int]) -> str:
    """Rows of a table; empty where there was no table.

    >>> rows_words([4, 3]), rows_words([0])
    ('rows 3 and 4', '')
    """
    known = [str(row) for row in sorted(set(rows)) if row]
    return f"{'rows' if len(known) > 1 else 'row'} {listed(known)}" if known else ""


def printable(text: str) -> str:
    """Text without characters that could move a cursor or recolour a terminal; tabs and breaks become spaces.

    >>> printable("K-14\\x1b[31m")
    'K-14\ufffd[31m'
    """
    return "".join(" " if char in "\t\n\r" else "\ufffd" if _moves(char) else char for char in text)


def _moves(char: str) -> bool:
    """Control characters, halves of a pair, and marks that turn the direction of writing."""
    return unicodedata.category(char) in ("Cc", "Cs") or unicodedata.bidirectional(char) in _TURNS
