"""Conduction against the handbook: exact series and roots to 0.5 %, printed answers to the tolerance of
their row.

The exact values are those of tests/published/heat_transfer_checks.csv and one_term_coefficients.csv (computed
there from the series) and the rows H04 to H12 of redox_checks.csv that tests/redox leaves to here.
"""

import csv
import math
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from wareontology.firing import beds
from wareontology.firing.conduction import Solid, lengthening_steps_s, run
from wareontology.redox.arrays import Floats

PUBLISHED = Path(__file__).parents[1] / "published"
DAY = 86400.0


def rows(name: str) -> list[dict[str, str]]:
    lines = (PUBLISHED / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def even(cells: int = 60) -> Floats:
    return np.linspace(0, 1, cells + 1)


def widening(first_m: float, to_m: float, fine: int, coarse: int, ratio: float = 1.12) -> Floats:
    """Edges even up to first_m, then wider and wider."""
    lengths = ratio ** np.arange(coarse)
    beyond = first_m + (to_m - first_m) * np.cumsum(lengths) / lengths.sum()
    return np.concatenate([np.linspace(0, first_m, fine + 1), beyond])


def middle(power: int, biot: float, fourier: float) -> float:
    """Share of the excess left in the middle of a unit body, unit properties."""
    body = beds.row(even(), power, 1, 1, biot, 0)
    first = np.zeros(body.shape)
    first[0, 0] = 1
    steps = lengthening_steps_s(fourier, 1e-4, 16, 2e-3)
    return float(run(body, 1, steps, [first]).watched_c[0, -1, 0])


def temperatures(body: Solid, start: Floats | float, seconds: float) -> Floats:
    steps = lengthening_steps_s(seconds, seconds / 20000, 16, seconds / 200)
    return run(body, start, steps, []).end_c[0, :, 0]


def middles(edges: Floats) -> Floats:
    return (edges[1:] + edges[:-1]) / 2


def half_space(long_m: float, diffusivity: float, conductivity: float, film: float, outside: float) -> Solid:
    return beds.wall(long_m, conductivity, conductivity / diffusivity, film, outside, 160)


def depths(long_m: float) -> Floats:
    return middles(long_m * np.linspace(1, 0, 161) ** 2)


def frozen_m(days: float, soil: float, surface: float, diffusivity: float) -> float:
    found = temperatures(half_space(5, diffusivity, 1, math.inf, surface), soil, days * DAY)
    return float(np.interp(0, found[::-1], depths(5)[::-1]))


def warmed_half_space() -> float:
    found = temperatures(half_space(0.6, 5e-7, 0.8, 50, 1), 0.0, 3600)
    return float(np.interp(0.05, depths(0.6)[::-1], found[::-1]))


def flux_at_surface() -> float:
    body = half_space(0.6, 5e-7, 0.8, 0, 0)
    heat = np.zeros(body.shape)
    heat[0, -1] = 20000
    heated = Solid(body.capacity_j_k, body.outward_w_k, body.upward_w_k, body.outside_c, heat)
    found = temperatures(heated, 0.0, 3600)
    return float(found[-1] + 20000 * depths(0.6)[-1] / 0.8)


def hot_in_same_medium(power: int, first_m: float, hours: float) -> float:
    edges = widening(first_m, 3, 30, 40)
    body = beds.row(edges, power, 0.8, 1.6e6, 0, 0)
    start = np.where(middles(edges) < first_m, 1.0, 0.0)[np.newaxis, :, np.newaxis]
    return float(temperatures(body, start, hours * 3600)[0])


def short_cylinder() -> float:
    """Upper half of a hot cylinder, radius 0.4 and height 0.3 m, in the same medium; mean of its inner
    part."""
    out, up = (widening(size, 2, 40, 30)[:, np.newaxis] for size in (0.4, 0.15))
    rings = beds.Rings(out, up)
    conductivity = np.full(rings.volume_m3.shape, 0.8)
    body = Solid(
        rings.volume_m3 * 1.6e6, rings.outward(conductivity), rings.upward(conductivity), np.array([0.0])
    )
    start, inner = np.zeros(body.shape), np.zeros(body.shape)
    start[:40, :40] = 1000
    inner[:24, :20] = rings.volume_m3[:24, :20]
    steps = lengthening_steps_s(6 * 3600, 5, 16, 300)
    return float(run(body, start, steps, [inner / inner.sum()]).watched_c[0, -1, 0])


ROWS: dict[str, Callable[[], float]] = {
    "H04": lambda: middle(1, 1, 0.5),
    "H05": lambda: middle(3, 1, 0.5),
    "H06": lambda: middle(2, 1, 0.5),
    "H07": lambda: frozen_m(60, 20, -15, 1.38e-7),
    "H08": warmed_half_space,
    "H09": flux_at_surface,
    "H10": lambda: hot_in_same_medium(1, 0.15, 6),
    "H11": lambda: hot_in_same_medium(3, 0.2, 6),
    "H12": short_cylinder,
}


@pytest.mark.parametrize("name", ROWS)
def test_row_lies_within_its_range(name: str) -> None:
    (row,) = (one for one in rows("redox_checks.csv") if one["id"] == name)
    found = ROWS[name]()
    assert float(row["low"]) <= found <= float(row["high"]), f"{name} {row['quantity']}: got {found:g}"


def test_every_row_left_by_redox_is_run_here() -> None:
    left = {f"H{number:02d}" for number in range(4, 13)}
    assert set(ROWS) == left == {one["id"] for one in rows("redox_checks.csv")} & left


# published (exact series): share left in the middle at Fourier 0.2, 0.5 and 1; a wall, a sphere, a cylinder
SERIES = {
    1: {0.1: (0.9940, 0.9680, 0.9224), 1: (0.9506, 0.7725, 0.5339), 10: (0.8293, 0.4546, 0.1638)},
    3: {0.1: (0.9702, 0.8890, 0.7674), 1: (0.7723, 0.3708, 0.1080), 10: (0.3827, 0.0345, 0.0006)},
    2: {0.1: (0.9837, 0.9293, 0.8430), 1: (0.8702, 0.5486, 0.2494), 10: (0.6002, 0.1458, 0.0136)},
}


@pytest.mark.parametrize("power", SERIES)
@pytest.mark.parametrize("biot", [0.1, 1, 10])
def test_the_middle_follows_the_series(power: int, biot: float) -> None:
    found = [middle(power, biot, fourier) for fourier in (0.2, 0.5, 1)]
    assert found == pytest.approx(SERIES[power][biot], rel=5e-3, abs=1e-4)


@pytest.mark.parametrize("row", rows("one_term_coefficients.csv"), ids=lambda row: f"Bi {row['Bi']}")
def test_the_late_decay_has_the_root_of_the_one_term_solution(row: dict[str, str]) -> None:
    """Second route: ln of the ratio of two late shares over the time between is the root squared."""
    biot = float(row["Bi"])
    for power, kind in ((1, "wall"), (2, "cyl"), (3, "sph")):
        root = float(row[f"zeta_{kind}"])
        first, second = 2 / root**2, 2.5 / root**2
        body = beds.row(even(), power, 1, 1, biot, 0)
        watch = np.zeros(body.shape)
        watch[0, 0] = 1
        steps = np.concatenate([np.full(100, first / 100), np.full(100, (second - first) / 100)])
        seen = run(body, 1, steps, [watch], weight=0.5).watched_c[0, :, 0]
        assert math.sqrt(math.log(seen[100] / seen[200]) / (second - first)) == pytest.approx(root, rel=5e-3)


# published (exact series), heat_transfer_checks.csv: both faces held, at these Fourier numbers
HELD = {
    1: ((0.1, 0.9493), (0.2, 0.7723), (0.5, 0.3708), (1, 0.1080)),
    2: ((0.05, 0.9871), (0.1, 0.8484), (0.2, 0.5015), (0.5, 0.0889)),
    3: ((0.05, 0.9660), (0.1, 0.7071), (0.2, 0.2771), (0.5, 0.0144)),
}


@pytest.mark.parametrize("power", HELD)
def test_a_held_surface_follows_the_series(power: int) -> None:
    for fourier, share in HELD[power]:
        assert middle(power, math.inf, fourier) == pytest.approx(share, rel=5e-3, abs=2e-4)


def test_half_space_answers_of_the_handbook() -> None:
    # published, heat_transfer_checks.csv: exact 0.8009 (Cengel Ex. 4-6), 0.8411 (Cengel problem)
    assert frozen_m(90, 15, -10, 1.5e-7) == pytest.approx(0.8009, rel=5e-3)
    assert frozen_m(60, 8, -8, 1.5e-7) == pytest.approx(0.8411, rel=5e-3)
    # exact, the same file: film, x = 0 and h sqrt(alpha t) / k = 1
    film = 1 / math.sqrt(5e-7 * 3600)
    body = half_space(0.6, 5e-7, 1, film, 1)
    found = temperatures(body, 0.0, 3600)
    surface = 1 - (1 - found[-1]) / (1 + film * depths(0.6)[-1])
    assert surface == pytest.approx(0.57242, rel=5e-3)


def test_an_infinite_hot_cylinder_in_the_same_medium() -> None:
    # exact (Carslaw & Jaeger form, computed): radius 0.4 m, diffusivity 5e-7
    assert hot_in_same_medium(2, 0.4, 6) == pytest.approx(0.9754, rel=5e-3)
    assert hot_in_same_medium(2, 0.4, 24) == pytest.approx(0.6038, rel=5e-3)


def test_steady_heat_through_a_cover() -> None:
    """Second route: (500 - 20) / (0.1/0.3 + 1/12) = 1152 W/m2."""
    edges = np.linspace(0, 0.1, 21)
    body = beds.row(edges, 1, 0.3, 1.2e6, 12, 20)
    heat = np.zeros(body.shape)
    heat[0, 0] = 1152.0
    held = Solid(body.capacity_j_k, body.outward_w_k, body.upward_w_k, body.outside_c, heat)
    found = run(held, 20, np.full(200, 2000.0), []).end_c[0, :, 0]
    inner = found[0] + 1152 * edges[1] / 2 / 0.3
    assert inner == pytest.approx(500, rel=1e-3)
