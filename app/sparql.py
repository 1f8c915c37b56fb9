"""A SPARQL 1.1 Protocol endpoint over the graph: SELECT and ASK, read-only, each in a bounded process."""

from collections.abc import Mapping
from threading import BoundedSemaphore
from types import MappingProxyType
from typing import Any, Final

from flask import Blueprint, Response, current_app, render_template, request, url_for

from wareontology.app.described import HTML, best
from wareontology.app.guard import changes_nothing
from wareontology.app.refusals import refusal
from wareontology.errors import BreaksShape, Fault, Unreadable
from wareontology.graph.namespaces import term

blueprint = Blueprint("sparql", __name__)

AT_ONCE: Final = 2
"""Queries that are answered at the same time; the next one waits a little, then is told to come again."""
WAIT_S: Final = 5.0
_AGAIN_S: Final = 10
_QUERY: Final = "application/sparql-query"
_FORM: Final = "application/x-www-form-urlencoded"
_JSON: Final = "application/sparql-results+json"
_XML: Final = "application/sparql-results+xml"
_CSV, _TSV = "text/csv", "text/tab-separated-values"
_AS: Final[Mapping[str, str]] = MappingProxyType(
    {_JSON: _JSON, "application/json": _JSON, _XML: _XML, "application/xml": _XML, _CSV: _CSV, _TSV: _TSV}
)
"""Media type that is sent to the form it is written in; the first is given where all are alike."""
_FORMATS: Final = {"html": HTML, "json": _JSON, "xml": _XML, "csv": _CSV, "tsv": _TSV}
_OTHER_GRAPHS: Final = ("default-graph-uri", "named-graph-uri")
_UPDATES: Final = ("update", "using-graph-uri", "using-named-graph-uri")
_TURTLE: Final = "text/turtle"
_ELSEWHERE: Final = ("cross-site", "same-site")
"""A page elsewhere must not make this machine work, even where it may not read the answer."""
_ROWS_SHOWN: Final = 500
EXAMPLES: Final = (
    (
        "Wares whose paint is stated to be organic, with the source",
        "SELECT ?ware ?name ?source WHERE {\n  ?ware wo:statement ?said ; skos:prefLabel ?name .\n"
        f"  ?said wo:field field:paint ; wo:value <{term('paint-material', 'organic')}> ;\n"
        "        wo:basis basis:stated ; prov:wasDerivedFrom ?source .\n}",
    ),
    (
        "How many wares are known of each region",
        "SELECT ?region (COUNT(?ware) AS ?wares) WHERE {\n  ?ware a wo:Tradition ; wo:foundIn ?place .\n"
        "  ?place skos:prefLabel ?region .\n} GROUP BY ?region ORDER BY DESC(?wares)",
    ),
    (
        "Every colour word with its definition",
        "SELECT ?word ?definition WHERE {\n  ?colour skos:inScheme term:colour ; skos:notation ?word ;"
        "\n          skos:definition ?definition ; wo:order ?order .\n} ORDER BY ?order",
    ),
    (
        "Is anything stated of a kiln on the Colorado Plateau?",
        "ASK {\n  ?ware wo:foundIn region:colorado-plateau ; wo:statement ?said .\n"
        "  ?said wo:field field:structure ; wo:basis basis:stated .\n}",
    ),
)
_free = BoundedSemaphore(AT_ONCE)


@blueprint.route("/sparql", methods=["GET", "POST"])
@changes_nothing
def page() -> str | Response:
    """The answer to a query; for a browser a form, for a program that asks nothing what is offered here."""
    from_elsewhere = request.headers.get("Sec-Fetch-Site") in _ELSEWHERE
    if from_elsewhere and request.headers.get("Sec-Fetch-Dest") != "document":
        return _refused(403, "Another site's page asked this. Open the page here and ask again.")
    sent, error = _sent()
    if error is not None:
        return error
    kind = _wanted(sent is not None)
    if sent is None:
        return _nothing_asked(kind)
    if kind is None:
        offered = ", ".join((*_AS, HTML))
        return refusal(406, f"Rows are given as {offered}; format takes {', '.join(_FORMATS)}.", data=True)
    return _answered(sent, kind)


