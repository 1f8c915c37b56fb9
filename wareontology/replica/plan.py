"""A plan for a look: pairs of recipe and firing ranked by the chance of the look, and why others fell out."""

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from typing import Any, Final

from wareontology import __version__
from wareontology.firing.answer import to_data
from wareontology.firing.plan_fields import FIELDS
from wareontology.firing.simulate import MEMBERS
from wareontology.firing.structures import things
from wareontology.replica import kept_runs
from wareontology.replica.after import NOTES, After
from wareontology.replica.fires import Fire
from wareontology.replica.look import Look, Wanted
from wareontology.replica.materials import materials
from wareontology.replica.means import Limits, PaintRecipe, checked, out_recipe, recipes, scarce_note
from wareontology.replica.recipe import recipe as batch
from wareontology.replica.search import Made, Search, Tried, search
from wareontology.replica.states import Fired, looks_right, simulated, states
from wareontology.replica.tiles import tiles
from wareontology.technique.limits import limits

SEED: Final = 7
RANKED: Final = 5
_TAKEN: Final = (
    "chance", "chance_low", "chance_high", "causes", "open_after_h", "under_fired_share", "fuel", "warnings",
    "ground", "steps", "members", "seed",
)  # fmt: skip
_PLACES: Final = 3

Answer = dict[str, Any]


def planned(
    look: Look, by: Limits, *, seed: int = SEED, members: int = MEMBERS,
    progress: Callable[[int, int], None] | None = None,
) -> Answer:  # fmt: skip
    """The answer to a wanted look, as plain data.

    members: firings drawn for each plan that is ranked, 100 to 20,000. Keys: software data_hash look limits
    searched plans firings recipes notes cautions. A plan has rank chance chance_low chance_high recipe firing
    wanted causes open_after_h under_fired_share fuel warnings ground remains tiles steps toml. firings and
    recipes: of each the best chance it came to, or why it fell out. Raises BreaksShape where the limits leave
    nothing.
    """
    by = checked(replace(by, region=by.region or look.region))
    tell = progress or (lambda done, of: None)
    found = search(look, by, seed, progress=lambda done, of: tell(done, of + RANKED))
    after = After(look)
    chosen = _chosen(found)
    plans = []
    for done, one in enumerate(chosen):
        tell(found.runs + done, found.runs + len(chosen))
        plans.append(_plan(one, found, members, after))
    tell(found.runs + len(chosen), found.runs + len(chosen))
    plans.sort(key=lambda one: -one["chance"])
    kept_runs.tidy()
    return {
        "software": f"wareontology {__version__}",
        "data_hash": kept_runs.data_hash(),
        "look": {"name": look.name, "wanted": [_wanted(one) for one in look.wanted]},
        "limits": _limits(by),
        "searched": {"firings": found.runs, "members": found.members, "seed": seed},
        "plans": [{"rank": rank, **one} for rank, one in enumerate(plans, 1)],
        "firings": list(_firings(found)),
        "recipes": list(_recipes(found)),
        "notes": list(NOTES),
        "cautions": list(_cautions(plans)),
    }


def _wanted(one: Wanted) -> Answer:
    return {"unit": one.unit, "side": one.side, "words": sorted(one.words)}


def _limits(by: Limits) -> Answer:
    data = asdict(by)
    return {**data, "without": sorted(by.without), "own": [asdict(one) for one in by.own.ranges]}


def _chosen(found: Search) -> list[Tried]:
    """The likeliest recipe of each firing from `plan_worth` up; where none is worth it, the likeliest."""
    ranked = found.ranked()
    best: dict[tuple[str, str], Tried] = {}
    for one in ranked:
        if one.chance >= limits()["plan_worth"]:
            best.setdefault(one.fire.pair, one)
    return list(best.values())[:RANKED] or [one for one in ranked[:1] if one.chance > 0]


def _fire(one: Tried, look: Look) -> Fire:
    """The firing as its plan is to say it: with its paint, and where black is wanted."""
    paint = next((made for unit, made in one.made.items() if unit.startswith("paint")), None)
    black = {want.side for want in look.wanted if want.unit.startswith("paint") and "black" in want.words}
    zone = "both" if len(black) != 1 else next(iter(black))
    gloss = paint is not None and paint.model == "iron-gloss"
    return one.fire.but(target_zone=zone, paint="iron-gloss" if gloss else "iron")


def _plan(one: Tried, found: Search, members: int, after: After) -> Answer:
    """One plan, simulated anew on draws that the search did not choose by."""
    fire = _fire(one, found.look)
    seed = found.seed + 1
    parts = (fire.toml(), members, seed, found.by.own, found.look.wanted, sorted(one.made))
    name = kept_runs.key("plan", *parts, [made.key for made in one.made.values()])
    kept = kept_runs.get(name)
    if kept is None:
        kept = json.dumps(_told(fire, one.made, found, members, seed)).encode()
        kept_runs.put(name, kept)
    told: Answer = json.loads(kept)
    return {
        "chance": told["chance"], "chance_low": told["chance_low"], "chance_high": told["chance_high"],
        "recipe": {unit: _recipe(made, found.by) for unit, made in one.made.items()},
        "firing": {
            "name": fire.plan.name, "structure": fire.structure, "procedure": fire.procedure,
            "values": _given(fire),
        },
        **{key: told[key] for key in _TAKEN if not key.startswith("chance")},
        "wanted": told["wanted"],
        "remains": after.remains(fire.procedure, one.made),
        "tiles": [_step(step) for step in tiles(one.made)],
        "toml": fire.toml(),
    }  # fmt: skip


