"""A recipe: parts of materials to what they are when fired, and back from a fired composition to parts.

Fired oxides, water and shrinkage are kept apart: the oxides say what the paint is, the water how it brushes,
the shrinkage whether it stays on.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from wareontology.errors import BreaksShape, Fault
from wareontology.replica.materials import Material, TradeRatio, named, trade_ratios
from wareontology.replica.oxides import OXIDES, fired

Floats: TypeAlias = NDArray[np.float64]
Measure: TypeAlias = Literal["weight", "volume"]

DRAWS: Final = 1000
SEED: Final = 20261125
_ENDS: Final = (5, 95)  # per cent of the draws: low and high of an oxide


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One material of a batch: grams, dry and raw."""

    material: Material
    grams: float


@dataclass(frozen=True, slots=True)
class Recipe:
    """A batch. oxides: weight per cent when fired, each (value, low, high) over what materials vary.
    loss: share of the dry batch that goes in the fire. checks: what the trade's ratios say of it."""

    ingredients: tuple[Ingredient, ...]
    batch_g: float
    fired_g: float
    loss: float
    oxides: Mapping[str, tuple[float, float, float]]
    checks: tuple[tuple[TradeRatio, str], ...]


def recipe(parts: Mapping[str, float], batch_g: float = 100.0, by: Measure = "weight") -> Recipe:
    """What parts of materials come to.

    parts: material (any of its names) to parts, each above zero; batch_g: dry grams in all; by volume, parts
    are of loose dry powder and its bulk density turns them into weight. Raises BreaksShape for an unknown
    material, a part that is not above zero, or a recipe that sums to nothing.

    >>> made = recipe({"red ochre": 2, "red clay": 1}, 90)
    >>> [round(item.grams) for item in made.ingredients], made.oxides["Fe2O3"][0] > 40
    ([60, 30], True)
    """
    if not parts or batch_g <= 0 or not np.isfinite(batch_g):
        raise _refused(
            "batch", f"{batch_g:g} g of {len(parts)} materials", "one material or more and a weight above 0 g"
        )
    for name, part in parts.items():
        if part <= 0 or not np.isfinite(part):
            raise _refused(name, f"{part:g} parts", "a number above 0")
    weights: dict[str, float] = {}
    for name, part in parts.items():
        material = named(name)
        weight = part * (material.bulk_density_g_per_cm3 if by == "volume" else 1.0)
        weights[material.key] = weights.get(material.key, 0.0) + weight
    total = sum(weights.values())
    ingredients = tuple(Ingredient(named(key), batch_g * weight / total) for key, weight in weights.items())
    return _made(ingredients, batch_g)


def _made(ingredients: tuple[Ingredient, ...], batch_g: float) -> Recipe:
    best: Floats = sum((item.grams * _oxides(item.material) for item in ingredients), np.zeros(len(OXIDES)))
    if best.sum() <= 0:
        raise _refused("batch", "nothing left after the fire", "a material that holds an oxide")
    generator = np.random.default_rng(SEED)
    drawn = np.zeros((DRAWS, len(OXIDES)))
    for item in ingredients:
        drawn += item.grams * _drawn(item.material, generator)
    share = 100 * drawn / drawn.sum(axis=1, keepdims=True)
    low, high = np.percentile(share, _ENDS, axis=0)
    value = 100 * best / best.sum()
    oxides = {
        oxide: (float(value[i]), float(min(low[i], value[i])), float(max(high[i], value[i])))
        for i, oxide in enumerate(OXIDES)
        if value[i] > 0
    }
    return Recipe(
        ingredients,
        batch_g,
        float(best.sum()),
        float(1 - best.sum() / batch_g),
        oxides,
        tuple(_checks(ingredients)),
    )


def _oxides(material: Material) -> Floats:
    left = material.fired().oxides
    return np.array([left.get(oxide, 0.0) for oxide in OXIDES])


