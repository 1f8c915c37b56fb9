"""A Munsell chip as a measured colour: CIE XYZ, Lab, sRGB; and back to the nearest chip.

Everything but sRGB is under CIE illuminant C, 2 degree observer, the white of the Munsell renotation.
data/munsell.csv is read on first use.
"""

import math
from collections.abc import Sequence
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from wareontology import paths
from wareontology.colour.difference import ciede2000
from wareontology.colour.notation import Chip, hue_number
from wareontology.errors import OutOfRange

_Three = tuple[float, float, float]
_Rows = dict[tuple[int, int], tuple[float, float, bool]]
"""(value, chroma) to x, y and whether they run by arc to the next hue."""

LOWEST_VALUE: Final = 1.0
HIGHEST_VALUE: Final = 9.5

_SOURCE: Final = "data/munsell.csv"
_C: Final = (0.31006, 0.31616)
"""Chromaticity of illuminant C, 2 degree observer (CIE, as colour-science 0.4.7 carries it)."""
_D65: Final = (0.3127, 0.3290)
"""Chromaticity of the sRGB white (IEC 61966-2-1, as colour-science 0.4.7 carries it)."""
_LUMINANCE: Final = (1.1914, -0.22533, 0.23352, -0.020484, 0.00081939)
"""Y in percent from value to the powers 1 to 5: ASTM D1535-08e1, the 1943 quintic times 0.975, which counts
from a perfect diffuser instead of magnesium oxide (as colour-science 0.4.7 carries it; standard not read)."""
_BRADFORD: Final = ((0.8951, 0.2664, -0.1614), (-0.7502, 1.7135, 0.0367), (0.0389, -0.0685, 1.0296))
"""Bradford chromatic adaptation (as colour-science 0.4.7 carries it)."""
_TO_SRGB: Final = ((3.2406, -1.5372, -0.4986), (-0.9689, 1.8758, 0.0415), (0.0557, -0.2040, 1.0570))
"""XYZ under D65 to linear sRGB (IEC 61966-2-1, as colour-science 0.4.7 carries it)."""
_HUES: Final = 40
_HUE_STEP: Final = 2.5
HEADING: Final = "hue,value,chroma,x,y,to_next_hue,kind,chart\n"
"""First line of data/munsell.csv after its provenance."""


def to_xyz(chip: Chip) -> _Three:
    """CIE XYZ of a chip, illuminant C, 2 degree observer; Y of a perfect white diffuser is 1.

    Chips of value 1 to 9.5, greys too, of any hue and of any chroma the renotation or its extrapolation
    reaches. Raises OutOfRange beyond. Between rows: value by luminance, chroma straight, hue straight or by
    arc as the table says (Centore 2012, as colour-science carries it). Above value 9 a chip is drawn
    toward white, so its chroma comes out low: doubtful there.

    >>> [round(part, 4) for part in to_xyz(Chip("N", 5, 0))]
    [0.189, 0.1927, 0.2278]
    """
    return _xyz(*_chromaticity(chip), chip.value)


def to_lab(chip: Chip) -> _Three:
    """CIE L*, a*, b* of a chip, illuminant C, 2 degree observer. Range and OutOfRange as `to_xyz`.

    >>> [round(part, 2) for part in to_lab(Chip("10YR", 8, 2))]
    [80.53, 1.61, 13.35]
    >>> to_lab(Chip("10YR", 8, 40))
    Traceback (most recent call last):
    wareontology.errors.OutOfRange: chroma of 10YR 8/40: found 40; would do: 0 to 22 (data/munsell.csv)
    """
    return _lab(to_xyz(chip))


def to_srgb(chip: Chip) -> tuple[str, bool]:
    """A chip for a screen: `#rrggbb`, and whether sRGB can show it; where it cannot, channels are clipped.

    Adapted from illuminant C to D65 by Bradford. Range and OutOfRange as `to_xyz`. A patch on a screen is
    never to be matched against a sherd.

    >>> to_srgb(Chip("10YR", 8, 2)), to_srgb(Chip("10R", 4, 10))[1]
    (('#d6c6af', True), True)
    """
    linear = _times(_c_to_srgb(), to_xyz(chip))
    inside = all(-1e-4 <= channel <= 1 + 1e-4 for channel in linear)
    return "#" + "".join(f"{round(255 * _gamma(channel)):02x}" for channel in linear), inside


