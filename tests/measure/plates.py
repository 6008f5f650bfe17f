"""Flat pieces of known pattern, drawn finely, moved and turned, and seen in squares of 2 mm."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from builder.measure.grids import make_grid, read_grid
from builder.measure.spaces import lab_to_xyz

MM_PER_PX = 0.4
WIDTH, HEIGHT = 100, 150  # mm
CELLS = (75, 50)
MARGIN = 8  # mm drawn all round, so that a moved piece is still whole
Lab = tuple[float, float, float]
GREEN, BROWN = (62.0, -23.0, -3.0), (40.0, 13.0, 16.0)


def millimetres() -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Left and top of every pixel's middle, mm, nought at the piece's middle."""
    rows = round((HEIGHT + 2 * MARGIN) / MM_PER_PX)
    columns = round((WIDTH + 2 * MARGIN) / MM_PER_PX)
    y, x = np.mgrid[:rows, :columns].astype(float)
    return (x + 0.5 - columns / 2) * MM_PER_PX, (y + 0.5 - rows / 2) * MM_PER_PX


def moved_places(
    right: float, down: float, degrees: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Where on the piece each pixel looks, when the piece is laid so far off."""
    x, y = millimetres()
    turn = math.radians(degrees)
    x, y = x - right, y - down
    return x * math.cos(turn) + y * math.sin(turn), y * math.cos(turn) - x * math.sin(turn)


def chips(x: NDArray[np.float64], y: NDArray[np.float64], mm: float = 4.0) -> NDArray[np.float64]:
    """0 to 1: blotches of about ``mm``, as wood chips leave, the same at every call."""
    rng = np.random.default_rng(7)
    total = np.zeros_like(x)
    for _ in range(40):
        way, phase = rng.uniform(0, 2 * math.pi, 2)
        length = mm * rng.uniform(1.4, 3.5)
        along = (x * math.cos(way) + y * math.sin(way)) / length
        total += np.sin(2 * math.pi * along + phase)
    return np.asarray(np.clip(0.5 + total * 1.2, 0, 1))


def grain(x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    """0 to 1: streaks of half a millimetre from left to right, as an abrasive leaves."""
    rng = np.random.default_rng(11)
    lines = rng.normal(size=4000)
    return np.asarray(0.5 + 0.08 * lines[np.clip((y * 2 + 2000).astype(int), 0, 3999)])


def draw_plate(
    first: Lab | NDArray[np.float64],
    second: Lab | NDArray[np.float64],
    part: NDArray[np.float64],
    seed: int = 0,
) -> NDArray[np.float64]:
    """Linear XYZ of a plate of two colours with its surroundings, ``part`` (h, w) of the first.

    Each pixel has noise of about one and a half L*, and of two in a* and b*: a phone's at its own
    size, where a square of 2 mm averages it away."""
    a, b = lab_to_xyz(np.array(first)), lab_to_xyz(np.array(second))
    xyz = a * part[..., None] + b * (1 - part[..., None])
    rng = np.random.default_rng(seed)
    light = 1 + 0.06 * rng.normal(size=xyz.shape[:2])
    return np.asarray(xyz * light[..., None] * (1 + 0.02 * rng.normal(size=xyz.shape)))


def see_plate(
    first: Lab | NDArray[np.float64],
    second: Lab | NDArray[np.float64],
    part: NDArray[np.float64],
    seed: int = 0,
) -> NDArray[np.float64]:
    """L*a*b* of the drawn plate's squares, (75, 50, 3)."""
    edge = round(MARGIN / MM_PER_PX)
    inner = draw_plate(first, second, part, seed)[edge:-edge, edge:-edge]
    good = np.ones(inner.shape[:2], dtype=bool)
    return read_grid(make_grid(inner, good, MM_PER_PX))
