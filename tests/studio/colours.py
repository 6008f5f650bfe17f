"""Colour arithmetic of the studio, kept apart from the builder's so that it can serve as truth.

Lab is CIE L*a*b*, D65 white, 2° observer. Linear RGB is scene-referred: 1 is a perfect white under
the neutral lamp, values may leave [0, 1]. Arrays are (…, 3).
Source of curves and primaries: IEC 61966-2-1 (sRGB), SMPTE EG 432-1 (P3 primaries), CIE 15.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float32]
Doubles = NDArray[np.float64]
Lab = tuple[float, float, float]

WHITE_D65 = (0.3127, 0.3290)  # x, y; IEC 61966-2-1
SRGB_PRIMARIES = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))
P3_PRIMARIES = ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))


def white_xyz(xy: tuple[float, float] = WHITE_D65) -> Doubles:
    """A white's XYZ with Y = 1, from its chromaticity."""
    x, y = xy
    return np.array([x / y, 1.0, (1 - x - y) / y])


def to_xyz_matrix(primaries: tuple[tuple[float, float], ...]) -> Doubles:
    """Linear RGB to XYZ (D65, Y = 1) for a set of primaries."""
    columns = np.array([white_xyz(xy) for xy in primaries]).T
    return np.asarray(columns * np.linalg.solve(columns, white_xyz()))


SRGB_TO_XYZ = to_xyz_matrix(SRGB_PRIMARIES)
XYZ_TO_SRGB = np.linalg.inv(SRGB_TO_XYZ)
SRGB_TO_P3 = np.linalg.inv(to_xyz_matrix(P3_PRIMARIES)) @ SRGB_TO_XYZ


def lab_to_linear(lab: Lab | Doubles) -> Doubles:
    """L*a*b* to linear sRGB, unclipped."""
    lightness, a, b = np.moveaxis(np.asarray(lab, dtype=np.float64), -1, 0)
    fy = (lightness + 16) / 116
    f = np.stack([fy + a / 500, fy, fy - b / 200], axis=-1)
    xyz = np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29)) * white_xyz()
    return np.asarray(xyz @ XYZ_TO_SRGB.T)


def linear_to_lab(rgb: Doubles | Array) -> Doubles:
    """Linear sRGB to L*a*b*."""
    t = np.asarray(rgb, dtype=np.float64) @ SRGB_TO_XYZ.T / white_xyz()
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = np.moveaxis(f, -1, 0)
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def encode_srgb(linear: Array) -> Array:
    """The sRGB curve (also that of Display P3); [0, 1] to [0, 1]."""
    t = np.clip(linear, 0, 1)
    curved = 1.055 * np.power(np.maximum(t, 0.0031308), 1 / 2.4) - 0.055
    return np.asarray(np.where(t <= 0.0031308, 12.92 * t, curved), dtype=np.float32)


def lamp_gains(kelvin: float, balanced_for: float) -> Doubles:
    """Gain of each linear channel under a lamp of ``kelvin`` when the camera is balanced for
    another. Green is 1.

    Daylight locus above 4000 K (CIE 15), Planckian approximation below (Kim et al. 2002, the
    cubic spline used in display standards).
    """
    ratio = _white_rgb(kelvin) / _white_rgb(balanced_for)
    return np.asarray(ratio / ratio[1])


def _white_rgb(kelvin: float) -> Doubles:
    t = 1000.0 / kelvin
    if kelvin >= 4000:
        if kelvin <= 7000:
            x = 0.244063 + 0.09911 * t + 2.9678 * t**2 - 4.6070 * t**3
        else:
            x = 0.237040 + 0.24748 * t + 1.9018 * t**2 - 2.0064 * t**3
        y = -3.000 * x**2 + 2.870 * x - 0.275
    else:
        x = 0.179910 + 0.8776956 * t - 0.2343589 * t**2 - 0.2661239 * t**3
        if kelvin >= 2222:
            y = -0.9549476 * x**3 - 1.37418593 * x**2 + 2.09137015 * x - 0.16748867
        else:
            y = -1.1063814 * x**3 - 1.34811020 * x**2 + 2.18555832 * x - 0.20219683
    return np.asarray(white_xyz((x, y)) @ XYZ_TO_SRGB.T)
