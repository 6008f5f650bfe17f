"""The lamp mirrored in a surface: light that says nothing of the colour."""

from __future__ import annotations

import numpy as np

from builder.measure.arrays import Floats, Mask, Pixels
from builder.measure.spaces import SRGB

# All of these: common practice, no source.
# Glare outshines the lighter part of the surface this many times; a second colour that does covers
# more than the quarter this leaves for it, or has colour of its own.
BEYOND_BODY = 2.5
BODY = 0.75  # quantile of luminance that stands for the lighter part
BRIGHT = 0.35  # Y: no lamp's mirror is darker, L* 66
# It is the lamp's colour laid over the surface's, so its purity falls: below half of the surface's,
# or below this on a surface that has next to none.
PALE = 0.25


def find_glare(xyz: Pixels | Floats, good: Mask) -> Mask:
    """Which of the ``good`` pixels (h, w) of corrected ``xyz`` (h, w, 3), Y = 1 for white, mirror a
    lamp → (h, w).

    Purity is 1 - least / greatest of linear RGB, 0 for a neutral. What ran out of scale is not
    found here but by being clipped.
    """
    found = np.zeros(good.shape, dtype=np.bool_)
    light = xyz[..., 1]
    some = light[good][:: max(1, int(good.sum()) // 20_000)]
    if not some.size:
        return found
    body = float(np.quantile(some, BODY))
    bright = good & (light > max(BEYOND_BODY * body, BRIGHT))
    if bright.any():
        surface = good & (light > np.quantile(some, 0.5)) & ~bright
        typical = float(np.median(find_purity(xyz[surface]))) if surface.any() else 0.0
        found[bright] = find_purity(xyz[bright]) < max(PALE, typical / 2)
    return found


def find_purity(xyz: Pixels | Floats) -> Floats:
    """Purity (n,) of XYZ (n, 3): 0 for a neutral, from 1 where a channel of sRGB is empty."""
    rgb = xyz @ np.linalg.inv(SRGB.to_xyz).T
    return np.asarray(1 - rgb.min(axis=-1) / np.maximum(rgb.max(axis=-1), 1e-6))


def grow(mask: Mask, steps: int) -> Mask:
    """``mask`` (h, w) widened by ``steps`` pixels to each side and corner."""
    for _ in range(steps):
        padded = np.pad(mask, 1)
        rows = padded[:-2] | padded[1:-1] | padded[2:]
        mask = rows[:, :-2] | rows[:, 1:-1] | rows[:, 2:]
    return mask
