"""Colours from a photo: a known scene under a cast, uneven light, and what is refused."""

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from tests.helpers_cli import run
from wareontology.colour.srgb import lightness_to_light, linear_to_lab
from wareontology.errors import BreaksShape, OutOfRange, Unreadable
from wareontology.replica.photo import Box, measured

GREY = Box(20, 20, 60, 60)
AREA, OTHER = Box(140, 40, 40, 40), Box(220, 40, 40, 40)
TRUE = {AREA: (0.25, 0.10, 0.06), OTHER: (0.02, 0.021, 0.022)}
"""Linear sRGB of a red-brown and of a black area of the invented scene."""


def scene(
    folder: Path, cast: tuple[float, float, float] = (1.0, 1.0, 1.0), fall: float = 0.0, noise: float = 0.0,
    name: str = "photo.png",
) -> Path:  # fmt: skip
    """A grey of L* 50 and two areas, under a cast and a light that falls off by `fall` over the width."""
    image: NDArray[np.float64] = np.full((120, 300, 3), 0.3)
    for box, colour in {GREY: (lightness_to_light(50),) * 3, **TRUE}.items():
        image[box.y : box.y + box.height, box.x : box.x + box.width] = colour
    image = image * np.array(cast) * (1 - fall * np.arange(300) / 300)[None, :, None]
    image = np.clip(image * (1 + noise * np.random.default_rng(1).normal(size=image.shape)), 0, 1)
    coded = np.where(image <= 0.0031308, 12.92 * image, 1.055 * image ** (1 / 2.4) - 0.055)
    path = folder / name
    Image.fromarray(np.round(coded * 255).astype(np.uint8)).save(path)
    return path


@pytest.mark.parametrize("cast", [(1.0, 1.0, 1.0), (1.2, 1.0, 0.7), (0.6, 0.8, 1.1)])
def test_a_cast_is_taken_out(tmp_path: Path, cast: tuple[float, float, float]) -> None:
    areas, light = measured(scene(tmp_path, cast), [GREY], [AREA, OTHER])
    for area in areas:
        # second route: the colour the scene was painted with; a level of 255 is worth less than 1 here
        np.testing.assert_allclose(area.lab, linear_to_lab(TRUE[area.box]), atol=1.0)
    assert light.gains == pytest.approx(tuple(cast[1] / part for part in cast), rel=0.03)
    assert light.change < 0.02


def test_uneven_light_is_refused_and_a_little_is_stated(tmp_path: Path) -> None:
    with pytest.raises(BreaksShape, match="light that changes"):
        measured(scene(tmp_path, fall=0.6, noise=0.01), [GREY], [AREA])
    even, _ = measured(scene(tmp_path), [GREY], [AREA])
    uneven, light = measured(scene(tmp_path, fall=0.15, noise=0.01), [GREY], [AREA])
    assert light.change > 0.02
    assert uneven[0].uncertainty > even[0].uncertainty


def test_noise_alone_is_not_taken_for_a_slope(tmp_path: Path) -> None:
    measured(scene(tmp_path, noise=0.1), [GREY], [AREA])


def test_two_greys_see_a_slope_between_them(tmp_path: Path) -> None:
    path = scene(tmp_path)
    image = np.asarray(Image.open(path)).copy()
    image[20:60, 250:290] = 60
    Image.fromarray(image).save(path)
    with pytest.raises(BreaksShape, match="light that changes"):
        measured(path, [GREY, Box(252, 22, 30, 30)], [AREA])


@pytest.mark.parametrize(
    ("greys", "areas"),
    [
        ([], [AREA]),
        ([Box(280, 20, 60, 60)], [AREA]),
        ([Box(20, 20, 4, 200)], [AREA]),
        ([GREY], [Box(0, 0, 5, 5)]),
        ([GREY], [Box(-1, 0, 30, 30)]),
    ],
)
def test_boxes_that_will_not_do_are_refused(tmp_path: Path, greys: list[Box], areas: list[Box]) -> None:
    with pytest.raises(BreaksShape):
        measured(scene(tmp_path), greys, areas)


def test_an_overexposed_grey_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BreaksShape, match="at the end of the range"):
        measured(scene(tmp_path, cast=(6.0, 6.0, 6.0)), [GREY], [OTHER])


def test_what_is_no_picture_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "photo.jpg"
    path.write_bytes(b"no picture")
    with pytest.raises(Unreadable):
        measured(path, [GREY], [AREA])
    with pytest.raises(Unreadable):
        measured(tmp_path / "missing.png", [GREY], [AREA])
    with pytest.raises(OutOfRange):
        measured(scene(tmp_path), [GREY], [AREA], grey_lightness=3)


def test_the_command_compares_areas_of_one_photo(tmp_path: Path) -> None:
    boxes = ("--original", str(AREA), "--replica", str(OTHER))
    found = run("compare", "--photo", str(scene(tmp_path)), "--grey", str(GREY), *boxes)
    assert found.exit_code == 0
    assert "ΔE between the groups, ±" in found.stdout
    assert run("compare", "--photo", str(scene(tmp_path)), *boxes).exit_code == 2
    assert run("compare", "--photo", "x.png", "--grey", "1,2,3", *boxes).exit_code == 2
