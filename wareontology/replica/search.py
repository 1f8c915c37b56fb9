"""The search: every firing with every recipe within the limits, the best bettered one thing at a time.

All are tried on the same draws, so that differences are of the firings and not of luck. What comes out best
of many is partly luck of those draws: what is ranked is simulated anew, on other draws (replica.plan).
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import Final

from wareontology.errors import BreaksShape, Fault
from wareontology.firing.structures import things
from wareontology.replica.fires import Fire, changes, first
from wareontology.replica.look import Look
from wareontology.replica.means import (
    Limits,
    PaintRecipe,
    at_hand,
    out_procedure,
    out_recipe,
    out_structure,
    recipes,
    scarce_note,
)
from wareontology.replica.states import Fired, fired, looks_right
from wareontology.technique.limits import limits

MEMBERS: Final = 160
BETTERED: Final = 3
"""Pairs of structure and ending that are bettered."""
_GAIN: Final = 0.01
"""A change that gains less is not made."""

Pair = tuple[str, str]
Made = Mapping[str, PaintRecipe]
"""A recipe for each layer of the look."""


@dataclass(frozen=True)
class Tried:
    """A firing with recipes, and the share of its places that have the look."""

    fire: Fire
    made: Made
    chance: float


@dataclass
class Search:
    """What was tried: of every pair of firing and every set of recipes the best; what a limit left out."""

    look: Look
    by: Limits
    seed: int
    members: int = MEMBERS
    best: dict[tuple[Pair, tuple[str, ...]], Tried] = field(default_factory=dict)
    out_firings: dict[Pair, str] = field(default_factory=dict)
    out_recipes: dict[str, str] = field(default_factory=dict)
    runs: int = 0

    def fired(self, fire: Fire) -> Fired:
        """The states of one firing."""
        return fired(fire, self.members, self.seed, self.by.own)

    def ranked(self) -> list[Tried]:
        """All that was tried, the likeliest first; of equals the one tried first."""
        return sorted(self.best.values(), key=lambda one: -one.chance)


def search(
    look: Look, by: Limits, seed: int, members: int = MEMBERS,
    progress: Callable[[int, int], None] | None = None,
) -> Search:  # fmt: skip
    """Try all within the limits. Raises BreaksShape where the limits leave no recipe, fuel or firing."""
    found = Search(look, by, seed, members)
    makes = list(_makes(found))
    pairs = list(_pairs(found))
    _must_leave_something(found, makes, pairs)
    tell = progress or (lambda done, of: None)
    budget = len(pairs) + BETTERED * max(len(list(changes(*pair, by))) for pair in pairs)
    for pair in pairs:
        _try(found, first(*pair, by), makes)
        tell(found.runs, budget)
    for one in [one for one in _by_pair(found) if one.chance > 0][:BETTERED]:
        for change in changes(*one.fire.pair, by):
            one = _bettered(found, one, change, makes)
            tell(min(found.runs, budget - 1), budget)
    tell(budget, budget)
    return found


def _makes(found: Search) -> Iterator[Made]:
    """Every set of recipes for the layers of the look; of recipes that do alike in the fire the first. Clay
    that is scarce in the region comes last, so that of equals another is taken."""
    units = found.look.units()
    choices = []
    for unit in units:
        layer = "paint" if unit.startswith("paint") else "clay"
        alike: dict[str, PaintRecipe] = {}
        for recipe in recipes():
            if recipe.layer == layer:
                reason = out_recipe(recipe, found.by) or _read_otherwise(recipe, unit, found)
                if reason:
                    found.out_recipes[recipe.key] = reason
                else:
                    alike.setdefault(recipe.model, recipe)
        choices.append(sorted(alike.values(), key=lambda one: bool(scarce_note(one, found.by.region))))
    for chosen in product(*choices):
        yield dict(zip(units, chosen, strict=True))


def _read_otherwise(recipe: PaintRecipe, unit: str, found: Search) -> str:
    """Where a thing that was made is to be made again: what its layer hardly was is left out, unless the
    material is asked for."""
    odds = found.look.read.get(unit)
    asked_for = recipe.layer == "paint" and found.by.of
    if not odds or asked_for or odds.get(recipe.made_of, 0.0) >= limits()["claim_rival"]:
        return ""
    return f"the {unit.replace(':', ' ')} is read as another material"


def _pairs(found: Search) -> Iterator[Pair]:
    for structure in things("structure").values():
        out = out_structure(structure.name, found.by)
        for procedure in structure.ends:
            reason = out or out_procedure(procedure, found.by) or _no_cover(procedure, found.by)
            if reason:
                found.out_firings[structure.name, procedure] = reason
            else:
                yield structure.name, procedure


def _no_cover(procedure: str, by: Limits) -> str:
    covers = "covers" in things("procedure")[procedure].does
    return "no cover is left" if covers and not at_hand("cover", by) else ""


def _must_leave_something(found: Search, makes: Sequence[Made], pairs: Sequence[Pair]) -> None:
    left = {"recipe": makes, "firing": pairs, "fuel": at_hand("fuel", found.by)}
    faults = [
        Fault("limits", None, what, "none left", "fewer or wider limits")
        for what, some in left.items()
        if not some
    ]
    if faults:
        raise BreaksShape(faults)


def _try(found: Search, fire: Fire, makes: Sequence[Made]) -> Fired:
    states = found.fired(fire)
    found.runs += 1
    for made in makes:
        chance = float(looks_right(states, made, found.look.wanted).mean())
        key = fire.pair, tuple(one.key for one in made.values())
        if key not in found.best or chance > found.best[key].chance:
            found.best[key] = Tried(fire, made, chance)
    return states


def _by_pair(found: Search) -> list[Tried]:
    """The best of each firing, the likeliest first."""
    firsts: dict[Pair, Tried] = {}
    for one in found.ranked():
        firsts.setdefault(one.fire.pair, one)
    return list(firsts.values())


def _bettered(found: Search, one: Tried, change: Mapping[str, float | str], makes: Sequence[Made]) -> Tried:
    fire = one.fire.but(**change)
    if fire.values == one.fire.values:
        return one
    states = _try(found, fire, makes)
    chance = float(looks_right(states, one.made, found.look.wanted).mean())
    return Tried(fire, one.made, chance) if chance > one.chance + _GAIN else one
