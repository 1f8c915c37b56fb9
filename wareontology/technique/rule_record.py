"""The record of each rule, as shipped: where it held and failed among the published traditions.

`technique.count_rules` makes it; reading it costs an answer nothing.
"""

import json
from collections.abc import Mapping
from functools import cache
from typing import Any, Final, TypeAlias

from wareontology.graph.vocabulary import region_path
from wareontology.paths import data

FILE: Final = "rule_records.json"
Record: TypeAlias = Mapping[str, Any]


@cache
def shipped() -> Mapping[str, dict[str, Any] | None]:
    """Rule to its record; None for a caution, of which there is nothing to hold.

    >>> sorted(shipped()["NotOxidisingFromWhiteSlipRule"])
    ['bare', 'by_region', 'failed', 'fails', 'holds', 'interval', 'traditions']
    """
    found: dict[str, dict[str, Any] | None] = json.loads(data(FILE).read_text(encoding="utf-8"))
    return found


def in_words(record: Record | None, region: str | None = None) -> str | None:
    """How a rule fared, here and elsewhere where a region is named; None where there is no record.

    Here is the nearest region around the sherd in which the rule was tried on any ware. Where it wants
    something looked for and absent, also how it fares without that.

    >>> tried = {"holds": 4, "fails": 1, "interval": [0.38, 0.96], "traditions": [], "failed": []}
    >>> by_region = {"aegean": {"holds": 0, "fails": 1}, "colorado-plateau": {"holds": 4, "fails": 0}}
    >>> in_words({**tried, "by_region": by_region}, "colorado-plateau")
    'The rule held for 4 of 4 published wares here, 0 of 1 elsewhere.'
    """
    if record is None:
        return None
    said = _fared(record, region)
    bare = record.get("bare")
    if bare and bare["holds"] + bare["fails"] > record["holds"] + record["fails"]:
        said += f" Without looking for what must be absent: {_counted(bare, region)}."
    return said


def _fared(record: Record, region: str | None) -> str:
    if not record["holds"] + record["fails"]:
        return "No published ware states enough to try the rule on."
    return f"The rule held for {_counted(record, region)}."


def _counted(record: Record, region: str | None) -> str:
    total = record["holds"] + record["fails"]
    here = _here(record["by_region"], region) if region is not None else None
    if here is None:
        return f"{record['holds']} of {_wares(total)}"
    holds, tried = here
    if tried == total:
        return f"{holds} of {_wares(tried)} here, none tried elsewhere"
    return f"{holds} of {_wares(tried)} here, {record['holds'] - holds} of {total - tried} elsewhere"


def _wares(number: int) -> str:
    return f"{number} published ware{'' if number == 1 else 's'}"


def _here(by_region: Mapping[str, Mapping[str, int]], region: str) -> tuple[int, int] | None:
    """Held and tried in the nearest region around a sherd that has any; None where only the world has."""
    for wider in region_path(region):
        if wider == "world":
            return None
        within = [counts for name, counts in by_region.items() if wider in region_path(name)]
        if within:
            holds = sum(counts["holds"] for counts in within)
            return holds, holds + sum(counts["fails"] for counts in within)
    return None
