"""How an answer says a plain fact: `the slip inside is white (10YR 8/1)`."""

from collections.abc import Sequence
from typing import Final

from wareontology.graph.namespaces import TERM, local
from wareontology.graph.vocabulary import scheme
from wareontology.sherd.record import Row
from wareontology.technique.fact_store import RED_ON, SHERD_NODE, TO_NODES, Facts
from wareontology.technique.facts import COLOUR
from wareontology.technique.hypotheses import COLOURS, ZONES

WHERE: Final = {
    "interior": "inside",
    "exterior": "outside",
    "rim": "on the rim",
    "base": "on the base",
    "break": "in the broken edge",
    "inner-margin": "in the inner margin",
    "outer-margin": "in the outer margin",
}
REGION: Final = TERM + "region"
NOUN: Final = {"break": "broken edge", "inner-margin": "inner margin", "outer-margin": "outer margin"}


def layer_words(key: str) -> str:
    """A layer as an answer names it.

    >>> layer_words("slip"), layer_words("paint:line"), layer_words("paint:black")
    ('the slip', 'the paint line', 'the black paint')
    """
    layer, _, name = key.partition(":")
    if not name:
        return f"the {layer}"
    return f"the {name} {layer}" if name in COLOURS else f"the {layer} {name}"


def say(found: Facts, node: str, predicate: str, value: str) -> str:
    """One fact in plain words: the layer, the zones where it was seen, and what was seen."""
    rows = found.nodes.get(node, {}).get(predicate, {}).get(value, [])
    yes, _, no = found.book.facts[predicate].in_words.partition("|")
    layer = value if predicate == RED_ON else node
    text = (no if no and local(value) in ("no", "none") else yes).format(
        unit="the sherd" if layer == SHERD_NODE else layer_words(layer),
        where=where(rows),
        value=value_words(found, predicate, value, rows),
    )
    return " ".join(text.split())


def where(rows: Sequence[Row]) -> str:
    """The zones of some rows: `inside and outside`."""
    zones = {row.zone for row in rows}
    words = [WHERE[zone] for zone in ZONES if zone in zones]
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1] if words else ""


def value_words(found: Facts, predicate: str, value: str, rows: Sequence[Row] = ()) -> str:
    """A value in words; a colour adds the chips it was read as."""
    word = local(value)
    if predicate in TO_NODES:
        return layer_words(value)
    fact = found.book.facts[predicate]
    if fact.takes == REGION:
        return region_words(word)
    label = found.book.labels.get(value) or NOUN.get(word, word.replace("-", " "))
    if fact.column != "colour" and predicate != COLOUR:
        return label
    chips = sorted({cell.text for row in rows if (cell := row.colour()) is not None and cell.text != word})
    return f"{label} ({', '.join(chips)})" if chips else label


def region_words(notation: str) -> str:
    """A region as people write it; the notation itself where it is none of ours.

    >>> region_words("colorado-plateau")
    'Colorado Plateau'
    """
    regions = scheme("region")
    return regions[notation].label if notation in regions else notation


def why_blank(found: Facts, node: str, predicate: str, value: str | None) -> str:
    """Why a fact could not be judged: its doubt, or that it was not looked at."""
    doubts = found.doubts.get((node, predicate))
    if doubts:
        why = doubts.get(value or "") or doubts.get("")
        if why:
            return why
    fact = found.book.facts[predicate]
    return fact.if_blank.replace("{value}", value_words(found, predicate, value) if value else fact.label)
