"""Reading an embedded colour profile of the matrix kind.

Three colorants and three tone curves are all that a camera's or phone's profile is made of; reading
them ourselves keeps colours outside sRGB, which a conversion to sRGB would cut off.
Source: ICC.1:2010 (profile version 4.3); version 2 profiles hold the same tags.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from builder.look.whites import adapt

Floats = NDArray[np.float64]

_HEADER = 128
_MOST_BYTES = 16_000_000  # from memory: those of presses have some two million
_MOST_TAGS = 200  # from memory: profiles in use have some ten to forty
_MOST_POINTS = 65536
_COLORANTS = (b"rXYZ", b"gXYZ", b"bXYZ")
_CURVES = (b"rTRC", b"gTRC", b"bTRC")
_GREY_CURVE = b"kTRC"
_READ = frozenset((*_COLORANTS, *_CURVES, _GREY_CURVE, b"chad"))
# Between these any lamp's and display's white lies, in XYZ with Y = 1; candle light to blue sky.
_DIMMEST_WHITE, _BRIGHTEST_WHITE = np.array([0.6, 0.9, 0.2]), np.array([1.4, 1.1, 2.0])
_LEAST_COLORANTS = 1e-4  # of the determinant: three colorants that span no space are none
#: How many parameters each function type of a parametric curve has. Source: ICC.1:2010.
_PARAMETERS = (1, 3, 4, 5, 7)


class BrokenProfileError(Exception):
    """The profile does not keep to its own format; the message says where."""


@dataclass(frozen=True)
class Profile:
    """The header's facts and those tags that are read here: ``space`` such as ``RGB ``, ``GRAY``,
    ``CMYK``; ``connection`` ``XYZ `` or ``Lab ``."""

    space: str
    connection: str
    tags: dict[bytes, bytes]

    @property
    def has_matrix(self) -> bool:
        return (
            self.space == "RGB "
            and self.connection == "XYZ "
            and all(name in self.tags for name in _COLORANTS + _CURVES)
        )

    @property
    def has_grey_curve(self) -> bool:
        # With L*a*b* as connection space the curve would lead to lightness in place of light.
        return self.space == "GRAY" and self.connection == "XYZ " and _GREY_CURVE in self.tags


def open_profile(data: bytes) -> Profile:
    """Header and tag table. Raises :class:`BrokenProfileError`."""
    if len(data) > _MOST_BYTES:
        raise BrokenProfileError("it is far larger than profiles are")
    if len(data) < _HEADER + 4 or data[36:40] != b"acsp":
        raise BrokenProfileError("its header is not one of a profile")
    (count,) = struct.unpack_from(">I", data, _HEADER)
    if not 0 < count <= _MOST_TAGS or len(data) < _HEADER + 4 + 12 * count:
        raise BrokenProfileError("its table of tags breaks off")
    tags: dict[bytes, bytes] = {}
    for place in range(count):
        name, start, size = struct.unpack_from(">4sII", data, _HEADER + 4 + 12 * place)
        if start + size > len(data):
            raise BrokenProfileError("it breaks off")
        if name in _READ:  # two hundred tags may each claim the whole profile
            tags[name] = data[start : start + size]
    return Profile(data[16:20].decode("latin-1"), data[20:24].decode("latin-1"), tags)


def read_matrix(profile: Profile) -> Floats:
    """(3, 3): linear RGB → XYZ with D65 white, Y = 1.

    Colorants are given for the connection space's D50. Where the profile tells by ``chad`` how it
    came there, that way is gone back to the white the device really had, and Bradford leads on to
    D65. Raises :class:`BrokenProfileError`. Source: ICC.1:2010, matrix column tags and
    chromaticAdaptationTag.
    """
    colorants = np.column_stack([_read_xyz(profile.tags[name]) for name in _COLORANTS])
    if not np.isfinite(colorants).all() or abs(np.linalg.det(colorants)) < _LEAST_COLORANTS:
        raise BrokenProfileError("its three colorants span no colours")
    if b"chad" in profile.tags:
        colorants = np.linalg.inv(_read_chad(profile.tags[b"chad"])) @ colorants
    white = colorants.sum(axis=1)
    if not ((white >= _DIMMEST_WHITE) & (white <= _BRIGHTEST_WHITE)).all():
        raise BrokenProfileError("its colorants add up to no white")
    return adapt(white) @ colorants


def read_tables(profile: Profile) -> Floats:
    """(3, 256): linear values in [0, 1] of the 8-bit values. Raises :class:`BrokenProfileError`."""
    return np.stack([_read_curve(profile.tags[name]) for name in _CURVES])


def read_grey_table(profile: Profile) -> Floats:
    """(256,): linear values in [0, 1] of a grey profile's 8-bit values. Raises as above."""
    return _read_curve(profile.tags[_GREY_CURVE])


