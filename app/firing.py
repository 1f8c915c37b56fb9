"""Firings: the plan as a form, plans side by side, and one page to print."""

from typing import Any, Final

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as BaseResponse

from wareontology.app import plan_form, simulated, store
from wareontology.errors import BreaksShape, Fault, WareontologyError
from wareontology.firing import plan as plans
from wareontology.firing.steps import CAUTIONS, steps

blueprint = Blueprint("firing", __name__, url_prefix="/firing")

MOST_SIDE_BY_SIDE: Final = 4
PICTURE: Final = {
    # a picture of ours is styled within itself and can load and run nothing
    "Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; sandbox",
}


@blueprint.get("")
def page() -> str:
    """Plans to begin from, and the firings kept."""
    here = store.to_read()
    kept = here.find("firing", limit=200).things if here is not None else ()
    shipped = [(name, plans.example(name).name) for name in plans.examples()]
    return render_template("firing/page.html", shipped=shipped, kept=kept, cautions=CAUTIONS)


@blueprint.get("/plan")
def plan() -> str:
    """The editor, with a plan that is shipped or kept."""
    text = _text(request.args)
    return _editor(plan_form.held_of(plans.from_text(text)), kept=request.args.get("firing", ""))


@blueprint.post("/plan")
def read() -> str | BaseResponse:
    """What the editor holds: looked at, as TOML, to print, or kept as a firing."""
    does = request.form.get("do", "look")
    kept = request.form.get("kept", "")
    try:
        if does == "take":
            file = request.files.get("file")
            raw = file.read(1_000_000).decode("utf-8-sig", "replace") if file is not None else ""
            return _editor(plan_form.held_of(plans.from_text(raw, "the file")), kept=kept)
        held = plan_form.held_in(request.form)
        text = plan_form.toml(held)
        found = plans.from_text(text, "the plan")
        if does == "keep":
            return _keep(text)
    except WareontologyError as error:
        faults = error.faults if isinstance(error, BreaksShape) else ()
        said = "" if faults else str(error)
        shown = [Fault(one.file, None, one.column, one.found, one.would_do, why=one.why) for one in faults]
        page = _editor(plan_form.held_in(request.form), kept=kept, faults=shown, said=said)
        return Response(page, 422)
    if does == "toml":
        headers = {"Content-Disposition": 'attachment; filename="plan.toml"'}
        return Response(text, content_type="application/toml; charset=utf-8", headers=headers)
    if does == "print":
        return _sheet(found)
    return _editor(held, kept=kept, answer=simulated.answered(text), key=simulated.key_of(text))


@blueprint.get("/compare")
def compare() -> str:
    """Plans side by side: the ones asked for by name, shipped or kept."""
    chosen = request.args.getlist("plan")[:MOST_SIDE_BY_SIDE]
    here = store.to_read()
    kept = [one.id for one in (here.find("firing", limit=200).things if here is not None else ())]
    texts = [_named(one) for one in chosen]
    answers = [simulated.answered(text) for text in texts]
    return render_template(
        "firing/compare.html", answers=answers, chosen=chosen, kept=kept, members=simulated.MEMBERS,
        shipped=[(name, plans.example(name).name) for name in plans.examples()], cautions=CAUTIONS,
        keys="-".join(simulated.key_of(text) for text in texts), most=MOST_SIDE_BY_SIDE,
    )  # fmt: skip


@blueprint.get("/curves/<keys>.svg")
def curves(keys: str) -> Response:
    """The curves of answers that are still held."""
    from wareontology.plots.firing import firings

    answers = [simulated.known(key) for key in keys.split("-")[:MOST_SIDE_BY_SIDE]]
    if not answers or any(one is None for one in answers):
        abort(404)
    drawing = firings([one for one in answers if one is not None])
    return Response(drawing, content_type="image/svg+xml", headers=PICTURE)


@blueprint.get("/sheet")
def sheet() -> str:
    """One page to take to the fire: the steps, a log for a pencil, the cautions."""
    return _sheet(plans.from_text(_text(request.args)))


def _sheet(plan: plans.Plan) -> str:
    return render_template(
        "firing/sheet.html", plan=plan, steps=steps(plan), cautions=CAUTIONS, said=plan_form.held_of(plan)
    )


def _editor(held: dict[str, str], *, kept: str = "", **more: Any) -> str:
    """The editor. What is blank shows what is usual for the structure chosen, as far as it can be read."""
    whole = {key: text for key, text in held.items() if key in ("structure", "procedure")}
    try:
        usual = plans.from_text(plan_form.toml(whole))
    except WareontologyError:
        usual = None
    return render_template(
        "firing/plan.html", sections=plan_form.sections(held, usual), held=held, kept=kept,
        cautions=CAUTIONS, members=simulated.MEMBERS,
        **{"faults": (), "said": "", "answer": None, "key": "", **more},
    )  # fmt: skip


def _keep(text: str) -> BaseResponse:
    """Begin a firing with this plan, or give a firing this plan, and go to its page by the fire."""
    from wareontology.app.collection import keep_who
    from wareontology.replica import firings_kept

    name = " ".join(request.form.get("firing", "").split())[:100]
    who = request.form.get("who", "")
    if not name or "/" in name:
        would_do = "a name for the firing, such as May 2, without a stroke (/)"
        raise BreaksShape([Fault("the form", None, "firing", name or "nothing", would_do)])
    here = store.to_save()
    there = here.get("firing", name)
    if there is not None and request.form.get("kept", "") != name:
        would_do = "another name, or that firing's own plan opened and changed"
        raise BreaksShape([Fault("the form", None, "firing", name, would_do, why="kept already")])
    firings_kept.begin(here, name, text, who=who, why=request.form.get("why", "").strip() or "planned")
    return keep_who(redirect(url_for("fire.page", name=name), 303), who)


def _text(asked: Any) -> str:
    """The text of the plan that an address asks for: shipped, kept, or the first that is shipped."""
    if asked.get("firing"):
        return _named(f"kept:{asked['firing']}")
    return _named(asked.get("example") or "covered-pit")


def _named(name: str) -> str:
    if not name.startswith("kept:"):
        if name not in plans.examples():
            abort(404)
        return plans.example_text(name)
    here = store.to_read()
    found = here.get("firing", name.removeprefix("kept:")) if here is not None else None
    if found is None or found.body is None:
        abort(404)
    return str(found.body["plan"])
