"""What a reader of an answer must mind: law, leave and harm. Local codes and licensed practice decide."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

Answer = Mapping[str, Any]

LIKELY_ENOUGH: Final = 0.1
"""A paint this likely to hold lead or manganese is handled as if it did; judgement, on the safe side."""


def cautions(answer: Answer) -> Iterator[str]:
    """The cautions that fit this answer, each a sentence or two. Common practice."""
    paints = [odds for unit, odds in answer["materials"].items() if unit.startswith("paint")]
    lead = any(odds["lead-copper-glaze"] >= LIKELY_ENOUGH for odds in paints)
    manganese = any(odds["manganese"] + odds["iron-manganese"] >= LIKELY_ENOUGH for odds in paints)
    tests = answer["next_tests"]
    if lead:
        yield (
            "The paint may hold lead: do not scrape, sand or lick it, and wash hands after it."
            " Refired, it gives off lead fume. Such ware, and a replica with such paint, is never for food."
        )
    if manganese:
        yield "The paint may hold manganese: its dust and fume harm the nerves, so do not grind or sand it."
    if any(test["needs_leave"] for test in tests):
        yield (
            "The sherd belongs to someone. Refiring, acid, pXRF, rubbing and sampling need the owner's leave,"
            " and in many places the law's; local codes and licensed practice decide."
        )
