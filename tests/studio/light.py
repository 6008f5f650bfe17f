"""How the two broad lamps fall on relief and sheen.

Heights are mm, fields (h, w). A *shade* is a factor near 1; a *glint* is added light, in the same
linear scale as reflectance.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.studio.grain import Field

#: Directions to the lamps (right, down, up), and how strong each is: left and right at about 45°,
#: a little towards the far side of the bench, the left one nearer.
_LAMPS = (((-0.66, -0.30, 0.69), 0.58), ((0.66, -0.30, 0.69), 0.42))


@dataclass(frozen=True)
class Finish:
    """``powder``: how much of the chalky speckle still shows. ``sheen``: swing of the broad lamp
    gradient. ``glint``: strength of highlights on edges and facets, with ``tight`` their
    sharpness. ``relief``: how strongly small relief shades."""

    powder: float
    sheen: float
    glint: float
    tight: float
    relief: float = 1.0


FINISHES: dict[str, Finish] = {
    "bare metal": Finish(0.3, 0.15, 0.22, 14.0),
    "bare": Finish(1.0, 0.085, 0.10, 12.0),
    "wet": Finish(0.2, 0.10, 0.25, 40.0),
    "microcrystalline wax": Finish(0.35, 0.10, 0.13, 16.0),
    "acrylic lacquer": Finish(0.12, 0.13, 0.26, 38.0),
    "shellac": Finish(0.15, 0.13, 0.24, 34.0),
    "oil and wax": Finish(0.6, 0.07, 0.16, 10.0),
}
#: Chalky skins have no sheen at all until something fills their pores.
CHALKY = Finish(1.0, 0.015, 0.0, 8.0, 1.25)


def _normals(height: Field, px: float) -> tuple[Field, Field, Field]:
    dy, dx = np.gradient(height * px)
    length = np.sqrt(dx**2 + dy**2 + 1)
    return -dx / length, -dy / length, 1 / length


def shade_relief(height: Field, px: float) -> Field:
    """Diffuse shading of relief; flat ground is 1."""
    nx, ny, nz = _normals(height, px)
    total = np.zeros_like(height)
    flat = 0.0
    for (lx, ly, lz), weight in _LAMPS:
        # Broad lamps light round the corner: half Lambert.
        total += weight * np.clip((nx * lx + ny * ly + nz * lz) * 0.75 + 0.25, 0, None)
        flat += weight * (lz * 0.75 + 0.25)
    return np.asarray(total / flat, dtype=np.float32)


def glints(height: Field, px: float, tight: float) -> Field:
    """Highlights where relief leans into a lamp; flat ground is 0."""
    nx, ny, nz = _normals(height, px)
    total = np.zeros_like(height)
    flat = 0.0
    for (lx, ly, lz), weight in _LAMPS:
        hx, hy, hz = lx, ly, lz + 1
        norm = np.sqrt(hx**2 + hy**2 + hz**2)
        cosine = np.clip((nx * hx + ny * hy + nz * hz) / norm, 0, 1)
        total += weight * cosine**tight
        flat += weight * (hz / norm) ** tight
    return np.asarray(np.clip(total - flat, 0, None), dtype=np.float32)


def broad_sheen(x: Field, y: Field, width: float, height: float) -> Field:
    """The soft gradient of the lamps over a flat piece, about -1 to 1; x, y in mm from its
    corner: bright towards each lamp, and a faint band where the ceiling answers."""
    u, v = x / width, y / height
    left = np.exp(-(((u + 0.12) / 0.46) ** 2)) * (1.15 - 0.5 * np.abs(v - 0.3))
    right = 0.62 * np.exp(-(((u - 1.10) / 0.36) ** 2)) * (1.0 - 0.4 * np.abs(v - 0.5))
    band = 0.42 * np.exp(-(((u * 0.9 + v * 0.42 - 0.66) / 0.15) ** 2))
    far = 0.42 * (0.5 - v)
    return np.asarray(1.9 * (left + right + band + far - 0.52), dtype=np.float32)


def edge_light(inside: Field) -> Field:
    """Light caught (over 0) or lost (under 0) by the filed edge, by which way it faces."""
    down, across = np.gradient(inside)
    size = np.maximum(np.hypot(down, across), 1e-6)
    facing = 0.55 * np.maximum(across, 0) + 0.40 * np.maximum(-across, 0)
    facing = facing + 0.75 * np.maximum(down, 0) - 0.62 * np.maximum(-down, 0)
    line = np.exp(-(((inside - 0.42) / 0.26) ** 2))
    return np.asarray(facing / size * line, dtype=np.float32)
