"""Draws over the whole of what is not known of the laws: every range is the table's own low to high."""

import numpy as np
from hypothesis import strategies

from wareontology.paths import data
from wareontology.redox import cooling
from wareontology.redox.arrays import Floats
from wareontology.redox.constants import load

TABLE = load(data("constants.csv"))


def _span(data_set: str, symbol: str) -> strategies.SearchStrategy[float]:
    return strategies.floats(*TABLE.one(data_set, symbol).span())


references_m2_s = _span("magnetite-reoxidation", "D_reference")
activations_kj_mol = _span("magnetite-reoxidation", "E")
grains_m = _span("magnetite-reoxidation", "R")
sealing_m = _span("magnetite-reoxidation", "R_sealed")
reduction_rates = _span("hematite-reduction", "k_reference")
reduction_activations = _span("hematite-reduction", "E")
carbon_activations = _span("carbon-burnout", "E")
walls_m = _span("bowl", "wall")
porosities = _span("oxygen-diffusion", "porosity")
altitudes_m = strategies.floats(0, 4500)
depths_m = strategies.floats(0.01, 0.4)
hot_c = strategies.floats(300, 1000)

BOWL = cooling.curve(TABLE, 1000, 30)  # one cooling; pulling later is starting further along it

# Model: a smothered pit under 10 cm of dry earth, middle of the load (a trial calculation), hours and degC.
_PIT_HOURS, _PIT_C = (0.0, 2.7, 6.9, 11.7, 24.5), (750.0, 500, 300, 200, 100)


def pit() -> tuple[Floats, Floats]:
    """Times (s) and temperatures (degC) of that pit, drawn through its five points."""
    hours = np.linspace(0, _PIT_HOURS[-1], 3000)
    return hours * 3600, 10 + np.exp(np.interp(hours, _PIT_HOURS, np.log(np.array(_PIT_C) - 10)))
