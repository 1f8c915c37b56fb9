"""sRGB, as cameras and screens have it, to Lab under its own white."""

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

_TO_XYZ: Final = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
"""Linear sRGB to XYZ under D65 (IEC 61966-2-1, as colour-science 0.4.7 carries it)."""
_EPSILON: Final = 216 / 24389
_KAPPA: Final = 24389 / 27
"""Where Lab turns from a cube root to a line (CIE, as colour-science 0.4.7 carries it)."""


def to_linear(srgb: ArrayLike) -> Floats:
    """Light from coded values, both 0 to 1 (IEC 61966-2-1).

    >>> round(float(to_linear(0.5)), 4)
    0.214
    """
    coded = np.asarray(srgb, dtype=np.float64)
    return np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)


def linear_to_lab(linear: ArrayLike) -> Floats:
    """L*, a*, b* of linear sRGB along the last axis, under D65. Equal channels are a grey: a* and b* are 0.

    >>> [round(float(part), 1) for part in linear_to_lab([1.0, 1.0, 1.0])]
    [100.0, 0.0, 0.0]
    """
    xyz = np.asarray(linear, dtype=np.float64) @ _TO_XYZ.T / _TO_XYZ.sum(axis=1)
    f = np.where(xyz > _EPSILON, np.cbrt(xyz), (_KAPPA * xyz + 16) / 116)
    return np.stack([116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], -1)


def lightness_to_light(lightness: float) -> float:
    """Y, 0 to 1, of an L*.

    >>> round(lightness_to_light(50), 4)
    0.1842
    """
    f = (lightness + 16) / 116
    return float(f**3 if f**3 > _EPSILON else (116 * f - 16) / _KAPPA)
