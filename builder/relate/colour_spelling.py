"""Colours as people write them, read into L*a*b*.

``assets/colours.js`` reads the same in the browser; both are held to
``tests/data/colour_spellings.csv``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

import numpy as np

from builder.measure.spaces import D50, SRGB, adapt_lab, as_lab, xyz_to_lab
from builder.records.photo import Lab
from builder.relate.colour_names import find_named
from builder.relate.web_colours import WEB_COLOURS

_NUMBER = r"[-+]?(?:\d+(?:\.\d+)?|\.\d+)"
_BETWEEN = r"[ ,;/]+"
_LAB = re.compile(
    r"(?:cie ?)?(?:lab|l\*? ?a\*? ?b\*?)?[ :=]*"
    rf"(?:l\*? ?[:=]? ?)?({_NUMBER}){_BETWEEN}"
    rf"(?:a\*? ?[:=]? ?)?({_NUMBER}){_BETWEEN}"
    rf"(?:b\*? ?[:=]? ?)?({_NUMBER})"
)
_HEX = re.compile(r"#?([0-9a-f]{6}|[0-9a-f]{3})")
_FUNCTION = re.compile(r"(rgba?|hsla?|lab)\((.*)\)")
_PART = re.compile(rf"({_NUMBER})(%|deg)?")
_SEE_THROUGH = re.compile(r"#?[0-9a-f]{8}|#[0-9a-f]{4}|(?:rgba?|hsla?|lab)\(.*(?:/|,.*,.*,).*\)")
_MOST = 150.0  # of a* and b*: beyond lies no colour of a surface
_PER_CENT_OF_AB = 1.25  # CSS Color 4: 100 % of a* or b* in lab() is 125

ALPHA_WORDS = "A piece of metal cannot be seen through: leave the last part, its alpha, away."


def spell_colour(words: str) -> Lab | None:
    """A colour as written → L*a*b*, D65; None for anything else.

    ``#5a9e8f`` or ``#fa0``, with or without its sign, are sRGB, as are ``rgb(90 158 143)``,
    ``hsl(167 27% 49%)`` and the names of style sheets; ``Lab 67 -32 -7``, ``L* 67 a* −32 b* −7``
    and three bare numbers are L*a*b* for D65; ``greyish green`` is an ISCC–NBS name, which goes
    before one of a style sheet. ``lab(67 -32 -7)`` is for D50, as its source has it. sRGB is taken
    to 8 bits and L*a*b* to one decimal. An alpha is refused. Source: CSS Color Module Level 4.
    """
    words = _tidy(words)
    if found := _HEX.fullmatch(words):
        return _from_hex(found[1])
    if found := _FUNCTION.fullmatch(words):
        return _read_function(found[1][:3], found[2])
    if found := _LAB.fullmatch(words):
        L, a, b = map(float, found.groups())
        return _keep((L, a, b))
    if named := find_named(words):
        return named
    return _from_hex(WEB_COLOURS[words]) if words in WEB_COLOURS else None


def has_alpha(words: str) -> bool:
    """Whether what is written is a colour that can be seen through."""
    return _SEE_THROUGH.fullmatch(_tidy(words)) is not None


def from_srgb(rgb: tuple[int, int, int]) -> Lab:
    """8-bit sRGB → L*a*b*, D65. Source: IEC 61966-2-1:1999."""
    return as_lab(xyz_to_lab(SRGB.to_xyz @ SRGB.decode(np.array(rgb) / 255)))


def _tidy(words: str) -> str:
    return " ".join(words.replace("\u2212", "-").lower().split())


def _from_hex(digits: str) -> Lab:
    whole = digits if len(digits) == 6 else "".join(2 * digit for digit in digits)
    red, green, blue = bytes.fromhex(whole)
    return from_srgb((red, green, blue))


def _read_function(name: str, inside: str) -> Lab | None:
    commas = "," in inside
    if commas and name == "lab":
        return None
    parts = [part.strip() for part in inside.split(",")] if commas else inside.split()
    found = [_PART.fullmatch(part) for part in parts]
    if len(found) != 3:
        return None
    numbers = [float(part[1]) for part in found if part]
    units = [part[2] or "" for part in found if part]
    if len(numbers) != 3 or "deg" in units[name == "hsl" :]:
        return None
    if name == "lab":
        return _read_lab(numbers, units)
    if name == "hsl":
        return None if units[0] == "%" else _from_hsl(*numbers)
    if len(set(units)) > 1:
        return None
    return _from_levels([n / 100 if units[0] else n / 255 for n in numbers])


def _read_lab(numbers: Sequence[float], units: Sequence[str]) -> Lab | None:
    L, a, b = numbers
    a, b = (n * _PER_CENT_OF_AB if unit else n for n, unit in ((a, units[1]), (b, units[2])))
    return None if _keep((L, a, b)) is None else _keep(as_lab(adapt_lab((L, a, b), D50)))


def _from_hsl(hue: float, saturation: float, lightness: float) -> Lab:
    """Hue in degrees, the others in per cent. Source: CSS Color Module Level 4, section 7.1."""
    light = min(max(lightness / 100, 0.0), 1.0)
    strength = min(max(saturation / 100, 0.0), 1.0) * min(light, 1 - light)
    steps = [(start + (hue % 360) / 30) % 12 for start in (0, 8, 4)]
    return _from_levels([light - strength * max(-1.0, min(k - 3, 9 - k, 1.0)) for k in steps])


def _from_levels(levels: Sequence[float]) -> Lab:
    """sRGB, 0 to 1, clipped and taken to 8 bits, halves upwards, as browsers do."""
    red, green, blue = (math.floor(min(max(level, 0.0), 1.0) * 255 + 0.5) for level in levels)
    return from_srgb((red, green, blue))


def _keep(lab: Lab) -> Lab | None:
    """To one decimal, halves upwards; None for what no surface has."""
    L, a, b = (math.floor(value * 10 + 0.5) / 10 for value in lab)
    return (L, a, b) if 0 <= L <= 100 and max(abs(a), abs(b)) <= _MOST else None
