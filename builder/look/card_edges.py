"""Where a card's patches end, and from that the grid they lie on, to a part of a cell."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from builder.look.card_search import Listed, Points, Pose
from builder.look.regions import Floats

_REACH, _COUNT = 0.72, 37  # pitches from a patch's middle that are looked along, in so many steps
_SIDEWAYS = (-0.22, -0.11, 0.0, 0.11, 0.22)
_LEAST_STEP = 0.05  # of lightness: a smaller one is no edge
_GAPS = (0.36, 0.64)  # pitches from a middle to its patch's edge: no gap is over 25 %
_ROUNDS = 6
_AHEAD = 7  # steps beyond its beginning within which an edge has its height
_PASSES, _TRUE_TO = 12, 0.02  # pitches: edges further off than this count ever less
#: Of the normal equations: keeps them solvable where edges all lie alike, and changes nothing else.
_HARDLY = 1e-12


@dataclass(frozen=True, eq=False)
class Settled:
    """A ``pose`` laid between the edges of patches; ``told``: share of all edges along the axis
    less well seen that agree with it; ``half`` a patch's width and height, in pitches, 0 where
    none was seen."""

    pose: Pose
    told: float
    half: tuple[float, float]

    def size_mm(self, listed: Listed) -> tuple[float, float]:
        """Width and height from outer edge to outer edge of the patches."""
        return (
            float((listed.columns - 1 + 2 * self.half[0]) * np.hypot(*self.pose.across)),
            float((listed.rows - 1 + 2 * self.half[1]) * np.hypot(*self.pose.down)),
        )


def settle(seen: Floats, px_per_mm: float, listed: Listed, pose: Pose) -> Settled:
    """The pose that lies best between the edges of the patches.

    Every edge says: middle of its patch, half a patch on. Steps and shifts of the grid and the one
    half width are the least squares over all of them. Rows or columns whose edges are not seen stay
    as they were. ``seen`` (h, w, 3) lightnesses.
    """
    told, half = 0.0, (0.0, 0.0)
    for _ in range(_ROUNDS):
        found_x = _find_edges(seen, px_per_mm, listed, pose, 0)
        found_y = _find_edges(seen, px_per_mm, listed, pose, 1)
        x, y = _fit(listed, found_x), _fit(listed, found_y)
        half = float(x[3]), float(y[3])
        told = min(_count(listed, found_x, x), _count(listed, found_y, y)) / (
            2 * len(listed.places)
        )
        # In pitches of the pose so far: a middle's place is steps + shift, to first order.
        pose = Pose(
            pose.middle + x[0] * pose.across + y[0] * pose.down,
            (1 + x[1]) * pose.across + y[1] * pose.down,
            x[2] * pose.across + (1 + y[2]) * pose.down,
            pose.score,
        )
        pose = _square_up(listed, pose)
        if not (x.any() or y.any()):
            break  # no edges are seen, and will not be
    return Settled(pose, told, half)


def _count(listed: Listed, edges: list[tuple[int, int, float]], fit: Points) -> int:
    """How many edges agree with a fit; none if it is none."""
    if not fit[3]:
        return 0
    off = [
        place - (fit[0] + fit[1:3] @ listed.steps[patch] + fit[3] * side)
        for patch, side, place in edges
    ]
    return int(np.count_nonzero(np.abs(off) < 2 * _TRUE_TO))


def _square_up(listed: Listed, pose: Pose) -> Pose:
    """A single row or column has no direction of its own across: it is at right angles."""
    if listed.rows == 1:
        turned = np.array([-pose.across[1], pose.across[0]]) / np.hypot(*pose.across)
        return replace(pose, down=turned * np.hypot(*pose.down))
    if listed.columns == 1:
        turned = np.array([pose.down[1], -pose.down[0]]) / np.hypot(*pose.down)
        return replace(pose, across=turned * np.hypot(*pose.across))
    return pose


def goes_on(seen: Floats, px_per_mm: float, listed: Listed, settled: Settled) -> bool:
    """Whether there is another row or column of patches beside the grid: then it is not the grid.

    Beside it lie the card's border and paper; what ends on both sides just where the patches do is
    one of them.
    """
    wide, high = listed.columns, listed.rows
    for axis, count, across in ((0, wide, high), (1, high, wide)):
        half = settled.half[1 - axis]
        if not half:
            continue
        for end in (-1, count):
            places = np.zeros((across, 2))
            places[:, axis], places[:, 1 - axis] = end, np.arange(across)
            beside = replace(listed, places=places)
            at = settled.pose.places(beside.steps) * px_per_mm
            if (at < 0).any() or (at >= (seen.shape[1], seen.shape[0])).any():
                continue
            edges = _find_edges(seen, px_per_mm, beside, settled.pose, 1 - axis)
            right = sum(abs(abs(place) - half) < _TRUE_TO * 2 for _, _, place in edges)
            if right > 1.5 * across:
                return True
    return False


def _find_edges(
    seen: Floats, px_per_mm: float, listed: Listed, pose: Pose, axis: int
) -> list[tuple[int, int, float]]:
    """Patch, side (-1, 1) and distance in pitches from the patch's middle of each edge found."""
    along = np.linspace(0, _REACH, _COUNT)
    rows = np.arange(len(listed.places))
    out: list[tuple[int, int, float]] = []
    for side in (-1, 1):
        steps = np.zeros((len(listed.places), len(_SIDEWAYS), _COUNT, 2))
        steps[..., axis] = side * along
        steps[..., 1 - axis] = np.array(_SIDEWAYS)[:, None]
        at = pose.places(listed.steps[:, None, None, :] + steps) * px_per_mm
        profile = _sample(seen, at).mean(axis=1)  # (n, count, 3)
        inside = np.median(profile[:, : int(0.5 * _COUNT * 0.36 / _REACH) + 1], axis=1)
        off = np.linalg.norm(profile - inside[:, None], axis=2)
        # Half way up to what comes next: a gap, a border or the next patch.
        first = (off > _LEAST_STEP).argmax(axis=1)
        seen_edge = off[rows, first] > _LEAST_STEP
        ahead = np.minimum(first[:, None] + np.arange(_AHEAD), _COUNT - 1)
        half = np.take_along_axis(off, ahead, axis=1).max(axis=1) / 2
        n = (off > half[:, None]).argmax(axis=1)
        before, after = off[rows, n - 1], off[rows, n]
        part = (half - before) / np.maximum(after - before, 1e-9)
        place = along[n - 1] + part * (along[1] - along[0])
        good = seen_edge & (n > 0) & (place > _GAPS[0] - 0.12) & (place < _GAPS[1])
        out += [(int(patch), side, side * float(place[patch])) for patch in np.flatnonzero(good)]
    return out


