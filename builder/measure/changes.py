"""Where a piece changed: two of its grids laid on each other, cell by cell."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from builder.measure.arrays import Floats, Mask
from builder.measure.difference import delta_e_2000
from builder.measure.registration import Motion, register, sample_half_way
from builder.measure.spaces import lab_to_xyz, xyz_to_lab

# A border that shifted by less than half a cell is no change: the best match so near counts.
MATCH_WITHIN = 0.5  # cells
# Where colours meet within a cell, squares that begin elsewhere mix them otherwise: this part of
# the step from cell to cell is left over. Common practice, no source.
MIXED = 0.15
# A normal error alike in three axes: ninety in a hundred stay within √6.2514 deviations, half
# within √2.3660. Source: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.4 (quantiles of
# χ² with three degrees of freedom).
_HALF_TO_90 = math.sqrt(6.2514 / 2.3660)
_AROUND = ((-1, 0), (1, 0), (0, -1), (0, 1))


@dataclass(frozen=True, eq=False)
class CellChanges:
    """Arrays are (r, c), on the first grid's squares. ``de00`` the ΔE00 to the best match within
    half a cell, NaN where either is missing; ``moved`` where it is beyond noise and visible;
    ``unsure`` where borders of colours hide a change that would be seen elsewhere; ``noise`` u of
    one cell alone, ΔE00."""

    de00: Floats
    moved: Mask
    unsure: Mask
    motion: Motion
    noise: float

    @property
    def compared(self) -> Mask:
        return np.asarray(np.isfinite(self.de00))


def find_changes(first: Floats, second: Floats, u: float, threshold: float) -> CellChanges:
    """The changes between two grids of one piece, L*a*b* (r, c, 3) and (r', c', 3) with NaN where
    missing, after one has been laid on the other.

    A cell has moved by the rule a whole piece has: its ΔE00 beyond the noise, and with the noise
    taken off in quadrature at least ``threshold``. The noise is ``u``, of the difference between
    the two photographs, with what one cell adds of its own and what the border of two colours does
    where it is not known to a hair where the cell begins.
    """
    motion = register(first, second)
    light = lab_to_xyz(first), lab_to_xyz(second)
    one, two = _seen(light, motion)
    de00 = delta_e_2000(one, two)
    steepness = np.maximum(_steepness(one), _steepness(two))
    noise = _noise_of_cell(one, two, steepness)
    border = (MIXED + motion.within) * steepness
    limit = np.sqrt(u**2 + noise**2 + border**2)
    doubted = _beyond(de00, limit, threshold)
    best = de00.copy()
    for down in (-MATCH_WITHIN, 0.0, MATCH_WITHIN):
        for across in (-MATCH_WITHIN, 0.0, MATCH_WITHIN):
            if not (doubted.any() and (down or across)):
                continue
            a, b = _seen(light, motion, (down, across))
            best[doubted] = np.fmin(best[doubted], delta_e_2000(a[doubted], b[doubted]))
    plain = math.hypot(u, noise)
    hidden = np.hypot(limit, threshold) > 2 * math.hypot(plain, threshold)
    moved = _beyond(best, limit, threshold)
    return CellChanges(best, moved, np.asarray(hidden & ~moved & np.isfinite(best)), motion, noise)


def _seen(
    light: tuple[Floats, Floats], motion: Motion, apart: tuple[float, float] = (0.0, 0.0)
) -> tuple[Floats, Floats]:
    """Both grids' L*a*b* on one lattice, blended in linear light."""
    one, two = sample_half_way(*light, motion, apart)
    return xyz_to_lab(one), xyz_to_lab(two)


def _beyond(de00: Floats, u: Floats, threshold: float) -> Mask:
    with np.errstate(invalid="ignore"):
        return np.asarray((de00 > u) & (de00**2 - u**2 >= threshold**2))


def _noise_of_cell(one: Floats, two: Floats, steepness: Floats) -> float:
    """u in ΔE00 of a single cell: how far its change strays from that of the two beside it, or of
    the two above and below where that is farther (grain runs one way). Told from the calmer half
    of the cells, where no border adds to it, and from their median, so that spots that did change
    do not count."""
    calm = steepness <= _middling(steepness[np.isfinite(two - one).all(axis=-1)])
    level = _stray(one, two, calm)
    upright = _stray(one.swapaxes(0, 1), two.swapaxes(0, 1), calm.swapaxes(0, 1))
    return max(level, upright)


def _middling(values: Floats) -> float:
    return float(np.median(values)) if values.size else 0.0


def _stray(one: Floats, two: Floats, calm: Mask) -> float:
    change = two - one
    beside = (change[:-2] + change[2:]) / 2
    strays = delta_e_2000(two[1:-1], one[1:-1] + beside)
    known = strays[np.isfinite(strays) & calm[1:-1]]
    # A cell less the mean of two of its kind strays √(1 + 1/2) as far as the cell alone.
    return _HALF_TO_90 * _middling(known) / math.sqrt(1.5)


def _steepness(lab: Floats) -> Floats:
    """The greatest ΔE00 (r, c) from each cell to its four neighbours; 0 where none is known."""
    padded = np.pad(lab, [(1, 1), (1, 1), (0, 0)], constant_values=np.nan)
    rows, columns = lab.shape[:2]
    steps = np.stack(
        [
            delta_e_2000(lab, padded[1 + i : 1 + i + rows, 1 + j : 1 + j + columns])
            for i, j in _AROUND
        ]
    )
    return np.asarray(np.max(np.nan_to_num(steps), axis=0))
