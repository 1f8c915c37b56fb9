"""The share of pots that came out, with its interval."""

from dataclasses import dataclass

from wareontology.errors import OutOfRange
from wareontology.technique.scoring import wilson


@dataclass(frozen=True, slots=True)
class Share:
    """A share of `fired` pots, with the two ends of its interval."""

    came_out: int
    fired: int
    value: float
    low: float
    high: float


def share(came_out: int, fired: int, confidence: float) -> Share:
    """The share with its Wilson score interval (`technique.scoring.wilson`).

    It takes pots as independent: those of one firing are not. Raises OutOfRange for no pots, or more that
    came out than were fired.

    >>> found = share(18, 20, 0.95)
    >>> round(found.low, 3), round(found.high, 3)
    (0.699, 0.972)
    """
    if fired < 1:
        raise OutOfRange("fired", fired, 1, float("inf"), "pots")
    if not 0 <= came_out <= fired:
        raise OutOfRange("came_out", came_out, 0, fired, "pots fired")
    return Share(came_out, fired, came_out / fired, *wilson(came_out, fired, confidence))
