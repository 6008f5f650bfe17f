"""Whether two grids show one face the same way up, by the pattern that both have in common.

A pattern turned against itself agrees with itself as little as with any other's. Measured on the
demo, 202 pairs of photographs of one piece that follow each other: laid alike, the patterns of
coloured pieces correlate by 0.39 to 1.00, but for one whose limewash came between (0.07); turned,
by −0.02 to 0.29, and mirrored to 0.46, where a round piece is nearly its own mirror image.
"""

from __future__ import annotations

from enum import StrEnum

import numpy as np

from builder.measure.arrays import Floats
from builder.measure.grids import read_grid
from builder.measure.registration import agree_best, find_pattern
from builder.records.photo import Grid

#: From here on two patterns are of one face; below, they may be.
ONE_FACE = 0.35
#: A pattern fits another way up only where it fits so much better.
BETTER = 0.25
# A face is as high as wide, and can be laid four ways, where its sides differ by no more cells.
_SQUARE_WITHIN = 2


class Way(StrEnum):
    """How a face lies as against another picture of it."""

    UPRIGHT = "upright"
    HALF = "half a turn"
    RIGHT = "a quarter turn to the right"
    LEFT = "a quarter turn to the left"
    MIRRORED = "mirrored"


def read_pattern(grid: Grid) -> Floats:
    """The pattern (rows, columns, 3) of a kept grid. Raises ValueError where its text is broken."""
    return find_pattern(read_grid(grid))


def find_way(one: Floats, two: Floats) -> Way | None:
    """How the piece lies in the second pattern (r', c', 3) as against the first (r, c, 3); None
    where they have too little in common to tell."""
    if agree_best(one, two, farthest=1) >= ONE_FACE:  # most are laid so: the quick way
        return Way.UPRIGHT
    upright = agree_best(one, two)
    if upright >= ONE_FACE:
        return Way.UPRIGHT
    ways = {Way.HALF: np.rot90(two, 2), Way.MIRRORED: two[:, ::-1]}
    if abs(one.shape[0] - one.shape[1]) <= _SQUARE_WITHIN:
        # Turned back by as much as it lies turned.
        ways |= {Way.RIGHT: np.rot90(two, 1), Way.LEFT: np.rot90(two, -1)}
    agreement, way = max((agree_best(one, turned), way) for way, turned in ways.items())
    return way if agreement >= max(ONE_FACE, upright + BETTER) else None
