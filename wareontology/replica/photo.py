"""Colours from a photo that has a neutral grey in view: balanced on it, refused where the light is uneven.

Every colour is L*, a*, b* under D65, so none of a photo may be set against a chip's (illuminant C).
"""

import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from wareontology.colour.srgb import lightness_to_light, linear_to_lab, to_linear
from wareontology.errors import BreaksShape, Fault, OutOfRange, Unreadable
from wareontology.records.photos import FORMATS, MOST_PIXELS, in_srgb
from wareontology.technique.limits import limits

Floats: TypeAlias = NDArray[np.float64]

FEWEST_PIXELS: Final = 400
_BLOCKS: Final = 8
"""A grey patch is parted into so many blocks each way: noise is averaged, a slope of light is not."""
_CODED_ENDS: Final = (5 / 255, 250 / 255)
_SURE: Final = 2.0


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle of the upright photo, in pixels from its upper left corner."""

    x: int
    y: int
    width: int
    height: int

    def __str__(self) -> str:
        return f"{self.x},{self.y},{self.width},{self.height}"

    def middle(self) -> Floats:
        return np.array([self.x + self.width / 2, self.y + self.height / 2])


@dataclass(frozen=True, slots=True)
class Area:
    """The colour of one area: its mean, how much it varies over the area (each channel), and how uncertain
    the mean is, in CIEDE2000: from the light and from a camera without a profile."""

    box: Box
    lab: tuple[float, float, float]
    varies: tuple[float, float, float]
    uncertainty: float


@dataclass(frozen=True, slots=True)
class Light:
    """What the grey patches say of the light: the gains that balance it, and the largest change of it, as a
    share, from the grey to an area or across a patch."""

    gains: tuple[float, float, float]
    change: float


def measured(
    path: str | Path, greys: Sequence[Box], areas: Sequence[Box], grey_lightness: float = 50.0
) -> tuple[tuple[Area, ...], Light]:
    """The colours of some areas of a photo, balanced on its grey patches.

    grey_lightness: L* of the grey, 20 to 95. Raises Unreadable for what is no picture, BreaksShape for a
    photo without a grey, a box that is not in it or too small, an area that is over- or underexposed, or
    light that is too uneven.
    """
    name = Path(path).name
    if not greys:
        raise _refused(name, "grey", "no reference", "the box of a neutral grey in view, as x,y,width,height")
    if not 20 <= grey_lightness <= 95:
        raise OutOfRange("grey_lightness", grey_lightness, 20, 95, "a grey that is neither black nor white")
    coded = _opened(path)
    for kind, box in [*(("grey", box) for box in greys), *(("area", box) for box in areas)]:
        _check(name, kind, box, coded)
    light = to_linear(coded)
    patch = np.concatenate([_cut(light, box).reshape(-1, 3) for box in greys]).mean(axis=0)
    gains = lightness_to_light(grey_lightness) / patch
    slope, covariance = _slope(light, greys)
    middle = np.mean([box.middle() for box in greys], axis=0)
    found = []
    changes = [_across(slope, covariance, box) for box in greys]
    for box in areas:
        change, sure = _change(slope, covariance, box.middle() - middle)
        changes.append((change, sure))
        found.append(_area(_cut(light, box) * gains, box, change))
    worst = max((change for change, sure in changes if sure), default=0.0)
    if worst > limits()["photo_uneven"]:
        raise _refused(
            name, "light", f"light that changes by {worst:.0%}",
            "an even light, such as a cloudy sky, and the grey close beside the sherds",
        )  # fmt: skip
    first, second, third = (float(gain) for gain in gains / gains[1])
    return tuple(found), Light((first, second, third), max(change for change, _ in changes))


def _opened(path: str | Path) -> Floats:
    from PIL import Image, ImageOps

    name = Path(path).name
    would_do = "a photo as JPEG, PNG, WebP or TIFF"
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(path, formats=FORMATS) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    found = f"{picture.width} by {picture.height} pixels"
                    raise Unreadable(f"{name}: found {found}; would do: at most {MOST_PIXELS:,} pixels")
                return np.asarray(in_srgb(ImageOps.exif_transpose(picture)), dtype=np.float64) / 255
    except Unreadable:
        raise
    except Exception as error:  # a damaged or hostile picture makes a decoder raise nearly anything
        found = f"no picture that can be read ({type(error).__name__})"
        raise Unreadable(f"{name}: found {found}; would do: {would_do}") from None


def _check(name: str, kind: str, box: Box, coded: Floats) -> None:
    height, width = coded.shape[:2]
    inside = box.x >= 0 and box.y >= 0 and box.x + box.width <= width and box.y + box.height <= height
    if not inside or min(box.width, box.height) < _BLOCKS or box.width * box.height < FEWEST_PIXELS:
        would_do = f"x,y,width,height within {width} by {height}, {FEWEST_PIXELS} pixels or more"
        raise _refused(name, kind, str(box), would_do)
    part = _cut(coded, box)
    ends = part >= _CODED_ENDS[1]
    if kind == "grey":  # black paint may be as dark as it is; a grey may not
        ends |= part <= _CODED_ENDS[0]
    clipped = ends.any(axis=-1).mean()
    if clipped > limits()["photo_clipped"]:
        found = f"{box}, {clipped:.0%} of it at the end of the range"
        raise _refused(name, kind, found, "a photo that is neither over- nor underexposed there")


def _cut(image: Floats, box: Box) -> Floats:
    return image[box.y : box.y + box.height, box.x : box.x + box.width]


def _slope(light: Floats, greys: Sequence[Box]) -> tuple[Floats, Floats]:
    """Change of the logarithm of light for each pixel along x and y, by least squares, and its covariance."""
    places, values = [], []
    for box in greys:
        part = _cut(light, box).mean(axis=-1)
        for rows in np.array_split(np.arange(box.height), _BLOCKS):
            for columns in np.array_split(np.arange(box.width), _BLOCKS):
                places.append((box.x + columns.mean(), box.y + rows.mean()))
                values.append(np.log(part[np.ix_(rows, columns)].mean()))
    design = np.column_stack([np.ones(len(places)), np.array(places) - np.mean(places, axis=0)])
    fitted, *_ = np.linalg.lstsq(design, np.array(values), rcond=None)
    rest = np.array(values) - design @ fitted
    covariance = np.linalg.inv(design.T @ design) * (rest @ rest) / (len(values) - 3)
    return fitted[1:], covariance[1:, 1:]


def _change(slope: Floats, covariance: Floats, way: Floats) -> tuple[float, bool]:
    """Share by which the light changes along a way, and whether that is more than noise would make."""
    change = float(abs(np.expm1(slope @ way)))
    error = float(np.sqrt(way @ covariance @ way))
    return change, abs(float(slope @ way)) > _SURE * error


def _across(slope: Floats, covariance: Floats, box: Box) -> tuple[float, bool]:
    way = np.array([box.width, box.height]) * np.sign(slope)
    return _change(slope, covariance, way)


def _area(light: Floats, box: Box, change: float) -> Area:
    pixels = linear_to_lab(light.reshape(-1, 3))
    mean = linear_to_lab(light.reshape(-1, 3).mean(axis=0))
    brighter = linear_to_lab(light.reshape(-1, 3).mean(axis=0) * (1 + change))
    by_light = float(np.linalg.norm(brighter - mean))
    uncertainty = float(np.hypot(by_light, limits()["photo_camera"]))
    lab, varies = (tuple(round(float(part), 2) for part in one) for one in (mean, pixels.std(axis=0)))
    return Area(box, (lab[0], lab[1], lab[2]), (varies[0], varies[1], varies[2]), round(uncertainty, 2))


def _refused(name: str, what: str, found: str, would_do: str) -> BreaksShape:
    return BreaksShape([Fault(name, None, what, found, would_do)])
