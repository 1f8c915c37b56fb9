"""The outlines of the land."""

import json
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from wareontology import land
from wareontology.paths import data

POINTS = st.lists(st.tuples(st.floats(-10, 10), st.floats(-10, 10)), min_size=2, max_size=30)


@given(POINTS, st.floats(0.01, 5))
def test_ends_are_kept_and_nothing_is_added(line: list[land.Point], tolerance: float) -> None:
    short = land.simplify(line, tolerance)
    assert (short[0], short[-1]) == (line[0], line[-1])
    assert [point for point in line if point in short] != []
    assert len(short) <= len(line)


@given(POINTS, st.floats(0.01, 5))
def test_every_point_left_out_lies_within_the_tolerance(line: list[land.Point], tolerance: float) -> None:
    short = land.simplify(line, tolerance)
    for point in line:
        away = min(land._distance(point, a, b) for a, b in pairwise(short))
        assert away <= tolerance + 1e-9


def test_a_topology_is_unfolded() -> None:
    # worked by hand: two arcs that close a square, the second stored backwards (number ~1)
    topology = {
        "transform": {"scale": [1, 1], "translate": [10, 20]},
        "arcs": [[[0, 0], [4, 0], [0, 4]], [[0, 0], [0, 4], [4, 0]]],
        "objects": {"land": {"geometries": [{"arcs": [[[0, ~1]]]}]}},
    }
    ring = land.from_topojson(topology)["geometry"]["coordinates"][0][0]
    assert ring == [[10, 20], [14, 20], [14, 24], [10, 24], [10, 20]]


def test_known_places_lie_on_land_and_at_sea() -> None:
    # second route: the ray rule, at places any atlas shows
    def on_land(x: float, y: float) -> bool:
        inside = False
        for ring in land.rings():
            for (ax, ay), (bx, by) in pairwise(ring):
                if (ay > y) != (by > y) and x < ax + (y - ay) / (by - ay) * (bx - ax):
                    inside = not inside
        return inside

    assert all(on_land(*place) for place in [(-110, 36), (25, 42), (78, 25), (-72, -14)])
    assert not any(on_land(*place) for place in [(-40, 30), (80, -20), (-150, 0)])


def test_the_file_names_its_source_and_is_small() -> None:
    text = data("land.geojson").read_text(encoding="utf-8")
    assert "Natural Earth" in json.loads(text)["properties"]["source"]
    assert len(text) < 60_000
