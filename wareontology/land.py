"""Outlines of the land for small maps: Natural Earth 1:110 million, public domain, in data/land.geojson.

`python -m wareontology.land land-110m.json` makes the file anew from the npm package world-atlas 2.0.2, which
carries Natural Earth 4.1.0 as TopoJSON; nothing is fetched.
"""

import json
import sys
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, Final, TypeAlias

from wareontology.paths import data

Point: TypeAlias = tuple[float, float]
Ring: TypeAlias = tuple[Point, ...]

TOLERANCE_DEGREES: Final = 0.35
"""How far a simplified coast may leave the drawn one: less than a line's width on a map of the world."""
_SMALLEST_RING: Final = 4  # a ring closes on its first point, so three corners are four points


@cache
def rings() -> tuple[Ring, ...]:
    """Outer coasts as closed rings of (longitude, latitude) in degrees, WGS 84.

    >>> all(ring[0] == ring[-1] for ring in rings())
    True
    """
    document = json.loads(data("land.geojson").read_text(encoding="utf-8"))
    polygons = document["geometry"]["coordinates"]
    return tuple(tuple((x, y) for x, y in polygon[0]) for polygon in polygons)


def simplify(line: Sequence[Point], tolerance: float) -> list[Point]:
    """Leave out points that lie within the tolerance of the line without them (Douglas and Peucker 1973).

    >>> simplify([(0, 0), (1, 0.1), (2, 0)], 0.2)
    [(0, 0), (2, 0)]
    """
    kept, parts = {0, len(line) - 1}, [(0, len(line) - 1)]
    while parts:
        first, last = parts.pop()
        away = [(_distance(line[i], line[first], line[last]), i) for i in range(first + 1, last)]
        if away and max(away)[0] > tolerance:
            middle = max(away)[1]
            kept.add(middle)
            parts += [(first, middle), (middle, last)]
    return [line[i] for i in sorted(kept)]


def _distance(point: Point, start: Point, end: Point) -> float:
    (px, py), (sx, sy), (ex, ey) = point, start, end
    length2 = (ex - sx) ** 2 + (ey - sy) ** 2
    along = ((px - sx) * (ex - sx) + (py - sy) * (ey - sy)) / length2 if length2 else 0.0
    along = min(max(along, 0.0), 1.0)
    x, y = sx + along * (ex - sx), sy + along * (ey - sy)
    return float(((px - x) ** 2 + (py - y) ** 2) ** 0.5)


def from_topojson(topology: Mapping[str, Any]) -> dict[str, Any]:
    """The land of a TopoJSON file as one GeoJSON feature (RFC 7946), simplified; specks go."""
    arcs = [_arc(arc, topology["transform"]) for arc in topology["arcs"]]
    polygons = []
    for geometry in topology["objects"]["land"]["geometries"]:
        for polygon in geometry["arcs"]:
            ring = simplify(_joined(polygon[0], arcs), TOLERANCE_DEGREES)
            if len(ring) >= _SMALLEST_RING:
                polygons.append([[[round(x, 1), round(y, 1)] for x, y in ring]])
    source = "Natural Earth 4.1.0, 1:110m land, public domain; npm world-atlas 2.0.2; simplified"
    return {
        "type": "Feature",
        "properties": {"source": source, "tolerance_degrees": TOLERANCE_DEGREES},
        "geometry": {"type": "MultiPolygon", "coordinates": polygons},
    }


def _arc(arc: Sequence[Sequence[int]], transform: Mapping[str, Sequence[float]]) -> list[Point]:
    (scale_x, scale_y), (move_x, move_y) = transform["scale"], transform["translate"]
    x = y = 0
    points = []
    for dx, dy in arc:  # each step is from the point before
        x, y = x + dx, y + dy
        points.append((x * scale_x + move_x, y * scale_y + move_y))
    return points


def _joined(numbers: Sequence[int], arcs: Sequence[list[Point]]) -> list[Point]:
    """Arcs one after the other; a negative number is the arc ~number run backwards."""
    line: list[Point] = []
    for number in numbers:
        arc = arcs[number] if number >= 0 else arcs[~number][::-1]
        line += arc[1:] if line else arc
    return line


if __name__ == "__main__":
    feature = from_topojson(json.loads(Path(sys.argv[1]).read_text(encoding="utf-8")))
    data("land.geojson").write_text(json.dumps(feature, separators=(",", ":")) + "\n", encoding="utf-8")
