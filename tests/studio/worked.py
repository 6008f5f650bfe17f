"""Skins of worked metal: brushed, dipped, hammered, forged."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tests.studio.grain import (
    Field,
    Random,
    Shape,
    blur,
    cells,
    clouds,
    scattered,
    speckle,
    streaks,
)
from tests.studio.shapes import Outline
from tests.studio.skin import Skin, sanding_lines, worn_edge


def brushed(outline: Outline, px: float, rng: Random) -> Skin:
    """An even colour over brushed metal, thin where it was rubbed."""
    shape = outline.depth.shape
    lines = sanding_lines(outline, px, rng)
    haze = clouds(shape, px, 70, 5, rng, stretch=1.6, angle=90)
    fine = clouds(shape, px, 8, 0.5, rng)
    rubbed = clouds(shape, px, 34, 1.6, rng, slope=1.7, stretch=2.2, angle=88)
    rank = rubbed + 0.13 * lines - 2.2 * worn_edge(outline, 1.1)
    tide = _tide_line(outline, px, rng)
    return Skin(
        rank=rank,
        main=0.075 * lines + 0.045 * haze + 0.02 * fine - 0.10 * tide,
        second=0.085 * lines + 0.05 * fine,
        tint=0.03 * clouds(shape, px, 60, 6, rng) - 0.02 * tide - 0.05 * worn_edge(outline, 5.0),
        powder=0.012 * speckle(shape, px, 0.25, rng),
        height=0.0025 * lines,
        brush=lines,
        soft=1.1,
    )


def _tide_line(outline: Outline, px: float, rng: Random) -> Field:
    """Faint waterline where the dipped plate dried, near the hanging end."""
    shape = outline.depth.shape
    rows = np.arange(shape[0], dtype=np.float32)[:, None] / px
    level = 30.0 + 2.5 * clouds(shape, px, 60, 8, rng)[:1]
    return np.asarray(
        np.exp(-(((rows - level) / 0.7) ** 2)) * 0.7 + 0.25 * (rows < level), dtype=np.float32
    )


def matt(outline: Outline, px: float, rng: Random) -> Skin:
    """Sooty and over-done: dead flat, with wipes of a cloth."""
    shape = outline.depth.shape
    lines = sanding_lines(outline, px, rng)
    soot = clouds(shape, px, 4, 0.25, rng, slope=1.0)
    wipes = clouds(shape, px, 50, 1.0, rng, slope=1.5, stretch=6, angle=35)
    rank = wipes - 2.6 * worn_edge(outline, 0.9) + 0.2 * soot
    return Skin(
        rank=rank,
        main=0.05 * soot + 0.09 * np.clip(wipes, -1.2, 2.2) + 0.03 * lines,
        second=0.06 * lines + 0.04 * soot,
        tint=0.02 * wipes,
        powder=0.05 * speckle(shape, px, 0.3, rng),
        height=0.012 * soot,
        brush=0.3 * lines,
        soft=0.6,
    )


def patchy(outline: Outline, px: float, rng: Random) -> Skin:
    """Not degreased: bare islands with scalloped shores where the water broke, and a thumb."""
    shape = outline.depth.shape
    lines = sanding_lines(outline, px, rng)
    left, top = 8.0, 8.0  # the margin, so that the thumb sits where a hand held the plate
    points = scattered(116, 166, 15.0, rng)
    keep = rng.random(len(points)) < 0.62
    first, _, nearest = cells(
        shape, px, points[keep], 1.6 * clouds(shape, px, 22, 2.5, rng, slope=2.0)
    )
    radius = rng.uniform(3.0, 10.5, int(keep.sum())).astype(np.float32)[nearest]
    beads = (first - radius) * 0.5
    rank = beads + 0.35 * clouds(shape, px, 14, 0.8, rng) - 1.5 * worn_edge(outline, 1.0)
    print_mask, ridges = _thumb(shape, px, left + 30.0, top + 101.0, rng)
    rank = np.where(print_mask > 0.5, rank + 0.9 + 3.6 * ridges * print_mask, rank)
    return Skin(
        rank=rank.astype(np.float32),
        main=0.075 * lines + 0.06 * clouds(shape, px, 40, 4, rng),
        second=0.09 * lines + 0.05 * clouds(shape, px, 25, 3, rng),
        tint=0.03 * clouds(shape, px, 30, 4, rng),
        powder=0.012 * speckle(shape, px, 0.25, rng),
        height=0.0025 * lines,
        brush=lines,
        soft=0.22,
        rim=-0.16,
    )


def _thumb(shape: Shape, px: float, x0: float, y0: float, rng: Random) -> tuple[Field, Field]:
    """A thumb print about 19 × 26 mm: where it pressed, and its ridges (-1 to 1)."""
    y, x = np.indices(shape, dtype=np.float32) / px
    turn = np.deg2rad(24.0)
    u = (x - x0) * np.cos(turn) + (y - y0) * np.sin(turn)
    v = -(x - x0) * np.sin(turn) + (y - y0) * np.cos(turn)
    pressed = 1 - (u / 9.5) ** 2 - (v / 13.0) ** 2 + 0.18 * clouds(shape, px, 9, 1.0, rng)
    loop = np.hypot(u * 1.15, (v - 3.0 - 0.035 * u**2) * np.where(v < 3.0, 0.86, 0.55))
    loop = loop + 0.35 * clouds(shape, px, 12, 3, rng)
    ridges = np.sin(2 * np.pi * loop / 1.15)
    dropouts = clouds(shape, px, 3, 0.4, rng) > 1.25
    return (
        np.clip(pressed * 4, 0, 1).astype(np.float32),
        np.where(dropouts, 0.6, ridges).astype(np.float32),
    )


def hammered(outline: Outline, px: float, rng: Random) -> Skin:
    """Raised with a ball hammer in courses; the colour rubbed back on the ridges."""
    shape = outline.depth.shape
    first, second, _ = cells(shape, px, _courses(outline, rng), 0.25 * clouds(shape, px, 9, 1, rng))
    height = blur(np.minimum(first**2 / 34.0, 1.2), px, 0.25)
    ridge = np.exp(-(second - first) / 0.75)
    lines = streaks(shape, px, 6, 0.22, rng, 40) + streaks(shape, px, 5, 0.25, rng, 118)
    rank = -1.7 * ridge + 0.7 * clouds(shape, px, 45, 4, rng) - 2 * worn_edge(outline, 1.6)
    return Skin(
        rank=rank.astype(np.float32),
        main=0.03 * lines + 0.05 * clouds(shape, px, 50, 3, rng),
        second=0.06 * lines,
        tint=0.025 * clouds(shape, px, 40, 4, rng),
        powder=0.012 * speckle(shape, px, 0.25, rng),
        height=height,
        brush=0.4 * lines,
        soft=0.3,
    )


def _courses(outline: Outline, rng: Random) -> NDArray[np.float64]:
    """Hammer blows in rings from the middle outwards, in mm of the raster."""
    width, _ = outline.place.size_mm
    centre = width / 2 + 8.0
    points = [[centre, centre]]
    for ring in np.arange(7.0, width * 0.58, 6.8):
        count = int(2 * np.pi * ring / 7.0)
        angles = np.linspace(0, 2 * np.pi, count, endpoint=False) + rng.uniform(0, 6)
        radii = ring + rng.normal(0, 0.9, count)
        angles = angles + rng.normal(0, 1.0 / ring, count)
        points += np.stack(
            [centre + radii * np.cos(angles), centre + radii * np.sin(angles)], axis=1
        ).tolist()
    return np.array(points)


def forged(outline: Outline, px: float, rng: Random) -> Skin:
    """Hammered hot: broad facets, worn bright on the arrises, oil burnt black."""
    shape = outline.depth.shape
    points = scattered(136, 136, 11.0, rng)
    points[:, 1] *= 1.25
    first, second, _ = cells(shape, px, points, 0.8 * clouds(shape, px, 20, 3, rng))
    arris = np.exp(-(second - first) / 0.7)
    height = blur(np.minimum(first**2 / 62.0, 1.5), px, 0.4)
    scale = clouds(shape, px, 3.0, 0.3, rng, slope=1.1)
    rank = -1.2 * arris + 0.4 * clouds(shape, px, 30, 1, rng) - 1.4 * worn_edge(outline, 1.4)
    return Skin(
        rank=rank.astype(np.float32),
        main=0.05 * scale + 0.07 * clouds(shape, px, 30, 3, rng) + 0.10 * arris,
        second=0.08 * scale,
        tint=0.03 * clouds(shape, px, 20, 2, rng),
        powder=0.02 * speckle(shape, px, 0.3, rng),
        height=height + 0.012 * scale,
        brush=0.3 * scale,
        soft=0.4,
    )
