"""The answer to a claim, for a person."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from wareontology.graph.vocabulary import scheme
from wareontology.technique.block import Block, lines
from wareontology.technique.phrases import listed, sentence, value_words, where_words
from wareontology.technique.words_for_odds import odds_words

Answer = Mapping[str, Any]
_QUESTION: Final = {
    "possible": "Can it give this look?",
    "sufficient": "Does it give it reliably?",
    "unique": "Do others not give it?",
}
_READING: Final = {
    "compatible": "it agrees with the claim",
    "doubtful": "another way is likelier than the claimed one",
    "against": "it speaks against the claim",
}
_IN_FULL: Final = 5
CAUTIONS: Final = (
    "Testing or collecting sherds needs the owner's leave and the law's. Mark replicas, tiles and wasters "
    "for good. Local codes and licensed practice decide on fires, lead and manganese."
)


def claim_text(answer: Answer, *, colour: bool = False, width: int = 88) -> str:
    """A judged claim in words: the verdicts, what is lacking, the rivals, what it rests on."""
    said = "\n".join(line for block in blocks(answer) for line in lines(block, colour, max(width, 40)))
    return said.lstrip("\n") + "\n"


def blocks(answer: Answer) -> Iterator[Block]:
    """The paragraphs, in the order they are read."""
    form = answer["claim"]
    writer = next(
        (one["name"] for one in form["person"] if one["key"] == form["writer"] and "name" in one), None
    )
    title = [f"Claim {form['id']}", form["ware"], f"by {writer or form['writer']}"]
    yield Block("", " · ".join(title), kind="title", gap=False)
    yield Block("", f"Claimed: {technique_words(form)}")
    for name, question in _QUESTION.items():
        found = answer["verdicts"][name]
        state = scheme("claim-state")[found["state"]].label
        yield Block(
            f"{question} ", f"{sentence(state)} {found['reason']}", "  ", "verdict", gap=name == "possible"
        )
    yield from _share(answer)
    yield from _gaps(answer["gaps"])
    yield from _rivals(answer)
    yield from _replicas(answer.get("replica") or ())
    yield from _learned(answer)
    yield Block("To know.", "")
    for note in (*answer["notes"], CAUTIONS):
        yield Block("- ", note, "  ", gap=False)


def technique_words(form: Mapping[str, Any]) -> str:
    """What is claimed, in words.

    >>> technique_words({"technique": {"atmosphere": ["reducing"], "ending": ["sealed"]}})
    'reducing, sealed from air.'
    """
    said = []
    for question, values in form["technique"].items():
        said.append(listed((value_words(question, value) for value in values), "or"))
    for one in form.get("layer", ()):
        if one.get("made_of"):
            name = f" “{one['name']}”" if "name" in one else ""
            zones = listed(where_words(zone) for zone in one.get("zones", ()))
            what = listed((value_words("paint", value) for value in one["made_of"]), "or")
            said.append(f"{one['layer']}{name} {zones} of {what}".replace("  ", " "))
    return ", ".join(said) + "."


def way_words(way: Mapping[str, Any]) -> str:
    """A fire and a paint in words.

    >>> way_words({"atmosphere": "reducing", "ending": "sealed", "paint": "organic"})
    'reducing, sealed from air, organic plant juice'
    """
    return ", ".join(
        value_words(question, way[question])
        for question in ("atmosphere", "ending", "paint")
        if way[question] is not None
    )


def _share(answer: Answer) -> Iterator[Block]:
    found = answer["share"]
    if found is not None:
        low, high = round(100 * found["low"]), round(100 * found["high"])
        text = (
            f"{found['came_out']} of {found['fired']} came out ({low} to {high} % at "
            f"{found['confidence']:.0%} confidence, taking pots as independent)."
        )
        yield Block("Counted. ", text)


def _gaps(gaps: Sequence[Mapping[str, Any]]) -> Iterator[Block]:
    yield Block("What it lacks.", "" if gaps else " Nothing that is looked for.")
    for gap in gaps:
        found = f" ({gap['found']})" if gap["found"] else ""
        where = "" if gap["where"] == "the claim" else f"{gap['where']}{found}: "
        whole = found if gap["where"] == "the claim" else ""
        yield Block("- ", f"{sentence(where + gap['sentence'][:-1] + whole)}", "  ", gap=False)


def _rivals(answer: Answer) -> Iterator[Block]:
    found = answer["claimed_odds"]
    if found is None:
        yield Block("What else would give it. ", "Not asked: no look is described.")
        return
    of = f"{found['sherds']} {'originals' if found['of'] == 'originals' else 'replicas'}"
    yield Block(
        "What else would give it. ",
        f"The reasoner, from {of}: the claimed fire and paint {odds_words(found['p'])}; with all fires "
        f"alike at the start {odds_words(found['flat'])}.",
    )
    for rival in answer["rivals"][:_IN_FULL]:
        odds = f"{odds_words(rival['p'])}, with fires alike {odds_words(rival['flat'])}"
        yield Block(
            "- ", f"{sentence(way_words(rival))[:-1]}: {odds}. {_test(rival['test'])}", "  ", gap=False
        )
    rest = len(answer["rivals"]) - _IN_FULL
    if rest > 0:
        yield Block("- ", f"{rest} more, each less likely.", "  ", gap=False)


def _test(test: Mapping[str, Any] | None) -> str:
    if test is None:
        return "No test that the owner's leave allows would tell them apart."
    harm = "" if test["destroys"] == "nothing" else f", destroys {test['destroys']}"
    leave = ", needs the owner's leave" if test["needs_leave"] else ""
    gain = f"about {test['gain_bits']:.1f} bit" if test["gain_bits"] >= 0.05 else "less than 0.1 bit"
    return (
        f"What would tell best: {_label(test)} ({test['sherd']}; {gain} if both were as likely{harm}{leave})."
    )


def _label(test: Mapping[str, Any]) -> str:
    label = str(test["label"])
    return label if label.startswith("pXRF") else label[0].lower() + label[1:]


def _replicas(found: Sequence[Mapping[str, Any]]) -> Iterator[Block]:
    if found:
        yield Block("The replica, asked as if nobody knew.", "")
    for one in found:
        text = (
            f"{one['sherd']}: {_READING[one['reading']]}. The claimed fire and paint "
            f"{odds_words(one['p'])}, the likeliest {way_words(one['likeliest'])}."
        )
        yield Block("- ", text, "  ", gap=False)
        for off in one["looks_off"]:
            where = f"{off['layer']} {where_words(off['zone'])}"
            seen = f"{off['trait']} of the {where} {off['replica']}, not {off['originals']}"
            text = f"It looks other than the originals: {seen}."
            yield Block("  ", text, "  ", gap=False)
        asked = listed(f"{_label(test)} ({test['where']})" for test in one["sceptic"])
        if asked:
            yield Block("  ", f"A sceptic would ask: {asked}.", "  ", gap=False)


def _learned(answer: Answer) -> Iterator[Block]:
    found = answer["learned"]
    yield Block("Who says so.", "" if found else " Nobody is named.")
    for one in found:
        grade = scheme("evidence-grade")[one["grade"]].label
        had = f", had from {', who learned from '.join(one['chain'])}" if one["chain"] else ""
        document = f" ({one['document']})" if one["document"] else ""
        text = f"{one['where']}: {grade}; {one['by'] or 'nobody named'}{had}{document}."
        yield Block("- ", text, "  ", gap=False)
    for pair in answer["taught"]:
        yield Block("- ", f"{pair['who']} learned from {pair['from']}.", "  ", gap=False)
