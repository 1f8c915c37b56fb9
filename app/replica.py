"""The door *I want this look*: a look and limits, ranked plans, recipes."""

from collections.abc import Mapping
from typing import Any, Final

from flask import Blueprint, Response, abort, current_app, redirect, render_template, request, url_for
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response as AnyResponse

from wareontology.app import handed_in, plan_form, reading
from wareontology.app.plans import Asked, Plans
from wareontology.errors import BreaksShape, Fault, Unreadable, WareontologyError

blueprint = Blueprint("replica", __name__, url_prefix="/look")

AT_ONCE_S: Final = 2.0
MEMBERS: Final = 1000
_COLOURS: Final = ("slip", "paint", "body", "inside", "outside")
_ROWS: Final = 4
_MOST_TEXT: Final = 200


@blueprint.get("")
def page() -> str:
    """Where a look is described, or taken from a sherd or a tradition."""
    return _form(request.args)


@blueprint.post("")
def ask() -> AnyResponse:
    """Take the question; its plans are shown on a page of their own."""
    form = request.form
    try:
        look, by = _look(form), _limits(form)
        asked = _plans().ask(look, by, current_app.config.get("PLAN_MEMBERS", MEMBERS))
    except WareontologyError as error:
        return Response(_form(form, faults=_faults(error)), 422)
    if asked is None:
        abort(503, "Several looks are being planned. Ask again when one of them is done.")
    return redirect(url_for("replica.one", key=asked.key), 303)


@blueprint.get("/plan/<key>")
def one(key: str) -> Response:
    """The plans of a look, or how far they are."""
    asked = _asked(key)
    if not asked.result.done():
        page = Response(render_template("replica/waiting.html", asked=asked))
        page.headers["Refresh"] = "3"
        return page
    error = asked.result.exception()
    if isinstance(error, WareontologyError):
        return Response(_form({}, faults=_faults(error)), 422)
    answer = asked.result.result()
    held = [plan_form.held_of(_plan(plan["toml"])) for plan in answer["plans"]]
    return Response(
        render_template("replica/plans.html", asked=asked, answer=answer, held=held, words=_words())
    )


@blueprint.get("/plan/<key>/<int:rank>.toml")
def toml(key: str, rank: int) -> Response:
    """One plan as a file that the commands simulate and log read."""
    asked = _asked(key)
    plans = asked.result.result()["plans"] if asked.result.done() else []
    if not 1 <= rank <= len(plans):
        abort(404)
    response = Response(plans[rank - 1]["toml"], content_type="application/toml; charset=utf-8")
    response.headers["Content-Disposition"] = f'attachment; filename="plan-{rank}.toml"'
    return response


@blueprint.get("/recipe")
def recipe() -> str | Response:
    """Parts of materials to what they are when fired."""
    from wareontology.replica.materials import materials
    from wareontology.report.recipe import batch

    parts: dict[str, float] = {}
    faults: list[Fault] = []
    for name, text in zip(request.args.getlist("material"), request.args.getlist("parts"), strict=False):
        try:
            parts |= {name: float(text.replace(",", "."))} if name.strip() and text.strip() else {}
        except ValueError:
            faults.append(Fault("recipe", None, name[:80], text[:80], "a number of parts above 0"))
    found = None
    grams = request.args.get("batch_g", "100")[:20]
    if parts and not faults:
        try:
            found = batch(parts, float(grams.replace(",", ".")), "weight")
        except ValueError:
            faults.append(Fault("recipe", None, "batch_g", grams, "a weight in grams above 0"))
        except BreaksShape as error:
            faults += error.faults
    rows = [*parts.items()][:_ROWS] + [("", "")] * max(0, _ROWS - len(parts))
    page = render_template(
        "replica/recipe.html",
        found=found,
        faults=faults,
        rows=rows,
        grams=grams,
        materials=materials().values(),
    )
    return Response(page, 422) if faults else page


