"""How well each simulated firing explains what was seen: a logarithm of likelihood a piece of evidence.

A piece is one trait at one place and surface, or the heat of one place in one span of time. Tiles of one
place and surface share their fire, so only so many of them count; so do readings of one span. Every number
is judged and stands in data/learning.csv.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np

from wareontology.firing.courses import PLACES, ZONES
from wareontology.firing.log import Log
from wareontology.firing.outcome_read import Seen
from wareontology.firing.simulate import Simulation
from wareontology.paths import data
from wareontology.redox import constants as constants_module
from wareontology.redox.arrays import Floats, floats
from wareontology.redox.constants import Constants

COLOURS: Final = ("black", "brown", "red")
_FIRST_SPAN_H: Final = 0.05
_MOST_POINTS: Final = 16


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece: its words, the natural logarithm of its likelihood in each member, and the best there
    could be."""

    words: str
    log_likelihood: Floats
    best: float

    def missed_bits(self, member: int) -> float:
        """How far below the best one member is, bits."""
        return float((self.best - self.log_likelihood[member]) / np.log(2))


@cache
def table() -> Constants:
    """data/learning.csv."""
    return constants_module.load(data("learning.csv"))


def pieces(found: Simulation, seen: Sequence[Seen], log: Log | None = None) -> tuple[Piece, ...]:
    """Every piece of evidence of a firing, in an order that does not hang on that of the rows.

    >>> from wareontology.firing.outcome_read import from_text
    >>> from wareontology.firing.plan import example
    >>> from wareontology.firing.simulate import simulate
    >>> told = from_text("place,zone,tiles,colour,soft\\nmid,outside,2,black,no\\n")
    >>> [piece.words for piece in pieces(simulate(example("covered-pit"), 100), told)]
    ['mid outside: 2 black', 'mid: 2 not soft']
    """
    gathered = [*_told(found, seen), *(_heat(found, log) if log is not None else ())]
    return tuple(sorted(gathered, key=lambda piece: piece.words))


def _told(found: Simulation, seen: Sequence[Seen]) -> Iterator[Piece]:
    made, drawn = found.outcome, found.drawn
    black, red = made.black(drawn) > 0, made.turned_red(drawn) > 0
    state = np.where(black, 0, np.where(red, 2, 1))
    counts: dict[tuple[str, str, str], dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for one in seen:
        if one.colour:
            counts["colour", one.place, one.zone][COLOURS.index(one.colour)] += one.tiles
        if one.smoked is not None:
            counts["smoked", one.place, one.zone][int(one.smoked)] += one.tiles
        if one.soft is not None:
            counts["soft", one.place, ""][int(one.soft)] += one.tiles
    for (trait, place, zone), said in counts.items():
        row = PLACES.index(place)
        if trait == "soft":
            states = (made_soft(found, row)).astype(int)
        else:
            values = state if trait == "colour" else made.smoked.astype(int)
            states = values[ZONES.index(zone), row]
        yield _piece(f"{place} {zone}".strip(), trait, said, states)


def made_soft(found: Simulation, row: int) -> Floats:
    """1 where the pots of a place stayed below the heat at which they are no longer soft."""
    return floats(found.course.peak_c[row] < found.drawn["under_fired_c"])


def _piece(where: str, trait: str, said: dict[int, int], states: Floats) -> Piece:
    """Log likelihood of counts of what was said, given what the model has; many tiles count as a few."""
    chances = _colour_chances() if trait == "colour" else _yes_chances(f"{trait}_right")
    tiles = sum(said.values())
    counted = min(1.0, table().value("said", "most_tiles") / tiles)
    of_state = np.zeros(len(chances))
    for value in sorted(said):
        of_state += said[value] * counted * np.log(chances[:, value])
    names = COLOURS if trait == "colour" else (f"not {trait}", trait)
    words = ", ".join(f"{said[value]} {names[value]}" for value in sorted(said))
    return Piece(f"{where}: {words}", floats(of_state[states]), float(of_state.max()))


def _colour_chances() -> Floats:
    """Chance of each colour said (columns) of each the model has (rows)."""
    right, near, far = (table().value("said", f"colour_{name}") for name in ("right", "near", "far"))
    rows = floats([[right, near, far], [near, right, near], [far, near, right]])
    return floats(rows / rows.sum(axis=1, keepdims=True))


def _yes_chances(symbol: str) -> Floats:
    right = table().value("said", symbol)
    return floats([[right, 1 - right], [1 - right, right]])


def _heat(found: Simulation, log: Log) -> Iterator[Piece]:
    """Top heat of each place, and the heat of each span of the time it was shut."""
    zero = log.zero_s()
    opened = log.first("opened")
    for row, place in enumerate(PLACES):
        here = log.at(place)
        before = here & (log.time_s <= (np.inf if zero is None else zero))
        if before.any():
            yield _top(place, found.course.peak_c[row], log.temperature_c[before], log.give_or_take_c[before])
        if zero is None:
            continue
        shut = here & (log.time_s > zero) & (log.time_s <= (np.inf if opened is None else opened))
        hours = (log.time_s[shut] - zero) / 3600
        yield from _spans(found, row, hours, log.temperature_c[shut], log.give_or_take_c[shut])


def _top(place: str, peak_c: Floats, read_c: Floats, give_or_take: Floats) -> Piece:
    """The highest reading against the top heat of the place. A glow or cone counts where no meter was."""
    surest = read_c[give_or_take == give_or_take.min()]
    top = float(surest.max())
    return _near(f"{place}: top heat {top:.0f} °C", top - peak_c, float(give_or_take.min()))


def _spans(
    found: Simulation, row: int, hours: Floats, read_c: Floats, give_or_take: Floats
) -> Iterator[Piece]:
    """One piece a span of time since covering, spans even in its logarithm."""
    per_tenfold = table().value("heat", "spans_a_tenfold")
    span = np.where(
        hours < _FIRST_SPAN_H, -1, np.floor(per_tenfold * np.log10(np.maximum(hours, 1e-9) / _FIRST_SPAN_H))
    )
    shut = found.course.temperature_c[row, found.course.shut]
    for number in np.unique(span):
        inside = np.flatnonzero(span == number)
        parts = np.array_split(inside, min(_MOST_POINTS, inside.size))
        at = floats([hours[part].mean() for part in parts])
        mean_c = floats([read_c[part].mean() for part in parts])
        members = np.stack(
            [
                np.interp(at * 3600, found.course.shut_time_s[:, one], shut[:, one])
                for one in range(found.members)
            ],
            axis=1,
        )
        away = (mean_c[:, np.newaxis] - members).mean(axis=0)
        words = f"{PLACES[row]}: {mean_c.mean():.0f} °C {_when(float(at.mean()))}"
        yield _near(words, floats(away), float(give_or_take[inside].mean()))


def _near(words: str, away_k: Floats, give_or_take: float) -> Piece:
    spread = float(np.hypot(give_or_take, table().value("heat", "model_k")))
    return Piece(words, floats(-0.5 * (away_k / spread) ** 2), 0.0)


def _when(hours: float) -> str:
    return f"{hours:.1f} h after covering" if hours >= 1 else f"{60 * hours:.0f} min after covering"
