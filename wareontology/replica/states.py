"""What a simulated firing makes of every paint and clay, and how often that is the look that is wanted."""

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from wareontology.firing import outcomes, uncertain
from wareontology.firing.draws import Draws
from wareontology.firing.own import OwnNumbers
from wareontology.firing.plan import Plan
from wareontology.firing.simulate import Simulation, simulate
from wareontology.firing.uncertain import FIRES_A_SET
from wareontology.redox.arrays import Floats, floats
from wareontology.replica import kept_runs
from wareontology.replica.fires import Fire
from wareontology.replica.look import Wanted
from wareontology.replica.means import PaintRecipe, colours

STATES: Final[Mapping[str, tuple[str, ...]]] = {
    "iron": ("black", "brown", "red"),
    "iron-gloss": ("black", "brown", "red"),
    "organic": ("black", "brown", "gone"),
    "manganese": ("black", "brown", "green"),
}
_SIDE: Final = {"outside": 0, "inside": 1}
Codes = NDArray[np.uint8]
Mask = NDArray[np.bool_]


@dataclass(frozen=True)
class Fired:
    """One firing's ensemble: of each model the state of each surface, place and member, (2, 3, members)."""

    codes: Mapping[str, Codes]
    smoked: Mask
    under_fired: Floats

    @property
    def members(self) -> int:
        return int(self.smoked.shape[-1])

    def right(self, recipe: PaintRecipe, wanted: Wanted) -> Mask:
        """Where a recipe looks as is wanted on a surface, (3, members)."""
        side = _SIDE[wanted.side]
        smoked = self.smoked[side]
        sooty = bool(colours()["smoked", "smoked"] & wanted.words)
        if recipe.model == "iron-manganese":  # black whatever the fire, so no state is computed
            clean = np.full(smoked.shape, bool(colours()["iron-manganese", "black"] & wanted.words))
        else:
            model = recipe.model if recipe.model in STATES else "iron"
            clean = _fits(recipe.model, model, wanted.words)[self.codes[model][side]]
        return np.where(smoked, sooty, clean)


@cache
def _fits(of: str, model: str, words: frozenset[str]) -> Mask:
    return np.array([bool(colours()[of, state] & words) for state in STATES[model]])


def looks_right(fired: Fired, made: Mapping[str, PaintRecipe], wanted: Sequence[Wanted]) -> Floats:
    """Chance of the look of each member, 0 to 1: the share of its places where all is as wanted."""
    whole = np.ones(fired.smoked.shape[1:], dtype=bool)
    for one in wanted:
        whole &= fired.right(made[one.unit], one)
    return floats(whole.mean(axis=0))


def simulated(plan: Plan, members: int, seed: int, own: OwnNumbers) -> Mapping[str, Simulation]:
    """The ensemble of a plan with either iron paint. One course for both: what a fire does does not hang on
    the paint."""
    plain = replace(plan, paint="iron")
    iron = simulate(plain, members, seed, own=own.of_plan(plain))
    fine = replace(plan, paint="iron-gloss")
    drawn = uncertain.draw(
        fine, iron.table, Draws(iron.table, iron.sets, FIRES_A_SET, seed), own.of_plan(fine)
    )
    drawn["at_cover_c"] = iron.drawn["at_cover_c"]
    made = outcomes.outcome(fine, iron.table, drawn, iron.course)
    return {"iron": iron, "iron-gloss": replace(iron, plan=fine, drawn=drawn, outcome=made)}


def fired(fire: Fire, members: int, seed: int, own: OwnNumbers) -> Fired:
    """The states of a firing, from those kept on the disk where they are there."""
    name = kept_runs.key("states", fire.toml(), members, seed, own)
    kept = kept_runs.get(name)
    if kept is not None:
        return _from_bytes(kept)
    found = states(simulated(fire.plan, members, seed, own))
    kept_runs.put(name, _to_bytes(found))
    return found


def states(runs: Mapping[str, Simulation]) -> Fired:
    """What every model ended as in a firing's ensemble."""
    codes = {paint: _iron(one) for paint, one in runs.items()}
    iron = runs["iron"]
    black, stain = (iron.table.value("fire-paint", name) for name in ("carbon_black", "carbon_stain"))
    shape = codes["iron"].shape
    left = np.broadcast_to(iron.outcome.carbon_left, shape)
    codes["organic"] = np.select([left > black, left > stain], [0, 1], 2).astype(np.uint8)
    codes["manganese"] = np.broadcast_to(iron.outcome.manganese, shape).astype(np.uint8)
    smoked = np.broadcast_to(iron.outcome.smoked > 0, shape)
    return Fired(codes, smoked, iron.outcome.under_fired)


def _iron(one: Simulation) -> Codes:
    black, red = one.outcome.black(one.drawn) > 0, one.outcome.turned_red(one.drawn) > 0
    return np.select([black, red], [0, 2], 1).astype(np.uint8)


def _to_bytes(found: Fired) -> bytes:
    out = io.BytesIO()
    arrays: dict[str, Any] = {name.replace("-", "_"): code for name, code in found.codes.items()}
    np.savez_compressed(out, smoked=found.smoked, under_fired=found.under_fired, **arrays)
    return out.getvalue()


def _from_bytes(body: bytes) -> Fired:
    with np.load(io.BytesIO(body), allow_pickle=False) as file:
        codes = {name: file[name.replace("-", "_")] for name in STATES}
        return Fired(codes, file["smoked"], file["under_fired"])
