"""A simulation's courses on one clock, as middle and spread: what is drawn, and what a log is held against.

Hours count from covering. Before it stands the fire as three straight lines (preheat, heat, soak): the
ensemble follows the heat of the fire by its top and times alone.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from wareontology.firing.courses import PLACES, ZONES
from wareontology.redox.arrays import Floats, floats

if TYPE_CHECKING:
    from wareontology.firing.simulate import Simulation

_PREHEATED_C: Final = 200.0
_POINTS: Final = 60
_SPREAD: Final = (0.05, 0.5, 0.95)
Band = tuple[Floats, Floats, Floats]


@dataclass(frozen=True, slots=True)
class Curves:
    """hours (times,); temperature_c: place to low, middle, high; oxygen_share: zone to place to the same,
    from covering on (nan before)."""

    hours: Floats
    temperature_c: dict[str, Band]
    oxygen_share: dict[str, dict[str, Band]]


def curves(found: "Simulation") -> Curves:
    """The courses of a simulation from lighting to opened, 5, 50 and 95 in a hundred of its members at each
    time.

    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.simulate import simulate
    >>> drawn = curves(simulate(example("covered-pit"), 100))
    >>> low, middle, high = drawn.temperature_c["mid"]
    >>> bool(np.all(low <= middle)) and bool(np.all(middle <= high)) and float(drawn.hours[0]) < 0
    True
    """
    plan, passed = found.plan, found.course
    preheat, heat, soak = (plan.number("fire", f"{name}_min") / 60 for name in ("preheat", "heat", "soak"))
    delay = plan.number("cover", "delay_s") / 3600
    before = floats([-delay - soak - heat - preheat, -delay - soak - heat, -delay - soak, -delay])
    opened = np.where(np.isfinite(passed.opened_h), passed.opened_h, passed.shut_time_s[-1] / 3600)
    end = float(np.quantile(opened, 0.95))
    after = np.concatenate([[0.0], np.geomspace(min(0.01, end / 20), end, _POINTS)])
    cold = plan.number("site", "air_c")
    temperature = {}
    for row, place in enumerate(PLACES):
        peak = passed.peak_c[row]
        lit = np.stack(
            [np.full_like(peak, cold), np.minimum(np.full_like(peak, _PREHEATED_C), peak), peak, peak]
        )
        shut = _at(after, passed.shut_time_s, passed.temperature_c[row, passed.shut])
        temperature[place] = _band(found, np.concatenate([lit, shut]))
    unknown = np.full((before.size, found.members), np.nan)
    oxygen = {
        zone: {
            place: _band(
                found,
                np.concatenate(
                    [unknown, _at(after, passed.shut_time_s, passed.oxygen_share[side, row, passed.shut])]
                ),
            )
            for row, place in enumerate(PLACES)
        }
        for side, zone in enumerate(ZONES)
    }
    return Curves(np.concatenate([before, after]), temperature, oxygen)


def _at(hours: Floats, time_s: Floats, values: Floats) -> Floats:
    """Values, (times, members), at common hours."""
    rows = [
        np.interp(hours * 3600, time_s[:, member], values[:, member]) for member in range(values.shape[1])
    ]
    return floats(rows).T


def _band(found: "Simulation", values: Floats) -> Band:
    order = np.argsort(values, axis=1, kind="stable")
    ranked = np.take_along_axis(values, order, axis=1)
    weight = found.weights[order]
    place = (np.cumsum(weight, axis=1) - weight / 2) / found.weights.sum()
    low, middle, high = (
        floats([np.interp(share, place[row], ranked[row]) for row in range(len(values))]) for share in _SPREAD
    )
    return low, middle, high
