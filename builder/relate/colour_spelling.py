"""Colours as people write them, read into L*a*b*."""

from __future__ import annotations

import re

import numpy as np

from builder.measure.spaces import SRGB, as_lab, xyz_to_lab
from builder.records.photo import Lab
from builder.relate.colour_names import find_named

_NUMBER = r"([-+]?\d+(?:\.\d+)?)\s*%?"
_BETWEEN = r"[\s,;/]+"
_LAB = re.compile(
    r"(?:cie\s*)?(?:lab|l\*?\s*a\*?\s*b\*?)?[\s:=(]*"
    rf"(?:l\*?\s*[:=]?\s*)?{_NUMBER}{_BETWEEN}"
    rf"(?:a\*?\s*[:=]?\s*)?{_NUMBER}{_BETWEEN}"
    rf"(?:b\*?\s*[:=]?\s*)?{_NUMBER}\s*\)?",
    re.IGNORECASE,
)
_HEX = re.compile(r"#?([0-9a-f]{6}|[0-9a-f]{3})", re.IGNORECASE)
_MOST = 150.0  # of a* and b*: beyond lies no colour of a surface


def spell_colour(words: str) -> Lab | None:
    """``#5a9e8f``, ``Lab 67 -32 -7``, ``L* 67 a* −32 b* −7``, ``greyish green`` (ISCC–NBS) →
    L*a*b*, D65; None for anything else. Three numbers are L*, a*, b*."""
    words = words.strip().replace("\u2212", "-")
    if found := _HEX.fullmatch(words):
        digits = found[1] if len(found[1]) == 6 else "".join(2 * digit for digit in found[1])
        red, green, blue = bytes.fromhex(digits)
        return from_srgb((red, green, blue))
    if found := _LAB.fullmatch(words):
        L, a, b = (float(number) for number in found.groups())
        return (L, a, b) if 0 <= L <= 100 and max(abs(a), abs(b)) <= _MOST else None
    return find_named(words)


def from_srgb(rgb: tuple[int, int, int]) -> Lab:
    """8-bit sRGB → L*a*b*, D65. Source: IEC 61966-2-1:1999."""
    return as_lab(xyz_to_lab(SRGB.to_xyz @ SRGB.decode(np.array(rgb) / 255)))