def nearest_chip(lab: Sequence[float]) -> Chip:
    """The chart chip nearest to a colour by CIEDE2000; lab under illuminant C, 2 degree observer.

    Sought among `chart_chips`: a chip off that chart, such as 4.2YR 8.1/5.3, is never the answer. Every one
    of them is compared: a shortlist by plain Lab distance missed the nearest of 1 random Lab in 100.
    Raises ValueError where lab is not three finite numbers.

    >>> str(nearest_chip((61, 5, 25)))
    '10YR 6/4'
    """
    colour = np.asarray(lab, dtype=np.float64)
    if colour.shape != (3,) or not np.isfinite(colour).all():
        raise ValueError(f"found {lab!r}; would do: L*, a*, b* as three finite numbers")
    return chart_chips()[int(np.argmin(ciede2000(_chart_labs(), colour)))]


@cache
def chart_chips() -> tuple[Chip, ...]:
    """The chips `nearest_chip` chooses among, as data/munsell.csv marks and explains them.

    >>> Chip("7.5YR", 7, 4) in chart_chips()
    True
    """
    return tuple(chip for chip, _, _ in _chart())


def _chromaticity(chip: Chip) -> tuple[float, float]:
    value, chroma = chip.value, chip.chroma
    if not LOWEST_VALUE <= value <= HIGHEST_VALUE:
        raise OutOfRange(f"value of {chip}", value, LOWEST_VALUE, HIGHEST_VALUE, _SOURCE)
    if chip.hue == "N":
        return _C
    step, along = divmod(hue_number(chip.hue) / _HUE_STEP, 1.0)
    hue, low = int(step) % _HUES, math.floor(value)
    try:
        x, y = _at_value(hue, along, low, chroma)
        if low != value:
            x_up, y_up = _at_value(hue, along, low + 1, chroma) if low < 9 else _C
            y_low, y_high = _luminance(low), _luminance(low + 1)
            share = (_luminance(value) - y_low) / (y_high - y_low)
            x, y = x + share * (x_up - x), y + share * (y_up - y)
    except KeyError:
        highest = _highest_chroma(hue, along, value)
        raise OutOfRange(f"chroma of {chip}", chroma, 0, highest, _SOURCE) from None
    return x, y


