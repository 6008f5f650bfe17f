"""Which cells of a surface are of which colour, and what each colour is."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from builder.measure.arrays import Floats, Labels, Mask
from builder.measure.shading import to_shading
from builder.measure.spaces import xyz_to_lab

MOST_COLOURS = 5
# Two colours this many times as far apart as noise and grain spread the cells of a calm place, and
# each cell tells by itself which it is; else by its calm window. The spread is over three axes:
# along the one between the colours it is about half, so a mistake is one of four deviations.
APART = 4.0
# A colour's mean comes from cells whose neighbours are all of that colour, where those are at least
# this part of its cells; where the pattern is finer than that, from the calmest of them.
CORE_PART = 0.05
# Of them, those within this many times the middling distance from its middle: specks too fine to
# stand as a colour draw a tail to one side, which the mean must not follow...
TRIM = 2.0
# ...but all within this distance, in shading coordinates: lossy compression alone sets the colour
# of a dark even surface in steps of one to two units.
LEAST_REACH = 2.5
_ROUNDS = 5  # of trimming, after which the middle has long stopped moving
_ENOUGH = 4096  # cells to find the middle by


@dataclass(frozen=True, eq=False)
class Surface:
    """``read`` (r, c) which cells are; of those, n, ``xyz`` (n, 3) and ``weight`` (n,); ``own``
    (n, 3) and ``smooth`` (n, 3), their colours and those of their calmest windows in shading
    coordinates; ``unrest`` (n,) of the window round each; ``rest`` that of a calm place."""

    read: Mask
    xyz: Floats
    weight: Floats
    own: Floats
    smooth: Floats
    unrest: Floats
    rest: float


def share_of_each(label: Labels, weight: Floats) -> Floats:
    """The part (m,) of all that is labelled, weighted (r, c), that each label from 0 has."""
    has = label >= 0
    share = np.bincount(label[has], weight[has])
    return np.asarray(share / share.sum())


def keep_largest(label: Labels, weight: Floats, least: float) -> Labels:
    """Labels (r, c) numbered anew from 0, largest share first; -1 for those of less than ``least``
    of the whole and beyond MOST_COLOURS. The largest is always kept."""
    share = share_of_each(label, weight)
    order = np.argsort(-share, kind="stable")
    order = order[(share[order] >= least) | (np.arange(len(order)) == 0)][:MOST_COLOURS]
    rank = np.full(len(share) + 1, -1, dtype=np.int64)  # the last is what label -1 turns to
    rank[order] = np.arange(len(order))
    return np.asarray(rank[label])


def assign_cells(surface: Surface, xyz: Floats) -> Labels:
    """Which of the colours ``xyz`` (m, 3) each cell is, (r, c): the one that wins against each
    other; -1 for cells that are not read.

    Between two the border is their half-and-half mixture in linear light, so that cells half on
    the one and half on the other come out even.
    """
    colours = to_shading(xyz_to_lab(xyz))
    wins = np.zeros((len(surface.own), len(xyz)), dtype=np.int64)
    for p, q in combinations(range(len(xyz)), 2):
        way = colours[q] - colours[p]
        border = to_shading(xyz_to_lab((xyz[p] + xyz[q]) / 2))
        far = np.linalg.norm(way) >= APART * surface.rest
        is_q = (surface.own if far else surface.smooth) @ way > border @ way
        wins[:, q] += is_q
        wins[:, p] += ~is_q
    label = np.full(surface.read.shape, -1, dtype=np.int64)
    label[surface.read] = np.argmax(wins, axis=-1)
    return label


def find_core(label: Labels) -> Mask:
    """Cells (r, c) whose neighbours, so far as they are read, are all of their own label."""
    far = np.pad(label, 1, constant_values=-1)
    core = label >= 0
    rows, columns = label.shape
    for i in range(3):
        for j in range(3):
            other = far[i : i + rows, j : j + columns]
            core = core & ((other == label) | (other < 0))
    return core


def mean_of_each(surface: Surface, label: Labels) -> Floats:
    """The mean XYZ (m, 3), in linear light, of each label: of its core, or where that is less than
    CORE_PART of it, of the same part of its cells that lie calmest; in either case without the
    tails of colour that specks draw."""
    core, label = find_core(label)[surface.read], label[surface.read]
    means = np.empty((int(label.max()) + 1, 3))
    for k in range(len(means)):
        own = np.flatnonzero(label == k)
        use = own[core[own]]
        if len(use) < CORE_PART * len(own):
            use = own[surface.unrest[own] <= np.quantile(surface.unrest[own], CORE_PART)]
        use = use[find_body(surface.smooth[use, 1], surface.smooth[use, 2])]
        weight = surface.weight[use]
        means[k] = weight @ surface.xyz[use] / weight.sum()
    return means


def find_body(a: Floats, b: Floats) -> Mask:
    """Which of the points ``a``, ``b``, (n,) each, n ≥ 1, lie about their most crowded place, (n,).

    Mean shift with a flat kernel. Only colour counts, not light: the mean is to be over all the
    light and dark of a grain, but not over the specks in it.
    Source: Cheng, IEEE Transactions on Pattern Analysis and Machine Intelligence 17(8):790-799
    (1995).
    """
    some = slice(None, None, max(1, len(a) // _ENOUGH))
    few_a, few_b = a[some], b[some]
    middle = float(np.median(few_a)), float(np.median(few_b))
    distance = np.hypot(few_a - middle[0], few_b - middle[1])
    reach = max(LEAST_REACH, TRIM * float(np.median(distance)))
    for _ in range(_ROUNDS):
        near = np.hypot(few_a - middle[0], few_b - middle[1]) <= reach
        middle = float(few_a[near].mean()), float(few_b[near].mean())
    return np.asarray(np.hypot(a - middle[0], b - middle[1]) <= reach)
