"""What the HTTP interface takes and gives, as OpenAPI 3.1."""

import json
from functools import cache
from typing import Any, Final

from wareontology import __version__
from wareontology.app.api import MOST_DRAWS, WRITABLE
from wareontology.app.table_posted import KINDS as TABLES
from wareontology.app.table_posted import XLSX
from wareontology.paths import shapes
from wareontology.records.store import MOST_FOUND
from wareontology.records.version import KINDS, LONGEST_ID, LONGEST_WHO, LONGEST_WHY

Part = dict[str, Any]

_ONE_LINE: Final = r"^[^\x00-\x1f\x7f]*$"
_WORDS: Final = r"^[^\x00-\x1f\x7f]*[^\s\x00-\x1f\x7f][^\x00-\x1f\x7f]*$"
_WHO: Final[Part] = {
    "type": "string", "minLength": 1, "maxLength": LONGEST_WHO, "pattern": _WORDS,
    "description": "Who changes it: a name or initials.",
}  # fmt: skip
_WHY: Final[Part] = {
    "type": "string", "minLength": 1, "maxLength": LONGEST_WHY, "pattern": _WORDS,
    "description": "Why.",
}  # fmt: skip
_TEXT: Final[Part] = {"type": "string"}
_VERSION: Final[Part] = {"type": "integer", "minimum": 0}


@cache
def document() -> Part:
    """The whole document.

    >>> document()["openapi"]
    '3.1.0'
    """
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "wareontology",
            "version": __version__,
            "summary": "From the traits of a painted sherd to how it was made",
            "description": (
                "The answers are those of `infer --json`; a refusal is problem details (RFC 9457)."
                " Nothing here is a verdict on price, rarity or authenticity."
            ),
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        "paths": {**_reading(), **_collection()},
        "components": {"schemas": _schemas()},
    }


def _reading() -> Part:
    table = {
        "required": True,
        "description": "A sherd table; /columns says what each column means.",
        "content": {kind: {"schema": _table_schema(kind)} for kind in TABLES},
    }
    draws = {"type": "integer", "minimum": 0, "maximum": MOST_DRAWS, "default": 200}
    return {
        "/api/v1/openapi.json": {
            "get": _operation("openapi", "This document.", {"200": _json("It.", {"type": "object"})}, [])
        },
        "/api/v1/columns": {
            "get": _operation(
                "columns", "The columns of the sherd table.",
                {"200": _json("The columns.", _array({"type": "object"})), **_problems(422)},
                [_query("name", {"type": "array", "items": _TEXT}, "Only these; may be given again.")],
            )
        },
        "/api/v1/rules": {
            "get": _operation(
                "rules", "Every rule.", {"200": _json("The rules.", _array({"type": "object"}))}, [],
            )
        },
        "/api/v1/rules/{name}": {
            "get": _operation(
                "rule", "One rule in full.",
                {"200": _json("The rule.", {"type": "object"}), **_problems(404)},
                [_path("name", {"type": "string", "minLength": 1}, "Its name, without a slash.")],
            )
        },
        "/api/v1/validate": {
            "post": _operation(
                "validate", "Whether a table can be read; every fault of it.",
                {"200": _json("What was found.", _ref("Validation")), **_problems(403, 413, 415, 422)},
                [], table,
            )
        },
        "/api/v1/infer": {
            "post": _operation(
                "infer",
                "The answer for each sherd, in the order of the table. Where some have faults: 422, with"
                " `faults` and the `answers` of the others.",
                {"200": _json("The answers.", _array(_ref("Answer"))), **_problems(403, 413, 415, 422)},
                [
                    _query("draws", draws, "Draws of the uncertain numbers; 0 for none."),
                    _query("question", _TEXT, "Rank the next tests for this: atmosphere, slip, paint:NAME"),
                ],
                table,
            )
        },
    }  # fmt: skip


def _collection() -> Part:
    kind = _path("kind", {"enum": list(KINDS)}, "Kind of thing.")
    written = _path(
        "kind", {"enum": list(WRITABLE)}, "Kind of thing; answers and photos are made, not written."
    )
    name = _path("id", _id(), "The id, percent-encoded.")
    match = _header("If-Match", True, 'The version the change rests on, as "12".')
    found = {"200": _versioned("The thing."), **_problems(404, 422)}
    changing = _problems(403, 404, 412, 413, 415, 422, 428)
    return {
        "/api/v1/collection/{kind}": {
            "get": _operation(
                "find", "Things of a kind in the order of their ids.",
                {"200": _json("A page of them.", _ref("Page")), **_problems(422)},
                [
                    kind, _query("text", _TEXT, "Only those that hold all these words."),
                    _query("after", _TEXT, "The `next` of the page before."),
                    _query("limit", {"type": "integer", "minimum": 1, "maximum": MOST_FOUND}, "How many."),
                ],
            )
        },
        "/api/v1/collection/{kind}/{id}": {
            "get": _operation("get", "A thing as it is now; its version is the ETag.",
                {**found, "304": {"description": "As If-None-Match has it."}}, [kind, name]),
            "put": _operation(
                "put",
                "Keep a thing: a new one with If-None-Match: *, else If-Match with the version it rests on. A"
                " sherd's body is its JSON-LD, and its id is the end of its address.",
                {"200": _versioned("Kept."), "201": _versioned("Kept, new."), **changing},
                [written, name, match | {"required": False}, _header("If-None-Match", False, "* if new.")],
                _body(_signed_schema({"body": {"type": "object"}}, ["body"])),
            ),
            "delete": _operation(
                "remove", "Take a thing away; its history stays.", {"200": _versioned("Gone."), **changing},
                [kind, name, match, _query("who", _WHO, "Who.", True), _query("why", _WHY, "Why.", True)],
            ),
        },
        "/api/v1/history/{kind}/{id}": {
            "get": _operation("history", "Every change, the first one first.",
                {"200": _json("The changes.", _array(_ref("Version"))), **_problems(404, 422)}, [kind, name])
        },
        "/api/v1/undo/{kind}/{id}": {
            "post": _operation(
                "undo", "Go back one change, or to a version, as a new change.",
                {"200": _versioned("The new change."), **changing}, [kind, name, match],
                _body(_signed_schema({"to": {"type": "integer", "minimum": 1}}, [])),
            )
        },
        "/api/v1/answers/{id}": {
            "get": _operation("answers", "The answers kept of a sherd, the last one first.",
                {"200": _json("The answers.", _array(_ref("Version"))), **_problems(404)}, [name]),
            "post": _operation("readAgain", "Answer a kept sherd with the data of now, and keep that.",
                {"200": _versioned("The answer."), **_problems(403, 404, 413, 415, 422)}, [name],
                _body(_signed_schema({}, []))),
        },
    }  # fmt: skip


