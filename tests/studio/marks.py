"""Marks left one by one: wood chips, dabs of a brush, crystals with a direction."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.studio.grain import Field, Random, Shape, blur, clouds, even, speckle, streaks

_ANGLES = 12


@dataclass(frozen=True)
class Marks:
    """``value``: one even number a mark; ``tone``: another; ``fibre``: lines along each mark;
    ``border``: 1 on the border between marks, 0 inside."""

    value: Field
    tone: Field
    fibre: Field
    border: Field


def chips(shape: Shape, px: float, rng: Random) -> Marks:
    """Wood chips 2 to 6 mm long lying over each other, ends torn, grain along them."""
    height, width = shape
    count = int(height * width / px**2 / 3.4)
    lengths = rng.uniform(2.4, 6.4, count)
    widths = np.clip(lengths * rng.uniform(0.28, 0.58, count), 1.0, 2.8)
    return _painted(shape, px, rng, lengths / 2, widths / 2, rng.uniform(0, 180, count), 2.6)


def dabs(shape: Shape, px: float, rng: Random) -> Marks:
    """Round-headed brush marks 1.5 to 4 mm across."""
    height, width = shape
    count = int(height * width / px**2 / 2.6)
    radii = 0.75 + 1.25 * rng.random(count) ** 2.0
    stretch = rng.uniform(0.75, 1.0, count)
    return _painted(shape, px, rng, radii, radii * stretch, rng.uniform(0, 180, count), 2.0)


def _painted(
    shape: Shape,
    px: float,
    rng: Random,
    half_lengths: NDArray[np.float64],
    half_widths: NDArray[np.float64],
    angles: NDArray[np.float64],
    squareness: float,
) -> Marks:
    """Marks painted one over another, later ones on top."""
    height, width = shape
    x0 = rng.uniform(0, width, len(angles))
    y0 = rng.uniform(0, height, len(angles))
    owner = np.zeros(shape, dtype=np.intp)
    border = np.zeros(shape, dtype=np.float32)
    ragged = clouds(shape, px, 1.6, 0.25, rng, slope=1.0)
    for index in range(len(angles)):
        a, b = half_lengths[index] * px, half_widths[index] * px
        reach = int(a * 1.2) + 2
        left, right = max(int(x0[index]) - reach, 0), min(int(x0[index]) + reach, width)
        top, bottom = max(int(y0[index]) - reach, 0), min(int(y0[index]) + reach, height)
        if left >= right or top >= bottom:
            continue
        y, x = np.ogrid[top:bottom, left:right]
        turn = np.deg2rad(angles[index])
        u = (x - x0[index]) * np.cos(turn) + (y - y0[index]) * np.sin(turn)
        v = -(x - x0[index]) * np.sin(turn) + (y - y0[index]) * np.cos(turn)
        r = np.abs(u / a) ** squareness + np.abs(v / b) ** 2
        r = r + 0.20 * ragged[top:bottom, left:right]
        inside = r < 1
        owner[top:bottom, left:right][inside] = index
        rim = np.clip((r - 0.72) / 0.28, 0, 1).astype(np.float32)
        border[top:bottom, left:right][inside] = rim[inside]
    value = rng.standard_normal(len(angles)).astype(np.float32)
    tone = rng.standard_normal(len(angles)).astype(np.float32)
    fibre = oriented(shape, px, angles, owner, rng, length=2.6, width=0.28)
    return Marks(
        value=even(blur(value[owner], px, 0.08)),
        tone=even(blur(tone[owner], px, 0.10)),
        fibre=fibre,
        border=blur(border, px, 0.06),
    )


def oriented(
    shape: Shape,
    px: float,
    angles: NDArray[np.float64],
    owner: NDArray[np.intp],
    rng: Random,
    length: float,
    width: float,
) -> Field:
    """Lines along each mark's own angle (degrees). Even."""
    step = 180 / _ANGLES
    which = (np.round(angles / step).astype(np.intp) % _ANGLES)[owner]
    result = np.zeros(shape, dtype=np.float32)
    for index in range(_ANGLES):
        lines = streaks(shape, px, length, width, rng, index * step)
        result = np.where(which == index, lines, result)
    return even(result + 0.25 * speckle(shape, px, 0.2, rng))
