"""What `compare` answers, as data: tables against tables, or areas of one photo."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final

import numpy as np

from wareontology import __version__
from wareontology.replica.compare import DEALS, SEED, Spread, compared, compared_labs
from wareontology.replica.photo import Area, Box, measured
from wareontology.replica.traits import Trait
from wareontology.sherd.record import Sherd

NOTES: Final = (
    "Fresh breaks and refired chips come first: surfaces wear, and burial changes them.",
    "“Alike so far” is not “the same”: with more sherds a smaller difference would show.",
    "A look that is alike does not say that it was made alike: `claim` asks what else would give it.",
)
TABLE_NOTES: Final = (
    "Chips are under illuminant C. A chip read by eye may be half a step off (common practice).",
    "Where sherds have no chip their colour words are compared: 0 is the same words, 1 is none in common.",
)
PHOTO_NOTES: Final = (
    "Colours of a photo are under D65 and are set only against others of the same photo.",
    "L* of the grey is what was given; a wrong one shifts every L* alike.",
    "A photo of shiny paint shows the lamp: tilt it away.",
)
_PLACES: Final = 3


def tables(originals: Sequence[Sherd], replicas: Sequence[Sherd]) -> dict[str, Any]:
    """Tables compared. Keys: software originals replicas traits deals seed notes. Errors: `compared`."""
    return {
        "software": f"wareontology {__version__}",
        "originals": len(originals),
        "replicas": len(replicas),
        "traits": [_spread(one) for one in compared(originals, replicas)],
        "deals": DEALS,
        "seed": SEED,
        "notes": [*NOTES, *TABLE_NOTES],
    }


def photo(
    path: str, greys: Sequence[Box], originals: Sequence[Box], replicas: Sequence[Box], grey_lightness: float
) -> dict[str, Any]:
    """Areas of one photo compared. Errors as `measured`."""
    areas, light = measured(path, greys, [*originals, *replicas], grey_lightness)
    theirs, ours = areas[: len(originals)], areas[len(originals) :]
    spread = None
    if theirs and ours:
        labs = [[np.array(one.lab) for one in group] for group in (theirs, ours)]
        spread = {
            **_spread(compared_labs(Trait("photo", "surface", "colour"), *labs)),
            "uncertainty": round(float(np.sqrt(2 * np.mean([one.uncertainty**2 for one in areas]))), 2),
        }
    return {
        "software": f"wareontology {__version__}",
        "photo": Path(path).name,
        "light": {
            "gains": [round(gain, _PLACES) for gain in light.gains], "change": round(light.change, _PLACES),
        },
        "areas": [*(_area(one, "original") for one in theirs), *(_area(one, "replica") for one in ours)],
        "colour": spread,
        "notes": [*NOTES[1:], *PHOTO_NOTES],
    }  # fmt: skip


def _area(area: Area, of: str) -> dict[str, Any]:
    return {
        "of": of, "box": str(area.box), "lab": list(area.lab), "varies": list(area.varies),
        "uncertainty": area.uncertainty,
    }  # fmt: skip


def _spread(one: Spread) -> dict[str, Any]:
    def rounded(value: float | None) -> float | None:
        return None if value is None else round(value, _PLACES)

    return {
        "zone": one.trait.zone,
        "layer": one.trait.layer,
        "trait": one.trait.trait,
        "refired_c": one.trait.refired,
        "unit": one.unit,
        "n_originals": one.originals,
        "n_replicas": one.replicas,
        "between": rounded(one.between),
        "within_originals": rounded(one.within_originals),
        "within_replicas": rounded(one.within_replicas),
        "excess": rounded(one.excess),
        "by_chance": None if one.low is None else [rounded(one.low), rounded(one.high)],
        "p": rounded(one.p),
        "reading": one.reading,
        "originals_words": {word: round(share, _PLACES) for word, share in one.words_originals.items()},
        "replicas_words": {word: round(share, _PLACES) for word, share in one.words_replicas.items()},
    }
