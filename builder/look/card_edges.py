"""Where a card's patches end, and from that the grid they lie on, to a part of a cell."""

from __future__ import annotations

import numpy as np

from builder.look.card_search import Listed, Points, Pose
from builder.look.regions import Floats

_REACH, _COUNT = 0.72, 37  # pitches from a patch's middle that are looked along, in so many steps
_SIDEWAYS = (-0.22, -0.11, 0.0, 0.11, 0.22)
_LEAST_STEP = 0.05  # of cube-root light: a smaller one is no edge
_GAPS = (0.36, 0.64)  # pitches from a middle to its patch's edge: no gap is over 25 %
_ROUNDS = 3


def settle(seen: Floats, px_per_mm: float, listed: Listed, pose: Pose) -> tuple[Pose, int]:
    """The pose that lies best between the edges of the patches, and how many edges told it.

    Every edge says: middle of its patch, half a patch on. Steps and shifts of the grid and the one
    half width are the least squares over all of them. Rows or columns whose edges are not seen stay
    as they were. ``seen`` (h, w, 3) cube roots.
    """
    told = 0
    for _ in range(_ROUNDS):
        found_x = _find_edges(seen, px_per_mm, listed, pose, 0)
        found_y = _find_edges(seen, px_per_mm, listed, pose, 1)
        x, y = _fit(listed, found_x), _fit(listed, found_y)
        told = len(found_x) + len(found_y)
        # In pitches of the pose so far: a middle's place is steps + shift, to first order.
        pose = Pose(
            pose.middle + x[0] * pose.across + y[0] * pose.down,
            (1 + x[1]) * pose.across + y[1] * pose.down,
            x[2] * pose.across + (1 + y[2]) * pose.down,
            pose.score,
        )
    return pose, told


def _find_edges(
    seen: Floats, px_per_mm: float, listed: Listed, pose: Pose, axis: int
) -> list[tuple[int, int, float]]:
    """Patch, side (-1, 1) and distance in pitches from the patch's middle of each edge found."""
    along = np.linspace(0, _REACH, _COUNT)
    out = []
    for side in (-1, 1):
        steps = np.zeros((len(listed.places), len(_SIDEWAYS), _COUNT, 2))
        steps[..., axis] = side * along
        steps[..., 1 - axis] = np.array(_SIDEWAYS)[:, None]
        at = pose.places(listed.steps[:, None, None, :] + steps) * px_per_mm
        profile = _sample(seen, at).mean(axis=1)  # (n, count, 3)
        inside = np.median(profile[:, : int(0.5 * _COUNT * 0.36 / _REACH) + 1], axis=1)
        off = np.linalg.norm(profile - inside[:, None], axis=2)
        for patch, row in enumerate(off):
            beyond = np.flatnonzero(row > _LEAST_STEP)
            if not len(beyond):
                continue
            # Half way up to what comes next: a gap, a border or the next patch.
            first = int(beyond[0])
            top = float(row[first : first + 7].max())
            over = np.flatnonzero(row > top / 2)
            n = int(over[0])
            if n == 0:
                continue
            part = (top / 2 - row[n - 1]) / max(row[n] - row[n - 1], 1e-9)
            place = float(along[n - 1] + part * (along[1] - along[0]))
            if _GAPS[0] - 0.12 < place < _GAPS[1]:
                out.append((patch, side, side * place))
    return out


def _fit(listed: Listed, edges: list[tuple[int, int, float]]) -> Points:
    """(3,) shift, growth a column step and growth a row step of one coordinate, in pitches."""
    still = np.zeros(3)
    if len(edges) < 6 or len({side for _, side, _ in edges}) < 2:
        return still
    patch = np.array([edge[0] for edge in edges])
    side = np.array([edge[1] for edge in edges], dtype=np.float64)
    place = np.array([edge[2] for edge in edges])
    i, j = listed.steps[patch].T
    known = np.column_stack([np.ones(len(patch)), i, j, side])
    # A single row or column says nothing of how the next would lie.
    free = np.array([True, np.ptp(i) > 0, np.ptp(j) > 0, True])
    kept = np.ones(len(patch), dtype=bool)
    solved = np.zeros(4)
    for _ in range(4):
        if np.count_nonzero(kept) < 6:
            return still
        solved[free] = np.linalg.lstsq(known[kept][:, free], place[kept], rcond=None)[0]
        rest = np.abs(place - known @ solved)
        kept = rest <= max(0.02, 2.5 * float(np.median(rest)))
    return solved[:3]


def _sample(seen: Floats, at: Points) -> Points:
    height, width = seen.shape[:2]
    x = np.clip(at[..., 0] - 0.5, 0, width - 1.001)
    y = np.clip(at[..., 1] - 0.5, 0, height - 1.001)
    i, j = y.astype(int), x.astype(int)
    u, v = (x - j)[..., None], (y - i)[..., None]
    above = seen[i, j] * (1 - u) + seen[i, j + 1] * u
    below = seen[i + 1, j] * (1 - u) + seen[i + 1, j + 1] * u
    return np.asarray(above * (1 - v) + below * v)
