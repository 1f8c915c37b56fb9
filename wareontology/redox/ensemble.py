"""Draws of what is not known of the re-oxidation law; the ranges are judgement, so is the shape
(log-triangular)."""

from dataclasses import dataclass

import numpy as np

from wareontology.redox.arrays import Floats
from wareontology.redox.constants import Constant, Constants


@dataclass(frozen=True, slots=True)
class Ensemble:
    """Draws of the re-oxidation law: diffusivity at 200 degC, activation energy, grain radius or sealing
    length."""

    reference_m2_s: Floats
    activation_kj_mol: Floats
    grain_m: Floats


def draw(constants: Constants, count: int, seed: int, *, sealed: bool = False) -> Ensemble:
    """`count` draws with a fixed seed: Dref and R triangular in their logarithm, E triangular, between low
    and high.

    `sealed`: a sintered or glossy paint, whose sealing length stands in for the grain.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> drawn = draw(load(data("constants.csv")), 1000, 1)
    >>> bool(3e-20 <= drawn.reference_m2_s.min() and drawn.reference_m2_s.max() <= 1e-18)
    True
    """
    rows = [
        constants.one("magnetite-reoxidation", symbol)
        for symbol in ("D_reference", "E", "R_sealed" if sealed else "R")
    ]
    generator = np.random.default_rng(seed)
    reference, activation, grain = rows
    return Ensemble(
        log_triangular(generator, reference, count),
        generator.triangular(*activation.span()[:1], activation.value, activation.span()[1], count),
        log_triangular(generator, grain, count),
    )


def log_triangular(generator: np.random.Generator, constant: Constant, count: int) -> Floats:
    """Draws of one constant, triangular in its logarithm, likeliest at its value.

    >>> from wareontology.paths import data
    >>> from wareontology.redox.constants import load
    >>> grain = load(data("constants.csv")).one("magnetite-reoxidation", "R")
    >>> log_triangular(np.random.default_rng(1), grain, 2).shape
    (2,)
    """
    low, high = constant.span()
    return np.asarray(
        np.exp(generator.triangular(np.log(low), np.log(constant.value), np.log(high), count)),
        dtype=np.float64,
    )
