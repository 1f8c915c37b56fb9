"""The door *Someone claims*: a claim as a form or a file, its three verdicts, its report."""

import io
import json
import tempfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, Final

from flask import Blueprint, Response, current_app, render_template, request
from werkzeug.datastructures import MultiDict

from wareontology.app import claim_form, handed_in
from wareontology.errors import BreaksShape, Fault, Unreadable, WareontologyError
from wareontology.sherd.record import Sherd

blueprint = Blueprint("claim", __name__, url_prefix="/claim")

REPLICAS: Final = 6
"""Replicas that the reasoner is asked about on the verdict page."""
VERDICTS: Final = ("possible", "sufficient", "unique")
_MOST: Final = 2_000_000


@blueprint.get("")
def page() -> str:
    """The form, blank or with the invented example in it."""
    return _form(MultiDict(claim_form.EXAMPLE) if request.args.get("example") else MultiDict())


@blueprint.post("")
def judge() -> str | Response:
    """The verdict page of a claim: of the file that came, else of the form."""
    try:
        body = _handed_in() or _of_form(request.form)
        return _verdict(body)
    except WareontologyError as error:
        return Response(_form(request.form, faults=_faults(error)), 422)


@blueprint.post("/report/<form>")
def report(form: str) -> Response:
    """The report on a claim as one file, made from the claim that the verdict page holds."""
    from wareontology.report.claim_document import claim_document, claim_turtle
    from wareontology.report.document import html

    found, answer = _judged(_claim_text(request.form.get("claim", "")))
    made = html(claim_document(found, answer, [])) if form == "html" else claim_turtle(found, answer)
    media = {"html": "text/html; charset=utf-8"}.get(form, "text/turtle; charset=utf-8")
    response = Response(made, content_type=media)
    ending = "html" if form == "html" else "ttl"
    response.headers["Content-Disposition"] = f'attachment; filename="claim.{ending}"'
    return response


def _verdict(body: Mapping[str, Any]) -> str:
    from wareontology.graph.vocabulary import scheme
    from wareontology.replica.claim_replica import from_replica
    from wareontology.report.claim_prose import technique_words, way_words
    from wareontology.technique.phrases import sentence
    from wareontology.technique.words_for_odds import odds_words

    text = json.dumps(body, ensure_ascii=False)
    found, answer = _judged(text)
    answer["replica"] = from_replica(found, found.replicas[:REPLICAS])
    return render_template(
        "claim/verdict.html", answer=answer, body=text, technique=technique_words, way=way_words,
        odds=odds_words, sentence=sentence,
        states={one.notation: one.label for one in scheme("claim-state").concepts},
        grades={one.notation: one.label for one in scheme("evidence-grade").concepts},
    )  # fmt: skip


def _judged(text: str) -> tuple[Any, dict[str, Any]]:
    from wareontology.replica.claim import judged
    from wareontology.replica.claim_read import from_text

    found = from_text(text, "claim.json")
    return found, judged(found)


def _claim_text(text: str) -> str:
    if not text or len(text) > _MOST:
        raise Unreadable("the claim: found nothing, or too much; would do: the claim of a verdict page")
    return text


def _handed_in() -> dict[str, Any] | None:
    """A claim that came as a file, with its tables beside it; None where none came."""
    from wareontology.replica.claim_read import from_text

    file = request.files.get("file")
    if file is None or not file.filename:
        return None
    name = _base(file.filename)
    text = file.read(_MOST + 1).decode("utf-8-sig", "replace")
    if len(text) > _MOST:
        raise Unreadable(f"{name}: found over {_MOST:,} bytes; would do: wareontology claim FILE")
    with tempfile.TemporaryDirectory(prefix="wareontology-") as folder:
        tables = _tables(Path(folder))
        found = from_text(text, name, folder=Path(folder), stem=Path(name).stem)
    return _with_records(found.form, found.originals or tables[0], found.replicas or tables[1])


def _with_records(
    form: Mapping[str, Any], originals: Sequence[Sherd], replicas: Sequence[Sherd]
) -> dict[str, Any]:
    """A claim that stands alone: the records of its tables inside it."""
    from wareontology.sherd.jsonld import to_jsonld

    inside = {"original": originals, "replica": replicas}
    left = {key: value for key, value in form.items() if key.removesuffix("s") not in inside}
    return {**left, **{key: [to_jsonld(one) for one in some] for key, some in inside.items() if some}}


def _tables(folder: Path) -> tuple[Sequence[Sherd], Sequence[Sherd]]:
    """The sherds of the two tables that came, laid down under their names for a claim that names them.

    Raises BreaksShape with every fault.
    """
    found: list[Sequence[Sherd]] = []
    for key in ("originals", "replicas"):
        file = request.files.get(key)
        sherds: tuple[Sherd, ...] = ()
        if file is not None and file.filename:
            content = file.read()
            (folder / _base(file.filename)).write_bytes(content)
            table = handed_in.read(io.BytesIO(content), file.filename, current_app.config)
            if table.faults:
                raise BreaksShape(table.faults)
            sherds = tuple(table.sherds)
        found.append(sherds)
    return found[0], found[1]


def _base(name: str) -> str:
    return name.replace("\\", "/").rpartition("/")[2].lstrip(".")[:80] or "claim"


def _of_form(form: MultiDict[str, str]) -> dict[str, Any]:
    """The claim as the form has it; what is blank is left out."""
    from wareontology.replica.claim_read import from_form

    with tempfile.TemporaryDirectory(prefix="wareontology-") as folder:
        tables = _tables(Path(folder))
    raw = claim_form.raw(form)
    found = from_form(_with_records(raw, *tables), "claim")
    return _with_records(found.form, found.originals, found.replicas)


def _form(said: MultiDict[str, str], faults: Sequence[Fault] = ()) -> str:
    from wareontology.graph.vocabulary import scheme
    from wareontology.replica.materials import materials

    names = (
        "region", "atmosphere", "ending", "temperature", "structure", "claim-step", "evidence-grade",
        "paint-material", "clay", "kiln_evidence", "permission", "zone",
    )  # fmt: skip
    return render_template(
        "claim/page.html", said=said, faults=faults, materials=materials().values(), rows=claim_form.ROWS,
        schemes={name: [(one.notation, one.label) for one in scheme(name).concepts] for name in names},
        verdicts=VERDICTS,
    )  # fmt: skip


def _faults(error: WareontologyError) -> list[Fault]:
    if isinstance(error, BreaksShape):
        return list(error.faults)
    assert isinstance(error, Unreadable), error
    return handed_in.refused_whole(error, "the claim")
