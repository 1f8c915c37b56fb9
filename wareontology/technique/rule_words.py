"""A rule for a person: what it needs, what follows, what excepts it, and what it rests on."""

import textwrap
from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches
from typing import Any, Final

from wareontology.graph.sources import sources
from wareontology.technique.fact_words import region_words
from wareontology.technique.phrases import sentence
from wareontology.technique.rule_record import in_words

_KIND: Final = {"implies": "So", "excludes": "So", "cautions": "Caution"}


def rule_text(rule: Mapping[str, Any], width: int = 88) -> str:
    """A rule as `rules.rules_list` or, in full, `rules.explain` gives it.

    >>> from wareontology.technique.rules import explain
    >>> print(rule_text(explain("Below550FromSlaking")).splitlines()[0])
    Below550FromSlakingRule
    """
    lines = [rule["rule"]]
    for line in _said(rule):
        lines += textwrap.wrap(
            line, width, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False
        )
    return "\n".join(lines)


def nearest_rule(name: str, listed: Iterable[Mapping[str, Any]]) -> str:
    """Rules named or labelled most like a name, in words.

    >>> from wareontology.technique.rules import rules_list
    >>> nearest_rule("mouth down", rules_list())
    'MouthDownFromRedOutsideBlackInsideRule'
    """
    names = {_key(rule[key]): str(rule["rule"]) for rule in listed for key in ("rule", "label")}
    near = [names[one] for one in names if _key(name) in one]
    near = near or [names[one] for one in get_close_matches(_key(name), names, n=3, cutoff=0.5)]
    return " or ".join(dict.fromkeys(near)) or "a name that `wareontology rules` lists"


def _key(text: str) -> str:
    return "".join(filter(str.isalnum, text.casefold()))


def _said(rule: Mapping[str, Any]) -> Iterator[str]:
    yield sentence(rule["label"])
    if rule.get("premises"):
        yield f"Seen: {'; '.join(rule['premises'])}."
    if rule.get("looked"):
        yield f"Looked: {'; '.join(rule['looked'])}."
    yield f"{_KIND[rule['kind']]}: {rule.get('so') or rule['concludes']}."
    if rule["exceptions"]:
        yield f"Unless: {'; '.join(rule['exceptions'])}."
    if rule.get("why"):
        yield f"Why: {sentence(rule['why'])}"
    if rule.get("example"):
        yield f"Example, invented: {sentence(rule['example'])}"
    if rule["region"]:
        yield f"Region: {region_words(rule['region'])}."
    source = rule["source"]
    yield f"Basis: {rule['basis']}{f', {sources().get(source, source)}' if source else ''}."
    record = rule["record"]
    if record is None:
        yield "Record: none; a caution concludes nothing that could fail."
        return
    yield f"Record: {in_words(record)}"
    if record["traditions"]:
        held = sorted(set(record["traditions"]) - set(record["failed"]))
        low, high = record["interval"]
        yield f"Held: {', '.join(held) or 'none'}. Failed: {', '.join(record['failed']) or 'none'}."
        yield f"By region: {_by_region(record['by_region'])}."
        yield f"Share that held: {low:.2f} to {high:.2f} (Wilson, 95 %)."
    if record["bare"] and record["bare"]["by_region"]:
        yield f"Without looking for what must be absent: {_by_region(record['bare']['by_region'])}."
    yield "A rule was written from wares like these: its record is no independent test of it."


def _by_region(counts: Mapping[str, Mapping[str, int]]) -> str:
    return "; ".join(
        f"{region_words(region)} {one['holds']} of {one['holds'] + one['fails']}"
        for region, one in counts.items()
    )
