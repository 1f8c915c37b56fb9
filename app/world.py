"""A map of regions as numbers for a template: coasts, dots, and where each name stands beside its dot."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

from wareontology.graph.traditions import Tradition
from wareontology.land import Point
from wareontology.plots.tradition_map import Box, Place, extent, places, settle, unbroken
from wareontology.report.traditions import region_label

WIDE: Final = 600.0
"""Units across of the map for a desk; letters are 8 units high, so they are read where it is 50 rem wide."""
NARROW: Final = 250.0
"""The same for a phone, where numbers stand in for the names."""
IN_MARGIN: Final = 170.0
"""The same for the margin of a page."""
Bounds: TypeAlias = tuple[float, float, float, float]
"""West, east, south, north in degrees."""
_HIGH: Final = 0.42
"""Degrees north to south for each from east to west, where a map is framed about few dots."""
_STRETCH: Final = 1.22
"""Degrees north to south are drawn longer than east to west, true to shape at 35 degrees."""
_LINE: Final = 10.5
_ATLANTIC: Final = -30.0  # degrees east: what lies west of it is the Americas
_LEAST_HIGH: Final = 0.3
_ROUND: Final = 8.0


@dataclass(frozen=True, slots=True)
class Dot:
    """A region's dot, its lines of text, and the line that leads from one to the other, in units of the map.

    side: `start` where the text begins at `text_x`, `end` where it ends there. lead: None where the text
    stands close by.
    """

    region: str
    name: str
    count: int
    number: int
    x: float
    y: float
    radius: float
    text_x: float
    lines: tuple[tuple[str, float], ...]
    side: str
    lead: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Drawn:
    """One map: its size in units, the coasts as one path, the dots."""

    width: float
    height: float
    coasts: str
    dots: tuple[Dot, ...]


def drawn(chosen: Sequence[Tradition]) -> Drawn:
    """The map for a desk: every region named beside its dot.

    >>> from wareontology.graph.traditions import tradition
    >>> drawn([tradition("us-tusayan-white")]).dots[0].lines[0][0]
    'Colorado Plateau'
    """
    found = places(chosen)
    return _drawn(found, _framed(extent(found)), WIDE, _numbers(found))


def drawn_small(chosen: Sequence[Tradition]) -> tuple[Drawn, ...]:
    """The maps for a phone, of the Americas and of the rest, a number beside each dot."""
    found = places(chosen)
    numbers = _numbers(found)
    parts = ([one for one in found if one.longitude < _ATLANTIC],
             [one for one in found if one.longitude >= _ATLANTIC])  # fmt: skip
    numbered = [[replace(one, lines=(str(numbers[one.region]),)) for one in part] for part in parts if part]
    return tuple(_drawn(part, extent(part), NARROW, numbers) for part in numbered)


def placed(one: Tradition) -> Drawn:
    """A small map of one tradition's region, for the margin; without a dot where no coordinate is told."""
    found = tuple(replace(place, lines=(region_label(place.region),)) for place in places([one]))
    return _drawn(found, _framed(extent(found), 70.0), IN_MARGIN, _numbers(found))


def _framed(bounds: Bounds, least: float = 120.0) -> Bounds:
    """The same bounds, or so many degrees about their middle: one dot on a blank land tells nobody where."""
    west, east, south, north = bounds
    if east - west >= least:
        return bounds
    middle = min(max((south + north) / 2, -50 + least * _HIGH / 2), 80 - least * _HIGH / 2)
    across = (west + east) / 2
    return across - least / 2, across + least / 2, middle - least * _HIGH / 2, middle + least * _HIGH / 2


def _numbers(found: Sequence[Place]) -> dict[str, int]:
    return {one.region: number for number, one in enumerate(found, start=1)}


def _drawn(found: Sequence[Place], bounds: Bounds, width: float, numbers: dict[str, int]) -> Drawn:
    west, east, south, north = bounds
    scale = width / (east - west)
    height = max((north - south) * scale * _STRETCH, width * _LEAST_HIGH)

    def at(longitude: float, latitude: float) -> tuple[float, float]:
        return (longitude - west) * scale, (north - latitude) * scale * _STRETCH

    spots = []
    for one in found:
        x, y = at(one.longitude, one.latitude)
        spots.append(((x, height - y), one.lines, 2.0 + 0.7 * one.count**0.5))
    dots = []
    page = Box(0, 0, width, height)
    for one, (spot, lines, radius), (box, side) in zip(found, spots, settle(spots, page), strict=True):
        left = side == "left"
        text_x, middle = (box.left if left else box.right), (box.low + box.high) / 2
        far = abs(text_x - spot[0]) > radius + 5 or abs(middle - spot[1]) > 3
        dots.append(
            Dot(
                one.region, one.lines[0], one.count, numbers[one.region],
                round(spot[0], 1), round(height - spot[1], 1), round(radius, 1), round(text_x, 1),
                tuple(
                    (line, round(height - box.high + (row + 0.76) * _LINE, 1))
                    for row, line in enumerate(lines)
                ),
                "start" if left else "end",
                (round(text_x, 1), round(height - middle, 1)) if far else None,
            )
        )  # fmt: skip
    return Drawn(width, round(height, 1), _coasts(at, width, height), tuple(dots))


def _coasts(at: Callable[[float, float], Point], width: float, height: float) -> str:
    from wareontology.land import rings

    parts = []
    for ring in rings():
        points = list(unbroken(ring))
        for turn in (-360.0, 0.0, 360.0):  # a coast across the date line is seen at both ends of the map
            on_map = [at(x + turn, y) for x, y in points]
            across, down = zip(*on_map, strict=True)
            if max(across) < 0 or min(across) > width or max(down) < 0 or min(down) > height:
                continue
            kept = dict.fromkeys(
                (
                    round(min(max(x, -_ROUND), width + _ROUND), 1),
                    round(min(max(y, -_ROUND), height + _ROUND), 1),
                )
                for x, y in on_map
            )
            parts.append("M" + "L".join(f"{x:g} {y:g}" for x, y in kept) + "z")
    return "".join(parts)
