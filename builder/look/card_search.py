"""Looking for a card's patches in its slot: which way it lies, and about where.

Seen and listed colours are compared as lightnesses of each channel, which noise and the eye count
alike in darks and lights. A lattice of patch middles is tried at every place; where it fits, the
colours seen rise and fall with those listed in each channel, whatever the lamp and the camera's
curve, and each patch is one colour about its middle.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from builder.look.regions import Floats

Points = NDArray[np.float64]

_SMALL_ANGLES = (-9.0, -6.0, -3.0, 0.0, 3.0, 6.0, 9.0)
_PART = 0.2  # of a pitch: the step between the places tried, and how far patches are averaged
_GAP = 0.1  # of a pitch, where only the outer size is known
# Where no size is known: a card's longer side fills nearly half of its slot at least.
_LEAST_LONG, _LEAST_PITCH_MM, _GROWTH = 0.42, 3.0, 1.08
_LEAST_CONTRAST = 0.15  # seen, of the variance listed
_NO_LIGHT = 0.004  # linear; a camera may well see some there
_KEPT = 3  # of each way round

# Linear sRGB from XYZ (D65, Y = 1). Source: IEC 61966-2-1:1999.
_FROM_XYZ = np.array(
    [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]]
)
_WHITE = np.array([0.95047, 1.0, 1.08883])


@dataclass(frozen=True, eq=False)
class Listed:
    """The card as listed: ``rows``, ``columns``; ``places`` (n, 2) column and row of each patch
    listed, from 0; ``colours`` (n, 3) lightnesses of its
    linear sRGB; ``beyond`` (n, 3) where that is none, the colour lying outside sRGB."""

    rows: int
    columns: int
    places: Points
    colours: Points
    beyond: NDArray[np.bool_]

    @property
    def steps(self) -> Points:
        """(n, 2) each patch's middle from the grid's middle, in pitches, right and down."""
        return self.places - ((self.columns - 1) / 2, (self.rows - 1) / 2)


@dataclass(frozen=True, eq=False)
class Pose:
    """How a grid lies: its ``middle`` mm from the raster's left top corner, the steps ``across``
    and ``down`` mm from one patch to the next in a row and in a column, and how well colours agree,
    ``score`` up to 1."""

    middle: Points
    across: Points
    down: Points
    score: float = 0.0

    @property
    def turned(self) -> int:
        """0, 90, 180 or 270: how the list's rows run, clockwise from the left top."""
        degrees = np.degrees(np.arctan2(self.across[1], self.across[0]))
        return int(round(float(degrees) / 90) * 90) % 360

    def places(self, steps: Points) -> Points:
        """Millimetres of places given in pitches from the middle, (…, 2) → (…, 2)."""
        return np.asarray(self.middle + steps[..., :1] * self.across + steps[..., 1:] * self.down)


class Sums:
    """Sums of lightnesses (h, w, 3) from the left top corner on, so that any box's mean and spread
    take four look-ups.

    Source: Crow, Summed-Area Tables for Texture Mapping (1984).
    """

    def __init__(self, seen: Floats) -> None:
        values = np.concatenate([seen, (seen.astype(np.float64) ** 2).sum(2, keepdims=True)], 2)
        self.table = np.pad(values.cumsum(0, dtype=np.float64).cumsum(1), ((1, 0), (1, 0), (0, 0)))
        self.height, self.width = seen.shape[:2]

    def look(self, x: NDArray[np.int64], y: NDArray[np.int64], half: int) -> tuple[Points, Points]:
        """Mean (…, 3) and variance (…) of the boxes of 2 ``half`` + 1 cells about (x, y)."""
        t, low_x, low_y = self.table, x - half, y - half
        high_x, high_y = x + half + 1, y + half + 1
        total = t[high_y, high_x] - t[low_y, high_x] - t[high_y, low_x] + t[low_y, low_x]
        total = total / (2 * half + 1) ** 2
        mean = total[..., :3]
        return mean, np.maximum(total[..., 3] - (mean**2).sum(axis=-1), 0)


def lighten(light: NDArray[Any]) -> NDArray[Any]:
    """Linear light, 1 for white, → a hundredth of L* about, elementwise; negative light is none.

    Source: CIE 15:2004, section 8.2.1.
    """
    t = np.clip(light, 0, None)
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.asarray(1.16 * f - 0.16)


def list_card(
    rows: int, columns: int, patches: Sequence[tuple[int, int, Sequence[float]]]
) -> Listed:
    """The card of ``patches``: row and column from 0, and L*a*b* (D65)."""
    places = np.array([(column, row) for row, column, _ in patches], dtype=np.float64)
    lab = np.array([tuple(lab) for _, _, lab in patches], dtype=np.float64)
    fy = (lab[:, 0] + 16) / 116
    f = np.stack([fy + lab[:, 1] / 500, fy, fy - lab[:, 2] / 200], axis=-1)
    t = np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29))  # CIE 15:2004, 8.2.1
    rgb = (t * _WHITE) @ _FROM_XYZ.T
    return Listed(rows, columns, places, lighten(rgb), rgb < _NO_LIGHT)


