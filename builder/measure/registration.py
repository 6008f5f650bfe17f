"""How a piece lies in one grid as against another: a small shift and turn, found from the pattern
that both show in common."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from builder.measure.arrays import Floats

# A piece is laid down, and its outline found, within this many cells.
FARTHEST = 3
# Before the pictures are looked at, this is how far a piece may be expected to lie off: half a
# millimetre to a millimetre, and a degree. Common practice, no source.
LIKELY_SHIFT = 0.5  # cells of 2 mm
LIKELY_TURN = math.radians(1.0)
LIKELY_GROWTH = 0.005  # of its sides: an edge of the outline half a millimetre off
# A pattern must agree this much better (correlation) for a whole cell's shift to be believed.
WORTH_A_SHIFT = 0.1
# Lightness and colour that change slowly over the piece are light and age, not pattern.
PATTERN_CELLS = 9
# Neighbours share what interpolation makes of them: so many cells count as one observation.
CELLS_A_FACT = 4.0
# Tukey's biweight, 95 % as efficient as least squares on normal errors, leaves out what lies
# farther. Source: P. J. Huber and E. M. Ronchetti, Robust Statistics, 2nd ed. (Wiley, 2009), 4.8.
_TUKEY = 4.685
_MAD = 1.4826  # a normal error's deviation over the median of its absolute values; the same source
_ROUNDS = 8
_LEAST_CELLS = 30


@dataclass(frozen=True)
class Motion:
    """From the first grid to the second, about their middles, in cells: ``down``, ``across``, and
    ``turn`` in radians, clockwise on the picture. ``within``: how well the place of a cell is then
    known, one deviation, in cells. ``taller`` and ``wider``: by which part its height and width
    have grown, as an outline that is a little off makes them."""

    down: float
    across: float
    turn: float
    within: float
    taller: float = 0.0
    wider: float = 0.0


def register(first: Floats, second: Floats) -> Motion:
    """The motion between two grids of one piece, (r, c, 3) and (r', c', 3) L*a*b*, NaN where
    missing.

    The least squares of what is left between their patterns, each channel of its own strength;
    cells that fit ill (the change looked for) are left out by Tukey's biweight. Where there is no
    pattern to go by the motion is nought, and ``within`` says how little is known.
    """
    one, two = _pattern(first), _pattern(second)
    down, across = _find_whole_cells(one, two)
    motion = np.array([down, across, 0.0, 0.0, 0.0])
    start = motion.copy()
    within = LIKELY_SHIFT
    expected = np.array([LIKELY_SHIFT, LIKELY_SHIFT, LIKELY_TURN, LIKELY_GROWTH, LIKELY_GROWTH])
    for _ in range(_ROUNDS):
        a, b = sample_half_way(one, two, _motion(motion, 0.0))
        slope = [_slopes(values) for values in (a, b)]
        down_slope, across_slope = ((x + y) / 2 for x, y in zip(*slope, strict=True))
        y, x = _about_middle(a.shape[0], a.shape[1])
        turn_slope = down_slope * x[..., None] - across_slope * y[..., None]
        taller_slope, wider_slope = down_slope * y[..., None], across_slope * x[..., None]
        slopes = (down_slope, across_slope, turn_slope, taller_slope, wider_slope)
        known = np.isfinite(a + b + down_slope + across_slope).all(axis=-1)
        if known.sum() < _LEAST_CELLS:
            return Motion(0.0, 0.0, 0.0, LIKELY_SHIFT)
        left = b[known] - _strength(a[known], b[known]) * a[known]
        size = np.linalg.norm(left, axis=-1)
        deviation = max(_MAD * float(np.median(np.abs(left))), 1e-3)
        weight = np.clip(1 - (size / (math.sqrt(3) * _TUKEY * deviation)) ** 2, 0, None) ** 2
        J = np.stack([one_slope[known] for one_slope in slopes], axis=-1)
        scale = deviation**2 * CELLS_A_FACT
        normal = np.einsum("nkp,nkq,n->pq", J, J, weight) / scale + np.diag(expected**-2.0)
        pull = np.einsum("nkp,nk,n->p", J, -left, weight) / scale + (start - motion) / expected**2
        step = np.linalg.solve(normal, pull)
        motion = motion + np.clip(step, -1, 1)
        covariance = np.linalg.inv(normal)
        spread = covariance[0, 0] + covariance[1, 1] + covariance[2, 2] * np.mean(x**2 + y**2)
        spread += covariance[3, 3] * np.mean(y**2) + covariance[4, 4] * np.mean(x**2)
        within = math.sqrt(float(spread) / 2)
        if np.abs(step).max() < 1e-3:
            break
    return _motion(motion, within)


def find_pattern(lab: Floats) -> Floats:
    """What stands out from the surroundings in a grid (r, c, 3), 0 where nothing is known."""
    return np.asarray(np.nan_to_num(_pattern(lab)))


def agree_best(one: Floats, two: Floats, farthest: int = FARTHEST) -> float:
    """The best correlation, −1 to 1, of two patterns (r, c, 3) and (r', c', 3), laid on each other
    by up to so many whole cells each way."""
    steps = range(-farthest, farthest + 1)
    return max(_agree(one, two, down, across) for down in steps for across in steps)


def sample_half_way(
    first: Floats, second: Floats, motion: Motion, apart: tuple[float, float] = (0.0, 0.0)
) -> tuple[Floats, Floats]:
    """Both grids on one lattice of the first's size, each moved half of the way, so that both are
    blended alike; ``apart`` (down, across), in cells, adds to the way. NaN where either grid does
    not reach."""
    y, x = _about_middle(first.shape[0], first.shape[1])
    sampled = []
    for values, half in ((first, -0.5), (second, 0.5)):
        turn = half * motion.turn
        down, across = half * (motion.down + apart[0]), half * (motion.across + apart[1])
        tall, wide = 1 + half * motion.taller, 1 + half * motion.wider
        row = tall * (x * math.sin(turn) + y * math.cos(turn)) + down + (values.shape[0] - 1) / 2
        column = wide * (x * math.cos(turn) - y * math.sin(turn)) + across
        column += (values.shape[1] - 1) / 2
        sampled.append(_blend(values, row, column))
    return sampled[0], sampled[1]


def _motion(values: Floats, within: float) -> Motion:
    down, across, turn, taller, wider = (float(value) for value in values)
    return Motion(down, across, turn, within, taller, wider)


def _blend(values: Floats, row: Floats, column: Floats) -> Floats:
    """Bilinear at places (r, c) of ``values``; NaN where more than a quarter is missing."""
    rows, columns = values.shape[:2]
    top, left = np.floor(row).astype(int), np.floor(column).astype(int)
    total = np.zeros((*row.shape, values.shape[2]))
    weight: Floats = np.zeros(row.shape)
    there = np.asarray(np.isfinite(values).all(axis=-1))
    for i in (0, 1):
        for j in (0, 1):
            part = (1 - np.abs(row - top - i)) * (1 - np.abs(column - left - j))
            inside = (top + i >= 0) & (top + i < rows) & (left + j >= 0) & (left + j < columns)
            at = np.clip(top + i, 0, rows - 1), np.clip(left + j, 0, columns - 1)
            part = np.where(inside & there[at], part, 0)
            total += part[..., None] * np.nan_to_num(values[at])
            weight += part
    return np.where(
        (weight >= 0.75)[..., None], total / np.maximum(weight, 0.75)[..., None], np.nan
    )


def _about_middle(rows: int, columns: int) -> tuple[Floats, Floats]:
    y, x = np.mgrid[:rows, :columns].astype(np.float64)
    return y - (rows - 1) / 2, x - (columns - 1) / 2


def _pattern(lab: Floats) -> Floats:
    """What stands out from the surroundings."""
    known = np.asarray(np.isfinite(lab).all(axis=-1))
    count = _sum_box(known.astype(np.float64)[..., None])
    total = _sum_box(np.where(known[..., None], lab, 0))
    return np.where(known[..., None], lab - total / np.maximum(count, 1), np.nan)


def _sum_box(values: Floats) -> Floats:
    reach = PATTERN_CELLS // 2
    padded = np.pad(values, [(reach + 1, reach), (reach + 1, reach), (0, 0)])
    sums = padded.cumsum(axis=0).cumsum(axis=1)
    k = PATTERN_CELLS
    return np.asarray(sums[k:, k:] - sums[:-k, k:] - sums[k:, :-k] + sums[:-k, :-k])


def _find_whole_cells(one: Floats, two: Floats) -> tuple[int, int]:
    """The shift in whole cells at which the patterns agree best; nought where none stands out."""
    one, two = np.nan_to_num(one), np.nan_to_num(two)  # no pattern where nothing is known
    best, chosen = _agree(one, two, 0, 0) + WORTH_A_SHIFT, (0, 0)
    for down in range(-FARTHEST, FARTHEST + 1):
        for across in range(-FARTHEST, FARTHEST + 1):
            if (agreement := _agree(one, two, down, across)) > best:
                best, chosen = agreement, (down, across)
    return chosen


def _agree(one: Floats, two: Floats, down: int, across: int) -> float:
    """Correlation of the patterns where they lie on each other, −1 to 1."""
    a, b = _overlap(one, two, down, across)
    aa, bb, ab = (float(np.einsum("rck,rck->", x, y)) for x, y in ((a, a), (b, b), (a, b)))
    return ab / math.sqrt(aa * bb) if aa and bb else 0.0


def _overlap(one: Floats, two: Floats, down: int, across: int) -> tuple[Floats, Floats]:
    """The two cut so that cell (i, j) of the one lies on (i, j) of the other, middles first."""
    cuts: list[tuple[slice, slice]] = []
    for n, m, shift in zip(one.shape[:2], two.shape[:2], (down, across), strict=True):
        offset = shift + (m - n) // 2
        start, end = max(0, -offset), min(n, m - offset)
        cuts.append((slice(start, end), slice(start + offset, end + offset)))
    return one[cuts[0][0], cuts[1][0]], two[cuts[0][1], cuts[1][1]]


def _strength(a: Floats, b: Floats) -> Floats:
    """How much stronger each channel (3,) of the second pattern is: robust to what changed."""
    ratio = np.ones(3)
    for _ in range(3):
        left = np.abs(b - ratio * a)
        weight = 1 / np.maximum(left, np.median(left, axis=0) + 1e-6)
        ratio = np.sum(weight * a * b, axis=0) / np.maximum(np.sum(weight * a * a, axis=0), 1e-9)
        ratio = np.clip(ratio, 0.25, 4)
    return np.asarray(ratio)


def _slopes(values: Floats) -> tuple[Floats, Floats]:
    """Change per cell downwards and across (r, c, 3), NaN at the rim."""
    down, across = np.full_like(values, np.nan), np.full_like(values, np.nan)
    down[1:-1] = (values[2:] - values[:-2]) / 2
    across[:, 1:-1] = (values[:, 2:] - values[:, :-2]) / 2
    return down, across
