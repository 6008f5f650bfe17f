"""Colour set apart from the light that happens to fall on it.

Less light on the same surface scales XYZ, which scales L* + 16, a* and b* alike (wherever the cube
root of L*a*b* holds). So a*/(L* + 16) and b*/(L* + 16) stay where streaks, dimples and the lamps'
falloff only move L*.
"""

from __future__ import annotations

import numpy as np

from builder.measure.arrays import Floats

# L* counts a quarter: relief and sheen spread it some four times as far as they spread colour.
# Common practice, no source.
OF_LIGHT = 0.25


def to_shading(lab: Floats) -> Floats:
    """L*a*b* (…, 3) → (…, 3): L* × OF_LIGHT, then a* and b* as they would be at L* 50."""
    scale = 66 / np.maximum(lab[..., 0] + 16, 1)
    return np.stack([lab[..., 0] * OF_LIGHT, lab[..., 1] * scale, lab[..., 2] * scale], axis=-1)


def from_shading(shading: Floats) -> Floats:
    """The inverse of :func:`to_shading`, (…, 3) → (…, 3), for L* from 0."""
    light = shading[..., 0] / OF_LIGHT
    scale = (light + 16) / 66
    return np.stack([light, shading[..., 1] * scale, shading[..., 2] * scale], axis=-1)
