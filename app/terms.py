"""The terms: every word with its definition, and whatever else of the graph has an address of its own."""

from collections.abc import Iterator
from typing import Any, Final

from flask import Blueprint, Response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as BaseResponse

from wareontology.app.described import described
from wareontology.graph.namespaces import BASE, RULE, TRADITION, WO, term

blueprint = Blueprint("terms", __name__)

_OF_TRADITIONS: Final = ("field",)
"""Schemes that no column of the sherd table takes; they stand last."""
_PLAIN: Final = "any(def,shape,statement,fault,material,mineral,quantity,'trade-ratio')"
_STATEMENT: Final = BASE + "statement/"
_MOST_POINTING: Final = 60


@blueprint.get("/terms")
def page() -> str:
    """Every scheme with its values; with `word`, those that a word names."""
    word = request.args.get("word", "").strip()[:100]
    return render_template("terms/page.html", schemes=list(_schemes()), word=word, found=list(_found(word)))


@blueprint.get("/term/<name>")
def scheme(name: str) -> str | Response:
    """One scheme: what it tells apart, and its values."""
    return described(f"term/{name}", lambda: _scheme_page(name))


@blueprint.get("/term/<name>/<value>")
def one(name: str, value: str) -> str | Response:
    """One value: its definition, what it rests on, what is narrower and broader, which rules give it."""
    return described(f"term/{name}/{value}", lambda: _one_page(name, value))


@blueprint.get("/region/<name>")
def region(name: str) -> BaseResponse:
    """A region is a term; this shorter way leads to it."""
    return redirect(url_for("terms.one", name="region", value=name), 308)


@blueprint.get(f"/<{_PLAIN}:kind>/<path:name>")
def thing(kind: str, name: str) -> str | Response:
    """Whatever else has an address: classes and properties, statements, shapes, faults, materials."""
    return described(f"{kind}/{name}", lambda: _plain_page(f"{kind}/{name}"))


@blueprint.get("/tradition/<name>/<path:part>")
def part(name: str, part: str) -> str | Response:
    """A layer or the point of a tradition."""
    return described(f"tradition/{name}/{part}", lambda: _plain_page(f"tradition/{name}/{part}"))


def _schemes() -> Iterator[Any]:
    from wareontology.graph import vocabulary

    yield from vocabulary.schemes().values()
    yield from (vocabulary.scheme(name) for name in _OF_TRADITIONS)


def _found(word: str) -> Iterator[tuple[Any, Any]]:
    """(scheme, value) that a word names, by any of its names; else those spelt most like it."""
    if not word:
        return
    exact = [(one, one[value]) for one in _schemes() if (value := one.resolve(word)) is not None]
    near = [(one, one[value]) for one in _schemes() for value in one.nearest(word, 1)]
    yield from {concept.address: (one, concept) for one, concept in exact or near}.values()


def _scheme_page(name: str) -> str:
    from wareontology.graph import vocabulary

    try:
        found = vocabulary.scheme(name)
    except KeyError:
        return _plain_page(f"term/{name}")
    return render_template("terms/scheme.html", scheme=found, address=term(name), column=_column(name))


def _column(name: str) -> Any:
    """The column of the sherd table that takes a scheme's values; None where none is named so."""
    from wareontology.sherd.columns import find

    return find(name)


def _one_page(name: str, value: str) -> str:
    from wareontology.graph import resource, vocabulary
    from wareontology.graph.traditions import tradition_sources

    try:
        home = vocabulary.scheme(name)
        concept = next(one for one in home.concepts if one.address == term(name, value))
    except (KeyError, StopIteration):
        return _plain_page(f"term/{name}/{value}")
    pointing = resource.pointing_at(concept.address)
    return render_template(
        "terms/one.html",
        scheme=home,
        concept=concept,
        narrower=[one for one in home.concepts if one.broader == concept.notation],
        broader=home[concept.broader] if concept.broader and concept.broader in home else None,
        cited=[tradition_sources()[key] for key in concept.sources if key in tradition_sources()],
        rules=[one for predicate, one in pointing if predicate == WO + "value" and one.startswith(RULE)],
        matches=[
            one for said, values in resource.said(concept.address) if said.endswith("Match") for one in values
        ],
        region=_region(value) if name == "region" else None,
        traditions=_traditions(pointing) if name != "region" else [],
    )


def _region(name: str) -> dict[str, Any]:
    """What of a region is more than a term: its clays and whose they are, and the wares found there."""
    from wareontology.graph.traditions import tradition_sources
    from wareontology.graph.vocabulary import geology, region_path, scheme
    from wareontology.report.browse import Asked, browse

    told = geology(name)
    cited = tradition_sources()
    return {
        "geology": told,
        "from": scheme("region")[told.region],
        "clay": scheme("scarcity")[told.value],
        "sources": [cited[key] for key in told.sources],
        "against": [cited[key] for key in told.contradicted_by],
        "path": [scheme("region")[one] for one in reversed(region_path(name))],
        "traditions": browse(Asked(region=name))["traditions"],
    }


def _traditions(pointing: tuple[tuple[str, str], ...]) -> list[Any]:
    """Wares of which a source states a value, or that show it as a technique, by name."""
    from wareontology.graph import resource
    from wareontology.graph.traditions import traditions

    stated = {subject for _, subject in resource.pointing_at(term("basis", "stated"))}
    ids = {
        subject.removeprefix(_STATEMENT).partition("/")[0]
        for predicate, subject in pointing
        if predicate == WO + "value" and subject in stated
    }
    ids |= {
        subject.removeprefix(TRADITION)
        for predicate, subject in pointing
        if predicate == WO + "showsTechnique"
    }
    return sorted((traditions()[name] for name in ids if name in traditions()), key=lambda found: found.label)


def _plain_page(path: str) -> str:
    from wareontology.graph import resource

    address = BASE + path
    return render_template(
        "terms/thing.html", address=address, label=resource.label(address), said=resource.said(address),
        pointing=resource.pointing_at(address), most=_MOST_POINTING,
    )  # fmt: skip
