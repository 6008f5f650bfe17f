"""The colours a surface has: the places in colour where it crowds."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from builder.measure.arrays import Floats, Labels, Mask
from builder.measure.climbing import climb, find_saddles
from builder.measure.difference import delta_e_76
from builder.measure.shading import OF_LIGHT, from_shading
from builder.measure.spaces import lab_to_xyz, xyz_to_lab

# From here on an observer sees two colours rather than a difference of one: Mokrzycki and Tatol,
# Machine Graphics and Vision 20(4):383-411 (2011), for ΔE*ab.
TWO_COLOURS = 5.0
# Of the kernel, in shading coordinates: two colours that stand just TWO_COLOURS apart across the
# light (more there, in the darks) leave a valley between them with room to spare. On a calm surface
# it may be as fine as half of that.
BANDWIDTH = TWO_COLOURS / 8
FINEST = BANDWIDTH / 2
BINS_A_BANDWIDTH = 2  # fine enough that the grid does not show in a peak's place
# Two peaks are one colour unless the valley between falls below this part of the lower.
VALLEY = 0.9
# Peaks that differ by light alone are one colour up to this L*: what the slopes of a hammered or
# brushed face do under two lamps. Common practice, no source.
LIGHT_AND_DARK = 6.0
# The very ends of the spread are specks, and must not make the grid large.
_ENDS = 0.002
# A picture of anything else than metal, a rainbow or a screen of noise, must not take all the
# memory or all day: beyond this many bins the kernel is made coarser, and lesser peaks are let go.
MOST_BINS = 1_000_000
MOST_PEAKS = 32
COARSER = 1.25


@dataclass(frozen=True, eq=False)
class Density:
    """Colours counted in bins, smoothed: ``values`` (p, q, r); ``origin`` (3,) the middle of bin
    0, 0, 0 in shading coordinates; ``step`` from one bin to the next."""

    values: Floats
    origin: Floats
    step: float

    def bin_of(self, points: Floats) -> Labels:
        """The flat index (n,) of the bin that holds each point (n, 3), or of the nearest."""
        last = np.array(self.values.shape) - 1
        bins = np.clip(np.rint((points - self.origin) / self.step).astype(np.int64), 0, last)
        return np.asarray(np.ravel_multi_index(tuple(bins.T), self.values.shape))

    def middle_of(self, flat: Labels) -> Floats:
        """The middle (m, 3) of the bins of flat index (m,)."""
        place = np.stack(np.unravel_index(flat, self.values.shape), axis=-1)
        return np.asarray(self.origin + self.step * place)


def estimate_density(points: Floats, weight: Floats, bandwidth: float) -> Density:
    """Density of ``points`` (n, 3), n ≥ 1, weighted (n,), under a normal kernel whose standard
    deviation is ``bandwidth``.

    Source: Silverman, Density Estimation for Statistics and Data Analysis (1986), section 4.2.
    """
    ends = np.quantile(points, [_ENDS, 1 - _ENDS], axis=0)
    while True:
        step = bandwidth / BINS_A_BANDWIDTH
        low, high = ends[0] - 2 * bandwidth, ends[1] + 2 * bandwidth
        shape = tuple(int(n) for n in np.ceil((high - low) / step) + 1)
        if math.prod(shape) <= MOST_BINS:
            break
        bandwidth *= COARSER
    empty = Density(np.zeros(shape), low, step)
    count = np.bincount(empty.bin_of(points), weight, minlength=empty.values.size)
    values: Floats = count.reshape(shape).astype(np.float64)
    for axis, n in enumerate(shape):
        apart = np.arange(n)[:, None] - np.arange(n)[None, :]
        kernel = np.exp(-0.5 * (apart / BINS_A_BANDWIDTH) ** 2)
        values = np.moveaxis(np.tensordot(kernel, values, axes=(1, axis)), 0, axis)
    return Density(values, low, step)


def find_modes(
    points: Floats, weight: Floats, also: Floats, bandwidth: float = BANDWIDTH
) -> Labels:
    """Which peak of the density of ``points`` (n, 3) weighted (n,), n ≥ 1, each of ``also`` (k, 3)
    leads up to, (k,), numbered from 0; all in shading coordinates. -1 for what leads up to no
    colour of its own: a passage between two, or one of too many. Mean shift, taken on a grid.

    Source: Fukunaga and Hostetler, IEEE Transactions on Information Theory 21(1):32-40 (1975).
    """
    density = estimate_density(points, weight, bandwidth)
    basin = climb(density.values)
    led = basin.ravel()[density.bin_of(also)]
    peaks = np.unique(led)
    height = density.values.ravel()[peaks]
    peaks = peaks[np.sort(np.argsort(-height, kind="stable")[:MOST_PEAKS])]
    where, height = density.middle_of(peaks), density.values.ravel()[peaks]
    number = np.full(basin.size, -1, dtype=np.int64)
    number[peaks] = np.arange(len(peaks))
    owner = merge_peaks(where, height, find_saddles(density.values, number[basin], len(peaks)))
    kept, owner = np.unique(owner, return_inverse=True)
    passage = find_passages(lab_to_xyz(from_shading(where[kept])), height[kept])
    rank = np.where(passage, -1, np.cumsum(~passage) - 1)
    return np.append(rank[owner], -1)[number[led]]


def find_passages(xyz: Floats, height: Floats) -> Mask:
    """(m,): which of the peaks ``xyz`` (m, 3) may be but the passage between two others: within
    TWO_COLOURS of a mixture of two that are both more crowded, by ``height`` (m,)."""
    lab = xyz_to_lab(xyz)
    passage = np.zeros(len(xyz), dtype=np.bool_)
    for k in range(len(xyz)):
        for p, q in combinations(np.flatnonzero(height > height[k]), 2):
            way = xyz[q] - xyz[p]
            part = np.clip((xyz[k] - xyz[p]) @ way / (way @ way), 0, 1)
            passage[k] |= delta_e_76(lab[k], xyz_to_lab(xyz[p] + part * way)) < TWO_COLOURS
    return passage


def find_same(where: Floats) -> Mask:
    """(m, m): which of the peaks (m, 3), in shading coordinates, are one colour whatever lies
    between them."""
    apart = np.abs(where[:, None] - where[None, :])
    across = np.hypot(apart[..., 1], apart[..., 2])
    by_light = (across < 2 * BANDWIDTH) & (apart[..., 0] < LIGHT_AND_DARK * OF_LIGHT)
    lab = from_shading(where)
    return np.asarray(by_light | (delta_e_76(lab[:, None], lab[None, :]) < TWO_COLOURS))


def merge_peaks(where: Floats, height: Floats, saddle: Floats) -> Labels:
    """For each peak (m,) the peak it belongs to after all that are one colour have been joined, the
    pair with the shallowest valley first, the lower into the higher."""
    owner = np.arange(len(height))
    saddle = saddle.copy()
    same = find_same(where)
    alive = np.ones(len(height), dtype=np.bool_)
    while True:
        lower = np.minimum(height[:, None], height[None, :])
        shallow = saddle / np.maximum(lower, np.finfo(float).tiny)
        shallow = np.where(same & (saddle > 0), 1 + shallow, shallow)
        shallow[~alive] = shallow[:, ~alive] = 0.0
        np.fill_diagonal(shallow, 0.0)
        i, j = np.unravel_index(int(np.argmax(shallow)), shallow.shape)
        if shallow[i, j] < VALLEY:
            return np.asarray(owner)
        high, low = (i, j) if height[i] >= height[j] else (j, i)
        owner[owner == low] = high
        alive[low] = False
        saddle[high] = np.maximum(saddle[high], saddle[low])
        saddle[:, high] = saddle[high]
