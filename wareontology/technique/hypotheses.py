"""The questions that are asked of a sherd and the answers they may have.

The names are those of the schemes in data/vocabulary.ttl; a test holds the two equal.
"""

from typing import Final

from wareontology.firing.regimes import AIR as AIR
from wareontology.firing.regimes import ATMOSPHERE as ATMOSPHERE
from wareontology.firing.regimes import ENDING as ENDING
from wareontology.firing.regimes import REGIMES as REGIMES
from wareontology.firing.regimes import TEMPERATURE as TEMPERATURE

PAINT: Final = (
    "iron",
    "iron-organic",
    "manganese",
    "iron-manganese",
    "organic",
    "gloss",
    "lead-copper-glaze",
    "alkaline-glaze",
    "graphite",
    "chromite",
    "white-clay",
    "carbonate-white",
    "other-white",
)
FAMILY: Final = {
    "iron": "iron-family",
    "iron-organic": "iron-family",
    "manganese": "manganese-family",
    "iron-manganese": "manganese-family",
}
"""Paint material to family; a material that is not listed is a family of its own."""

BODY: Final = ("white-firing", "light-firing", "calcareous", "red-firing")
CARBON: Final = ("carbon-rich", "not-carbon-rich")
SLIP: Final = (*BODY, "self-slip", "salt-scum", "gloss", "graphite", "lime", "organic-coat")

STRUCTURE: Final = ("open-fire", "pit", "covered-pit", "trench-kiln", "updraft-kiln", "saggar")
SPACE: Final = ("one-space", "two-space")
APPLIED: Final = ("before", "after")

ZONES: Final = ("interior", "exterior", "rim", "base", "break", "inner-margin", "outer-margin")
SURFACES: Final = ("interior", "exterior", "rim", "base")
"""Zones that have a state of the air of their own; the broken edge follows the fire as a whole."""
LAYERS: Final = ("body", "slip", "paint")

HISTORIES: Final = (
    "oxidised",
    "reducing-spot",
    "kept-reduced",
    "reoxidised-hot",
    "half-reoxidised",
    "neutral-kept",
    "smoked",
)
"""What a zone went through: (regime, air) folded by data/histories.csv."""

COLOURS: Final = (
    "white",
    "cream",
    "buff",
    "orange",
    "red",
    "brown",
    "grey",
    "black",
    "green",
    "purple",
    "silver",
    "yellow",
    "blue",
)
"""The trade's colour words; a Munsell chip becomes shares of these."""


def family_of(material: str) -> str:
    """Family of a paint material.

    >>> family_of("iron-manganese"), family_of("organic")
    ('manganese-family', 'organic')
    """
    return FAMILY.get(material, material)
