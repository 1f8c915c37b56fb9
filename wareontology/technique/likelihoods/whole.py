"""Evidence of the sherd as a whole about the fire's structure: clouds, marks, what the ground showed."""

from collections.abc import Iterator, Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology.sherd.record import Sherd
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.model import REGIME_OF_FIRE, Model
from wareontology.technique.likelihoods.reading import Context, doubted, shares
from wareontology.technique.likelihoods.schema import TABLES
from wareontology.technique.network import Item, Slot

Floats = NDArray[np.float64]

TRAITS: Final[Mapping[str, str]] = {
    "fire_clouds": "fire clouds", "marks": "marks", "kiln_evidence": "kiln evidence",
}  # fmt: skip


def structure_likelihood(model: Model, sherd: Sherd, column: str) -> Floats | None:
    """Chance of what was seen under each structure, shape (n, structures); None where nothing was."""
    cell = sherd.seen.get(column)
    if cell is None or not (vector := shares(cell, TABLES[column].outcomes)).any():
        return None
    return doubted(model.tables.array(column) @ vector, cell, model.tables.scalar("doubtful"))


def structure(context: Context) -> Iterator[Item]:
    """Traits of the structure, as they bear on the fire. All are one item: they share the structure."""
    found = {
        column: likelihood
        for column in TRAITS
        if (likelihood := structure_likelihood(context.model, context.sherd, column)) is not None
    }
    if found:
        by_structure = np.prod(np.broadcast_arrays(*found.values()), axis=0)
        by_regime = (context.model.tables.array("structure") @ by_structure[:, :, None])[..., 0]
        text = "; ".join(f"{TRAITS[column]} {context.sherd.seen[column].text}" for column in found)
        yield Item("sherd", "structure", text, {Slot("fire"): by_regime[:, REGIME_OF_FIRE]})


def structures(model: Model, sherd: Sherd, regimes: Floats) -> Floats:
    """Posterior of the structure given the posterior of the regimes, shape (n, structures)."""
    prior = model.tables.array("structure")
    seen: Floats = np.ones((1, len(h.STRUCTURE)))
    for column in TRAITS:
        likelihood = structure_likelihood(model, sherd, column)
        if likelihood is not None:
            seen = seen * likelihood
    joint = prior * seen[:, None, :]
    joint = joint / joint.sum(axis=2, keepdims=True)
    return np.asarray(
        np.einsum("nr,nrs->ns", regimes, np.broadcast_to(joint, (len(regimes), *joint.shape[1:])))
    )


def spaces(model: Model, structure_odds: Floats) -> Floats:
    """One space or two, shape (n, 2); from a sherd alone never surer than the cap (Thér 2014)."""
    raw = (structure_odds[:, None, :] @ model.tables.array("space"))[:, 0]
    cap = model.tables.scalar("space_cap")[:, None]
    return np.asarray((1 - cap) + raw * (2 * cap - 1))
