"""Colour difference: CIEDE2000."""

import numpy as np
from numpy.typing import ArrayLike, NDArray


def ciede2000(lab_1: ArrayLike, lab_2: ArrayLike) -> NDArray[np.float64]:
    """CIEDE2000 difference of two colours, or of two arrays of colours that broadcast together.

    lab_1, lab_2: L*, a*, b* along the last axis, both under the same illuminant. The result has no unit,
    is 0 or more and symmetric; parametric factors kL, kC, kH are 1. Raises ValueError where the last axis
    is not three numbers. The formula itself has a small break where two hues lie just opposite.

    Source: Sharma, Wu & Dalal 2005, Color Res. Appl. 30(1):21-30, equations 2 to 22 (numbering from memory,
    unverified; the 34 pairs of its Table 1 are the check).

    >>> round(float(ciede2000([50, 2.6772, -79.7751], [50, 0, -82.7485])), 4)
    2.0425
    >>> ciede2000([[50, 0, 0], [60, 0, 0]], [50, 0, 0]).shape
    (2,)
    """
    l_1, a_1, b_1 = _parts(lab_1)
    l_2, a_2, b_2 = _parts(lab_2)
    g = 0.5 * (1.0 - _seventh((np.hypot(a_1, b_1) + np.hypot(a_2, b_2)) / 2.0))
    a_1, a_2 = (1.0 + g) * a_1, (1.0 + g) * a_2
    c_1, c_2 = np.hypot(a_1, b_1), np.hypot(a_2, b_2)
    h_1, h_2 = np.arctan2(b_1, a_1), np.arctan2(b_2, a_2)

    turn = np.where(c_1 * c_2 == 0.0, 0.0, h_2 - h_1)
    turn = turn - 2.0 * np.pi * np.round(turn / (2.0 * np.pi))
    d_l, d_c = l_2 - l_1, c_2 - c_1
    d_h = 2.0 * np.sqrt(c_1 * c_2) * np.sin(turn / 2.0)

    l_mean, c_mean, h_mean = (l_1 + l_2) / 2.0, (c_1 + c_2) / 2.0, _mean_hue(c_1 * c_2, h_1, h_2)
    t = (
        1.0
        - 0.17 * np.cos(h_mean - np.radians(30.0))
        + 0.24 * np.cos(2.0 * h_mean)
        + 0.32 * np.cos(3.0 * h_mean + np.radians(6.0))
        - 0.20 * np.cos(4.0 * h_mean - np.radians(63.0))
    )
    s_l = 1.0 + 0.015 * (l_mean - 50.0) ** 2 / np.sqrt(20.0 + (l_mean - 50.0) ** 2)
    s_c, s_h = 1.0 + 0.045 * c_mean, 1.0 + 0.015 * c_mean * t
    blue = np.radians(30.0) * np.exp(-(((np.degrees(h_mean) - 275.0) / 25.0) ** 2))
    r_t = -2.0 * _seventh(c_mean) * np.sin(2.0 * blue)
    l_term, c_term, h_term = d_l / s_l, d_c / s_c, d_h / s_h
    square = l_term**2 + c_term**2 + h_term**2 + r_t * c_term * h_term
    return np.asarray(np.sqrt(np.maximum(square, 0.0)), dtype=np.float64)


def _parts(lab: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    colour = np.asarray(lab, dtype=np.float64)
    if colour.ndim == 0 or colour.shape[-1] != 3:
        raise ValueError(f"found an array of shape {colour.shape}; would do: L*, a*, b* along the last axis")
    return colour[..., 0], colour[..., 1], colour[..., 2]


def _seventh(chroma: NDArray[np.float64]) -> NDArray[np.float64]:
    power = chroma**7
    return np.asarray(np.sqrt(power / (power + 25.0**7)), dtype=np.float64)


def _mean_hue(
    chromas: NDArray[np.float64], h_1: NDArray[np.float64], h_2: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Mean hue on the shorter way round, in radians from 0 to 2 pi; the sum where one colour is grey."""
    full = 2.0 * np.pi
    h_1, h_2 = h_1 % full, h_2 % full
    h_sum = h_1 + h_2
    across = np.abs(h_1 - h_2) > np.pi
    mean = np.where(across, (h_sum + np.where(h_sum < full, full, -full)) / 2.0, h_sum / 2.0)
    return np.asarray(np.where(chromas == 0.0, h_sum, mean), dtype=np.float64)
