"""From a flat sheet's millimetres to a picture's pixels and back: perspective, and one term of a
lens that bends straight lines.

A place goes through a plane's matrix (Heckbert 1989, 2.2.2) to where a perfect lens would show it,
and from there outward or inward along the line to the picture's middle: r' = r (1 + k r²), the
first radial term of Brown 1971, Close-Range Camera Calibration, with r a fraction of the picture's
half diagonal.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from builder.look.perspective import carry
from builder.smooth import spread

Floats = NDArray[np.float64]

_STEPS = 15
_TURNS = 12  # of the inverse; each makes the error smaller by some 3 k r²
_MOST_BEND = 0.3  # beyond a fish-eye's, r' no longer grows with r
_UNIT_MM = 100.0
_SURE = 3.0  # a bend smaller than that many of its standard errors is no bend


@dataclass(frozen=True, eq=False)
class Lens:
    """``plane`` (3, 3): millimetres of the sheet, homogeneous → pixels of a perfect lens; ``bend``
    k; ``middle`` of the picture and ``reach``, its half diagonal, pixels."""

    plane: Floats = field(repr=False)
    bend: float
    middle: Floats = field(repr=False)
    reach: float

    def to_picture(self, mm: Floats) -> Floats:
        """Millimetres (…, 2) → pixels (…, 2)."""
        ideal = carry(self.plane, np.asarray(mm, dtype=np.float64))
        if not self.bend:
            return ideal
        return _bend((ideal - self.middle) / self.reach, self.bend) * self.reach + self.middle

    def over(
        self, left_top: Floats, size: Floats, height: int, width: int
    ) -> tuple[Floats, Floats]:
        """Pixels x and y, (height, width) each, of the middles of so many cells of a box of the
        sheet, from its ``left_top`` and of the ``size``, mm."""
        x, y = spread(lambda at: self.to_picture(left_top + size * at), height, width)
        return x, y

    def to_sheet(self, px: Floats) -> Floats:
        """Pixels (…, 2) → millimetres (…, 2)."""
        seen = (np.asarray(px, dtype=np.float64) - self.middle) / self.reach
        off = seen
        for _ in range(_TURNS if self.bend else 0):
            off = seen / (1.0 + self.bend * (off**2).sum(axis=-1, keepdims=True))
        return carry(np.linalg.inv(self.plane), off * self.reach + self.middle)

    def enlarged(self, times: int) -> Lens:
        """The same in a picture that is so many times larger."""
        larger = np.diag([times, times, 1.0])
        return Lens(larger @ self.plane, self.bend, self.middle * times, self.reach * times)


def fit_lens(
    mm: Floats, px: Floats, size: tuple[int, int], weights: Floats | None = None, bent: bool = False
) -> Lens:
    """The lens that leads ``mm`` (n, 2) to ``px`` (n, 2) in a picture of ``size`` (width, height),
    by weighted least squares of the pixels' distances, n at least 4.

    Where ``bent``, with the radial term, kept only if it stands out of its own standard error:
    needs places well inside as well as near the corners. Raises ValueError where the places
    decide nothing.
    """
    middle = np.array(size, dtype=np.float64) / 2
    reach = math.hypot(*size) / 2
    start = mm.mean(axis=0)
    there, here = (mm - start) / _UNIT_MM, (px - middle) / reach
    weight = np.ones(len(mm)) if weights is None else weights
    numbers = np.append(_first_plane(there, here), 0.0)
    solved, spread = _refine(numbers, there, here, weight, 8)
    if bent:
        with_bend, spread = _refine(solved, there, here, weight, 9)
        if _SURE * spread < abs(with_bend[8]) < _MOST_BEND:
            solved = with_bend
    to_unit = np.array([[1.0, 0.0, -start[0]], [0.0, 1.0, -start[1]], [0.0, 0.0, _UNIT_MM]])
    to_px = np.array([[reach, 0.0, middle[0]], [0.0, reach, middle[1]], [0.0, 0.0, 1.0]])
    plane = to_px @ np.append(solved[:8], 1.0).reshape(3, 3) @ to_unit
    return Lens(plane / plane[2, 2], float(solved[8]), middle, reach)


def map_square(corners: Floats) -> Floats:
    """(3, 3): the unit square, homogeneous → four ``corners`` (4, 2), clockwise from its left top.
    Raises ValueError where those lie in a line."""
    unit = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)])
    try:
        return np.append(np.linalg.solve(*_plane_equations(unit, corners)), 1.0).reshape(3, 3)
    except np.linalg.LinAlgError:
        raise ValueError("the places decide no plane") from None


def _bend(off: Floats, k: float) -> Floats:
    return np.asarray(off * (1.0 + k * (off[..., 0] ** 2 + off[..., 1] ** 2))[..., None])


def _first_plane(there: Floats, here: Floats) -> Floats:
    """(8,): the plane's numbers, by least squares."""
    return np.asarray(np.linalg.lstsq(*_plane_equations(there, here), rcond=None)[0])


