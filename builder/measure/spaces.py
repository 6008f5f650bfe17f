"""Colour spaces: RGB encodings, XYZ, L*a*b*, and a change of white between them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from builder.measure.arrays import Floats
from builder.records.photo import Lab

Chromaticity = tuple[float, float]


@dataclass(frozen=True)
class White:
    """A reference white: its ``name`` and ``xyz`` with Y = 1."""

    name: str
    xyz: tuple[float, float, float]


def white_from_chromaticity(name: str, xy: Chromaticity) -> White:
    """The white of chromaticity ``xy`` at Y = 1. Source: CIE 15:2004."""
    x, y = xy
    return White(name, (x / y, 1.0, (1.0 - x - y) / y))


# 2° observer; chromaticities of IEC 61966-2-1:1999 (D65) and CIE 15:2004 (D50).
D65 = white_from_chromaticity("D65", (0.3127, 0.3290))
D50 = white_from_chromaticity("D50", (0.3457, 0.3585))


@dataclass(frozen=True)
class RgbSpace:
    """An RGB encoding with D65 white: chromaticities of its primaries, and its two curves, which
    turn encoded into linear values and back, both on [0, 1]."""

    name: str
    red: Chromaticity
    green: Chromaticity
    blue: Chromaticity
    decode: Callable[[npt.ArrayLike], Floats]
    encode: Callable[[npt.ArrayLike], Floats]

    @property
    def to_xyz(self) -> Floats:
        """Linear RGB → XYZ, (3, 3)."""
        return matrix_from_primaries(self.red, self.green, self.blue, D65)


def matrix_from_primaries(
    red: Chromaticity, green: Chromaticity, blue: Chromaticity, white: White
) -> Floats:
    """The (3, 3) matrix linear RGB → XYZ that gives RGB 1, 1, 1 the white.

    Source: SMPTE RP 177-1993.
    """
    p = np.array([white_from_chromaticity("", xy).xyz for xy in (red, green, blue)]).T
    return np.asarray(p * np.linalg.solve(p, np.array(white.xyz)), dtype=np.float64)


def _odd(curve: Callable[[Floats], Floats]) -> Callable[[npt.ArrayLike], Floats]:
    """``curve`` continued below zero by point symmetry, so that a colour outside the gamut keeps
    its sign instead of becoming NaN."""

    def extended(values: npt.ArrayLike) -> Floats:
        v = np.asarray(values, dtype=np.float64)
        return np.asarray(np.copysign(curve(np.abs(v)), v))

    return extended


@_odd
def decode_srgb(v: Floats) -> Floats:
    """Encoded → linear, elementwise, domain and range [0, 1]. Source: IEC 61966-2-1:1999."""
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


@_odd
def encode_srgb(v: Floats) -> Floats:
    """Linear → encoded, elementwise, domain and range [0, 1]. Source: IEC 61966-2-1:1999."""
    return np.where(v <= 0.04045 / 12.92, v * 12.92, 1.055 * v ** (1 / 2.4) - 0.055)


ADOBE_GAMMA = 563 / 256  # Adobe RGB (1998) Color Image Encoding: 2 51/256


@_odd
def decode_adobe(v: Floats) -> Floats:
    """Encoded → linear, elementwise, domain and range [0, 1]. Source: Adobe RGB (1998)."""
    return np.asarray(v**ADOBE_GAMMA)


@_odd
def encode_adobe(v: Floats) -> Floats:
    """Linear → encoded, elementwise, domain and range [0, 1]. Source: Adobe RGB (1998)."""
    return np.asarray(v ** (1 / ADOBE_GAMMA))


# Primaries: IEC 61966-2-1:1999; SMPTE EG 432-1:2010 with D65 (Display P3); Adobe RGB (1998).
SRGB = RgbSpace("srgb", (0.64, 0.33), (0.30, 0.60), (0.15, 0.06), decode_srgb, encode_srgb)
DISPLAY_P3 = RgbSpace(
    "display-p3", (0.680, 0.320), (0.265, 0.690), (0.150, 0.060), decode_srgb, encode_srgb
)
ADOBE_RGB = RgbSpace(
    "adobe-rgb", (0.64, 0.33), (0.21, 0.71), (0.15, 0.06), decode_adobe, encode_adobe
)
RGB_SPACES = {space.name: space for space in (SRGB, DISPLAY_P3, ADOBE_RGB)}

_DELTA = 6 / 29


def xyz_to_lab(xyz: npt.ArrayLike, white: White = D65) -> Floats:
    """XYZ (…, 3), Y of the white = 1, any real value → L*a*b* (…, 3), L* 100 for the white.

    Source: CIE 15:2004, section 8.2.1.
    """
    t = np.asarray(xyz, dtype=np.float64) / np.array(white.xyz)
    f = np.where(t > _DELTA**3, np.cbrt(t), t / (3 * _DELTA**2) + 4 / 29)
    fx, fy, fz = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)], axis=-1)


def lab_to_xyz(lab: npt.ArrayLike, white: White = D65) -> Floats:
    """L*a*b* (…, 3) → XYZ (…, 3), Y of the white = 1. Source: CIE 15:2004, section 8.2.1."""
    v = np.asarray(lab, dtype=np.float64)
    fy = (v[..., 0] + 16) / 116
    f = np.stack([fy + v[..., 1] / 500, fy, fy - v[..., 2] / 200], axis=-1)
    t = np.where(f > _DELTA, f**3, 3 * _DELTA**2 * (f - 4 / 29))
    return np.asarray(t * np.array(white.xyz))


# Cone-like responses of the Bradford transform. Source: the matrix that ICC profiles use, as held
# by colour-science 0.4.7.
BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)


def adaptation_matrix(source: White, target: White) -> Floats:
    """The (3, 3) matrix that carries XYZ seen under ``source`` to ``target``.

    Source: the linear Bradford transform of the ICC's profile specification, ICC.1.
    """
    gains = (BRADFORD @ np.array(target.xyz)) / (BRADFORD @ np.array(source.xyz))
    return np.asarray(np.linalg.inv(BRADFORD) @ (gains[:, None] * BRADFORD))


def adapt_white(xyz: npt.ArrayLike, source: White, target: White) -> Floats:
    """XYZ (…, 3) under ``source`` → XYZ (…, 3) under ``target``, Bradford."""
    return np.asarray(np.asarray(xyz, dtype=np.float64) @ adaptation_matrix(source, target).T)


def adapt_lab(lab: npt.ArrayLike, source: White, target: White = D65) -> Floats:
    """L*a*b* (…, 3) given for ``source`` → L*a*b* (…, 3) given for ``target``, Bradford."""
    return xyz_to_lab(adapt_white(lab_to_xyz(lab, source), source, target), target)


def chroma(lab: npt.ArrayLike) -> Floats:
    """C*ab of L*a*b* (…, 3) → (…), from 0. Source: CIE 15:2004, section 8.2.1."""
    v = np.asarray(lab, dtype=np.float64)
    return np.asarray(np.hypot(v[..., 1], v[..., 2]))


def hue_degrees(lab: npt.ArrayLike) -> Floats:
    """h_ab of L*a*b* (…, 3) → (…), in [0, 360), 0 for a neutral.

    Source: CIE 15:2004, section 8.2.1.
    """
    v: npt.NDArray[Any] = np.asarray(lab, dtype=np.float64)
    # A second turn brings the -0.0 and the -1e-15 that modulo leaves at 360 back to 0.
    return np.asarray(np.degrees(np.arctan2(v[..., 2], v[..., 1])) % 360.0 % 360.0)


def as_lab(values: Floats) -> Lab:
    """One colour (3,) as the records hold it."""
    L, a, b = (float(value) for value in values)
    return L, a, b
