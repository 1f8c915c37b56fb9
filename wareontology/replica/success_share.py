"""The share of pots that came out, with its interval."""

from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

from wareontology.errors import OutOfRange


@dataclass(frozen=True, slots=True)
class Share:
    """A share of `fired` pots, with the two ends of its interval."""

    came_out: int
    fired: int
    value: float
    low: float
    high: float


def share(came_out: int, fired: int, confidence: float) -> Share:
    """Wilson's score interval of a share: it stays within 0 and 1 and holds for few pots.

    Equation: (p + z²/2n ± z √(p(1 − p)/n + z²/4n²)) / (1 + z²/n), z the normal quantile of the confidence.
    Source: Wilson 1927, Journal of the American Statistical Association 22:209-212 (from memory, unverified;
    checked by the definition: at each end the normal test just fails). It takes pots as independent: those
    of one firing are not. Raises OutOfRange for no pots, or more that came out than were fired.

    >>> found = share(18, 20, 0.95)
    >>> round(found.low, 3), round(found.high, 3)
    (0.699, 0.972)
    """
    if fired < 1:
        raise OutOfRange("fired", fired, 1, float("inf"), "pots")
    if not 0 <= came_out <= fired:
        raise OutOfRange("came_out", came_out, 0, fired, "pots fired")
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    p = came_out / fired
    middle = p + z * z / (2 * fired)
    half = z * sqrt(p * (1 - p) / fired + z * z / (4 * fired * fired))
    scale = 1 + z * z / fired
    low, high = (middle - half) / scale, (middle + half) / scale
    return Share(came_out, fired, p, min(p, max(0.0, low)), max(p, min(1.0, high)))  # rounding kept out
