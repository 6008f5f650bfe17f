"""The wooden bench under everything."""

from __future__ import annotations

import numpy as np

from tests.studio.colours import Array, lab_to_linear
from tests.studio.grain import Random, Shape, blur, clouds, millimetres, streaks
from tests.studio.stand import BENCH_MM

_BOARD_MM = 92.0
_LIGHT, _DARK = (50.0, 11.0, 24.0), (35.0, 10.5, 18.0)


def paint_bench(shape: Shape, px: float, rng: Random) -> Array:
    """Oiled beech boards, worn, a few burns and dents; linear (h, w, 3)."""
    x, y = millimetres(shape, px)
    board = np.floor((y + 12) / _BOARD_MM)
    warp = 9 * clouds(shape, px, 260, 30, rng, slope=2.2, stretch=5)
    rings = np.sin((y * 0.9 + warp + 7.0 * np.sin(x / 150.0 + board * 2.1) + board * 31.0) / 1.35)
    figure = np.sin((y * 0.23 + warp * 0.8 + board * 17.0) / 1.1)
    flecks = np.clip(streaks(shape, px, 4.0, 0.35, rng, 0) - 1.5, 0, 2)
    pores = np.clip(streaks(shape, px, 7.0, 0.22, rng, 0) - 1.3, 0, 2)
    wear = clouds(shape, px, 120, 8, rng)
    mix = 0.46 + 0.14 * rings + 0.16 * figure + 0.09 * wear + 0.05 * flecks
    mix = mix + 0.10 * np.sin(board * 5.3)
    light, dark = lab_to_linear(_LIGHT), lab_to_linear(_DARK)
    wood = dark + np.clip(mix, 0, 1.2)[..., None] * (light - dark)
    across = (y + 12) % _BOARD_MM
    seam = np.clip(np.minimum(across, _BOARD_MM - across) / 0.9, 0, 1)
    wood = wood * ((1 - 0.16 * pores) * (0.25 + 0.75 * seam))[..., None]
    scorch = np.zeros(shape, dtype=np.float32)
    for cx, cy, r in ((-9.0, 150.0, 6.0), (305.0, 30.0, 5.0), (120.0, -11.0, 4.0)):
        scorch += np.exp(-(((np.hypot(x - cx - BENCH_MM, y - cy - BENCH_MM) - r) / 1.3) ** 2)) * 0.5
    wood = wood * (1 - np.clip(scorch, 0, 0.7))[..., None]
    soft = np.stack([blur(wood[..., channel], px, 0.12) for channel in range(3)], axis=-1)
    return np.asarray(soft, dtype=np.float32)
