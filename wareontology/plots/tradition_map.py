"""Traditions on a map: a dot in the middle of each region, named beside it, never a site.

matplotlib is imported inside the function that draws.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from wareontology.graph.traditions import INDEX, Tradition, traditions
from wareontology.graph.vocabulary import region_path, scheme
from wareontology.land import Point, rings
from wareontology.plots.style import INK, IRON, PAPER, QUIET, STYLE, data_hash, saved

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

_LAND: Final = "#EFE8DA"
_NAMED: Final = 14
"""With so many traditions or fewer their names are written out; with more, regions and counts."""
_WIDTH_IN: Final = 10.0
_ROUND_IN: Final = 1.15  # what stands above and beneath the map
_LETTER_PT, _LINE_PT, _SIZE_PT = 4.6, 10.5, 8.0
_LEAST_SPAN: Final = 40.0
_WORLD: Final = 200.0  # degrees across from which the whole of the land is drawn


@dataclass(frozen=True, slots=True)
class Place:
    """A region's middle, degrees, and the lines of text beside it."""

    longitude: float
    latitude: float
    lines: tuple[str, ...]
    count: int
    region: str


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the page, points from its lower left corner."""

    left: float
    low: float
    right: float
    high: float

    def inside(self, page: "Box") -> bool:
        """Whether it lies on the page."""
        return (
            page.left <= self.left and self.right <= page.right
            and page.low <= self.low and self.high <= page.high
        )  # fmt: skip

    def meets(self, other: "Box", room: float = 1.5) -> bool:
        """Whether two lie over each other, or nearer than the room between them."""
        return not (
            self.right + room <= other.left or other.right + room <= self.left
            or self.high + room <= other.low or other.high + room <= self.low
        )  # fmt: skip


def tradition_map(chosen: Sequence[Tradition], form: str = "svg") -> bytes:
    """The regions of some traditions on the outlines of the land. form: svg or png.

    The same data give the same bytes of SVG. Traditions without a coordinate are counted beneath.

    >>> tradition_map(list(traditions().values())[:3])[:5]
    b'<?xml'
    """
    import matplotlib
    from matplotlib.figure import Figure

    found = places(chosen)
    west, east, south, north = extent(found)
    high_in = min(max(_WIDTH_IN * (north - south) / (east - west), 3.0), 7.0)
    height_in = high_in + _ROUND_IN
    with matplotlib.rc_context(STYLE):  # type: ignore[arg-type,unused-ignore]  # newer stubs list every key
        figure = Figure(figsize=(_WIDTH_IN, height_in), facecolor=PAPER)
        shape = (0.02, 0.6 / height_in, 0.96, high_in / height_in)
        axes = figure.add_axes(shape)
        axes.set_axis_off()
        axes.set_xlim(west, east)
        axes.set_ylim(south, north)
        for ring in rings():
            longitudes, latitudes = zip(*unbroken(ring), strict=True)
            for turn in (-360.0, 0.0, 360.0):  # a coast across the date line is seen at both ends of the map
                turned = [longitude + turn for longitude in longitudes]
                axes.fill(turned, latitudes, facecolor=_LAND, edgecolor=QUIET, linewidth=0.3)
        _draw(axes, found, (shape[2] * _WIDTH_IN * 72, shape[3] * height_in * 72))
        _write_round(figure, chosen, found, height_in)
        return saved(figure, "Traditions by region", form)


def places(chosen: Iterable[Tradition]) -> tuple[Place, ...]:
    """The regions of some traditions, each at the middle of all its traditions, the fullest first."""
    middles = _middles()
    by_region: dict[str, list[Tradition]] = {}
    for one in chosen:
        by_region.setdefault(one.region, []).append(one)
    few = sum(map(len, by_region.values())) <= _NAMED
    found = []
    for region, here in by_region.items():
        if region not in middles:
            continue
        label = scheme("region")[region].label
        names = tuple(sorted(_short(one.label) for one in here))
        lines = (label, *names) if few else (f"{label} · {len(here)}",)
        found.append(Place(*middles[region], lines, len(here), region))
    return tuple(sorted(found, key=lambda place: (-place.count, place.lines)))


def extent(found: Sequence[Place]) -> tuple[float, float, float, float]:
    """West, east, south and north of a map that holds all places with room for their names, degrees."""
    if not found:
        return -170.0, 180.0, -58.0, 78.0
    west, east = _widened([place.longitude for place in found], -175.0, 185.0, 0.16, _LEAST_SPAN)
    if east - west > _WORLD:
        return west, east, -58.0, 80.0
    south, north = _widened([place.latitude for place in found], -58.0, 80.0, 0.2, _LEAST_SPAN * 0.6)
    return west, east, south, north


def settle(found: Sequence[tuple[Point, tuple[str, ...], float]], page: Box) -> Iterator[tuple[Box, str]]:
    """Where each text stands, points, and which of its sides is towards its dot: the nearest free place.

    found: dot, lines and the dot's radius. A text keeps clear of every dot and of every text before it, and
    where it can of the lines that lead to them.
    """
    dots = [Box(x - r, y - r, x + r, y + r) for (x, y), _, r in found]
    taken: list[Box] = []
    leads: list[Box] = []
    for own, (at, lines, radius) in enumerate(found):
        others = [dot for place, dot in enumerate(dots) if place != own]
        best: tuple[float, Box, str, list[Box]] | None = None
        for cost, box, side in _tries(at, lines, radius, page):
            if best is not None and cost >= best[0]:
                continue
            if not box.inside(page) or any(box.meets(other) for other in (*taken, *dots)):
                continue
            lead = _along(at, box, side)
            crossed = sum(step.meets(other, 0) for step in lead for other in (*others, *taken, *leads))
            cost += 12 * crossed + 12 * sum(box.meets(step, 0) for step in leads)
            if best is None or cost < best[0]:
                best = (cost, box, side, lead)
        if best is None:  # no room at all: beside its dot, over what is there
            cost, box, side = next(_tries(at, lines, radius, page))
            best = (cost, box, side, [])
        taken.append(best[1])
        leads += best[3]
        yield best[1], best[2]


def _tries(at: Point, lines: tuple[str, ...], radius: float, page: Box) -> Iterator[tuple[float, Box, str]]:
    """Places a text may stand at, each with how far off it is, and the side that is towards the dot."""
    (x, y), wide, high = at, max(map(len, lines)) * _LETTER_PT, len(lines) * _LINE_PT
    for far in (3.0, 9.0, 16.0, 26.0, 40.0, 60.0, 85.0, 120.0, 160.0):
        for step in (0, 1, -1, 2, -2, 3, -3, 4, -4, 6, -6):
            for side in ("left", "right"):
                start = x + radius + far if side == "left" else x - radius - far - wide
                start = max(min(start, page.right - wide), page.left)
                low = y - high / 2 + step * max(far, 6.0) / 2
                cost = far + abs(step) * max(far, 6.0) / 3 + (0.5 if side == "right" else 0.0)
                yield cost, Box(start, low, start + wide, low + high), side


def _along(at: Point, box: Box, side: str, steps: int = 12) -> list[Box]:
    """Small boxes along the line from a dot to its text, without both ends."""
    end_x, end_y = box.left if side == "left" else box.right, (box.low + box.high) / 2
    points = [
        (at[0] + (end_x - at[0]) * part / steps, at[1] + (end_y - at[1]) * part / steps)
        for part in range(2, steps - 1)
    ]
    return [Box(x - 1, y - 1, x + 1, y + 1) for x, y in points]


def _draw(axes: "Axes", found: Sequence[Place], size_pt: tuple[float, float]) -> None:
    (west, east), (south, north) = axes.get_xlim(), axes.get_ylim()
    wide, high = size_pt

    def on_page(place: Place) -> Point:
        return (
            (place.longitude - west) / (east - west) * wide,
            (place.latitude - south) / (north - south) * high,
        )

    dots = [(on_page(place), place.lines, 2.2 + 0.8 * place.count**0.5) for place in found]
    for (at, lines, radius), (box, side) in zip(dots, settle(dots, Box(0, 0, wide, high)), strict=True):
        degrees = (west + at[0] / wide * (east - west), south + at[1] / high * (north - south))
        axes.plot(*degrees, "o", markersize=2 * radius, color=IRON, markeredgecolor=PAPER, zorder=4)
        start = box.left if side == "left" else box.right
        end_pt = (start, (box.low + box.high) / 2)
        if abs(end_pt[0] - at[0]) > radius + 5 or abs(end_pt[1] - at[1]) > 3:
            end = (west + end_pt[0] / wide * (east - west), south + end_pt[1] / high * (north - south))
            axes.plot((degrees[0], end[0]), (degrees[1], end[1]), color=QUIET, linewidth=0.6, zorder=3)
        for row, line in enumerate(lines):
            axes.annotate(
                line, (0, 0), (start, box.high - (row + 0.5) * _LINE_PT), xycoords="axes fraction",
                textcoords="offset points", ha=side, va="center", fontsize=_SIZE_PT,
                color=INK if row == 0 else QUIET, annotation_clip=False, zorder=5,
                bbox={"facecolor": PAPER, "alpha": 0.78, "edgecolor": "none", "pad": 0.6},
            )  # fmt: skip


def unbroken(ring: Iterable[Point]) -> Iterator[Point]:
    """A coast that crosses the date line drawn on beyond it, not back across the whole map."""
    turned, before = 0.0, None
    for longitude, latitude in ring:
        if before is not None and abs(longitude - before) > 180:
            turned += 360.0 if longitude < before else -360.0
        before = longitude
        yield longitude + turned, latitude


def _middles() -> Mapping[str, Point]:
    """Region to the middle, degrees, of the rounded coordinates of all its traditions.

    A region none of whose own traditions has any stands in the middle of all that lie within it.
    """
    own: dict[str, list[Point]] = {}
    within: dict[str, list[Point]] = {}
    for one in traditions().values():
        longitude, latitude = (_degrees(one, field) for field in ("longitude", "latitude"))
        if longitude is not None and latitude is not None:
            own.setdefault(one.region, []).append((longitude, latitude))
            for wider in region_path(one.region):
                within.setdefault(wider, []).append((longitude, latitude))
    return {
        region: (sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points))
        for region, points in {**within, **own}.items()
    }


def _degrees(one: Tradition, field: str) -> float | None:
    value = one.first(field, None)
    return float(value) if value is not None else None


def _widened(
    values: Sequence[float], least: float, most: float, share: float, least_span: float
) -> tuple[float, float]:
    middle = (min(values) + max(values)) / 2
    half = max((max(values) - min(values)) / 2 * (1 + 2 * share), least_span / 2)
    return max(middle - half, least), min(middle + half, most)


def _short(label: str, most: int = 44) -> str:
    return label if len(label) <= most else label[: most - 1].rstrip(" ,(") + "…"


def _write_round(figure: "Figure", chosen: Sequence[Tradition], found: Sequence[Place], high: float) -> None:
    shown = sum(place.count for place in found)
    noun = "tradition" if shown == 1 else "traditions"
    figure.text(0.02, 1 - 0.3 / high, f"{shown} {noun} by region", fontsize=13)
    left = len(chosen) - shown
    also = f" {left} more have no coordinate." if left else ""
    figure.text(
        0.02, 0.15 / high,
        "A dot stands in the middle of a region, by whole degrees mostly from memory; never a site."
        f"{also}\nPublished wares are no random sample. Land: Natural Earth, public domain. "
        f"Data {data_hash((INDEX, 'land.geojson'))}, SHA-256 of {INDEX}, land.geojson.",
        fontsize=7, color=QUIET, linespacing=1.5,
    )  # fmt: skip