def _read_xyz(tag: bytes) -> Floats:
    if tag[:4] != b"XYZ " or len(tag) < 20:
        raise BrokenProfileError("a colorant is not written as XYZ")
    return _fixed(tag, 8, 3)


def _read_chad(tag: bytes) -> Floats:
    if tag[:4] != b"sf32" or len(tag) < 44:
        raise BrokenProfileError("its change of white is not written as a matrix")
    matrix = _fixed(tag, 8, 9).reshape(3, 3)
    if abs(np.linalg.det(matrix)) < _LEAST_COLORANTS:
        raise BrokenProfileError("its change of white cannot be undone")
    return matrix


def _fixed(tag: bytes, start: int, count: int) -> Floats:
    """s15Fixed16 numbers. Source: ICC.1:2010, s15Fixed16Number."""
    return np.frombuffer(tag, dtype=">i4", count=count, offset=start) / 65536.0


def _read_curve(tag: bytes) -> Floats:
    x = np.arange(256) / 255.0
    if tag[:4] == b"curv" and len(tag) >= 12:
        y = _sampled(tag, x)
    elif tag[:4] == b"para" and len(tag) >= 12:
        y = _parametric(tag, x)
    else:
        raise BrokenProfileError("a tone curve is of no known kind")
    if not np.isfinite(y).all():
        raise BrokenProfileError("a tone curve runs to infinity")
    return np.clip(y, 0.0, 1.0)


def _sampled(tag: bytes, x: Floats) -> Floats:
    """curveType: none, one exponent, or points joined by lines. Source: ICC.1:2010."""
    (count,) = struct.unpack_from(">I", tag, 8)
    if count > _MOST_POINTS or len(tag) < 12 + 2 * count:
        raise BrokenProfileError("a tone curve breaks off")
    if count == 0:
        return x
    points = np.frombuffer(tag, dtype=">u2", count=count, offset=12)
    if count == 1:
        return np.asarray(x ** (float(points[0]) / 256.0))
    return np.interp(x, np.linspace(0.0, 1.0, count), points / 65535.0)


def _parametric(tag: bytes, x: Floats) -> Floats:
    """parametricCurveType, function types 0 to 4. Source: ICC.1:2010."""
    (kind,) = struct.unpack_from(">H", tag, 8)
    if kind >= len(_PARAMETERS) or len(tag) < 12 + 4 * _PARAMETERS[kind]:
        raise BrokenProfileError("a tone curve is of no known function")
    values = [float(value) for value in _fixed(tag, 12, _PARAMETERS[kind])]
    g, a, b, c, d, e, f = values + [0.0] * (7 - len(values))
    if kind == 0:
        return _power(x, g)
    if kind in (1, 2):
        if a == 0.0:
            raise BrokenProfileError("a tone curve has no slope")
        # Below the break only the offset is left: 0 for type 1, c for type 2.
        return np.where(x >= -b / a, _power(a * x + b, g), 0.0) + c
    return np.where(x >= d, _power(a * x + b, g) + e, c * x + f)


def _power(base: Floats, g: float) -> Floats:
    with np.errstate(all="ignore"):
        return np.asarray(np.maximum(base, 0.0) ** g)
