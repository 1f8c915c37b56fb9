"""A report on a claim: what was seen, tried, compared and claimed, and what it rests on."""

import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from wareontology.errors import BreaksShape
from wareontology.graph.namespaces import DCTERMS, PROV, RDF, RDFS
from wareontology.replica.claim_fields import FIELD
from wareontology.replica.claim_read import Claim
from wareontology.replica.materials import materials
from wareontology.report.claim_prose import blocks
from wareontology.report.compare import tables
from wareontology.report.compare_prose import trait_words
from wareontology.report.document import Document, Figure, Part, Read, Section, Table
from wareontology.report.figures import interval, patches
from wareontology.report.sherd_document import Photo, chips, made_from, seen
from wareontology.technique.block import Block
from wareontology.technique.limits import limits
from wareontology.technique.phrases import sentence

Answer = Mapping[str, Any]
_MOST: Final = 12
"""Sherds of each group set out in full."""


def claim_document(
    claim: Claim, answer: Answer, files: Sequence[Read], photos: Sequence[Photo] = ()
) -> Document:
    """The report on a judged claim. files: what it was made from."""
    said = list(blocks(answer))
    return Document(
        said[0].text,
        (
            Section("What is claimed, and what stands", tuple(said[1:])),
            Section("What was tried", tuple(_tried(claim, answer))),
            Section("What was used", tuple(_used(claim))),
            Section("What was compared", tuple(_compared(claim))),
            Section("The originals", tuple(_sherds(claim.originals))),
            Section("The replicas", tuple(_sherds(claim.replicas))),
            Section("Photos", tuple(Figure(content, caption) for caption, content in photos)),
            Section("What it rests on", tuple(_sources(answer))),
            made_from(files, [answer]),
        ),
    )


def _tried(claim: Claim, answer: Answer) -> Iterator[Part]:
    for number, step in enumerate(claim.form.get("step", ()), start=1):
        yield Block(f"{number}.", sentence(step.get("what", step["kind"])))
    rows = tuple(
        (
            one.get("what", f"series {number}"), str(one.get("firings", 1)), str(one["fired"]),
            str(one["came_out"]), str(one.get("failed", "not said")), str(one.get("tiles_kept", "not said")),
            one.get("log", "none"),
        )
        for number, one in enumerate(claim.form.get("series", ()), start=1)
    )  # fmt: skip
    if rows:
        yield Table(("Series", "Firings", "Fired", "Came out", "Failed", "Kept", "Log"), rows)
    share = answer["share"]
    if share is not None:
        limit = limits()["claim_share"]
        caption = (
            f"The share of pots that came out, {share['came_out']} of {share['fired']}, with its interval; "
            f"dashed: {limit:g}, from where on it may be called reliable."
        )
        yield Figure(interval(share["value"], share["low"], share["high"], limit), caption)
    for one in claim.form.get("ground", ()):
        where = f" ({one['where']})" if "where" in one else ""
        text = f"Traces of {one['structure'].replace('-', ' ')}: {one['found'].replace('-', ' ')}{where}."
        yield Block("In the ground.", text)


def _used(claim: Claim) -> Iterator[Part]:
    rows = []
    for one in claim.form.get("material", ()):
        known = materials()[one["is"]]
        access = "modern" if one.get("modern") else known.access
        rows.append((known.label, access, known.in_the_fire, known.hazard))
    if rows:
        yield Table(("Material", "Who could have it", "In the fire", "Hazard"), tuple(rows))


def _compared(claim: Claim) -> Iterator[Part]:
    for one in claim.form.get("comparison", ()):
        yield Block("", sentence(one.get("what", "compared")))
    if not claim.originals or not claim.replicas:
        return
    theirs, ours = chips(claim.originals), chips(claim.replicas)
    for place in theirs:
        if place in ours:
            drawn = patches({"originals": theirs[place][:_MOST], "replicas": ours[place][:_MOST]})
            yield Figure(drawn, f"{sentence(place)[:-1]}: the chips read on originals and replicas.")
    try:
        found = tables(claim.originals, claim.replicas)
    except BreaksShape:
        return
    for one in found["traits"]:
        yield Block("- ", f"{one['reading']}: {trait_words(one)}", gap=False)
    for note in found["notes"]:
        yield Block("", note, kind="quiet")


def _sherds(sherds: Sequence[Any]) -> Iterator[Part]:
    for sherd in sherds[:_MOST]:
        yield Block("", sherd.sherd, kind="title")
        yield from (part for part in seen(sherd) if isinstance(part, Table))
    if len(sherds) > _MOST:
        yield Block("", f"{len(sherds) - _MOST} more are in the table.")


def _sources(answer: Answer) -> Iterator[Part]:
    rows = tuple((one["id"], one["kind"], one["basis"]) for one in answer["sources"])
    if rows:
        yield Table(("What or who", "Kind", "Grade"), rows)


def claim_turtle(claim: Claim, answer: Answer) -> str:
    """The claim with the answer to it as a PROV entity, and who says what, from whom, in PROV's terms."""
    of = claim.address()
    by = f"{answer['software']}, data {answer['data_hash']}"
    prefixes = {"prov": PROV, "dcterms": DCTERMS, "rdf": RDF, "rdfs": RDFS}
    head = "".join(f"@prefix {name}: <{address}> .\n" for name, address in prefixes.items())
    said = [
        "a prov:Entity",
        f"prov:wasDerivedFrom <{of}>",
        f"prov:wasAttributedTo [ a prov:SoftwareAgent ; rdfs:label {_quoted(by)} ]",
        f"prov:value {_quoted(json.dumps(answer, ensure_ascii=False, sort_keys=True))}^^rdf:JSON",
    ]
    node = f"\n<{of}/answer/{answer['data_hash']}> " + " ;\n    ".join(said) + " .\n"
    return f"{head}{claim.turtle()}{''.join(_provenance(claim.turtle()))}{node}"


def _provenance(turtle: str) -> Iterator[str]:
    """PROV beside our own terms: evidence is attributed to who says it, people are influenced by teachers."""
    from wareontology.sherd.turtle import parsed

    plain = {"by": "wasAttributedTo", "writer": "wasAttributedTo", "from": "wasInfluencedBy",
             "learned_from": "wasInfluencedBy", "evidence": "wasDerivedFrom"}  # fmt: skip
    for (_, subject), said in parsed(turtle, "claim").items():
        for key, name in plain.items():
            for value in said.get(FIELD + key, ()):
                if isinstance(value, tuple):
                    yield f"<{subject}> prov:{name} <{value[1]}> .\n"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
