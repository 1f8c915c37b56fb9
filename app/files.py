"""Answers as files to take away."""

import json
import re
from collections.abc import Callable, Sequence
from typing import Any, Final

from flask import Response

from wareontology.sherd.record import Sherd

Answered = Sequence[tuple[Sherd, dict[str, Any]]]

_NOT_IN_A_NAME: Final = re.compile(r"[^A-Za-z0-9._-]+")


def _json(answers: Answered) -> str:
    return json.dumps([answer for _, answer in answers], ensure_ascii=False, indent=1) + "\n"


def _jsonld(answers: Answered) -> str:
    from wareontology.technique.answer_graph import document

    return json.dumps(document(answers), ensure_ascii=False, indent=1) + "\n"


def _turtle(answers: Answered) -> str:
    from wareontology.technique.answer_graph import to_turtle

    return to_turtle(answers)


def _csv(answers: Answered) -> str:
    from wareontology.technique.answers_csv import to_csv

    return to_csv(answers)


def _odds(answers: Answered) -> str:
    from wareontology.technique.answers_csv import odds_csv

    return odds_csv(answers)


def _table(answers: Answered) -> str:
    from wareontology.sherd.csv_out import to_csv

    return to_csv(sherd for sherd, _ in answers)


KINDS: Final[dict[str, tuple[str, str, Callable[[Answered], str]]]] = {
    "json": ("application/json", "json", _json),
    "jsonld": ("application/ld+json", "jsonld", _jsonld),
    "turtle": ("text/turtle; charset=utf-8", "ttl", _turtle),
    "csv": ("text/csv; charset=utf-8", "csv", _csv),
    "odds": ("text/csv; charset=utf-8", "odds.csv", _odds),
    "table": ("text/csv; charset=utf-8", "table.csv", _table),
}
"""Each form: its media type, the ending of its name, what writes it."""


def sent(kind: str, answers: Answered, name: str) -> Response:
    """Answers as a file to be saved under a name made of plain letters."""
    media, ending, write = KINDS[kind]
    plain = _NOT_IN_A_NAME.sub("-", name).strip("-.")[:60] or "sherd"
    response = Response(write(answers), content_type=media)
    response.headers["Content-Disposition"] = f'attachment; filename="{plain}.{ending}"'
    return response
