"""The three RGB encodings known by name: their primaries and curves, and the way to sRGB.

``builder.measure`` holds the same figures for measuring; neither imports the other, and a test
holds them together.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from builder.look.whites import D65
from builder.records.photo import Encoding, Lab

Floats = NDArray[np.float64]

_LEVELS = np.arange(256) / 255.0
# A linear value is looked up to 1/65535: at the steepest part of the curve, next to black, that is
# a twentieth of an 8-bit level.
_STEPS = 65536
# Pixels worked on at a time: whole pictures as floating point would not stay in the cache.
_BLOCK = 32768


@dataclass(frozen=True)
class Space:
    """An encoding: ``words`` for the page, ``to_xyz`` (3, 3) from linear RGB to XYZ (D65, Y = 1),
    ``table`` (256,) linear values of the 8-bit ones."""

    words: str
    to_xyz: Floats
    table: Floats


def decode_srgb(v: Floats) -> Floats:
    """Encoded → linear, both [0, 1]. Source: IEC 61966-2-1:1999."""
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def encode_srgb(linear: Floats) -> Floats:
    """Linear → encoded, both [0, 1]. Source: IEC 61966-2-1:1999."""
    return np.where(linear <= 0.0031308, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055)


def matrix_from_primaries(*primaries: tuple[float, float]) -> Floats:
    """(3, 3): linear RGB → XYZ for three chromaticities and a D65 white.

    Source: SMPTE RP 177-1993.
    """
    columns = np.array([[x / y, 1.0, (1.0 - x - y) / y] for x, y in primaries]).T
    return np.asarray(columns * np.linalg.solve(columns, D65))


@cache
def named_spaces() -> dict[str, Space]:
    """By the name :class:`Encoding` uses.

    Sources: sRGB, IEC 61966-2-1:1999; Display P3, SMPTE EG 432-1:2010 primaries with D65 and the
    sRGB curve; Adobe RGB (1998) Color Image Encoding, version 2005-05
    (exponent 563/256).
    """
    srgb = decode_srgb(_LEVELS)
    return {
        "srgb": Space(
            "sRGB", matrix_from_primaries((0.64, 0.33), (0.30, 0.60), (0.15, 0.06)), srgb
        ),
        "display-p3": Space(
            "Display P3", matrix_from_primaries((0.680, 0.320), (0.265, 0.690), (0.15, 0.06)), srgb
        ),
        "adobe-rgb": Space(
            "Adobe RGB (1998)",
            matrix_from_primaries((0.64, 0.33), (0.21, 0.71), (0.15, 0.06)),
            _LEVELS ** (563 / 256),
        ),
    }


def xyz_to_srgb8(xyz: NDArray[np.float32]) -> NDArray[np.uint8]:
    """XYZ (…, 3), D65, Y = 1 → 8-bit sRGB (…, 3). Colours outside sRGB are cut off here, channel
    by channel, and nowhere before."""
    from_xyz = np.linalg.inv(named_spaces()["srgb"].to_xyz).T.astype(np.float32)
    flat = xyz.reshape(-1, 3)
    out = np.empty(flat.shape, dtype=np.uint8)
    for start in range(0, len(flat), _BLOCK):
        block = slice(start, start + _BLOCK)
        out[block] = _encode8(flat[block].astype(np.float32) @ from_xyz)
    return out.reshape(xyz.shape)


def lab_to_xyz(lab: Floats) -> Floats:
    """L*a*b* (…, 3), D65, 2° → XYZ (…, 3), Y = 1. Source: CIE 15:2004."""
    fy = (lab[..., 0] + 16.0) / 116.0
    f = np.stack([fy + lab[..., 1] / 500.0, fy, fy - lab[..., 2] / 200.0], axis=-1)
    delta = 6.0 / 29.0
    return np.asarray(D65 * np.where(f > delta, f**3, 3.0 * delta**2 * (f - 4.0 / 29.0)))


def rgb_to_srgb8(rgb: NDArray[np.uint8], encoding: Encoding) -> NDArray[np.uint8]:
    """8-bit values (…, 3) in ``encoding`` → 8-bit sRGB (…, 3), cut off as above."""
    if encoding.name == "srgb":
        return rgb
    tables, to_xyz = _figures(encoding)
    linear_tables = tables.astype(np.float32)
    to_srgb = np.linalg.solve(named_spaces()["srgb"].to_xyz, to_xyz).T.astype(np.float32)
    flat = rgb.reshape(-1, 3)
    out = np.empty(flat.shape, dtype=np.uint8)
    for start in range(0, len(flat), _BLOCK):
        block = slice(start, start + _BLOCK)
        linear = np.stack(
            [linear_tables[channel][flat[block, channel]] for channel in range(3)], axis=-1
        )
        out[block] = _encode8(linear @ to_srgb)
    return out.reshape(rgb.shape)


def encoding_of(tables: Floats, to_xyz: Floats) -> Encoding:
    """The named encoding these figures are of, or else an encoding of their own."""
    for name, space in named_spaces().items():
        if _is_same(tables, space.table, to_xyz, space.to_xyz):
            return Encoding(name)
    first, second, third = (tuple(float(v) for v in table) for table in tables)
    return Encoding("profile", (first, second, third), _rows(to_xyz))


def _is_same(tables: Floats, table: Floats, matrix: Floats, other: Floats) -> bool:
    # Profiles of one encoding differ by the rounding of 16-bit curves and of colorants that were
    # adapted with whites of four decimals: well under these bounds, which themselves are far
    # under one ΔE00.
    near_curve = np.abs(tables - table) <= 2e-4 + 2e-3 * table
    return bool(near_curve.all() and np.abs(matrix - other).max() <= 1e-3)


def _rows(matrix: Floats) -> tuple[Lab, Lab, Lab]:
    a, b, c = ((float(row[0]), float(row[1]), float(row[2])) for row in matrix)
    return a, b, c


def _figures(encoding: Encoding) -> tuple[Floats, Floats]:
    if encoding.decode is not None and encoding.to_xyz is not None:
        return np.array(encoding.decode), np.array(encoding.to_xyz)
    space = named_spaces()[encoding.name]
    return np.tile(space.table, (3, 1)), space.to_xyz


def _encode8(linear: NDArray[np.float32]) -> NDArray[np.uint8]:
    steps = np.clip(linear, 0.0, 1.0)
    steps *= _STEPS - 1
    steps += 0.5
    return np.take(_srgb_levels(), steps.astype(np.uint16))


@cache
def _srgb_levels() -> NDArray[np.uint8]:
    encoded = encode_srgb(np.arange(_STEPS) / (_STEPS - 1))
    return np.asarray(np.round(encoded * 255.0), dtype=np.uint8)
