"""A read colour as a chip on the screen."""

from __future__ import annotations

import numpy as np

from builder.measure.spaces import SRGB, lab_to_xyz
from builder.records.photo import Lab


def encode_chip(lab: Lab | None) -> str:
    """L*a*b* (D65, 2°) as ``#rrggbb``, clipped to sRGB; "" for None. For show only."""
    if lab is None:
        return ""
    linear = np.linalg.inv(SRGB.to_xyz) @ lab_to_xyz(np.array(lab))
    encoded = np.round(SRGB.encode(np.clip(linear, 0, 1)) * 255).astype(int)
    return "#" + "".join(f"{value:02x}" for value in encoded)
