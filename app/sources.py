"""The sources: how much of each was read, and what rests on it."""

from flask import Blueprint, Response, render_template

from wareontology.app.described import described
from wareontology.graph.namespaces import SOURCE

blueprint = Blueprint("sources", __name__)


@blueprint.get("/sources")
def page() -> str:
    """Every source, by how much of it was read."""
    from wareontology.graph.traditions import tradition_sources
    from wareontology.graph.vocabulary import scheme
    from wareontology.report.rests_on import how_much

    known = sorted(tradition_sources().values(), key=lambda one: (one.citation.casefold(), one.key))
    read = [
        (concept, [one for one in known if one.seen == concept.notation])
        for concept in scheme("seen").concepts
    ]
    return render_template("sources/page.html", read=read, count=len(known), resting=how_much())


@blueprint.get("/source/<key>")
def one(key: str) -> str | Response:
    """One source: its citation, what was read of it, and all that rests on it."""
    return described(f"source/{key}", lambda: _page(key))


def _page(key: str) -> str:
    from wareontology.graph.traditions import tradition_sources
    from wareontology.graph.vocabulary import scheme
    from wareontology.report.rests_on import rests_on

    source = tradition_sources()[key]
    return render_template(
        "sources/one.html", source=source, seen=scheme("seen")[source.seen], resting=rests_on(key),
        link=_link(source.doi), address=SOURCE + key,
    )  # fmt: skip


def _link(found: str | None) -> str | None:
    """Where a DOI or an address leads; None for what is neither."""
    if found is None:
        return None
    if found.startswith(("https://", "http://")):
        return found
    return f"https://doi.org/{found}" if found.startswith("10.") else None
