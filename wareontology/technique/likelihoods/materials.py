"""A table over materials laid out over the states of a unit."""

from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.model import BODY_STATES, PAINT_STATES, SLIP_STATES, clay_of
from wareontology.technique.likelihoods.reading import Context
from wareontology.technique.likelihoods.schema import MATERIAL
from wareontology.technique.units import Unit

Floats = NDArray[np.float64]

_BODY: Final = [MATERIAL.index(clay) for clay, _ in BODY_STATES]
_SLIP: Final = [MATERIAL.index(clay_of(state)) for state in SLIP_STATES]
_PAINT: Final = [MATERIAL.index(material) for material, _ in PAINT_STATES]
_PLACES: Final = {"body": _BODY, "slip": _SLIP, "paint": _PAINT}
PAINT_OF: Final = [h.PAINT.index(material) for material, _ in PAINT_STATES]
"""Place in PAINT of each state of a paint."""
AFTER: Final = np.array([applied == "after" for _, applied in PAINT_STATES])
"""Which states of a paint are of one put on after the firing."""


def places(unit: Unit) -> list[int]:
    """Place in MATERIAL of each state of a unit."""
    return _PLACES[unit.layer]


def by_state(context: Context, unit: Unit, table: Floats) -> Floats:
    """A table of (n, MATERIAL, histories, outcomes) over a unit's states and the model's fine histories.

    A paint put on after the firing went through no history: it keeps what its material is in air.
    """
    laid = table[:, places(unit)][:, :, context.model.fold]
    if unit.layer == "paint":
        aired = table[:, places(unit), h.HISTORIES.index("oxidised")][:, :, None]
        laid = np.where(AFTER[:, None, None], aired, laid)
    return laid
