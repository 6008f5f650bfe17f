"""How the colours of a surface share its area."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from builder.measure.arrays import Floats, Labels, Mask
from builder.measure.calm import calmest_around, look_around
from builder.measure.cells import Cells
from builder.measure.members import (
    Surface,
    assign_cells,
    find_core,
    keep_largest,
    mean_of_each,
    share_of_each,
)
from builder.measure.modes import BANDWIDTH, FINEST, find_modes
from builder.measure.shading import to_shading
from builder.measure.spaces import xyz_to_lab

# A cell is small beside the 2 to 6 mm chips of a buried finish, the finest pattern of the trade.
CELL_MM = 0.4
CELL_PART = 1 / 300  # of the longer side, where no scale is known
CELL_LEAST = 2  # pixels a side: below it the noise of one pixel rules
LEAST_SHARE = 0.03  # below this a colour is a speck: common practice, no source
SEED_SHARE = 0.02  # calm windows see less of a fine pattern than there is
# The calmest quarter of the windows shows how restless the surface is of itself.
CALM_PART = 0.25


@dataclass(frozen=True, eq=False)
class Coverage:
    """``xyz`` (m, 3) the mean of each colour in linear light, largest share first; ``share`` (m,),
    sum 1; ``label`` (r, c) which colour each cell is, -1 where it is not read; ``core`` (r, c)
    which cells lie well inside their colour."""

    xyz: Floats
    share: Floats
    label: Labels
    core: Mask


def find_coverage(cells: Cells) -> Coverage:
    """The colours of ``cells`` and their shares; at least one cell must be read.

    Peaks are sought among calm windows, where no border's mixture can pass for a colour.
    """
    read, windows = cells.read, look_around(cells)
    rest = float(np.quantile(windows.unrest[read], CALM_PART))
    own, around, smooth = (
        to_shading(xyz_to_lab(xyz[read]))
        for xyz in (cells.xyz, windows.xyz, calmest_around(windows))
    )
    weight, unrest = cells.weight[read], windows.unrest[read]
    calmness = np.exp(-0.5 * (unrest / max(rest, BANDWIDTH)) ** 2)
    label = np.full(read.shape, -1, dtype=np.int64)
    label[read] = find_modes(around, weight * calmness, smooth, min(max(rest, FINEST), BANDWIDTH))
    surface = Surface(read, cells.xyz[read], weight, own, smooth, unrest, rest)
    label = keep_largest(label, cells.weight, SEED_SHARE)
    while True:
        xyz = mean_of_each(surface, label)
        label = assign_cells(surface, xyz)
        if len(xyz) > 1:  # once more, from means that owe nothing to the peaks' grid
            label = assign_cells(surface, mean_of_each(surface, label))
        label = keep_largest(label, cells.weight, LEAST_SHARE)
        if label.max() == len(xyz) - 1:
            break
    return Coverage(
        mean_of_each(surface, label), share_of_each(label, cells.weight), label, find_core(label)
    )
