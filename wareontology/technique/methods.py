"""A paragraph on method for a report: what was read with what, under which settings, resting on what."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any, Final

from wareontology.sherd.record import Sherd
from wareontology.technique.verdict import DECIDED, ROBUST

Answer = Mapping[str, Any]

QUESTIONS: Final = ("atmosphere", "ending", "temperature", "space")


def methods(answered: Sequence[tuple[Sherd, Answer]], draws: int, engine: str) -> dict[str, Any]:
    """What a report must say of how a lot was read, as data.

    Raises ValueError for an empty lot.
    """
    if not answered:
        raise ValueError("found no sherd answered; would do: 1 or more")
    answers = [answer for _, answer in answered]
    cited = {source["id"]: source["citation"] for answer in answers for source in answer["sources"]}
    decided = {
        question: sum(answer["verdict"][question]["state"] == "decided" for answer in answers)
        for question in QUESTIONS
    }
    return {
        "software": answers[0]["software"],
        "data_hash": answers[0]["data_hash"],
        "draws": draws,
        "engine": engine,
        "sherds": len({sherd.sherd for sherd, _ in answered}),
        "observers": sorted({sherd.observer for sherd, _ in answered if sherd.observer}),
        "records": len(answered),
        "regions": dict(Counter(sherd.region or "not said" for sherd, _ in answered)),
        "priors": sorted({f"{answer['priors']['table']}, {answer['priors']['level']}" for answer in answers}),
        "decided": decided,
        "rules_fired": len({finding["rule"] for answer in answers for finding in answer["findings"]}),
        "in_conflict": sum(bool(answer["conflict"]["items"]) for answer in answers),
        "bases": dict(Counter(source["basis"] for answer in answers for source in answer["sources"])),
        "sources": dict(sorted(cited.items())),
    }


def paragraph(found: Mapping[str, Any]) -> str:
    """The same in sentences, sources below, to be pasted into a report."""
    regions = ", ".join(f"{region} ({number})" for region, number in found["regions"].items())
    observers = f" by {', '.join(found['observers'])}" if found["observers"] else ""
    decided = ", ".join(f"{question} for {number}" for question, number in found["decided"].items())
    engine = "its own evaluator" if found["engine"] == "fast" else "pySHACL"
    text = (
        f"{_count(found['sherds'], 'sherd')} ({_count(found['records'], 'record')}{observers};"
        f" region: {regions}) were read with {found['software']}, data {found['data_hash']}."
        f" Rules were run by {engine}; {found['rules_fired']} of them fired."
        " The odds are exact posteriors of a network of atmosphere, ending, temperature, clays and paints,"
        f" under regional priors ({'; '.join(found['priors'])}). {_draws(found['draws'])}"
        f" A question counts as decided at {DECIDED:.2f} or more{_firm(found['draws'])}, and where the"
        f" evidence moved it; of {_count(found['records'], 'record')}: {decided}."
        f" {_count(found['in_conflict'], 'record')} held traits in conflict with the rest. Most likelihoods"
        " are judged, not measured: the order of the odds is meant, not their second figure. Nothing here is"
        " a verdict on price, rarity or authenticity."
    )
    sources = "\n".join(f"- {citation}" for citation in found["sources"].values())
    return f"{text}\n\nSources behind rules and numbers:\n{sources}\n" if sources else text + "\n"


def _firm(draws: int) -> str:
    return f", kept in {ROBUST:.2f} of the draws" if draws else ""


def _draws(draws: int) -> str:
    if draws == 0:
        return "How firm they are under other values of the judged numbers was not tried."
    return f"How firm they are was tried with {draws} common draws of the judged numbers."


def _count(number: int, noun: str) -> str:
    return f"{number:,} {noun}{'' if number == 1 else 's'}"
