"""Made-up surfaces whose colours and shares are known: streaks, chips, dimples, dots."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter

from builder.measure.arrays import Floats
from builder.records.photo import Lab
from tests.measure.cameras import Random, linear

PX_PER_MM = 5.0
Shape = tuple[int, int]


def clouds(shape: Shape, size: float | tuple[float, float], rng: Random) -> Floats:
    """Noise of mean 0 and spread 1, ``size`` pixels fine."""
    field = gaussian_filter(rng.normal(size=shape), size, mode="wrap")
    return np.asarray((field - field.mean()) / field.std())


def streaks(shape: Shape, rng: Random) -> Floats:
    fine, broad = clouds(shape, (60, 0.8), rng), clouds(shape, (120, 3), rng)
    return np.asarray(0.8 * fine + 0.6 * broad)


def dimples(shape: Shape, rng: Random) -> Floats:
    """Hammered: the slopes towards the lamps are light, those away dark."""
    slope = np.gradient(clouds(shape, 12, rng))[0]
    return np.asarray(slope / slope.std())


def mottle(shape: Shape, rng: Random) -> Floats:
    return np.asarray(0.8 * clouds(shape, (2, 6), rng) + 0.6 * clouds(shape, 1, rng))


@dataclass(frozen=True)
class Surface:
    """``rgb`` (h, w, 3) linear light; ``share`` the part of it that is the main colour."""

    rgb: Floats
    share: float


def draw(
    main: Lab,
    second: Lab,
    share: float,
    texture: Callable[[Shape, Random], Floats],
    rng: Random,
    depth: float = 0.10,
    patch_mm: float = 3.0,
    shape: Shape = (300, 240),
) -> Surface:
    """Two colours in patches about ``patch_mm`` across with soft borders, under a texture that
    scales the light by e^±``depth`` and leaves the mean of each colour where it is."""
    rank = clouds(shape, patch_mm * PX_PER_MM / 2.5, rng)
    mask = (rank >= np.quantile(rank, 1 - share)).astype(float) if share < 1 else np.ones(shape)
    soft = gaussian_filter(mask, 0.8)[..., None]
    light = np.exp(depth * texture(shape, rng))
    rgb = np.zeros((*shape, 3))
    for part, lab in ((soft, main), (1 - soft, second)):
        if part.sum() > 0:
            own = light[..., None] * part.sum() / (light[..., None] * part).sum()
            rgb += part * own * linear(lab)
    return Surface(rgb, float(mask.mean()))