def _fit(listed: Listed, edges: list[tuple[int, int, float]]) -> Points:
    """(4,) shift, growth a column step, growth a row step of one coordinate, and half a patch; in
    pitches."""
    still = np.zeros(4)
    if len(edges) < 6 or len({side for _, side, _ in edges}) < 2:
        return still
    patch = np.array([edge[0] for edge in edges])
    side = np.array([edge[1] for edge in edges], dtype=np.float64)
    place = np.array([edge[2] for edge in edges])
    i, j = listed.steps[patch].T
    known = np.column_stack([np.ones(len(patch)), i, j, side])
    # A single row or column says nothing of how the next would lie.
    free = np.array([True, np.ptp(i) > 0, np.ptp(j) > 0, True])
    weight = np.ones(len(patch))
    solved = np.zeros(4)
    columns = known[:, free]
    for _ in range(_PASSES):
        # Where a patch and its border are alike, the edge found is another's: it must not pull.
        weighted = columns * (weight**2)[:, None]
        normal = weighted.T @ columns
        normal[np.diag_indices_from(normal)] += _HARDLY * np.trace(normal)
        solved[free] = np.linalg.solve(normal, weighted.T @ place)
        weight = 1 / (1 + ((place - known @ solved) / _TRUE_TO) ** 2)
    return solved


def _sample(seen: Floats, at: Points) -> Points:
    height, width = seen.shape[:2]
    x = np.clip(at[..., 0] - 0.5, 0, width - 1.001)
    y = np.clip(at[..., 1] - 0.5, 0, height - 1.001)
    i, j = y.astype(int), x.astype(int)
    u, v = (x - j)[..., None], (y - i)[..., None]
    cells, first = seen.reshape(-1, seen.shape[2]), i * width + j
    above, below = (
        cells.take(first + step, axis=0) * (1 - u) + cells.take(first + (step + 1), axis=0) * u
        for step in (0, width)
    )
    return np.asarray(above * (1 - v) + below * v)
