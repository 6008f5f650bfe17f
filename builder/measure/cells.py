"""A region averaged to cells in linear light, and what lies around each."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from builder.measure.arrays import Floats, Mask, Pixels
from builder.measure.difference import delta_e_2000
from builder.measure.spaces import xyz_to_lab

# Mottle is told over this length; a cell is half of it, so that a cell and its eight neighbours
# have their middles within it.
MOTTLE_MM = 2.0
# Where no scale is known, a cell for mottle is this part of the longer side.
MOTTLE_PART = 1 / 100
# A cell of which less than this part is readable is not read.
READABLE = 0.5


@dataclass(frozen=True, eq=False)
class Cells:
    """``xyz`` (r, c, 3) the mean of each cell in linear light, 0 where nothing is readable;
    ``weight`` (r, c) its readable part, 0 to 1, and 0 where that is too little to be read."""

    xyz: Floats
    weight: Floats

    @property
    def read(self) -> Mask:
        """Which cells are read, (r, c)."""
        return np.asarray(self.weight > 0)


def side_of_cell(
    shape: tuple[int, int], mm_per_px: float | None, mm: float, part: float, least: int = 1
) -> int:
    """The side in pixels, at least ``least``, of cells of ``mm`` in a region of ``shape`` (h, w);
    of the ``part`` of its longer side where no scale is known."""
    side = mm / mm_per_px if mm_per_px else max(shape) * part
    return min(max(least, round(side)), *shape)


def average_to_cells(xyz: Floats | Pixels, good: Mask, side: int) -> Cells:
    """Means of the ``good`` pixels (h, w) of ``xyz`` (h, w, 3) over squares of ``side`` pixels.

    What does not fill a square is left off evenly at the edges.
    """
    rows, columns = (n // side for n in good.shape)
    top, left = ((n - k * side) // 2 for n, k in zip(good.shape, (rows, columns), strict=True))
    part = np.s_[top : top + rows * side, left : left + columns * side]
    kept = good[part].astype(np.float32)
    count = _add_up(kept, side)
    total = np.stack([_add_up(kept * xyz[part][..., k], side) for k in range(3)], axis=-1)
    weight = count / side**2
    return Cells(total / np.maximum(count, 1)[..., None], np.where(weight < READABLE, 0, weight))


def _add_up(plane: Floats | Pixels, side: int) -> Floats:
    """Sums over squares of ``side``: rows first, which lie one after the other in memory."""
    height, width = plane.shape
    rows = plane.reshape(height // side, side, width).sum(axis=1)
    return np.asarray(
        rows.reshape(height // side, width // side, side).sum(axis=2, dtype=np.float64)
    )


def sum_around(values: Floats) -> Floats:
    """The sum over each cell's 3 × 3 surroundings, (r, c, …) → the same."""
    padded = np.pad(values, [(1, 1), (1, 1)] + [(0, 0)] * (values.ndim - 2))
    rows = padded[:-2] + padded[1:-1] + padded[2:]
    return np.asarray(rows[:, :-2] + rows[:, 1:-1] + rows[:, 2:])


def measure_mottle(cells: Cells) -> float:
    """Median ΔE00 of each cell from the mean, in linear light, of itself and its neighbours.

    0 where nothing is read.
    """
    if not cells.read.any():
        return 0.0
    around = sum_around(cells.xyz * cells.weight[..., None])[cells.read]
    local = around / sum_around(cells.weight)[cells.read][:, None]
    return float(np.median(delta_e_2000(xyz_to_lab(cells.xyz[cells.read]), xyz_to_lab(local))))
