"""Straightening a flat thing photographed a little askew, and finding its pixels.

Everything here counts in the plane: (0, 0) is the left top corner of the thing, (1, 1) the right
bottom one. A pixel's place is its centre.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from builder.records.photo import Quad

Floats = NDArray[np.float64]

_UNIT = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
# Corners that lie on one line make the equations unsolvable; nearly so, senseless.
_LEAST_AREA = 1e-6  # of the picture


class CornersError(ValueError):
    """The four corners are not those of a place that can be straightened."""


def map_plane(quad: Quad, width: int, height: int) -> Floats:
    """(3, 3): homogeneous plane coordinates → pixels of a picture of ``width`` by ``height``.

    ``quad`` are fractions of the picture, clockwise from the left top corner. Raises
    :class:`CornersError`. Source: Heckbert, Fundamentals of Texture Mapping and Image Warping
    (1989), 2.2.2: eight equations for eight coefficients.
    """
    corners = np.array(quad, dtype=np.float64) * (width, height)
    if not _is_convex(np.array(quad, dtype=np.float64)):
        raise CornersError("its corners do not go round one four-sided place, clockwise")
    rows, values = [], []
    for (u, v), (x, y) in zip(_UNIT, corners, strict=True):
        rows.append([u, v, 1.0, 0.0, 0.0, 0.0, -u * x, -v * x])
        rows.append([0.0, 0.0, 0.0, u, v, 1.0, -u * y, -v * y])
        values += [x, y]
    solved = np.linalg.solve(np.array(rows), np.array(values))
    return np.append(solved, 1.0).reshape(3, 3)


def carry(matrix: NDArray[np.floating[Any]], points: Floats) -> Floats:
    """Points (…, 2) through a plane's matrix (3, 3) → (…, 2)."""
    x, y = points[..., 0], points[..., 1]
    across, down, scale = (row[0] * x + row[1] * y + row[2] for row in matrix)
    return np.stack([across / scale, down / scale], axis=-1)


def coefficients(matrix: Floats, width: int, height: int) -> tuple[float, ...]:
    """The eight numbers a … h of x = (a i + b j + c) / (g i + h j + 1), y = (d i + e j + f) / …
    that lead from cell (i, j) of a straightened picture to a place in the original."""
    scaled = matrix / np.array([width, height, 1.0])
    return tuple(float(value) for value in scaled.ravel()[:8])


def native_size(quad: Quad, width: int, height: int) -> tuple[int, int]:
    """Width and height, in pixels, at which the straightened place has about as many pixels as it
    covers in the picture: the means of opposite edges."""
    p = np.array(quad, dtype=np.float64) * (width, height)
    edges = np.linalg.norm(np.roll(p, -1, axis=0) - p, axis=1)
    return (
        max(1, round(float(edges[0] + edges[2]) / 2)),
        max(1, round(float(edges[1] + edges[3]) / 2)),
    )


def _is_convex(points: Floats) -> bool:
    sides = np.roll(points, -1, axis=0) - points
    following = np.roll(sides, -1, axis=0)
    turns = sides[:, 0] * following[:, 1] - sides[:, 1] * following[:, 0]
    return bool(np.isfinite(points).all() and (turns > _LEAST_AREA).all())
