"""Outlines of the pieces: how far each point lies inside the edge.

A field of *depths* is mm, positive inside the metal, negative outside.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.studio.grain import Field, Random, Shape, clouds, millimetres
from tests.studio.stand import BELLS, PLATES, Place


@dataclass(frozen=True)
class Outline:
    """``depth``: mm inside the outer edge; ``hole``: mm inside the metal from the hole's rim.

    ``relief``: height of the whole shape over the bench, mm (a dish, a bell's belly).
    ``belly``: how the lamps gather on the shape as a whole, about -1 to 1; 0 where it is flat.
    """

    depth: Field
    hole: Field
    relief: Field
    belly: Field
    place: Place

    @property
    def inside(self) -> Field:
        return np.minimum(self.depth, self.hole)


def plate(shape: Shape, px: float, margin: float, rng: Random) -> Outline:
    """A guillotined blank 100 × 150 mm with filed corners and a hole to hang it by."""
    x, y = millimetres(shape, px)
    width, height = PLATES.size_mm
    x, y = x - margin - width / 2, y - margin - height / 2
    wobble = 0.05 * clouds(shape, px, 40, 3, rng)
    radius = 2.6
    dx = np.abs(x) - (width / 2 - radius)
    dy = np.abs(y) - (height / 2 - radius)
    outside = np.hypot(np.maximum(dx, 0), np.maximum(dy, 0)) + np.minimum(np.maximum(dx, dy), 0)
    hole = np.hypot(x - 0.3, y + height / 2 - 6.2) - 2.05
    flat = np.zeros(shape, dtype=np.float32)
    return Outline(radius - outside + wobble, hole.astype(np.float32), flat, flat, PLATES)


def disc(shape: Shape, px: float, margin: float, rng: Random) -> Outline:
    """A bell blank: a disc dished over a stake, turned rim, hole for the hanger in the middle."""
    x, y = millimetres(shape, px)
    width, height = BELLS.size_mm
    x, y = x - margin - width / 2, y - margin - height / 2
    r = np.hypot(x, y)
    wobble = 0.18 * clouds(shape, px, 60, 6, rng)
    hole = np.hypot(x - 0.4, y + 0.2) - 2.6
    dome = 17.0 * np.sqrt(np.clip(1 - (r / (width / 2 + 6.0)) ** 2, 0, 1))
    edge = width / 2 - r + wobble
    dome = dome + 0.9 * np.exp(-(((edge - 2.2) / 1.1) ** 2))  # the turned rim
    dome = dome - 0.5 * np.exp(-(((edge - 5.0) / 0.8) ** 2))  # and the groove behind it
    u, v = x / (width / 2), y / (height / 2)
    belly = 0.95 * np.exp(-((u + 0.50) ** 2 + (v + 0.36) ** 2) / 0.14)
    belly = belly + 0.65 * np.exp(-((u - 0.55) ** 2 + (v + 0.34) ** 2) / 0.10)
    belly = belly - 0.75 * np.clip(v, 0, 1) ** 2 * np.clip(r / (width / 2), 0, 1) - 0.12
    return Outline(
        (width / 2 - r + wobble).astype(np.float32),
        hole.astype(np.float32),
        dome.astype(np.float32),
        belly.astype(np.float32),
        BELLS,
    )


#: Half width of the garden bell (mm) at heights from the top of its crown (mm): shoulder, waist,
#: flare and lip, by eye.
_PROFILE = (
    (13.0, 0.0), (13.6, 9.0), (15.5, 17.0), (19.0, 23.5), (25.0, 29.0), (33.0, 32.5),
    (48.0, 35.0), (64.0, 37.2), (78.0, 40.0), (90.0, 44.0), (100.0, 49.0), (108.0, 54.5),
    (114.0, 58.6), (117.5, 59.8), (119.6, 59.2), (120.0, 57.0),
)  # fmt: skip


def bell(shape: Shape, px: float, margin: float, rng: Random) -> Outline:
    """The garden bell on its side: crown loop, shoulder, flared lip."""
    x, y = millimetres(shape, px)
    width, _ = BELLS.size_mm
    x, y = x - margin - width / 2, y - margin
    heights = np.array([point[0] for point in _PROFILE])
    halves = np.array([point[1] for point in _PROFILE])
    wobble = 0.35 * clouds(shape, px, 50, 8, rng)
    half = np.interp(y, heights, halves, left=0, right=0).astype(np.float32)
    slope = np.interp(y, heights, np.gradient(halves, heights)).astype(np.float32)
    body = (half + wobble - np.abs(x)) / np.sqrt(1 + np.minimum(slope, 3.0) ** 2)
    body = np.minimum(body, np.minimum(y - heights[0], 120.0 - y))
    ring = 3.1 - np.abs(np.hypot(x, (y - 9.4) * 0.98) - 6.2)
    depth = np.maximum(body, ring).astype(np.float32)
    bead = 1.6 * np.exp(-(((y - 109.5) / 2.2) ** 2)) - 1.2 * np.exp(-(((y - 104.5) / 0.9) ** 2))
    body_height = np.sqrt(np.clip(half**2 - x**2, 0, None)) * 0.9 + bead * (half > 0)
    relief = np.maximum(body_height, np.sqrt(np.clip(3.1**2 - (3.1 - ring) ** 2, 0, None)))
    far = np.full(shape, 99.0, dtype=np.float32)
    t = np.clip(x / np.maximum(half, 1.0), -1.2, 1.2)
    light = 1.25 * np.exp(-(((t + 0.71) / 0.15) ** 2)) + 0.85 * np.exp(-(((t - 0.74) / 0.13) ** 2))
    light = light - 1.1 * np.exp(-np.clip(1 - np.abs(t), 0, 1) / 0.09)
    light = light * np.interp(y, (12, 30, 95, 112, 120), (0.3, 1.0, 0.9, 1.5, 0.8))
    light = light + 0.8 * np.exp(-(((y - 111.0) / 2.6) ** 2))  # the bead round the lip
    light = light - 0.5 * np.exp(-(((y - 104.5) / 1.6) ** 2))
    belly = np.where(half > 0, light, 0.0)
    return Outline(depth, far, relief.astype(np.float32), belly.astype(np.float32), BELLS)


def draw_outline(form: str, shape: Shape, px: float, margin: float, rng: Random) -> Outline:
    """The outline of a form as the demo table names it."""
    return {"plate blank": plate, "bell blank": disc, "garden bell": bell}[form](
        shape, px, margin, rng
    )
