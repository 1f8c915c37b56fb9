"""Water and shrinkage of a slip: whether it brushes and whether it stays on. Measured, not computed."""

from dataclasses import dataclass
from typing import Final

from wareontology.errors import OutOfRange

CLAY_DENSITY: Final = 2.65
"""g/cm3 of quartz and clay minerals together; from memory, unverified. A pigment is denser: give its own."""
FITS_WITHIN: Final = 1.0
"""Per cent of difference in shrinkage taken to fit (judgement; a tile decides)."""


def dry_g_per_litre(slip_g_per_litre: float, density_g_per_cm3: float = CLAY_DENSITY) -> float:
    """Grams of dry matter in a litre of slip, from the weight of that litre.

    Equation: what a litre weighs over a litre of water, times G / (G - 1), G the density of the dry matter
    over that of water: two volumes that sum to a litre. Raises OutOfRange for a litre lighter than water or
    heavier than the dry matter.

    >>> round(dry_g_per_litre(1325))
    522
    """
    high = 1000 * density_g_per_cm3
    if not 1000 <= slip_g_per_litre <= high:
        raise OutOfRange(
            "slip_g_per_litre", slip_g_per_litre, 1000, high, "a mixture of water and dry matter"
        )
    return (slip_g_per_litre - 1000) * density_g_per_cm3 / (density_g_per_cm3 - 1)


@dataclass(frozen=True, slots=True)
class Fit:
    """How much more a slip shrinks than its body, in per cent, and what to look for."""

    difference: float
    reading: str


def shrinkage_percent(wet_mm: float, fired_mm: float) -> float:
    """Shrinkage of a mark drawn wet and measured after the fire. Raises OutOfRange for a mark of no length.

    >>> shrinkage_percent(100, 92)
    8.0
    """
    if not wet_mm > 0 or not fired_mm > 0:
        raise OutOfRange("mark_mm", min(wet_mm, fired_mm), 1e-3, 1e4, "a length on a tile")
    return 100 * (wet_mm - fired_mm) / wet_mm


def fit(slip_percent: float, body_percent: float) -> Fit:
    """What the difference of two shrinkages leads to (common practice).

    >>> fit(12, 7).reading
    'The slip shrinks more than its body: look for crazing and, when dry, curling edges.'
    """
    difference = slip_percent - body_percent
    if abs(difference) <= FITS_WITHIN:
        return Fit(difference, "The shrinkages are near enough: fire a tile before a pot.")
    if difference > 0:
        return Fit(
            difference, "The slip shrinks more than its body: look for crazing and, when dry, curling edges."
        )
    return Fit(
        difference, "The slip shrinks less than its body: look for peeling and for flakes at rims and edges."
    )
