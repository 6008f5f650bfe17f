"""Peaks, and the valleys between them, on a grid of density."""

from __future__ import annotations

from itertools import product

import numpy as np

from builder.measure.arrays import Floats, Labels

# Half of a bin's 26 neighbours: the other half are their opposites.
_HALF = [(x, y, z) for x, y, z in product((-1, 0, 1), repeat=3) if (x, y, z) > (0, 0, 0)]


def climb(values: Floats) -> Labels:
    """For each bin of ``values`` (p, q, r), the flat index of the peak it leads up to by always
    taking the highest of its 26 neighbours."""
    best = values.copy()
    target = np.arange(values.size, dtype=np.int64).reshape(values.shape)
    for axis in range(values.ndim):  # the greatest of a cube is that of its rows' greatest
        before, start = np.moveaxis(best.copy(), axis, 0), np.moveaxis(target.copy(), axis, 0)
        high, to = np.moveaxis(best, axis, 0), np.moveaxis(target, axis, 0)
        for here, there in ((np.s_[:-1], np.s_[1:]), (np.s_[1:], np.s_[:-1])):
            better = before[there] > high[here]
            high[here] = np.where(better, before[there], high[here])
            to[here] = np.where(better, start[there], to[here])
    up = target.ravel()
    while True:
        further = up[up]
        if np.array_equal(further, up):
            return np.asarray(up.reshape(values.shape))
        up = further


def find_saddles(values: Floats, region: Labels, count: int) -> Floats:
    """(m, m): the highest density on the border between two regions, 0 where they do not touch.

    ``region`` (p, q, r) numbers each bin's peak from 0 to ``count`` - 1, and is -1 elsewhere.
    """
    saddle = np.zeros((count, count))
    if count < 2:
        return saddle
    small = region.astype(np.int16)  # a quarter of the memory to go through
    for step in _HALF:
        here = tuple(slice(max(0, -s), min(0, -s) or None) for s in step)
        there = tuple(slice(max(0, s), min(0, s) or None) for s in step)
        a, b = small[here], small[there]
        border = (a != b) & (a >= 0) & (b >= 0)
        height = np.minimum(values[here][border], values[there][border])
        np.maximum.at(saddle, (a[border], b[border]), height)
    return np.maximum(saddle, saddle.T)
