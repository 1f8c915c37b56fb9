"""A triangle fitted to weighted draws: what was learned of a number, in the form its range is told in."""

from typing import Final

import numpy as np

from wareontology.firing.draws import is_straight
from wareontology.redox.arrays import Floats, floats
from wareontology.redox.constants import Constant

_SHARES: Final = (0.05, 0.25, 0.5, 0.75, 0.95)


def fitted(values: Floats, weights: Floats, was: Constant) -> tuple[float, float, float]:
    """Low, likeliest and high of the triangle, within the old range, nearest to weighted draws.

    Fitted by least squares at 5, 25, 50, 75 and 95 in a hundred, in the logarithm where it is drawn so.

    >>> from wareontology.firing.draws import triangular
    >>> wall = Constant("wall", "wall", 5.0, 3, 12, "1", None, None, "pot", "invented", "judgement")
    >>> drawn = triangular((np.arange(4000) + 0.5) / 4000, wall)
    >>> np.allclose(fitted(drawn, np.full(4000, 1 / 4000), wall), (3, 5, 12), rtol=0.02)
    True
    """
    from scipy.optimize import least_squares

    from wareontology.firing.simulate import quantile

    straight = is_straight(was)
    span, shown = floats(was.span()), floats([quantile(values, share, weights) for share in _SHARES])
    floor, roof = (float(end) for end in (span if straight else np.log(span)))
    wanted = shown if straight else floats(np.log(shown))
    wide = max(roof - floor, 1e-12)

    def ends(three: Floats) -> tuple[float, float, float]:
        low = floor + three[0] * (wanted[2] - floor)
        high = wanted[2] + three[1] * (roof - wanted[2])
        return low, low + three[2] * (high - low), high

    def away(three: Floats) -> Floats:
        return floats((_triangle(*ends(three)) - wanted) / wide)

    best = least_squares(away, [0.2, 0.8, 0.5], bounds=([0, 1e-6, 0], [1 - 1e-6, 1, 1]))
    low, likeliest, high = (float(end if straight else np.exp(end)) for end in ends(best.x))
    return low, min(max(likeliest, low), high), high


def _triangle(low: float, mode: float, high: float) -> Floats:
    """Its quantiles at _SHARES."""
    share, wide = floats(_SHARES), high - low
    rising = low + np.sqrt(share * wide * (mode - low))
    falling = high - np.sqrt((1 - share) * wide * (high - mode))
    return floats(np.where(share * wide < mode - low, rising, falling))
