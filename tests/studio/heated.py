"""Skins that heat makes: bands, blueing, stippled coats, frost flowers."""

from __future__ import annotations

import numpy as np

from tests.studio.grain import Random, cells, clouds, millimetres, scattered, speckle
from tests.studio.marks import dabs, oriented
from tests.studio.shapes import Outline
from tests.studio.skin import Skin, sanding_lines, worn_edge


def stippled(outline: Outline, px: float, rng: Random) -> Skin:
    """Dabbed on hot metal with a stiff brush, pass over pass."""
    shape = outline.depth.shape
    dots = dabs(shape, px, rng)
    drift = clouds(shape, px, 50, 6, rng)
    ragged = clouds(shape, px, 2.0, 0.25, rng, slope=1.0)
    rank = 1.0 * dots.value - 0.8 * drift + 0.08 * ragged - 0.5 * worn_edge(outline, 3.0)
    lines = sanding_lines(outline, px, rng)
    return Skin(
        rank=rank.astype(np.float32),
        main=0.04 * dots.tone - 0.07 * dots.border + 0.035 * drift + 0.03 * ragged + 0.02 * lines,
        second=0.10 * dots.tone + 0.06 * ragged,
        tint=0.022 * dots.tone + 0.02 * drift,
        powder=0.02 * speckle(shape, px, 0.3, rng),
        height=0.012 * dots.border + 0.006 * ragged,
        brush=0.5 * lines,
        soft=0.2,
        rim=-0.06,
    )


def banded(outline: Outline, px: float, rng: Random) -> Skin:
    """Heat colours: bands that follow where the flame dwelt."""
    shape = outline.depth.shape
    lines = sanding_lines(outline, px, rng)
    heat = clouds(shape, px, 95, 22, rng, slope=2.4) + 0.05 * clouds(shape, px, 12, 1.5, rng)
    wave = np.sin(2.3 * heat + 0.9)
    rank = wave + 0.03 * lines - 0.25 * worn_edge(outline, 3.0)
    depth = wave - np.quantile(wave, 0.3)
    return Skin(
        rank=rank.astype(np.float32),
        main=0.07 * lines - 0.10 * np.clip(depth, 0, 1.4) + 0.03 * clouds(shape, px, 20, 2, rng),
        second=0.075 * lines + 0.16 * np.clip(-depth, 0, 1),
        tint=(-0.09 * np.clip(depth, 0, 1.4) + 0.16 * np.clip(-depth, 0, 1)).astype(np.float32),
        powder=0.01 * speckle(shape, px, 0.25, rng),
        height=0.0025 * lines,
        brush=lines,
        soft=1.1,
    )


def tempered(outline: Outline, px: float, rng: Random) -> Skin:
    """Blued in an oven: clouds of the next temper colour, edges gone a shade further."""
    shape = outline.depth.shape
    lines = sanding_lines(outline, px, rng)
    clouded = clouds(shape, px, 60, 7, rng, slope=2.1, stretch=1.3, angle=70)
    wisps = clouds(shape, px, 14, 1.0, rng, slope=1.6, stretch=2.0, angle=80)
    rank = clouded + 0.28 * wisps + 0.06 * lines - 0.9 * worn_edge(outline, 2.5)
    return Skin(
        rank=rank.astype(np.float32),
        main=0.085 * lines + 0.04 * wisps,
        second=0.085 * lines + 0.04 * wisps,
        tint=0.03 * clouds(shape, px, 50, 8, rng) + 0.06 * worn_edge(outline, 4.0),
        powder=0.01 * speckle(shape, px, 0.25, rng),
        height=0.0025 * lines,
        brush=lines,
        soft=2.2,
    )


def spangle(outline: Outline, px: float, rng: Random) -> Skin:
    """Tin frost flowers: crystals that grew outwards in six ferns, each with its own shine."""
    shape = outline.depth.shape
    points = scattered(116, 166, 21.0, rng)
    points = points[rng.random(len(points)) < 0.85]
    warp = 0.7 * clouds(shape, px, 16, 1.2, rng, slope=1.7)
    first, second, nearest = cells(shape, px, points, warp)
    turn = rng.uniform(0, 60, len(points))
    x, y = millimetres(shape, px)
    centre = points[nearest]
    bearing = np.degrees(np.arctan2(y + warp - centre[..., 1], x + warp - centre[..., 0]))
    position = ((bearing - turn[nearest]) % 360) / 60
    sector = position.astype(np.intp) % 6
    owner = nearest * 6 + sector
    # Barbs leave the two ribs of a sector at 60 degrees: one half leans each way.
    half = (position % 1 > 0.5).astype(np.intp)
    arms = np.arange(6)[None, :, None] * 60 + np.array([60.0, 0.0])[None, None, :]
    angles = (turn[:, None, None] + arms).ravel()
    barbs = oriented(shape, px, angles, owner * 2 + half, rng, length=7.0, width=0.42)
    beside = np.minimum(position % 1, 1 - position % 1) * np.radians(60) * first  # mm off the rib
    rib = np.exp(-((beside / 0.35) ** 2))
    tilt = rng.standard_normal(len(points)).astype(np.float32)[nearest]
    lean = rng.standard_normal(len(points) * 6).astype(np.float32)[owner]
    border = np.exp(-(second - first) / 0.45)
    rank = -(0.95 * tilt + 0.55 * lean + 0.5 * barbs + 0.8 * rib - 0.8 * border)
    return Skin(
        rank=rank.astype(np.float32),
        main=0.03 * barbs + 0.018 * tilt + 0.015 * lean + 0.03 * rib - 0.10 * border,
        second=0.022 * barbs + 0.012 * lean + 0.03 * rib - 0.07 * border,
        tint=0.006 * tilt + 0.008 * clouds(shape, px, 40, 5, rng),
        powder=0.006 * speckle(shape, px, 0.3, rng),
        height=(0.006 * barbs + 0.02 * rib - 0.03 * border).astype(np.float32),
        brush=(0.5 * barbs + 1.2 * tilt).astype(np.float32),
        soft=0.34,
    )