def _form(said: Mapping[str, Any], faults: list[Fault] | tuple[Fault, ...] = ()) -> str:
    from wareontology.firing.structures import things
    from wareontology.graph.traditions import traditions
    from wareontology.graph.vocabulary import scheme
    from wareontology.technique.hypotheses import COLOURS

    values = said if isinstance(said, MultiDict) else MultiDict(said)
    return render_template(
        "replica/page.html", said=values, faults=faults, colours=COLOURS,
        fuels=things("fuel").values(), traditions=sorted(traditions().values(), key=lambda one: one.label),
        regions=scheme("region").concepts, recipe=bool(faults),
    )  # fmt: skip


def _look(form: Mapping[str, Any]) -> Any:
    """What was asked for: a record, a table that was handed in, a tradition, or a description."""
    from wareontology.replica.look import asked, described, of_sherds, target

    file = request.files.get("table")
    if file is not None and file.filename:
        table = handed_in.read(file.stream, file.filename, current_app.config)
        if table.faults:
            raise BreaksShape(table.faults)
        names = form.get("sherd", "").split()
        return of_sherds(table.sherds, table.name, names)
    if form.get("record"):
        sherd = reading.sherd(form["record"])
        return of_sherds([sherd], sherd.sherd, ())
    if form.get("tradition"):
        from wareontology.graph.traditions import tradition

        return target(tradition(form["tradition"][:_MOST_TEXT]).id)
    given = {name: form[name][:_MOST_TEXT] for name in _COLOURS if form.get(name, "").strip()}
    zone = form.get("zone", "both")
    return described(
        asked(given, zone if zone in ("inside", "outside") else "both"), form.get("region") or None
    )


def _limits(form: Any) -> Any:
    from wareontology.firing.own import OwnNumbers, from_text
    from wareontology.replica.means import Limits, checked

    file = request.files.get("own")
    own = OwnNumbers(())
    if file is not None and file.filename:
        own = from_text(file.read(1_000_000).decode("utf-8", "replace"), "your own numbers")
    reach = form.get("reach", "traded")
    without = frozenset(form.get("without", "")[:_MOST_TEXT].replace(",", " ").split())
    return checked(
        Limits(
            no_kiln="no_kiln" in form, hot="hot" in form,
            reach=reach if reach in ("local", "traded", "modern") else "traded",
            of=tuple(one for one in form.getlist("of") if one), fuels=tuple(form.getlist("fuel")),
            without=without, altitude_m=_altitude(form.get("altitude_m", "")),
            region=form.get("region") or None, own=own,
        )
    )  # fmt: skip


def _altitude(text: str) -> float:
    try:
        found = float(text.replace(",", ".")) if text.strip() else 0.0
    except ValueError:
        found = float("nan")
    if not -430 <= found <= 5500:
        raise BreaksShape(
            [Fault("limits", None, "altitude", text[:80], "metres above the sea, -430 to 5500")]
        )
    return found


def _plan(text: str) -> Any:
    from wareontology.firing.plan import from_text

    return from_text(text)


def _plans() -> Plans:
    found = current_app.extensions.setdefault("plans", Plans())
    assert isinstance(found, Plans)
    return found


def _asked(key: str) -> Asked:
    found = _plans().get(key)
    if found is None:
        abort(
            404, "This look is no longer held. Ask for it again: what was simulated is kept, so it is quick."
        )
    return found


def _faults(error: WareontologyError) -> list[Fault]:
    if isinstance(error, BreaksShape):
        return list(error.faults)
    return handed_in.refused_whole(error, "the file") if isinstance(error, Unreadable) else [
        Fault("the look", None, None, str(error), "another")
    ]  # fmt: skip


def _words() -> dict[str, Any]:
    from wareontology.report import plan_prose
    from wareontology.technique.phrases import sentence
    from wareontology.technique.words_for_odds import odds_words

    return {
        "odds": odds_words, "firing": plan_prose.firing_words, "recipe": plan_prose.recipe_words,
        "chance": plan_prose.chance_words, "remains": plan_prose.remains_words, "look": plan_prose.look_words,
        "limits": plan_prose.limit_words, "fell_out": plan_prose.fell_out,
        "sentence": sentence,
    }  # fmt: skip
