"""Roasting galena: the masses that go in and come off, and the caution that stands before them."""

from dataclasses import dataclass
from typing import Final

from wareontology.errors import OutOfRange
from wareontology.replica.oxides import molar_mass

CAUTION: Final = (
    "Roasting galena gives off lead fume and sulphur dioxide. Both can kill, and lead stays in soil, clothes "
    "and blood. Do not do it without a licensed place, its filters and its protection; local codes decide. "
    "Never on a kitchen fire, never near children, never for food ware."
)


@dataclass(frozen=True, slots=True)
class Roast:
    """Grams for a mass of pure galena roasted through: 2 PbS + 3 O2 -> 2 PbO + 2 SO2."""

    galena_g: float
    lead_oxide_g: float
    lead_g: float
    oxygen_g: float
    sulphur_dioxide_g: float


def roast(galena_g: float) -> Roast:
    """Mass balance of the roast. galena_g: 0 or more. Raises OutOfRange below that.

    >>> step = roast(100)
    >>> round(step.lead_oxide_g, 2), round(step.sulphur_dioxide_g, 2)
    (93.29, 26.78)
    """
    if not galena_g >= 0 or galena_g == float("inf"):
        raise OutOfRange("galena_g", galena_g, 0, 1e6, "a mass")
    moles = galena_g / molar_mass("PbS")
    return Roast(
        galena_g, moles * molar_mass("PbO"), moles * molar_mass("Pb"),
        1.5 * moles * molar_mass("O2"), moles * molar_mass("SO2"),
    )  # fmt: skip
