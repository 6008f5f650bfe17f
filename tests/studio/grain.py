"""Noise of every grain: the raw material of metal, wood, paper and crust.

Fields are (height, width) float32. ``px`` is the raster's pixels a millimetre; lengths are mm.
Fields called *even* have mean 0 and standard deviation 1.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage
from scipy.spatial import cKDTree

Field = NDArray[np.float32]
Shape = tuple[int, int]
Random = np.random.Generator


def even(field: NDArray[np.floating]) -> Field:
    """The field with mean 0 and standard deviation 1."""
    spread = float(field.std())
    return np.asarray((field - field.mean()) / (spread or 1.0), dtype=np.float32)


def clouds(
    shape: Shape,
    px: float,
    largest: float,
    smallest: float,
    rng: Random,
    slope: float = 1.7,
    stretch: float = 1.0,
    angle: float = 0.0,
) -> Field:
    """Noise with power between two wavelengths (mm), falling as frequency to the ``slope``.

    ``stretch`` over 1 draws it out along ``angle`` (degrees, 0 is along x). Even.
    """
    height, width = shape
    fy = np.fft.fftfreq(height)[:, None] * px
    fx = np.fft.rfftfreq(width)[None, :] * px
    turn = np.deg2rad(angle)
    along = fx * np.cos(turn) + fy * np.sin(turn)
    across = -fx * np.sin(turn) + fy * np.cos(turn)
    f = np.hypot(along * stretch, across).astype(np.float32)
    low, high = 1.0 / largest, 1.0 / smallest
    gain = np.where(f > 0, np.maximum(f, low) ** (-slope), 0) * np.exp(-((f / high) ** 2))
    white = np.fft.rfft2(rng.standard_normal(shape, dtype=np.float32))
    return even(np.fft.irfft2(white * gain, s=shape))


def speckle(shape: Shape, px: float, size: float, rng: Random) -> Field:
    """Grain of one size, even."""
    raw = rng.standard_normal(shape, dtype=np.float32)
    return even(ndimage.gaussian_filter(raw, size * px / 2.355)) if size > 0 else raw


def streaks(
    shape: Shape, px: float, length: float, width: float, rng: Random, angle: float = 90.0
) -> Field:
    """Fine lines of about this length and width (mm), along ``angle``. Even."""
    height, width_px = shape
    fy = np.fft.fftfreq(height)[:, None] * px
    fx = np.fft.rfftfreq(width_px)[None, :] * px
    turn = np.deg2rad(angle)
    along = fx * np.cos(turn) + fy * np.sin(turn)
    across = -fx * np.sin(turn) + fy * np.cos(turn)
    spread = (along * length) ** 2 + (across * width) ** 2  # in widths at half height
    gain = np.exp(-2 * (np.pi / 2.355) ** 2 * spread)
    white = np.fft.rfft2(rng.standard_normal(shape, dtype=np.float32))
    return even(np.fft.irfft2(white * gain, s=shape))


def millimetres(shape: Shape, px: float) -> tuple[Field, Field]:
    """Pixel centres as x and y in mm."""
    y, x = np.indices(shape, dtype=np.float32)
    return (x + 0.5) / px, (y + 0.5) / px


def scattered(width: float, height: float, spacing: float, rng: Random) -> NDArray[np.float64]:
    """Points about ``spacing`` apart over a box and its surroundings, (n, 2) mm."""
    columns = np.arange(-spacing, width + spacing, spacing)
    rows = np.arange(-spacing, height + spacing, spacing * 0.87)
    x, y = np.meshgrid(columns, rows)
    x[1::2] += spacing / 2
    points = np.stack([x.ravel(), y.ravel()], axis=1)
    return np.asarray(points + rng.normal(0, spacing * 0.27, points.shape))


def cells(
    shape: Shape, px: float, points: NDArray[np.float64], warp: Field | None = None
) -> tuple[Field, Field, NDArray[np.intp]]:
    """Distance to the nearest and the second nearest point (mm), and which is nearest.

    ``warp`` (mm) shifts the query, so that borders are not straight.
    """
    x, y = millimetres(shape, px)
    if warp is not None:
        x, y = x + warp, y + np.roll(warp, warp.shape[0] // 3, axis=0)
    distance, nearest = cKDTree(points).query(
        np.stack([x.ravel(), y.ravel()], axis=1), k=2, workers=1
    )
    first = distance[:, 0].reshape(shape).astype(np.float32)
    second = distance[:, 1].reshape(shape).astype(np.float32)
    return first, second, nearest[:, 0].reshape(shape)


def soft_step(field: Field, threshold: float, softness: float) -> Field:
    """0 below the threshold, 1 above, over about ``softness`` of the field's own unit."""
    t = np.clip((field - threshold) / max(softness, 1e-6) + 0.5, 0, 1)
    return np.asarray(t * t * (3 - 2 * t), dtype=np.float32)


def blur(field: NDArray[np.floating], px: float, sigma: float) -> Field:
    """Gaussian blur, sigma in mm."""
    return np.asarray(ndimage.gaussian_filter(field, sigma * px), dtype=np.float32)
