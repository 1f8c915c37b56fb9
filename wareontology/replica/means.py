"""What a plan may be made with: recipes, covers and fuels, and why a limit leaves one out."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType
from typing import Final

from wareontology.data_rows import rows
from wareontology.errors import BreaksShape, Fault
from wareontology.firing.own import OwnNumbers
from wareontology.firing.structures import KINDS, things
from wareontology.graph.vocabulary import white_firing_clay
from wareontology.replica.materials import ACCESS, materials
from wareontology.technique.hypotheses import family_of
from wareontology.technique.limits import limits

RECIPES: Final = "paint_recipes.csv"
MEANS: Final = "means.csv"
COLOURS: Final = "look_colours.csv"


@dataclass(frozen=True, slots=True)
class PaintRecipe:
    """A paint or a clay. parts: material to parts by weight. model: what of a simulated firing it follows."""

    key: str
    layer: str
    label: str
    made_of: str
    model: str
    parts: Mapping[str, float]
    basis: str
    source: str
    note: str

    @property
    def access(self) -> str:
        """How far its makers had to reach for the scarcest of it: local, traded or modern."""
        return max((materials()[key].access for key in self.parts), key=ACCESS.index)


@dataclass(frozen=True, slots=True)
class Limits:
    """What a plan may not go beyond. no_kiln: nothing that is often found where it stood. hot: may be opened
    hot. reach: local, traded or modern. of: materials or families the paint must be of, empty for all. fuels:
    those at hand, empty for all. without: names left out. own: a person's own ranges."""

    no_kiln: bool = False
    hot: bool = False
    reach: str = "traded"
    of: tuple[str, ...] = ()
    fuels: tuple[str, ...] = ()
    without: frozenset[str] = frozenset()
    altitude_m: float = 0.0
    region: str | None = None
    own: OwnNumbers = field(default_factory=lambda: OwnNumbers(()))


@cache
def recipes() -> tuple[PaintRecipe, ...]:
    """Every recipe, in the order of the file.

    >>> [one.key for one in recipes() if one.made_of == "gloss"]
    ['fine-iron-paint']
    """
    return tuple(
        PaintRecipe(
            row["key"], row["layer"], row["label"], row["made_of"], row["model"], _parts(row["parts"]),
            row["basis"], row["source"], row["note"],
        )
        for row in rows(RECIPES)
    )  # fmt: skip


def _parts(text: str) -> Mapping[str, float]:
    pairs = (word.split("=") for word in text.split())
    return MappingProxyType({key: float(number) for key, number in pairs})


@cache
def colours() -> Mapping[tuple[str, str], frozenset[str]]:
    """Model and state to the colour words it is called by; empty where there is nothing to see.

    >>> sorted(colours()["iron", "red"])
    ['orange', 'red']
    """
    return MappingProxyType(
        {(row["model"], row["state"]): frozenset(row["colours"].split()) for row in rows(COLOURS)}
    )


@cache
def _means() -> Mapping[tuple[str, str], Mapping[str, str]]:
    return MappingProxyType({(row["kind"], row["name"]): row for row in rows(MEANS)})


def ways(procedure: str) -> tuple[frozenset[str], frozenset[str]]:
    """Atmospheres and endings that a pot fired so may be read as.

    >>> ways("mouth-down")[1]
    frozenset({'mouth-down'})
    """
    row = _means()["procedure", procedure]
    return frozenset(row["atmosphere"].split()), frozenset(row["ending"].split())


def checked(limits_wanted: Limits) -> Limits:
    """The limits with their names as data have them; BreaksShape that offers the nearest for one unknown."""
    from difflib import get_close_matches

    known = {one.key for one in recipes()} | set(materials())
    known |= {name for kind in KINDS for name in things(kind)}
    faults = [
        Fault("limits", None, "--without", name, ", ".join(get_close_matches(name, sorted(known), 3, 0.4)))
        for name in sorted(limits_wanted.without - known)
    ]
    fuels = things("fuel")
    kinds = {
        word for one in recipes() if one.layer == "paint" for word in (one.made_of, family_of(one.made_of))
    }
    faults += [
        Fault("limits", None, "--of", name, ", ".join(sorted(kinds)))
        for name in limits_wanted.of
        if name not in kinds
    ]
    faults += [
        Fault("limits", None, "--fuel", name, ", ".join(fuels))
        for name in limits_wanted.fuels
        if name not in fuels
    ]
    if faults:
        raise BreaksShape(faults)
    return limits_wanted


def out_recipe(one: PaintRecipe, by: Limits) -> str:
    """Why a recipe is left out before any firing; empty where it is not."""
    struck = sorted({one.key, *one.parts} & by.without)
    if struck:
        return f"{struck[0]} is to be done without"
    if one.layer == "paint" and by.of and not {one.made_of, family_of(one.made_of)} & set(by.of):
        return f"the paint is to be of {' or '.join(by.of)}"
    if ACCESS.index(one.access) > ACCESS.index(by.reach):
        modern = ", ".join(
            materials()[key].label for key in one.parts if materials()[key].access == one.access
        )
        return f"{one.access} only: {modern}"
    scarce = by.region is not None and white_firing_clay(by.region).value == "scarce"
    if one.layer == "clay" and one.made_of == "white-firing" and scarce and by.reach == "local":
        return "clay that stays white in air is scarce in the region"
    if one.model == "none":
        return one.note
    return ""


def scarce_note(one: PaintRecipe, region: str | None) -> str:
    """What geology says of a clay in a region; empty where there is nothing to say.

    >>> scarce_note(recipes()[-4], "colorado-plateau").split(";")[0]
    'Clay that stays white in air is scarce in the region'
    """
    if one.made_of != "white-firing" or region is None or white_firing_clay(region).value != "scarce":
        return ""
    return (
        "Clay that stays white in air is scarce in the region; its makers may have had it from far, or not."
    )


def out_structure(name: str, by: Limits) -> str:
    """Why a structure is left out; empty where it is not."""
    if name in by.without:
        return f"{name} is to be done without"
    if by.no_kiln and kiln_found(name) >= limits()["plan_kiln_found"]:
        return f"a kiln feature: traces of it are found at about {10 * kiln_found(name):.0f} in 10 (judged)"
    return ""


@cache
def kiln_found(structure: str) -> float:
    """Chance that kiln walls, furniture or wasters are found where such a structure stood (likelihoods.csv).

    >>> kiln_found("covered-pit") < kiln_found("updraft-kiln")
    True
    """
    table = rows("likelihoods.csv")
    return next(
        float(row["value"])
        for row in table
        if (row["table"], row["given"], row["outcome"]) == ("kiln_evidence", structure, "found")
    )


def out_procedure(name: str, by: Limits) -> str:
    """Why a way of ending the fire is left out; empty where it is not."""
    if name in by.without:
        return f"{name} is to be done without"
    if "opens hot" in things("procedure")[name].does and not by.hot:
        return "opened hot: unproven, a calculation without a firing behind it; cold opening is the default"
    return ""


def at_hand(kind: str, by: Limits) -> tuple[str, ...]:
    """Fuels or covers that may be used, in the order of data/structures.ttl.

    >>> "metal-lid" in at_hand("cover", Limits()), at_hand("fuel", Limits(fuels=("dung",)))
    (False, ('dung',))
    """
    wanted = by.fuels if kind == "fuel" and by.fuels else tuple(things(kind))
    given = kind == "fuel" and bool(by.fuels)
    return tuple(
        name
        for name in wanted
        if (kind, name) in _means()
        and name not in by.without
        and (given or ACCESS.index(_means()[kind, name]["access"]) <= ACCESS.index(by.reach))
    )
