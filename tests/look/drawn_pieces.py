"""Pieces drawn on white paper as the camera sees them: truth for the outline's finder.

A shape is a field of depths: mm inside the metal, negative outside.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from builder.records.jig import A4, OUTLINES

Array = NDArray[Any]
Shape = Callable[[Array, Array], Array]
PX = 4.0
SURROUND_MM = 3.0
ORIGIN = (A4.place[0] - SURROUND_MM, A4.place[1] - SURROUND_MM)
SIZE_MM = (
    A4.place[2] - A4.place[0] + 2 * SURROUND_MM,
    A4.place[3] - A4.place[1] + 2 * SURROUND_MM,
)

# Linear sRGB over paper of L* 95, from L*a*b* by common formulas: soft black copper (22, 2, 1),
# brown copper (44, 14, 19), brass (69, 6, 31), verdigris (63, -24, -3), tinplate (80, -1, 2).
BLACK = (0.045, 0.038, 0.037)
BROWN = (0.26, 0.134, 0.079)
BRASS = (0.62, 0.43, 0.19)
GREEN = (0.21, 0.42, 0.39)
TIN = (0.64, 0.66, 0.62)


def plate(
    width: float, height: float, turn: float = 0.0, radius: float = 0.0,
    middle: tuple[float, float] = A4.middle,
) -> Shape:  # fmt: skip
    def depth(x: Array, y: Array) -> Array:
        a = np.radians(turn)
        x, y = x - middle[0], y - middle[1]
        u, v = x * np.cos(a) + y * np.sin(a), -x * np.sin(a) + y * np.cos(a)
        du, dv = np.abs(u) - (width / 2 - radius), np.abs(v) - (height / 2 - radius)
        out = np.hypot(np.maximum(du, 0), np.maximum(dv, 0)) + np.minimum(np.maximum(du, dv), 0)
        return np.asarray(radius - out)

    return depth


def corners_of(width: float, height: float, turn: float = 0.0,
               middle: tuple[float, float] = A4.middle) -> Array:  # fmt: skip
    a = np.radians(turn)
    unit = np.array([(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)]) * (width, height)
    return np.asarray(unit @ np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]]) + middle)


def disc(across: float, middle: tuple[float, float] = A4.middle) -> Shape:
    return lambda x, y: across / 2 - np.hypot(x - middle[0], y - middle[1])


def without(shape: Shape, *holes: Shape) -> Shape:
    def depth(x: Array, y: Array) -> Array:
        inside = shape(x, y)
        for hole in holes:
            inside = np.minimum(inside, -hole(x, y))
        return inside

    return depth


def both(one: Shape, two: Shape) -> Shape:
    return lambda x, y: np.maximum(one(x, y), two(x, y))


def offcut(x: Array, y: Array) -> Array:
    """An uneven five-sided piece, some 60 × 80 mm."""
    points = np.array([(72, 70), (121, 62), (134, 103), (108, 146), (79, 132)], dtype=float)
    inside = np.full(x.shape, np.inf)
    for (ax, ay), (bx, by) in zip(points, np.roll(points, -1, axis=0), strict=True):
        length = np.hypot(bx - ax, by - ay)
        inside = np.minimum(inside, ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / length)
    return inside


@dataclass(frozen=True)
class Lying:
    """``shade``: how deep the soft shadow is, 0 to 1, over ``shade_mm``; ``relief`` of the colour
    from place to place; ``sheen`` a broad gradient; ``lines`` the sheet's own print."""

    shade: float = 0.35
    shade_mm: float = 1.5
    relief: float = 0.05
    sheen: float = 0.1
    lines: bool = True
    blur_mm: float = 0.15
    noise: float = 0.008
    seed: int = 1


def draw_piece(
    shape: Shape | None, colour: tuple[float, float, float], lying: Lying | None = None,
    add: Callable[[Array, Array, Array], Array] | None = None,
) -> Array:  # fmt: skip
    """The place (h, w, 3), linear light over that of the paper. ``add`` has the last word on the
    picture: (h, w, 3), x, y → (h, w, 3)."""
    lying = lying or Lying()
    rng = np.random.default_rng(lying.seed)
    px = PX
    w, h = (round(side * px) for side in SIZE_MM)
    x, y = np.meshgrid(ORIGIN[0] + (np.arange(w) + 0.5) / px, ORIGIN[1] + (np.arange(h) + 0.5) / px)
    scene = np.ones((h, w))
    if lying.lines:
        for size in OUTLINES:
            cx, cy = x - A4.middle[0], y - A4.middle[1]
            if len(size) == 1:
                off = np.hypot(cx, cy) - size[0] / 2
            else:
                off = np.maximum(np.abs(cx) - size[0] / 2, np.abs(cy) - size[1] / 2)
            scene -= 0.3 * np.clip((0.15 - np.abs(off)) * px + 0.5, 0, 0.3 * px)
    scene = np.repeat(scene[..., None], 3, axis=2).astype(np.float32)
    if shape is not None:
        inside = shape(x, y)
        alpha = np.clip(inside * px + 0.5, 0, 1)[..., None].astype(np.float32)
        down = round(0.6 * px)
        shadow = ndimage.gaussian_filter(np.roll(alpha[..., 0], down, axis=0), lying.shade_mm * px)
        scene *= 1 - lying.shade * shadow[..., None]
        bounce = np.array(colour) - np.mean(colour)
        scene += 0.04 * shadow[..., None] * bounce
        grain = ndimage.gaussian_filter(rng.standard_normal((h // 4, w // 4)), 2)
        grain = np.kron(grain / grain.std(), np.ones((4, 4)))
        grain = np.pad(grain, ((0, h - grain.shape[0]), (0, w - grain.shape[1])), mode="edge")
        sheen = lying.sheen * np.sin((x - ORIGIN[0]) / 37 + (y - ORIGIN[1]) / 53)
        metal = np.array(colour) * (1 + lying.relief * grain + sheen)[..., None]
        scene = scene * (1 - alpha) + metal * alpha
    if add is not None:
        scene = add(scene, x, y)
    scene = ndimage.gaussian_filter(scene, (lying.blur_mm * px, lying.blur_mm * px, 0))
    seen = np.sqrt(np.clip(scene, 0, None)) + lying.noise * rng.standard_normal(scene.shape)
    return np.asarray(np.clip(seen, 0, 1.08) ** 2, dtype=np.float32)


def true_mask(shape: Shape) -> Array:
    w, h = (round(side * PX) for side in SIZE_MM)
    x, y = np.meshgrid(ORIGIN[0] + (np.arange(w) + 0.5) / PX, ORIGIN[1] + (np.arange(h) + 0.5) / PX)
    return np.asarray(shape(x, y) > 0)


def true_area(shape: Shape) -> float:
    """mm², on a raster finer than the picture's."""
    px = 16.0
    w, h = (round(side * px) for side in SIZE_MM)
    x, y = np.meshgrid(ORIGIN[0] + (np.arange(w) + 0.5) / px, ORIGIN[1] + (np.arange(h) + 0.5) / px)
    return float(np.count_nonzero(shape(x, y) > 0)) / px**2
