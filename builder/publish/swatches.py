"""A read colour as a chip on the screen."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from builder.measure.spaces import SRGB, lab_to_xyz
from builder.records.photo import Lab

_FROM_XYZ = np.linalg.inv(SRGB.to_xyz)


@lru_cache(maxsize=2**14)  # a colour stands on several pages
def encode_chip(lab: Lab | None) -> str:
    """L*a*b* (D65, 2°) as ``#rrggbb``, clipped to sRGB; "" for None. For show only."""
    if lab is None:
        return ""
    linear = _FROM_XYZ @ lab_to_xyz(np.array(lab))
    encoded = np.round(SRGB.encode(np.clip(linear, 0, 1)) * 255).astype(int)
    return "#" + "".join(f"{value:02x}" for value in encoded)