def _sent() -> tuple[str | None, Response | None]:
    """The query of this request, or the refusal of what was sent in its place; neither where nothing was."""
    direct = request.method == "POST" and request.mimetype == _QUERY
    if request.method == "POST" and request.mimetype not in (_QUERY, _FORM):
        found = request.mimetype or "no kind"
        update = found == "application/sparql-update"
        told = "The graph is read here, never changed." if update else f"Found {found}."
        return None, _refused(403 if update else 415, f"{told} Would do: {_QUERY} or {_FORM}.")
    given = request.values if request.method == "POST" and not direct else request.args
    if any(name in given for name in _UPDATES):
        return None, _refused(403, "The graph is read here, never changed.")
    if any(name in given for name in _OTHER_GRAPHS):
        return None, _refused(400, "A query reads the one graph that is here; no other can be named.")
    asked = given.getlist("query")
    if direct:
        try:
            asked.append(request.get_data().decode("utf-8"))
        except UnicodeDecodeError:
            return None, _refused(400, "The query is not UTF-8.")
    if len(asked) > 1:
        return None, _refused(400, "More than one query was sent; would do: one.")
    if not asked and request.method == "POST":
        return None, _refused(400, "No query was sent; would do: the field `query`.")
    return (asked[0] if asked else None), None


def _wanted(asked: bool) -> str | None:
    named = request.values.get("format")
    if named:
        return _FORMATS.get(named)
    return best((*_AS, HTML) if asked else (_TURTLE, HTML))


def _nothing_asked(kind: str | None) -> str | Response:
    if kind == HTML:
        return _form("")
    if kind == _TURTLE:
        return Response(_service(), content_type=f"{_TURTLE}; charset=utf-8")
    return _refused(400, "No query was sent; would do: ?query=SELECT …")


def _answered(text: str, kind: str) -> str | Response:
    from wareontology.graph.query import query
    from wareontology.graph.query_results import WRITERS

    if not _free.acquire(timeout=WAIT_S):
        response = _refused(503, f"{AT_ONCE} queries are being answered. Come again in {_AGAIN_S} s.")
        response.headers["Retry-After"] = str(_AGAIN_S)
        return response
    try:
        found = query(text)
    except BreaksShape as error:
        if kind == HTML:
            return Response(_form(text, faults=error.faults), 400)
        return _refused(400, str(error), error.faults)
    except Unreadable as error:
        current_app.logger.warning("sparql: %s", error)
        return _refused(501, str(error))
    finally:
        _free.release()
    if kind == HTML:
        return _form(text, found)
    response = Response(WRITERS[_AS[kind]](found), content_type=f"{kind}; charset=utf-8")
    if found.truncated:
        response.headers["Rows-Cut-Off-At"] = str(len(found.rows))
    return response


def _form(text: str, found: Any = None, faults: tuple[Fault, ...] | list[Fault] = ()) -> str:
    from wareontology.graph.prefixes import PREFIXES, shortened
    from wareontology.graph.query import Limits

    return render_template(
        "sparql/page.html", text=text, found=found, faults=faults, examples=EXAMPLES, limits=Limits(),
        prefixes=PREFIXES, shortened=shortened, most=_ROWS_SHOWN,
    )  # fmt: skip


def _refused(status: int, detail: str, faults: tuple[Fault, ...] | list[Fault] = ()) -> Response:
    return refusal(status, detail, faults, data=best((HTML, "application/problem+json", *_AS)) != HTML)


def _service() -> str:
    """SPARQL 1.1 Service Description of this endpoint."""
    endpoint = url_for("sparql.page", _external=True)
    formats = ", ".join(
        f"<http://www.w3.org/ns/formats/SPARQL_Results_{name}>" for name in ("JSON", "XML", "CSV", "TSV")
    )
    return f"""@prefix sd: <http://www.w3.org/ns/sparql-service-description#> .
[] a sd:Service ;
    sd:endpoint <{endpoint}> ;
    sd:supportedLanguage sd:SPARQL11Query ;
    sd:resultFormat {formats} ;
    sd:defaultDataset [ a sd:Dataset ; sd:defaultGraph [ a sd:Graph ] ] .
"""