def search(
    sums: Sums, px_per_mm: float, listed: Listed, size_mm: tuple[float, float] | None
) -> list[Pose]:
    """The likeliest poses, best first, a few of each way round."""
    found: list[Pose] = []
    ways: dict[int, list[Pose]] = {0: [], 90: [], 180: [], 270: []}
    slot_mm = max(sums.width, sums.height) / px_per_mm
    for step_x, step_y in _pitches(listed, size_mm, slot_mm):
        for way in ways:
            for small in _SMALL_ANGLES:
                ways[way] += _try_places(sums, px_per_mm, listed, step_x, step_y, way + small)
    for poses in ways.values():
        poses.sort(key=lambda pose: -pose.score)
        kept: list[Pose] = []
        for pose in poses:
            apart = 0.5 * min(np.hypot(*pose.across), np.hypot(*pose.down))
            if all(np.hypot(*(pose.middle - other.middle)) > apart for other in kept):
                kept.append(pose)
            if len(kept) == _KEPT:
                break
        found += kept
    return sorted(found, key=lambda pose: -pose.score)


def improve(sums: Sums, px_per_mm: float, listed: Listed, pose: Pose, free: bool) -> Pose:
    """The pose moved, turned and (where ``free``) scaled by ever smaller steps while it gets
    better."""
    best = replace(pose, score=_score_one(sums, px_per_mm, listed, pose))
    reach = max(listed.rows, listed.columns) / 2
    for part in (0.16, 0.08, 0.04):
        for _ in range(6):
            better = best
            for other in _neighbours(best, part, reach, free):
                score = _score_one(sums, px_per_mm, listed, other)
                if score > better.score:
                    better = replace(other, score=score)
            if better is best:
                break
            best = better
    return best


def _pitches(
    listed: Listed, size_mm: tuple[float, float] | None, slot_mm: float
) -> Iterator[tuple[float, float]]:
    counts = (listed.columns, listed.rows)
    if size_mm is not None:
        x, y = (s / (n - (_GAP if n > 1 else 0)) for s, n in zip(size_mm, counts, strict=True))
        yield x, y
        return
    pitch = max(_LEAST_PITCH_MM, _LEAST_LONG * slot_mm / max(counts))
    while pitch * max(counts) < 1.02 * slot_mm:
        yield pitch, pitch
        pitch *= _GROWTH


def _try_places(
    sums: Sums, px_per_mm: float, listed: Listed, step_x: float, step_y: float, degrees: float
) -> list[Pose]:
    angle = np.radians(degrees)
    across = step_x * np.array([np.cos(angle), np.sin(angle)])
    down = step_y * np.array([-np.sin(angle), np.cos(angle)])
    offsets = (listed.steps[:, :1] * across + listed.steps[:, 1:] * down) * px_per_mm
    least = min(step_x, step_y) * px_per_mm
    half = max(1, int(_PART * least))
    low = -offsets.min(axis=0) + half
    high = (sums.width, sums.height) - offsets.max(axis=0) - half - 2
    if (high <= low).any():
        return []
    step = max(1.0, _PART * least)
    xs, ys = (
        np.arange(a, b + 0.01, min(step, max(b - a, 1.0))) for a, b in zip(low, high, strict=True)
    )
    middles = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 1, 2)
    at = np.floor(middles + offsets).astype(np.int64)
    scores = _agree(*sums.look(at[..., 0], at[..., 1], half), listed.colours)
    best = np.argsort(-scores)[: 2 * _KEPT]
    return [Pose(middles[n, 0] / px_per_mm, across, down, float(scores[n])) for n in best]


def _score_one(sums: Sums, px_per_mm: float, listed: Listed, pose: Pose) -> float:
    at = np.floor(pose.places(listed.steps) * px_per_mm).astype(np.int64)
    least = min(np.hypot(*pose.across), np.hypot(*pose.down)) * px_per_mm
    half = max(1, int(0.27 * least))
    if (at < half).any() or (at >= np.array([sums.width, sums.height]) - half - 1).any():
        return -1.0
    mean, variance = sums.look(at[:, 0], at[:, 1], half)
    return float(_agree(mean[None], variance[None], listed.colours)[0])


def _agree(mean: Points, variance: Points, colours: Points) -> Points:
    """(p,) the share of what is seen (p, n, 3) that the listed colours (n, 3) account for, each
    channel by a gain and a shift of its own; unevenness within patches, (p, n), accounts for
    nothing. Plain ground accounts for everything and is no card: a least contrast is asked for."""
    true = colours - colours.mean(axis=0)
    least = _LEAST_CONTRAST * float((true**2).sum())
    true = true / np.maximum(np.linalg.norm(true, axis=0), 1e-9)
    off = mean - mean.mean(axis=1, keepdims=True)
    together = np.maximum(np.einsum("pnc,nc->pc", off, true), 0)
    whole = (off**2).sum(axis=(1, 2)) + variance.sum(axis=1)
    return np.asarray((together**2).sum(axis=1) / np.maximum(whole, least))


def _neighbours(pose: Pose, part: float, reach: float, free: bool) -> Iterator[Pose]:
    for sign in (part, -part):
        yield replace(pose, middle=pose.middle + sign * pose.across)
        yield replace(pose, middle=pose.middle + sign * pose.down)
        c, s = np.cos(sign / reach), np.sin(sign / reach)
        turn = np.array([[c, -s], [s, c]])
        yield replace(pose, across=turn @ pose.across, down=turn @ pose.down)
        if free:
            grown = 1 + sign / reach
            yield replace(pose, across=grown * pose.across)
            yield replace(pose, down=grown * pose.down)
            yield replace(pose, across=grown * pose.across, down=grown * pose.down)
