"""The conditions of the ensemble folded to local histories, as the posterior folds them."""

from collections.abc import Mapping

import numpy as np

from wareontology.firing.histories import alike
from wareontology.redox.arrays import Floats
from wareontology.technique import hypotheses as h
from wareontology.technique.likelihoods.model import Model, history_map
from wareontology.technique.likelihoods.shipped import shipped_tables
from wareontology.technique.physics import paints
from wareontology.technique.physics.ensemble import Chances, Ensemble


def weights() -> Floats:
    """How usual each legal pair, air and band is under flat firings: shape (regimes, air, bands).

    A local history after one atmosphere is a mixture of the conditions that fold to it: endings and bands
    alike, the air as its table has it, the four surfaces alike. No prior of a region or of the world goes in,
    so that the chance of a colour does not hang on what wares are known.
    """
    tables = shipped_tables()
    model = Model.of(tables, None, flat=True)
    fires = model.fires[0].reshape(len(h.REGIMES), len(h.TEMPERATURE))
    air = tables.array("air")[0, :, :, -1].mean(axis=1)
    endings = [h.ENDING.index(ending) for _, ending in h.REGIMES]
    return np.asarray(air[endings][:, :, None] * fires[:, None, :])


def folded(ensemble: Ensemble) -> Mapping[tuple[str, str, str], list[Chances]]:
    """Chances of each paint's colours in each local history after a fire of each atmosphere that leads to
    it, a band after the other."""
    weight, history = weights(), history_map()
    sums: dict[tuple[str, int, str, int], list[tuple[float, Chances]]] = {}
    for (atmosphere, ending, band, air), found in ensemble.conditions():
        heat, shut = h.TEMPERATURE.index(band), h.AIR.index(air)
        same = [
            place
            for place, (one, two) in enumerate(h.REGIMES)
            if one == atmosphere and alike(two, air) == ending
        ]
        for paint in paints.PAINTS:
            chances = ensemble.colours(ensemble.phases(found, paint, air))
            for place in same:
                key = (paint, int(history[place, shut]), atmosphere, heat)
                sums.setdefault(key, []).append((float(weight[place, shut, heat]), chances))
    return {
        (paint, name, atmosphere): [
            _mixed(sums[paint, place, atmosphere, heat]) for heat in range(len(h.TEMPERATURE))
        ]
        for paint in paints.PAINTS
        for place, name in enumerate(h.HISTORIES)
        for atmosphere in h.ATMOSPHERE
        if (paint, place, atmosphere, 0) in sums
    }


def _mixed(parts: list[tuple[float, Chances]]) -> Chances:
    total = sum(weight for weight, _ in parts)
    return Chances(
        *(
            np.asarray(sum(weight / total * getattr(one, name) for weight, one in parts))
            for name in Chances.__slots__
        )
    )
