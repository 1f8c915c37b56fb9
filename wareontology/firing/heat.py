"""How a covered load cools: ground first warmed by the fire, then load, cover and ground together, damp
earth and all, for a whole ensemble.

The bowl pulled from the fire is `redox.cooling`; a wall, a sphere and a cylinder are in `beds`. The load
is one body of pots, fuel and air with one conductivity; the pots of a place have the place's temperature.
"""

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import ArrayLike

from wareontology.firing.beds import Bed, Pit, pit
from wareontology.firing.conduction import Course, lengthening_steps_s, run
from wareontology.redox.arrays import Floats, floats, within

PLACES = ("top", "mid", "bottom")
_AT_ONCE = 200
"""Members stepped together: as many as keep their arrays in the processor's nearer store."""
_WARMING_STEPS = 16


@dataclass(frozen=True, slots=True)
class Cooling:
    """Temperatures, degC, of the top, mid and bottom of a covered load: (places, times, members), from
    covering on; and the worst misfit of heat gained and heat crossed, as a share of the heat that crossed."""

    time_s: Floats
    places_c: Floats
    heat_misfit: float

    def hours_to(self, below_c: float, place: str = "mid") -> Floats:
        """Hours until a place is down to a temperature, for each member; infinite if not within the course.

        >>> course = np.array([[[700.0], [300.0], [100.0]]] * 3)
        >>> print(Cooling(np.array([0.0, 3600, 7200]), course, 0.0).hours_to(200))
        [1.5]
        """
        return hours_to(self.time_s, self.places_c[PLACES.index(place)], below_c)


def hours_to(time_s: Floats, course_c: Floats, below_c: float) -> Floats:
    """Hours until a course, (times, members), is first at or below a temperature and stays a falling one.

    >>> print(hours_to(np.array([0.0, 3600.0]), np.array([[30.0, 500.0], [20.0, 400.0]]), 50))
    [ 0. inf]
    """
    under = course_c <= below_c
    first = np.argmax(under, axis=0)
    members = np.arange(course_c.shape[1])
    before = np.maximum(first - 1, 0)
    hot, cool = course_c[before, members], course_c[first, members]
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(hot > cool, (hot - below_c) / (hot - cool), 0.0)
    seconds = time_s[before] + np.clip(share, 0, 1) * (time_s[first] - time_s[before])
    return floats(np.where(under.any(axis=0), np.where(first == 0, 0.0, seconds) / 3600, np.inf))


def covered(
    given: Pit, at_cover_c: ArrayLike, warmed_h: ArrayLike, hours: float, *, weight: float = 0.5
) -> Cooling:
    """A load covered at given temperatures of top, mid and bottom, on ground that it had warmed for some
    hours.

    at_cover_c: (3, members), 20 to 1200 degC. warmed_h: how long the load was hot before, 0 to 48 h. While it
    warms the ground it stands at the mean of the three, and no cover lies on it.

    >>> import numpy as np
    >>> pit_of_pots = Pit(0.4, 0.3, 0.1, 0.6, 5e5, 0.3, 1.2e6, 0.8, 1.6e6, 12)
    >>> found = covered(pit_of_pots, np.full((3, 1), 750.0), 1.0, 12)
    >>> print(found.hours_to(300).round(0), found.heat_misfit < 1e-9)
    [7.] True
    """
    start = within("at_cover_c", at_cover_c, -40, 1200, "a load of pots")
    warmed = within("warmed_h", warmed_h, 0, 48, "a fire over the ground")
    columns = {one.name: getattr(given, one.name) for one in fields(given)}
    wide = {name: value for name, value in columns.items() if name not in ("latent_j_kg", "boils_c")}
    members = np.broadcast_shapes(
        *(np.shape(value) for value in wide.values()), warmed.shape, start.shape[1:]
    )
    count = members[0] if members else 1
    wide = {name: np.broadcast_to(value, count) for name, value in wide.items()}
    warmed, start = np.broadcast_to(warmed, count), np.broadcast_to(start, (3, count))
    steps = lengthening_steps_s(hours * 3600)
    parts, misfits = [], []
    for first in range(0, count, _AT_ONCE):
        some = slice(first, first + _AT_ONCE)
        bed = pit(replace(given, **{name: value[some] for name, value in wide.items()}))
        field = warmed_ground(bed, start[:, some].mean(axis=0), warmed[some])
        field = with_load(bed, field, start[:, some])
        course = run(bed.solid, field, steps, [bed.top, bed.middle, bed.bottom], weight=weight)
        parts.append(course.watched_c)
        misfits.append(misfit(course))
    time = np.concatenate([[0.0], np.cumsum(steps)])
    return Cooling(time, np.concatenate(parts, axis=2), max(misfits))


def misfit(course: Course) -> float:
    """Heat gained less heat crossed at the end, as a share of the larger; the balance the steps must close.

    >>> none = np.zeros(1)
    >>> misfit(Course(none, none, none, none, none))
    0.0
    """
    gained, crossed = course.gained_j, course.crossed_j
    largest = np.maximum(np.maximum(np.abs(gained), np.abs(crossed)), 1e-12)
    return float(np.max(np.abs(gained - crossed) / largest))


def warmed_ground(bed: Bed, load_c: Floats, hours: Floats) -> Floats:
    """Temperatures after the load has stood at one heat for some hours with no cover on: ground warm,
    cover cold.

    >>> bed = pit(Pit(0.4, 0.3, 0.1, 0.6, 5e5, 0.3, 1.2e6, 0.8, 1.6e6, 12))
    >>> field = warmed_ground(bed, np.array([750.0]), np.array([1.0]))
    >>> bool(field[0, 8, 0] > 300) and bool(field[0, -1, 0] == 20)
    True
    """
    start = np.where(bed.load > 0, load_c, np.broadcast_to(bed.solid.outside_c, bed.solid.shape))
    lengths = 1.25 ** np.arange(_WARMING_STEPS)
    steps = np.maximum(hours, 1e-6) * 3600 * (lengths / lengths.sum())[:, np.newaxis]
    return run(bed.burning, start, steps, []).end_c


def with_load(bed: Bed, field: Floats, places_c: Floats) -> Floats:
    """The field with the load set to the temperatures of its top, mid and bottom, and between them in
    between.

    >>> bed = pit(Pit(0.4, 0.3, 0.1, 0.6, 5e5, 0.3, 1.2e6, 0.8, 1.6e6, 12))
    >>> field = with_load(bed, np.full(bed.solid.shape, 20.0), np.array([[700.0], [800], [900]]))
    >>> print(float((bed.middle * field).sum().round()))
    800.0
    """
    rows = np.flatnonzero(bed.load[0, :, 0] > 0)
    height = (np.arange(rows.size) + 0.5) / rows.size
    seen = [1 - 1 / 8, 0.5, 1 / 8]
    whole = field.copy()
    for row, at in zip(rows, height, strict=True):
        share = np.clip((at - seen[1]) / (seen[0] - seen[1]), -1, 1)
        end = places_c[0] if share > 0 else places_c[2]
        value = places_c[1] + abs(share) * (end - places_c[1])
        whole[:, row] = np.where(bed.load[:, row] > 0, value, whole[:, row])
    return whole