def _at_value(hue: int, along: float, value: int, chroma: float) -> tuple[float, float]:
    """x, y at a whole value; KeyError where the table ends."""
    low = 2 * int(chroma // 2)
    x, y = _at_chroma(hue, along, value, low) if low else _C
    if low != chroma:
        x_up, y_up = _at_chroma(hue, along, value, low + 2)
        share = (chroma - low) / 2
        x, y = x + share * (x_up - x), y + share * (y_up - y)
    return x, y


def _at_chroma(hue: int, along: float, value: int, chroma: int) -> tuple[float, float]:
    """x, y at a whole value and even chroma, a share `along` the way from one hue step to the next."""
    x, y, arc = _renotation(hue)[value, chroma]
    if along == 0.0:
        return x, y
    x_next, y_next, _ = _renotation((hue + 1) % _HUES)[value, chroma]
    if not arc:
        return x + along * (x_next - x), y + along * (y_next - y)
    x, y, x_next, y_next = x - _C[0], y - _C[1], x_next - _C[0], y_next - _C[1]
    radius, angle = math.hypot(x, y), math.atan2(y, x)
    turn = math.remainder(math.atan2(y_next, x_next) - angle, math.tau)
    radius += along * (math.hypot(x_next, y_next) - radius)
    angle += along * turn
    return _C[0] + radius * math.cos(angle), _C[1] + radius * math.sin(angle)


def _highest_chroma(hue: int, along: float, value: float) -> int:
    hues = {hue, (hue + 1) % _HUES} if along else {hue}
    values = {math.floor(value), min(math.ceil(value), 9)}
    return min(max(c for v, c in _renotation(step) if v == one) for step in hues for one in values)


def _luminance(value: float) -> float:
    """Y of a value, 1 for a perfect white diffuser."""
    total = 0.0
    for factor in reversed(_LUMINANCE):
        total = (total + factor) * value
    return total / 100.0


def _xyz(x: float, y: float, value: float) -> _Three:
    luminance = _luminance(value)
    return x / y * luminance, luminance, (1.0 - x - y) / y * luminance


def _lab(xyz: _Three) -> _Three:
    white_x, _, white_z = _white(_C)
    f_x, f_y, f_z = _cube_root(xyz[0] / white_x), _cube_root(xyz[1]), _cube_root(xyz[2] / white_z)
    return 116.0 * f_y - 16.0, 500.0 * (f_x - f_y), 200.0 * (f_y - f_z)


def _cube_root(ratio: float) -> float:
    """The CIE 15 function of L*a*b*, straight near black."""
    return ratio ** (1 / 3) if ratio > 216 / 24389 else (24389 / 27 * ratio + 16.0) / 116.0


def _white(chromaticity: tuple[float, float]) -> _Three:
    x, y = chromaticity
    return x / y, 1.0, (1.0 - x - y) / y


def _gamma(channel: float) -> float:
    """Linear sRGB, clipped to 0 to 1, to the coded channel (IEC 61966-2-1)."""
    channel = min(max(channel, 0.0), 1.0)
    return 12.92 * channel if channel <= 0.0031308 else 1.055 * channel ** (1 / 2.4) - 0.055


@cache
def _c_to_srgb() -> tuple[_Three, _Three, _Three]:
    """XYZ under illuminant C to linear sRGB."""
    cone = np.array(_BRADFORD)
    scale = (cone @ np.array(_white(_D65))) / (cone @ np.array(_white(_C)))
    matrix = np.array(_TO_SRGB) @ np.linalg.inv(cone) @ (scale[:, None] * cone)
    red, green, blue = ((float(a), float(b), float(c)) for a, b, c in matrix)
    return red, green, blue


def _times(matrix: tuple[_Three, _Three, _Three], vector: _Three) -> _Three:
    red, green, blue = (sum(a * b for a, b in zip(row, vector, strict=True)) for row in matrix)
    return red, green, blue


@cache
def _chart_labs() -> NDArray[np.float64]:
    return np.array([_lab(_xyz(x, y, chip.value)) for chip, x, y in _chart()])


@cache
def _renotation(step: int) -> _Rows:
    """The rows of one of the 40 hues; they are read hue by hue, as few are needed for a lot of sherds."""
    rows: _Rows = {}
    for line in _lines()[_hue_names()[step]]:
        _, value, chroma, x, y, to_next_hue, _, _ = line.split(",")
        if to_next_hue:
            rows[int(value), int(chroma)] = (float(x), float(y), to_next_hue == "arc")
    return rows


@cache
def _chart() -> tuple[tuple[Chip, float, float], ...]:
    """The chart's chips with their x, y."""
    chart = []
    for lines in _lines().values():
        for line in lines:
            hue, value, chroma, x, y, _, _, on_chart = line.split(",")
            if on_chart:
                chart.append((Chip(hue, float(value), float(chroma)), float(x), float(y)))
    return tuple(chart)


@cache
def _hue_names() -> dict[int, str]:
    return {int(hue_number(hue) / _HUE_STEP) % _HUES: hue for hue in _lines() if hue != "N"}


@cache
def _lines() -> dict[str, list[str]]:
    """The lines of data/munsell.csv by hue."""
    by_hue: dict[str, list[str]] = {}
    text = paths.data("munsell.csv").read_text(encoding="utf-8")
    for line in text[text.index(HEADING) + len(HEADING) :].splitlines():
        by_hue.setdefault(line[: line.index(",")], []).append(line)
    return by_hue
