"""Where a surface is calm: the places whose colour is its own and not a border's mixture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from builder.measure.arrays import Floats
from builder.measure.cells import Cells, sum_around
from builder.measure.shading import to_shading
from builder.measure.spaces import xyz_to_lab


@dataclass(frozen=True, eq=False)
class Windows:
    """For the 3 × 3 cells round each cell: ``xyz`` (r, c, 3) their mean in linear light;
    ``unrest`` (r, c) the spread of their colours in shading coordinates, inf where none is read."""

    xyz: Floats
    unrest: Floats


def look_around(cells: Cells) -> Windows:
    """The windows of all cells."""
    weight = cells.weight[..., None]
    total = np.maximum(sum_around(weight), np.finfo(float).tiny)
    # Sums of squares lose digits far from nought; the middle colour is near enough to it.
    points = to_shading(xyz_to_lab(cells.xyz))
    points = points - points[cells.read].mean(axis=0)
    mean = sum_around(points * weight) / total
    variance = np.sum(sum_around(points**2 * weight) / total - mean**2, axis=-1)
    unrest = np.where(sum_around(cells.weight) > 0, np.sqrt(np.maximum(variance, 0)), np.inf)
    return Windows(sum_around(cells.xyz * weight) / total, unrest)


def calmest_around(windows: Windows) -> Floats:
    """For each cell the mean colour, XYZ (r, c, 3), of the calmest window that holds it: noise
    goes, borders stay.

    Source: Kuwahara, Hachimura, Eiho and Kinoshita, Digital Processing of Biomedical Images (1976),
    187-203.
    """
    rows, columns = windows.unrest.shape
    unrest = np.pad(windows.unrest, 1, constant_values=np.inf)
    number = np.pad(np.arange(rows * columns).reshape(rows, columns), 1)
    least, chosen = windows.unrest.copy(), number[1:-1, 1:-1].copy()
    for i in range(3):
        for j in range(3):
            other = unrest[i : i + rows, j : j + columns]
            calmer = other < least
            np.copyto(chosen, number[i : i + rows, j : j + columns], where=calmer)
            np.copyto(least, other, where=calmer)
    return np.asarray(windows.xyz.reshape(-1, 3)[chosen])