def _plane_equations(there: Floats, here: Floats) -> tuple[Floats, Floats]:
    """(2 n, 8) and (2 n,): the linear equations of Heckbert 1989, 2.2.2."""
    (u, v), (x, y) = there.T, here.T
    one, nought = np.ones_like(u), np.zeros_like(u)
    rows = np.concatenate(
        [
            np.column_stack([u, v, one, nought, nought, nought, -u * x, -v * x]),
            np.column_stack([nought, nought, nought, u, v, one, -u * y, -v * y]),
        ]
    )
    return rows, np.concatenate([x, y])


def _refine(
    numbers: Floats, there: Floats, here: Floats, weight: Floats, free: int
) -> tuple[Floats, float]:
    """The first ``free`` of the nine numbers by Gauss and Newton; and the last's standard error."""
    root = np.sqrt(weight)[:, None]
    spread = math.inf
    for _ in range(_STEPS):
        seen, slopes = _show(numbers, there)
        left = ((here - seen) * root).ravel()
        columns = (slopes[..., :free] * root[..., None]).reshape(-1, free)
        try:
            change, *_ = np.linalg.lstsq(columns, left, rcond=None)
            cofactor = np.linalg.pinv(columns.T @ columns)
        except np.linalg.LinAlgError:
            raise ValueError("the places decide no plane") from None
        numbers = numbers.copy()
        numbers[:free] += change
        spare = max(1, len(left) - free)
        spread = math.sqrt(max(0.0, float(cofactor[-1, -1] * (left @ left) / spare)))
        if not np.isfinite(numbers).all():
            raise ValueError("the places decide no plane")
        if np.abs(change).max() < 1e-10:
            break
    return numbers, spread


def _show(numbers: Floats, there: Floats) -> tuple[Floats, Floats]:
    """Where the nine numbers lead (n, 2), and the slopes (n, 2, 9)."""
    a, b, c, d, e, f, g, h, k = numbers
    u, v = there.T
    w = g * u + h * v + 1.0
    x, y = (a * u + b * v + c) / w, (d * u + e * v + f) / w
    n = len(u)
    flat = np.zeros((n, 2, 8))
    line = np.stack([u, v, np.ones(n)], axis=-1) / w[:, None]
    flat[:, 0, 0:3] = line
    flat[:, 1, 3:6] = line
    flat[:, 0, 6:8] = -x[:, None] * line[:, :2]
    flat[:, 1, 6:8] = -y[:, None] * line[:, :2]
    off = np.stack([x, y], axis=-1)
    r2 = x * x + y * y
    # d/d(x, y) of off (1 + k r²)
    turn = (1.0 + k * r2)[:, None, None] * np.eye(2) + 2.0 * k * off[:, :, None] * off[:, None, :]
    slopes = np.concatenate([turn @ flat, (off * r2[:, None])[..., None]], axis=-1)
    return _bend(off, k), slopes
