"""Replicas beside originals: two sherd tables, or areas of one photo. Nothing handed in is kept."""

import tempfile
from collections.abc import Sequence
from typing import Any, Final

from flask import Blueprint, Response, current_app, render_template, request
from werkzeug.datastructures import FileStorage

from wareontology.app import handed_in
from wareontology.errors import BreaksShape, Fault, Unreadable, WareontologyError
from wareontology.sherd.record import Sherd

blueprint = Blueprint("compare", __name__, url_prefix="/compare")

MOST_SHERDS: Final = 100
"""Sherds of one group on a page: every one is set against every other."""
MOST_BOXES: Final = 40
RANKS: Final = ("Fresh breaks and refired chips", "Traits that last", "Surfaces, which age")
_KINDS: Final = ("grey", "original", "replica")
_MOST_TEXT: Final = 4_000


@blueprint.get("")
def page() -> str:
    """Where two tables or a photo are handed in; or the invented example compared."""
    if request.args.get("example"):
        from wareontology.paths import data
        from wareontology.sherd.table import read

        names = ("originals.csv", "replicas.csv")
        return _shown(*(read(data("demo", name)).sherds for name in names), names=names, example=True)
    return _form()


@blueprint.post("")
def tables() -> str | Response:
    """Two sherd tables compared trait by trait."""
    files = [request.files.get(key) for key in ("originals", "replicas")]
    faults: list[Fault] = []
    groups: list[Sequence[Sherd]] = []
    for key, file in zip(("originals", "replicas"), files, strict=True):
        try:
            groups.append(_sherds(key, file))
        except BreaksShape as error:
            faults += error.faults
        except Unreadable as error:
            faults += handed_in.refused_whole(error, key)
    if faults:
        return Response(_form(faults), 422)
    try:
        return _shown(*groups, names=tuple(str(file.filename) for file in files if file is not None))
    except BreaksShape as error:
        return Response(_form(error.faults), 422)


@blueprint.post("/photo")
def photo() -> str | Response:
    """Areas of one photo compared, balanced on a grey that is in view."""
    from wareontology.report import compare as report

    file = request.files.get("photo")
    try:
        if file is None or not file.filename:
            raise BreaksShape([Fault("the photo", None, "photo", "no file", "a photo as JPEG, PNG or WebP")])
        greys, theirs, ours = (_boxes(kind) for kind in _KINDS)
        if not theirs or not ours:
            raise BreaksShape(
                [Fault("the photo", None, "areas", "none of one group", "a box of each, better five")]
            )
        with tempfile.NamedTemporaryFile(prefix="wareontology-") as laid_down:  # gone with the block
            file.save(laid_down)
            laid_down.flush()
            answer = report.photo(laid_down.name, greys, theirs, ours, _grey_lightness())
    except WareontologyError as error:
        return Response(_form(_of_photo(error)), 422)
    return render_template("compare/photo.html", answer=answer, name=_base(file.filename))


def _sherds(key: str, file: FileStorage | None) -> Sequence[Sherd]:
    """The sherds of one table. Raises BreaksShape with every fault where there is one."""
    if file is None or not file.filename:
        raise BreaksShape([Fault(key, None, None, "no file", "a table as .csv or .xlsx")])
    table = handed_in.read(file.stream, file.filename, current_app.config)
    if table.faults:
        raise BreaksShape(table.faults)
    if len(table.sherds) > MOST_SHERDS:
        would_do = f"at most {MOST_SHERDS} of a group, or the command: wareontology compare A B"
        raise BreaksShape([Fault(table.name, None, None, f"{len(table.sherds)} sherds", would_do)])
    return table.sherds


def _shown(
    originals: Sequence[Sherd], replicas: Sequence[Sherd], *, names: tuple[str, ...], example: bool = False
) -> str:
    from wareontology.replica.traits import Trait
    from wareontology.report import compare as report
    from wareontology.report.compare_prose import trait_words

    answer = report.tables(originals, replicas)
    parted: dict[str, list[dict[str, Any]]] = {rank: [] for rank in RANKS}
    for one in answer["traits"]:
        rank = Trait(one["zone"], one["layer"], one["trait"], one["refired_c"]).rank()
        parted[RANKS[rank]].append(one)
    counted = {
        reading: sum(one["reading"] == reading for one in answer["traits"])
        for reading in ("alike so far", "apart", "too few")
    }
    return render_template(
        "compare/shown.html", answer=answer, parted=parted, counted=counted, words=trait_words,
        names=[_base(name) for name in names], example=example,
    )  # fmt: skip


def _form(faults: Sequence[Fault] = ()) -> str:
    return render_template("compare/page.html", faults=faults, said=request.form, most=MOST_SHERDS)


def _boxes(kind: str) -> list[Any]:
    """The boxes of a kind that the form holds, one a line. Raises BreaksShape for what is no box."""
    from wareontology.replica.photo import Box

    lines = [line for line in request.form.get(kind, "")[:_MOST_TEXT].splitlines() if line.strip()]
    if len(lines) > MOST_BOXES:
        found = f"{len(lines)} boxes"
        raise BreaksShape([Fault("the photo", None, kind, found, f"at most {MOST_BOXES}")])
    boxes = []
    for line in lines:
        parts = [part.strip() for part in line.split(",")]
        if len(parts) != 4 or not all(
            part.isascii() and part.isdecimal() and len(part) < 6 for part in parts
        ):
            would_do = "x,y,width,height in pixels, such as 40,40,80,80"
            raise BreaksShape([Fault("the photo", None, kind, line, would_do)])
        boxes.append(Box(*(int(part) for part in parts)))
    return boxes


def _grey_lightness() -> float:
    text = request.form.get("grey_l", "").replace(",", ".").strip()[:20] or "50"
    try:
        return float(text)
    except ValueError:
        would_do = "L* of the grey, 20 to 95"
        raise BreaksShape([Fault("the photo", None, "grey_l", text, would_do)]) from None


def _of_photo(error: WareontologyError) -> list[Fault]:
    """The faults of a photo, under its own name and not that of the file it was laid down in."""
    from dataclasses import replace

    if isinstance(error, BreaksShape):
        return [replace(fault, file="the photo") for fault in error.faults]
    if isinstance(error, Unreadable):
        return [replace(fault, file="the photo") for fault in handed_in.refused_whole(error, "the photo")]
    return [Fault("the photo", None, "grey_l", str(error), "L* of the grey, 20 to 95")]


def _base(name: str) -> str:
    return name.replace("\\", "/").rpartition("/")[2][:80]