def _drawn(material: Material, generator: np.random.Generator) -> Floats:
    """Oxides of one gram, over what the material varies: shares drawn triangular, put to a sum of one."""
    minerals = np.array(
        [[fired(part.formula).oxides.get(oxide, 0.0) for oxide in OXIDES] for part in material.parts]
    )
    drawn = [generator.triangular(part.low, part.share, part.high, DRAWS) for part in material.parts]
    shares = np.stack(drawn, axis=1)
    return np.asarray(shares / shares.sum(axis=1, keepdims=True) @ minerals)


def _checks(ingredients: Sequence[Ingredient]) -> list[tuple[TradeRatio, str]]:
    grams: dict[str, float] = {}
    for item in ingredients:
        grams[item.material.kind] = grams.get(item.material.kind, 0.0) + item.grams
    said = []
    for ratio in trade_ratios():
        if ratio.never is not None:
            if any(item.material.key == ratio.never for item in ingredients):
                said.append((ratio, ratio.over))
        elif ratio.of is not None and ratio.to is not None and _bound(ratio, grams):
            have = grams.get(ratio.of, 0.0) / grams[ratio.to] if grams.get(ratio.to) else float("inf")
            text = ratio.under if have < ratio.low else ratio.over if have > ratio.high else ""
            said.append((ratio, text))
    return said


def _bound(ratio: TradeRatio, grams: Mapping[str, float]) -> bool:
    """Whether a ratio concerns this batch: one for iron paint needs an iron pigment and no lead."""
    if ratio.to == "lead mineral":
        return "lead mineral" in grams
    return ratio.of in grams and "lead mineral" not in grams


@dataclass(frozen=True, slots=True)
class Match:
    """Parts by weight that come nearest to a fired composition, and what stays over for each oxide."""

    parts: Mapping[str, float]
    fired: Mapping[str, float]
    residual: Mapping[str, float]
    norm: float


def match(target: Mapping[str, float], choices: Sequence[str]) -> Match:
    """From a fired composition (weight per cent of oxides) back to parts of the materials given.

    Non-negative least squares: the parts p >= 0 that make |A p - t| least, A the fired oxides of one gram of
    each material and t the target put to a sum of one; parts are then put to a sum of one. Raises BreaksShape
    for an oxide that is not known, a share below zero, or nothing to match.

    >>> found = match({"Fe2O3": 60, "SiO2": 25, "Al2O3": 15}, ["red-ochre", "white-clay", "lime"])
    >>> found.parts["red-ochre"] > 0.8, found.parts.get("lime", 0) < 0.05
    (True, True)
    """
    from scipy.optimize import nnls

    for oxide, share in target.items():
        if oxide not in OXIDES or share < 0:
            raise _refused("oxide", f"{oxide} {share:g} %", f"0 or more of {', '.join(OXIDES)}")
    total = sum(target.values())
    if not choices or total <= 0:
        raise _refused(
            "target", f"{total:g} % in {len(choices)} materials", "a composition above 0 and a material"
        )
    chosen = list(dict.fromkeys(named(name).key for name in choices))
    matrix = np.stack([_oxides(named(key)) for key in chosen], axis=1)
    aim = np.array([target.get(oxide, 0.0) for oxide in OXIDES]) / total
    grams, norm = nnls(matrix, aim)
    if grams.sum() <= 0:
        raise _refused("target", "nothing the materials hold", "a material that holds one of its oxides")
    left = matrix @ grams
    parts = {key: float(gram / grams.sum()) for key, gram in zip(chosen, grams, strict=True) if gram > 0}
    shares = {oxide: float(100 * left[i] / left.sum()) for i, oxide in enumerate(OXIDES) if left[i] > 0}
    residual = {oxide: float(100 * (left[i] - aim[i])) for i, oxide in enumerate(OXIDES) if left[i] or aim[i]}
    return Match(parts, shares, residual, float(100 * norm))


def _refused(column: str, found: str, would_do: str) -> BreaksShape:
    return BreaksShape([Fault("recipe", None, column, found, would_do)])
