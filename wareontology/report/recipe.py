"""What `recipe` answers, as data: a batch, a match, or the roasting of galena."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from wareontology.graph.sources import sources
from wareontology.replica.recipe import Match, Measure, Recipe, match, recipe
from wareontology.replica.roast import CAUTION, roast
from wareontology.replica.slip_fit import dry_g_per_litre, fit

NOTES: Final = (
    "Oxides as an analysis prints them: iron as Fe2O3, manganese as MnO, whatever the fire made of them.",
    "What materials hold is judged and wide: low and high are 5 and 95 per cent of the draws. An analysis of "
    "your own clay outranks it.",
    "Water and shrinkage are kept apart: weigh a litre of slip, measure marked tiles of slip and of body.",
    "Fire a tile before a pot: slip fit and shrinkage first, then colour.",
)
LAW: Final = "Local codes and licensed practice decide."


def batch(parts: Mapping[str, float], batch_g: float, by: Measure) -> dict[str, Any]:
    """A batch: its ingredients, fired oxides, checks, cautions, what is modern, sources and notes.

    Raises BreaksShape as `recipe` does.

    >>> batch({"galena": 1, "quartz": 1}, 100, "weight")["cautions"][0].startswith("Roasting galena")
    True
    """
    made = recipe(parts, batch_g, by)
    return {
        "batch_g": made.batch_g,
        "by": by,
        "ingredients": [
            {
                "material": item.material.key, "label": item.material.label, "grams": round(item.grams, 2),
                "access": item.material.access, "in_the_fire": item.material.in_the_fire,
            }
            for item in made.ingredients
        ],
        "fired_g": round(made.fired_g, 2),
        "loss": round(made.loss, 4),
        "oxides": {
            oxide: {"value": round(value, 2), "low": round(low, 2), "high": round(high, 2)}
            for oxide, (value, low, high) in sorted(made.oxides.items(), key=lambda item: -item[1][0])
        },
        "checks": [
            {"check": ratio.key, "label": ratio.label, "basis": ratio.basis, "found": text or "as usual"}
            for ratio, text in made.checks
        ],
        "modern": [item.material.label for item in made.ingredients if item.material.access == "modern"],
        "cautions": _cautions(made),
        "sources": _sources(made),
        "notes": list(NOTES),
    }  # fmt: skip


def matched(target: Mapping[str, float], choices: Sequence[str]) -> dict[str, Any]:
    """Parts that come nearest to a fired composition, with keys parts, fired, residual, norm, batch, notes.

    >>> sorted(matched({"SiO2": 54, "Al2O3": 46}, ["white-clay"])["parts"])
    ['white-clay']
    """
    found: Match = match(target, choices)
    return {
        "parts": {key: round(part, 4) for key, part in found.parts.items()},
        "fired": {oxide: round(share, 2) for oxide, share in found.fired.items()},
        "residual": {oxide: round(share, 2) for oxide, share in found.residual.items()},
        "norm": round(found.norm, 3),
        "batch": batch(found.parts, 100, "weight"),
        "notes": [
            "residual: what the recipe has more (or, below 0, less) of each oxide than was asked, in grams "
            "for each 100 g fired that were asked; norm: their root of squares. Large ones: these materials "
            "cannot give it."
        ],
    }


def roasted(galena_g: float) -> dict[str, Any]:
    """The roasting of galena, its caution first.

    >>> list(roasted(10))[0]
    'caution'
    """
    step = roast(galena_g)
    masses = {
        "galena_g": step.galena_g, "lead_oxide_g": step.lead_oxide_g, "lead_g": step.lead_g,
        "oxygen_g": step.oxygen_g, "sulphur_dioxide_g": step.sulphur_dioxide_g,
    }  # fmt: skip
    return {
        "caution": f"{CAUTION} {LAW}",
        **{name: round(grams, 3) for name, grams in masses.items()},
        "notes": [
            "Pure galena, roasted through: 2 PbS + 3 O2 = 2 PbO + 2 SO2. Ore holds less; some lead goes off "
            "as fume."
        ],
    }


def slip(litre_g: float | None, shrinkage: tuple[float, float] | None) -> dict[str, Any]:
    """What was measured of a slip: its dry grams a litre, and its shrinkage beside its body's, in per cent.

    >>> slip(None, (8.0, 7.5))["shrinkage"]["difference"]
    0.5
    """
    said: dict[str, Any] = {}
    if litre_g is not None:
        dry = dry_g_per_litre(litre_g)
        said["slip"] = {"litre_g": litre_g, "dry_g": round(dry, 1), "water_g": round(litre_g - dry, 1)}
    if shrinkage:
        found = fit(*shrinkage)
        said["shrinkage"] = {"difference": round(found.difference, 2), "reading": found.reading}
    return said


def _cautions(made: Recipe) -> list[str]:
    raw = any(item.material.key == "galena-ore" for item in made.ingredients)
    hazards = dict.fromkeys(item.material.hazard for item in made.ingredients)
    return [*([CAUTION] if raw else []), *hazards, LAW]


def _sources(made: Recipe) -> list[dict[str, str]]:
    """A source beside a judged composition gives its direction, not its numbers."""
    found = {}
    for item in made.ingredients:
        for key in item.material.sources or ("",):
            name = sources().get(key, "no source") if key else "no source"
            found[item.material.key, name] = item.material.basis
    return [{"of": of, "source": source, "basis": basis} for (of, source), basis in found.items()]
