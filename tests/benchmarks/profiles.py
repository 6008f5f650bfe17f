"""Profiles of the three encodings, as cameras embed them. Source: ICC.1:2010."""

from __future__ import annotations

from functools import cache

from builder.measure.spaces import ADOBE_GAMMA, D65, RGB_SPACES, White, adaptation_matrix
from tests.look.icc_writing import D50, curv, matrix_profile, para

_PCS = White("profile connection space", D50)
_SRGB_CURVE = para(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)  # IEC 61966-2-1
_ADOBE_CURVE = curv(round(256 * ADOBE_GAMMA))  # u8Fixed8


@cache
def write_profile(name: str) -> bytes:
    """The profile of ``srgb``, ``display-p3`` or ``adobe-rgb``."""
    change = adaptation_matrix(D65, _PCS)
    curve = _ADOBE_CURVE if name == "adobe-rgb" else _SRGB_CURVE
    return matrix_profile(change @ RGB_SPACES[name].to_xyz, [curve] * 3, change)
