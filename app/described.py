"""One thing of the graph as the asker would rather have it: a page, Turtle or JSON-LD (content negotiation).

Each address of ours is answered at its own path: https://wareontology.example/term/edge/soft at
/term/edge/soft. RFC 9110 says how an Accept header is weighed.
"""

from collections.abc import Callable, Sequence
from typing import Final

from flask import Flask, Response, request

from wareontology.app.refusals import refusal
from wareontology.graph.namespaces import BASE

HTML: Final = "text/html"
FORMS: Final = {HTML: "", "text/turtle": "turtle", "application/ld+json": "json-ld"}
"""Media type to the name the graph gives it."""
NAMED: Final = {"html": HTML, "turtle": "text/turtle", "json-ld": "application/ld+json"}
"""What a person may ask for by `?format=`."""


def give_paths(app: Flask) -> None:
    """Let templates write where a thing of the graph is answered, and what it is called."""
    app.jinja_env.filters["here"] = here
    app.jinja_env.filters["label_of"] = label_of
    app.jinja_env.filters["short_name"] = short_name
    app.jinja_env.globals["base"] = BASE


def here(address: str) -> str:
    """Where an address is answered: its path here if it is ours; itself if it is on the web; else nothing."""
    if address.startswith(BASE):
        return f"{request.script_root}/{address.removeprefix(BASE)}"
    return address if address.startswith(("http://", "https://")) else ""


def label_of(address: str) -> str:
    """What a thing is called: its label, or its address with a prefix."""
    from wareontology.graph import resource

    return short_name(resource.label(address))


def short_name(text: str) -> str:
    """An address with its prefix where one of ours fits; any other text as it is."""
    from wareontology.graph.prefixes import shortened

    return shortened(text).strip("<>") if text.startswith(("http://", "https://")) else text


def described(path: str, page: Callable[[], str]) -> str | Response:
    """What is said of BASE + path in the form that is asked for; else 404 with the nearest names, or 406."""
    from wareontology.graph import resource

    address = BASE + path
    if not resource.is_known(address):
        return unknown(address)
    form = wanted()
    if form is None:
        offered = ", ".join(FORMS)
        return refusal(406, f"It is given as {offered}; ?format= takes {', '.join(NAMED)}.", data=True)
    if form == HTML:
        return page()
    text = resource.rdf(address, FORMS[form])
    charset = "; charset=utf-8" if form == "text/turtle" else ""
    return Response(text, content_type=form + charset)


def unknown(address: str) -> Response:
    """The refusal of an address of which nothing is said, with the nearest ones."""
    from wareontology.graph import resource

    near = [(resource.label(one), here(one)) for one in resource.nearest(address)]
    named = f" The nearest: {', '.join(one.removeprefix(BASE) for one in resource.nearest(address))}."
    told = f"Nothing is said of {address.removeprefix(BASE)}.{named if near else ''}"
    return refusal(404, told, data=quality(HTML) == 0, nearest=near)


def wanted() -> str | None:
    """The media type that the asker would rather have of a thing; None where none of ours will do."""
    asked = request.args.get("format")
    return NAMED.get(asked) if asked is not None else best(tuple(FORMS))


def best(offered: Sequence[str]) -> str | None:
    """The media type that the Accept header weighs highest, the first where several are alike."""
    weighed = [(quality(kind), -place, kind) for place, kind in enumerate(offered)]
    most = max(weighed)
    return most[2] if most[0] > 0 else None


def quality(kind: str) -> float:
    """The weight of a media type under the Accept header: that of the most specific range it falls in.

    Werkzeug lets `*/*` bring back what `;q=0` ruled out, so the ranges are weighed here (RFC 9110, 12.5.1).
    """
    main = kind.partition("/")[0]
    found = (-1, 0.0)
    for accepted, weight in request.accept_mimetypes:
        named = accepted.partition(";")[0].strip().casefold()
        ranks = {"*/*": 0, f"{main}/*": 1, kind: 2}
        if named in ranks:
            found = max(found, (ranks[named], float(weight)))
    return found[1] if found[0] >= 0 else 1.0 if not request.accept_mimetypes else 0.0