def _told(fire: Fire, made: Made, found: Search, members: int, seed: int) -> Answer:
    runs = simulated(fire.plan, members, seed, found.by.own)
    fired = states(runs)
    success = looks_right(fired, made, found.look.wanted)
    said = to_data(replace(runs[fire.plan.paint], success=success))
    return {
        **{key: said[key] for key in _TAKEN},
        "wanted": [_came(fired, made, one) for one in found.look.wanted],
    }


def _came(fired: Fired, made: Made, one: Wanted) -> Answer:
    """How often one layer on one surface is as wanted."""
    share = float(fired.right(made[one.unit], one).mean())
    return {**_wanted(one), "recipe": made[one.unit].key, "share": round(share, _PLACES)}


def _given(fire: Fire) -> list[Answer]:
    meaning = {(one.section, one.name): one.meaning for one in FIELDS}
    return [
        {"section": section, "name": name, "value": value, "meaning": meaning[section, name]}
        for (section, name), value in fire.values.items()
        if section
    ]


def _recipe(made: PaintRecipe, by: Limits) -> Answer:
    found = batch(dict(made.parts))
    alike = [one.label for one in recipes()
             if one.model == made.model and one.key != made.key
             and not out_recipe(one, by)]  # fmt: skip
    return {
        "key": made.key, "label": made.label, "made_of": made.made_of, "basis": made.basis,
        "parts": dict(made.parts),
        "materials": [
            {"key": item.material.key, "label": item.material.label, "access": item.material.access,
             "grams": round(item.grams, 1), "hazard": item.material.hazard}
            for item in found.ingredients
        ],
        "oxides": {oxide: round(ends[0], 1) for oxide, ends in found.oxides.items()},
        "checks": [text or ratio.label for ratio, text in found.checks],
        "notes": [note for note in (made.note, scarce_note(made, by.region)) if note],
        "also": alike,
    }  # fmt: skip


def _step(step: Any) -> Answer:
    return {"title": step.title, "do": step.do, "until": step.until}


def _firings(found: Search) -> Iterator[Answer]:
    """Every structure with every end: the best chance it came to, or why it was left out."""
    best: dict[tuple[str, str], Tried] = {}
    for one in found.ranked():
        best.setdefault(one.fire.pair, one)
    for pair, one in best.items():
        said = {"structure": pair[0], "procedure": pair[1], "chance": round(one.chance, _PLACES),
                "recipe": [made.key for made in one.made.values()]}  # fmt: skip
        yield {**said, "why": "" if one.chance >= limits()["plan_worth"] else _why(found, one)}
    for (structure, procedure), why in found.out_firings.items():
        yield {"structure": structure, "procedure": procedure, "chance": None, "recipe": [], "why": why}


def _recipes(found: Search) -> Iterator[Answer]:
    """Every recipe: the best chance it came to in any firing, or why it was left out."""
    best: dict[str, Tried] = {}
    for one in found.ranked():
        for made in one.made.values():
            best.setdefault(made.key, one)
    labels = {one.key: one.label for one in recipes()}
    for key, one in best.items():
        low = one.chance < limits()["plan_worth"]
        yield {"recipe": key, "label": labels[key], "chance": round(one.chance, _PLACES),
               "firing": list(one.fire.pair), "why": _why(found, one) if low else ""}  # fmt: skip
    for key, why in found.out_recipes.items():
        if key in best:
            continue  # left out of one layer, used in another
        yield {"recipe": key, "label": labels[key], "chance": None, "firing": [], "why": why}


def _why(found: Search, one: Tried) -> str:
    """Which layer on which surface fails most, and how often it is right."""
    states = found.fired(one.fire)
    came = [_came(states, one.made, want) for want in found.look.wanted]
    worst = min(came, key=lambda said: said["share"])
    smoked = float(states.smoked[0 if worst["side"] == "outside" else 1].mean())
    smoke = (
        f", smoked in {_in_100(smoked)}"
        if smoked > 0.5 * (1 - worst["share"]) and worst["share"] < 0.5
        else ""
    )
    unit = worst["unit"].replace(":", " ")
    return f"{unit} {worst['side']} {' or '.join(worst['words'])} in {_in_100(worst['share'])}{smoke}"


def _in_100(share: float) -> str:
    return f"{100 * share:.0f} of 100"


def _cautions(plans: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    from wareontology.firing.steps import CAUTIONS

    used = {one["key"] for plan in plans for made in plan["recipe"].values() for one in made["materials"]}
    yield from CAUTIONS
    yield from dict.fromkeys(one.hazard for key, one in materials().items() if key in used)


def pair_words(structure: str, procedure: str) -> str:
    """A structure and an end of its fire in words.

    >>> pair_words("covered-pit", "smother")
    'covered pit, smothered in place'
    """
    return f"{things('structure')[structure].label}, {things('procedure')[procedure].label}"