def _schemas() -> Part:
    answer = json.loads(shapes("answer.schema.json").read_text(encoding="utf-8"))
    defined = answer.pop("$defs", {})
    nullable = {"type": ["object", "null"]}
    version: Part = {
        "number": _VERSION, "kind": {"enum": list(KINDS)}, "id": _TEXT, "body": nullable, "who": _TEXT,
        "why": _TEXT, "at": {"type": "string", "format": "date-time"},
        "restores": {"type": ["integer", "null"]}, "origin": _TEXT,
    }  # fmt: skip
    fault: Part = {
        "file": _TEXT, "row": {"type": ["integer", "null"]}, "column": {"type": ["string", "null"]},
        "found": _TEXT, "would_do": _TEXT, "sherd": {"type": ["string", "null"]}, "why": _TEXT,
    }  # fmt: skip
    del answer["$id"], answer["$schema"]
    text = json.dumps(answer).replace('"#/$defs/', '"#/components/schemas/')
    moved = json.dumps(defined).replace('"#/$defs/', '"#/components/schemas/')
    return {
        **json.loads(moved),
        "Answer": json.loads(text),
        "Version": _exactly(version),
        "Page": _exactly({"things": _array(_ref("Version")), "next": {"type": ["string", "null"]}}),
        "Fault": _exactly(fault),
        "Validation": _exactly({"sherds": _VERSION, "rows": _VERSION, "faults": _array(_ref("Fault"))}),
        "Problem": {
            "type": "object",
            "required": ["type", "title", "status", "detail"],
            "properties": {
                "type": {"type": "string", "format": "uri-reference"}, "title": _TEXT,
                "status": {"type": "integer"}, "detail": _TEXT, "faults": _array(_ref("Fault")),
                "answers": _array(_ref("Answer")), "read": {"type": ["integer", "null"]},
                "now": {"type": ["integer", "null"]},
            },
        },
    }  # fmt: skip


def _table_schema(kind: str) -> Part:
    if kind == XLSX:
        return {"type": "string", "contentEncoding": "binary"}
    if "json" in kind:
        return {"type": ["object", "array"]}
    return _TEXT


def _operation(
    name: str, summary: str, responses: Part, parameters: list[Part], body: Part | None = None
) -> Part:
    found: Part = {"operationId": name, "summary": summary, "parameters": parameters}
    if body is not None:
        found["requestBody"] = body
    return {**found, "responses": {**responses, "default": _problem("Another refusal.")}}


def _json(words: str, schema: Part) -> Part:
    return {"description": words, "content": {"application/json": {"schema": schema}}}


def _versioned(words: str) -> Part:
    tag = {"description": "The version.", "schema": _TEXT}
    return {**_json(words, _ref("Version")), "headers": {"ETag": tag}}


def _problem(words: str) -> Part:
    return {"description": words, "content": {"application/problem+json": {"schema": _ref("Problem")}}}


def _problems(*statuses: int) -> Part:
    words = {
        403: "Sent by another site's page, or as a form without its token.",
        404: "Not kept here.", 412: "Another version is there.", 413: "Too much at once.",
        415: "Not a kind of content that is read here.",
        422: "Something in it is not what it must be.", 428: "The version it rests on is not said.",
    }  # fmt: skip
    return {str(status): _problem(words[status]) for status in statuses}


def _query(name: str, schema: Part, words: str, required: bool = False) -> Part:
    return {"name": name, "in": "query", "required": required, "schema": schema, "description": words}


def _path(name: str, schema: Part, words: str) -> Part:
    return {"name": name, "in": "path", "required": True, "schema": schema, "description": words}


def _header(name: str, required: bool, words: str) -> Part:
    return {"name": name, "in": "header", "required": required, "schema": _TEXT, "description": words}


def _id() -> Part:
    return {"type": "string", "minLength": 1, "maxLength": LONGEST_ID, "pattern": _ONE_LINE}


def _body(schema: Part) -> Part:
    return {"required": True, "content": {"application/json": {"schema": schema}}}


def _signed_schema(properties: Part, required: list[str]) -> Part:
    return {
        "type": "object",
        "required": ["who", "why", *required],
        "properties": {"who": _WHO, "why": _WHY, **properties},
    }


def _exactly(properties: Part) -> Part:
    return {
        "type": "object", "required": list(properties), "properties": properties,
        "additionalProperties": False,
    }  # fmt: skip


def _array(items: Part) -> Part:
    return {"type": "array", "items": items}


def _ref(name: str) -> Part:
    return {"$ref": f"#/components/schemas/{name}"}
