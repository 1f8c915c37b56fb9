"""Photos keep their picture and nothing else."""

import io
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms
from PIL.PngImagePlugin import PngInfo

from tests.records.helpers import picture
from wareontology.errors import Unreadable
from wareontology.records import photos


def with_place(orientation: int = 1) -> bytes:
    """A JPEG as a phone makes it: where, when, with what."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = "SECRET camera"
    gps = exif.get_ifd(0x8825)
    gps[2] = (51.0, 30.0, 0.0)
    return picture("JPEG", exif=exif, comment=b"SECRET note")


def test_place_time_and_camera_are_gone() -> None:
    raw = with_place()
    assert b"SECRET" in raw
    found = photos.clean(raw)
    assert b"SECRET" not in found.content
    assert b"Exif" not in found.content
    with Image.open(io.BytesIO(found.content)) as image:
        assert (image.format, image.size, dict(image.getexif())) == ("JPEG", (40, 30), {})
    photos.check_clean(found.content, "photo")
    with pytest.raises(Unreadable, match="more, or less, than a bare photo"):
        photos.check_clean(raw, "photo")


def test_text_of_a_png_and_what_is_hung_on_the_end_are_gone() -> None:
    text = PngInfo()
    text.add_text("Location", "SECRET")
    found = photos.clean(picture("PNG", pnginfo=text) + b"SECRET")
    assert b"SECRET" not in found.content
    with pytest.raises(Unreadable):
        photos.check_clean(found.content + b"SECRET\xff\xd9", "photo")
    with pytest.raises(Unreadable):
        photos.check_clean(found.content[:-100], "photo")


def test_a_photo_taken_sideways_stands_upright() -> None:
    found = photos.clean(with_place(orientation=6))
    assert (found.width, found.height) == (30, 40)


def test_a_clear_ground_is_white_and_a_large_picture_smaller() -> None:
    out = io.BytesIO()
    Image.new("RGBA", (9000, 30), (0, 0, 0, 0)).save(out, "PNG")
    found = photos.clean(out.getvalue())
    assert found.width == photos.LONGEST_SIDE
    with Image.open(io.BytesIO(found.content)) as image:
        assert image.getpixel((5, 5)) == (255, 255, 255)


def test_colours_are_turned_to_the_common_space() -> None:
    common = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    found = photos.clean(picture("PNG", icc_profile=common))
    assert b"ICC_PROFILE" not in found.content
    broken = photos.clean(picture("PNG", icc_profile=b"no profile"))
    assert broken.width == 40


@pytest.mark.parametrize("form", photos.FORMATS)
def test_every_form_that_is_named_is_read(form: str) -> None:
    assert photos.clean(picture(form)).height == 30


@pytest.mark.parametrize(
    "content",
    [b"", b"text", b"<svg xmlns='http://www.w3.org/2000/svg'/>", picture("PNG")[:60], picture("PPM")],
)
def test_what_is_no_picture_is_refused(content: bytes) -> None:
    with pytest.raises(Unreadable, match="no picture that can be read"):
        photos.clean(content)


def test_a_picture_that_is_a_bomb_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    for side, said in ((9_500, "pixels"), (20_000, "DecompressionBomb")):  # the second is Pillow's own limit
        out = io.BytesIO()
        Image.new("1", (side, side)).save(out, "PNG")
        assert len(out.getvalue()) < 100_000
        with pytest.raises(Unreadable, match=said):
            photos.clean(out.getvalue())
    monkeypatch.setattr(photos, "MOST_BYTES", 10)
    with pytest.raises(Unreadable, match="bytes"):
        photos.clean(picture())


@given(st.binary(max_size=400), st.integers(0, 300), st.sampled_from(["JPEG", "PNG", "GIF", "WEBP", "TIFF"]))
@settings(deadline=None, max_examples=150)
def test_any_bytes_are_a_photo_or_unreadable(noise: bytes, at: int, form: str) -> None:
    raw = picture(form)
    for content in (noise, raw[:at] + noise + raw[at + len(noise) :]):
        with suppress(Unreadable):
            photos.check_clean(photos.clean(content).content, "photo")
