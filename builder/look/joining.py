"""What hangs together in a raster, told from the runs of its rows.

Source: Rosenfeld and Pfaltz, Sequential Operations in Digital Picture Processing (1966), for runs.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]


def join_runs(rows: Ints, starts: Ints, stops: Ints, width: int, corners: bool) -> Ints:
    """A number for each run, (n,), the lowest of those it hangs together with; ``corners``: corner
    to corner too. Runs are sorted as they are read; ``width`` is that of the raster."""
    # Of the runs of the row above: the first that ends no sooner than this begins, the last that
    # begins no later than it ends.
    wide = width + 2
    room = 0 if corners else 1
    first = np.searchsorted(rows * wide + stops, (rows - 1) * wide + starts + room, "left")
    last = np.searchsorted(rows * wide + starts, (rows - 1) * wide + stops - room, "right")
    touching = np.maximum(0, last - first)
    below = np.repeat(np.arange(len(rows)), touching)
    begun = np.cumsum(touching) - touching
    above = np.repeat(first - begun, touching) + np.arange(len(below))
    return join_pairs(len(rows), above, below)


def join_pairs(count: int, one: Ints, other: Ints) -> Ints:
    """The lowest number that each of ``count`` things is joined to by pairs."""
    number = np.arange(count)
    while len(one):
        a, b = number[one], number[other]
        apart = a != b
        one, other, a, b = one[apart], other[apart], a[apart], b[apart]
        np.minimum.at(number, np.maximum(a, b), np.minimum(a, b))
        while True:
            further = number[number]
            if np.array_equal(further, number):
                break
            number = further
    return number
