"""The four straight sides of a plate, to a part of a cell."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from builder.look.regions import Floats, Mask, open_up

Points = NDArray[np.float64]

# A plate fills its closest rectangle but for filed corners and a slanting cut.
_FILLED = 0.93
_SQUARE_DEG = 2.5  # a sheared blank's corners are this near to square
_STRAIGHT_MM = 0.4  # an edge point this near to a line lies on it
_SUPPORT = 0.6  # of a side's points have to
_CORNER_SHARE, _CORNER_MM = 0.1, 8.0  # corners are filed round: no line is drawn through them
_SEARCH_MM = 1.5
_STEP_MM = 0.1
_ALONG_MM = 1.0  # the edge is looked at in stretches of this length
_THICK_MM = 2.0  # where outline and lines differ by more, the outline is right: a notch, a tongue


def find_sides(mask: Mask, light: Floats, px_per_mm: float) -> Points | None:
    """(4, 2) corners of the plate, clockwise from the left top, in cells from the raster's left top
    corner; None where the region is no four-sided plate.

    Lines are laid through the places where ``light`` (h, w, 3) changes fastest.
    """
    box = _closest_rectangle(mask)
    if box is None or np.count_nonzero(mask) < _FILLED * _area(box):
        return None
    lines = []
    for corner, following in zip(box, np.roll(box, -1, axis=0), strict=True):
        line = _fit_side(corner, following, light, px_per_mm)
        if line is None:
            return None
        lines.append(line)
    corners = np.array([_cross(lines[n - 1], lines[n]) for n in range(4)])
    return corners if _is_square(corners) else None


def keep_between(mask: Mask, corners: Points, px_per_mm: float) -> Mask:
    """The region with its wavering edge drawn straight along a plate's sides; its own at the
    corners, and where it differs by more than a waver."""
    height, width = mask.shape
    x, y = np.arange(width) + 0.5, (np.arange(height) + 0.5)[:, None]
    inside = np.ones(mask.shape, dtype=bool)
    for (x0, y0), (x1, y1) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        inside &= (x1 - x0) * (y - y0) >= (y1 - y0) * (x - x0)
    edges = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    free = _corner_length(float(edges.min()), px_per_mm)
    at_corner = np.zeros(mask.shape, dtype=bool)
    for x0, y0 in corners:
        at_corner |= (x - x0) ** 2 < free**2 - (y - y0) ** 2
    thick = open_up(inside ^ mask, max(1, round(_THICK_MM * px_per_mm / 2)))
    return np.asarray(np.where(thick | at_corner, mask & (inside | thick), inside))


def _corner_length(side: float, px_per_mm: float) -> float:
    return max(_CORNER_SHARE * side, min(_CORNER_MM * px_per_mm, 0.25 * side))


def _closest_rectangle(mask: Mask) -> Points | None:
    """(4, 2) the smallest rectangle round a region, clockwise from the left top.

    One side lies on a side of the hull. Source: Freeman and Shapira, Determining the
    Minimum-Area Encasing Rectangle for an Arbitrary Closed Curve (1975).
    """
    hull = _hull(mask)
    edges = np.roll(hull, -1, axis=0) - hull
    long = np.hypot(*edges.T) > 0
    angles = np.unique(np.arctan2(edges[long, 1], edges[long, 0]) % (np.pi / 2))
    best, least = None, np.inf
    for angle in angles:
        turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
        turned = hull @ turn.T
        low, high = turned.min(axis=0), turned.max(axis=0)
        area = float(np.prod(high - low))
        if area < least:
            ring = np.array([low, (high[0], low[1]), high, (low[0], high[1])])
            best, least = ring @ turn, area
    return None if best is None else _from_left_top(best)


def _from_left_top(ring: Points) -> Points:
    """Corners clockwise (y down), the first the one whose side leads to the right."""
    forward = np.roll(ring, -1, axis=0) - ring
    return np.roll(ring, -int(np.argmax(forward[:, 0] - np.abs(forward[:, 1]))), axis=0)


def _hull(mask: Mask) -> Points:
    """Corners of the convex hull of a region's cells, clockwise with y down.

    Source: Andrew, Another Efficient Algorithm for Convex Hulls in Two Dimensions (1979).
    """
    rows = np.flatnonzero(mask.any(axis=1))
    first = mask[rows].argmax(axis=1)
    last = mask.shape[1] - mask[rows, ::-1].argmax(axis=1)
    ends = {(int(x), int(y) + k) for y, f, e in zip(rows, first, last, strict=True)
            for x in (f, e) for k in (0, 1)}  # fmt: skip
    points = sorted(ends)
    halves = []
    for order in (points, points[::-1]):
        half: list[tuple[int, int]] = []
        for x, y in order:
            while len(half) > 1:
                (ax, ay), (bx, by) = half[-2], half[-1]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                    break
                half.pop()
            half.append((x, y))
        halves += half[:-1]
    return np.array(halves, dtype=np.float64)


def _fit_side(a: Points, b: Points, light: Floats, px_per_mm: float) -> Points | None:
    """(2, 2) two points of the line on which the edge near the line a–b lies, None if none does."""
    length = float(np.hypot(*(b - a)))
    along = (b - a) / length
    outward = np.array([along[1], -along[0]])
    free = _corner_length(length, px_per_mm)
    stretch = max(1.0, _ALONG_MM * px_per_mm)
    count = int((length - 2 * free) / stretch)
    if count < 5:
        return None
    places = free + (np.arange(count) + 0.5) * (length - 2 * free) / count
    off = np.arange(-_SEARCH_MM, _SEARCH_MM + _STEP_MM / 2, _STEP_MM) * px_per_mm
    steep = np.zeros((count, len(off) - 2))
    profile = np.zeros((count, len(off), 3))
    for shift in np.linspace(-0.5, 0.5, 5, endpoint=False) + 0.1:
        at = a + (places + shift * stretch)[:, None, None] * along + off[:, None] * outward
        profile += _sample(light, at) / 5
    steep = np.sqrt(((profile[:, 2:] - profile[:, :-2]) ** 2).sum(axis=2))
    found = _peak(steep, off[1:-1])
    fit = np.array([0.0, float(np.median(found))])
    for _ in range(8):
        rest = found - np.polyval(fit, places)
        spread = max(0.1 * px_per_mm, 1.5 * float(np.median(np.abs(rest))))
        weight = np.clip(1 - (rest / (3 * spread)) ** 2, 0, None)  # Tukey's, square root
        if np.count_nonzero(weight) < 3:
            return None
        fit = np.polyfit(places, found, 1, w=weight)
    rest = np.abs(found - np.polyval(fit, places))
    if np.mean(rest < _STRAIGHT_MM * px_per_mm) < _SUPPORT:
        return None
    ends = np.array([0.0, length])
    return np.asarray(a + ends[:, None] * along + np.polyval(fit, ends)[:, None] * outward)


def _peak(steep: NDArray[Any], off: NDArray[Any]) -> Points:
    """(n,) where each row is steepest: the middle of the upper half of its highest peak."""
    top = steep.argmax(axis=1)
    out = np.empty(len(steep))
    for row, at in enumerate(top):
        half, low, high = steep[row, at] / 2, at, at
        while low > 0 and steep[row, low - 1] > half:
            low -= 1
        while high < len(off) - 1 and steep[row, high + 1] > half:
            high += 1
        weight = steep[row, low : high + 1] - half * 0.999
        out[row] = weight @ off[low : high + 1] / weight.sum()
    return out


def _sample(light: Floats, at: Points) -> Points:
    """Values at points (…, 2) in cells from the raster's corner, a blend of four cells."""
    height, width = light.shape[:2]
    x = np.clip(at[..., 0] - 0.5, 0, width - 1.001)
    y = np.clip(at[..., 1] - 0.5, 0, height - 1.001)
    i, j = y.astype(int), x.astype(int)
    u, v = (x - j)[..., None], (y - i)[..., None]
    above = light[i, j] * (1 - u) + light[i, j + 1] * u
    below = light[i + 1, j] * (1 - u) + light[i + 1, j + 1] * u
    return np.asarray(above * (1 - v) + below * v)


def _cross(one: Points, two: Points) -> Points:
    """Where two lines meet, each given by two of its points."""
    p, r = one[0], one[1] - one[0]
    q, s = two[0], two[1] - two[0]
    t = ((q - p)[0] * s[1] - (q - p)[1] * s[0]) / (r[0] * s[1] - r[1] * s[0])
    return np.asarray(p + t * r)


def _is_square(corners: Points) -> bool:
    sides = np.roll(corners, -1, axis=0) - corners
    ways = np.degrees(np.arctan2(sides[:, 1], sides[:, 0]))
    turns = (np.roll(ways, -1) - ways) % 360
    return bool((np.abs(turns - 90) < _SQUARE_DEG).all())


def _area(ring: Points) -> float:
    x, y = ring.T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2
