"""Photos encoded anew, so that nothing is kept but the picture: no place, time, camera or hidden data."""

import io
import warnings
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from wareontology.errors import Unreadable

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_BYTES: Final = 40 * 2**20
MOST_PIXELS: Final = 80_000_000
LONGEST_SIDE: Final = 4_000
"""Pixels; a larger picture is made smaller."""
QUALITY: Final = 90
FORMATS: Final = ("JPEG", "PNG", "WEBP", "TIFF", "GIF", "BMP")

_WOULD_DO: Final = "a photo as JPEG, PNG, WebP or TIFF"
_SEGMENTS: Final = frozenset({0xE0, 0xDB, 0xC0, 0xC2, 0xC4, 0xDA, 0xDD})
"""Markers of a JPEG that holds the picture only: JFIF, tables, frame, scan."""


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo as it is kept: JPEG in sRGB."""

    content: bytes
    width: int
    height: int


def clean(content: bytes, name: str = "photo") -> Photo:
    """The picture alone, upright, in sRGB, as JPEG.

    Raises Unreadable for what is no picture, or over MOST_BYTES or MOST_PIXELS.
    """
    from PIL import Image, ImageOps

    if len(content) > MOST_BYTES:
        raise Unreadable(f"{name}: found {len(content):,} bytes; would do: at most {MOST_BYTES:,}")
    # A damaged or hostile picture makes a decoder raise nearly anything; whatever it is, it is unreadable.
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(content), formats=FORMATS) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    size = f"{picture.width} by {picture.height} pixels"
                    raise Unreadable(f"{name}: found {size}; would do: at most {MOST_PIXELS:,} pixels")
                upright = ImageOps.exif_transpose(picture)
                plain = in_srgb(upright)
                plain.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
                out = io.BytesIO()
                plain.save(out, "JPEG", quality=QUALITY, subsampling=0)
    except Unreadable:
        raise
    except Exception as error:
        found = f"no picture that can be read ({type(error).__name__})"
        raise Unreadable(f"{name}: found {found}; would do: {_WOULD_DO}") from None
    return Photo(out.getvalue(), plain.width, plain.height)


def check_clean(content: bytes, name: str) -> None:
    """Raises Unreadable for bytes that `clean` could not have made: no JPEG, or one that holds more.

    It is asked of photos that an export brings, which are named by what they hold and so not encoded again.
    """
    start, end = b"\xff\xd8", b"\xff\xd9"
    seen = content.startswith(start) and content.find(end) == len(content) - 2
    at = 2
    while seen and content[at : at + 2] != b"\xff\xda":
        length = int.from_bytes(content[at + 2 : at + 4], "big")
        seen = at + length < len(content) and length >= 2
        seen = seen and content[at] == 0xFF and content[at + 1] in _SEGMENTS
        at += 2 + length
    if not seen:
        found = "more, or less, than a bare photo"
        raise Unreadable(f"{name}: found {found}; would do: one that this program exported")
    clean(content, name)


def in_srgb(picture: "Image") -> "Image":
    """Three colours of eight bits in the common colour space; what shows through is white."""
    from PIL import Image, ImageCms

    profile = picture.info.get("icc_profile")
    if picture.mode.startswith("I;16"):
        picture = picture.point(lambda value: value / 256).convert("L")
    if profile and picture.mode in ("RGB", "L", "CMYK"):
        try:
            own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            turned = ImageCms.profileToProfile(picture, own, ImageCms.createProfile("sRGB"), outputMode="RGB")
            picture = turned or picture
        except (
            ImageCms.PyCMSError,
            OSError,
        ):  # a profile that cannot be used; the numbers are taken as they are
            pass
    if "A" in picture.getbands() or "transparency" in picture.info:
        clear = picture.convert("RGBA")
        ground = Image.new("RGBA", clear.size, "white")
        picture = Image.alpha_composite(ground, clear)
    plain = Image.new("RGB", picture.size)
    plain.paste(picture.convert("RGB"))  # a new picture carries nothing over but its pixels
    return plain
