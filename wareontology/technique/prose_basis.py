"""What an answer rests on: all odds, what is usual, how firm it is, and the sources."""

from collections.abc import Iterator, Mapping
from typing import Any

from wareontology.technique.block import Block
from wareontology.technique.fact_words import region_words
from wareontology.technique.phrases import odds_list, question_words, sentence, unit_words, where_words
from wareontology.technique.words_for_odds import odds_words

Answer = Mapping[str, Any]


def odds(answer: Answer) -> Iterator[Block]:
    yield Block("Odds, here.", "")
    for question in ("atmosphere", "ending", "temperature", "space", "structure"):
        yield _odds_line(question_words(question), odds_list(question, answer[question]))
    for unit, materials in answer["materials"].items():
        yield _odds_line(unit_words(unit), odds_list(unit, materials))
    rich = answer["carbon"]["body"]["carbon-rich"]
    yield _odds_line("carbon in the body", f"rich {odds_words(rich)}")
    for zone, air in answer["air"].items():
        yield _odds_line(f"air {where_words(zone)} while it cooled", odds_list("air", air))


def _odds_line(name: str, said: str) -> Block:
    return Block("- ", f"{name}: {said}", "  ", gap=False)


def flat(answer: Answer) -> Iterator[Block]:
    found = answer["flat"]
    parts = [odds_list(question, found[question], 2) for question in ("atmosphere", "ending")]
    parts += [
        f"{unit_words(unit)} {odds_list(unit, families, 2)}" for unit, families in found["families"].items()
    ]
    yield Block("Under flat firings, the evidence apart from what is usual: ", "; ".join(parts) + ".")
    yield Block("What is usual. ", _usual(answer["priors"]), gap=False)
    robust = answer["robust"]
    if robust is None:
        yield Block("How firm. ", "The uncertain numbers were not drawn anew.", gap=False)
        return
    kept = ", ".join(f"{question_words(question)} {_share(share)}" for question, share in robust.items())
    text = f"Share of the draws of the uncertain numbers that keep the top answer: {kept}."
    yield Block("How firm. ", text, gap=False)


def _share(share: float) -> str:
    return "all" if share >= 0.995 else f"{share:.2f}"


def _usual(priors: Mapping[str, Any]) -> str:
    level = "the world" if priors["level"] == "world" else region_words(priors["level"])
    if not priors["region"]:
        asked = f"No region given, so the table of {level}"
    elif priors["region"] == priors["level"]:
        asked = f"Region {level}, with a table of its own"
    else:
        asked = f"Region {region_words(priors['region'])}, by the table of {level}"
    return (
        f"{asked}; white-firing clay there {priors['white_firing_clay']};"
        f" {priors['traditions']} tradition{'' if priors['traditions'] == 1 else 's'} counted."
        f" {sentence(priors['basis'])}"
    )


def numbers(answer: Answer) -> dict[str, int]:
    """A number for each source."""
    keys = dict.fromkeys(source["id"] for source in answer["sources"])
    return {key: number for number, key in enumerate(keys, start=1)}


def sources_cited(answer: Answer) -> Iterator[Block]:
    bases: dict[str, list[str]] = {}
    citations: dict[str, str] = {}
    for source in answer["sources"]:
        bases.setdefault(source["id"], []).append(source["basis"])
        citations[source["id"]] = source["citation"]
    if bases:
        how = "With judgement, a source gives the direction and the number is judged."
        yield Block("Sources. ", how, kind="quiet")
    for key, number in numbers(answer).items():
        lead = f"[{number}] "
        text = f"{citations[key]} ({', '.join(bases[key])})"
        yield Block(lead, text, " " * len(lead), kind="quiet", gap=False)
    yield Block("", f"{answer['software']}, data {answer['data_hash']}", kind="quiet", gap=not bases)
