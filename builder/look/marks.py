"""Laying a mark's own pattern on its picture, to a small part of a pixel.

The pattern of a QR code is known from its text. Its modules, smoothed by the picture's blur, are
fitted to the grey values: six numbers of place, one of blur, three of light. Least squares by
Gauss and Newton; source: Baker, Matthews 2004, Lucas-Kanade 20 Years On, section 2.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import segno
from numpy.typing import NDArray

from builder.look.perspective import carry

Floats = NDArray[np.float64]
Singles = NDArray[np.float32]

_BORDER = 1.5  # modules of white round the mark that are fitted with it
_MOST_PIXELS, _ROUGH_PIXELS = 2500, 1000
_STEPS = 12
_STILL = 2e-4  # modules: a step smaller than that changes nothing
_ROUGHLY_STILL = 0.03  # enough to begin from again
_FIRST_BLUR, _LEAST_BLUR, _MOST_BLUR = 0.5, 0.05, 1.5  # standard deviations, modules
_FURTHEST = 3.0  # modules: further off, it is another thing that was fitted
_OUTLYING = 3.0  # times the usual residual: covered, dirty, glaring
#: Encoded values are brought near to light by this power before edges are judged; what is left of
#: a camera's own curve is taken up by the third number of light.
_POWER = 2.2
_LUMA = np.array([0.299, 0.587, 0.114])  # ITU-R BT.601

# The normal distribution and its density at every 2000th of a deviation, looked up to the nearest.
_FINE, _END = 2000, 5
_NORMAL = np.array(
    [
        0.5 * (1.0 + math.erf(z / _FINE / math.sqrt(2.0)))
        for z in range(-_END * _FINE, _END * _FINE + 1)
    ],
    dtype=np.float32,
)
_DENSITY = np.asarray(
    np.exp(-0.5 * np.linspace(-_END, _END, len(_NORMAL)) ** 2) / math.sqrt(2.0 * math.pi),
    dtype=np.float32,
)


@dataclass(frozen=True, eq=False)
class Aligned:
    """A mark laid on its picture. ``corners`` (4, 2): pixels, clockwise from its own left top;
    ``blur``: standard deviation of an edge's smear, pixels; ``likeness``: correlation of pattern
    and picture, 0 to 1."""

    corners: Floats = field(repr=False)
    blur: float
    likeness: float


def draw_pattern(text: str, level: str = "Q", mask: int | None = None) -> Floats:
    """(n, n): the modules of the smallest QR code that carries ``text`` at error correction
    ``level``, dark 1. ValueError where there is none. Source: ISO/IEC 18004."""
    code = segno.make_qr(text, error=level, mask=mask, boost_error=False)
    return np.array([list(row) for row in code.matrix], dtype=np.float64)


def align_mark(
    rgb: NDArray[np.uint8],
    pattern: Floats,
    plane: Floats,
    before: Aligned | None = None,
    rough: bool = False,
) -> Aligned | None:
    """Where the pattern (n, n) lies in the picture (h, w, 3), beginning from ``plane`` (3, 3):
    modules, homogeneous → pixels, right to about a module, and from the blur found ``before``;
    ``rough``, from fewer pixels and to a few hundredths of a module. None where it does not lie
    wholly in the picture or nothing like it is there."""
    n = pattern.shape[0]
    seen = _see(rgb, plane, n, _ROUGH_PIXELS if rough else _MOST_PIXELS)
    if seen is None:
        return None
    places, light = seen
    first = before.blur * n / _side(before.corners) if before else _FIRST_BLUR
    laid = _fit(pattern, places, light, first, _ROUGHLY_STILL if rough else _STILL)
    if laid is None:
        return None
    move, blur, likeness = laid
    corners = np.array([(0.0, 0.0), (n, 0.0), (n, n), (0.0, n)])
    # ``move`` leads from where a module was believed to the module that is really there.
    believed = np.linalg.solve(np.eye(2) + move[:, :2], (corners - move[:, 2] - n / 2).T).T + n / 2
    found = carry(plane, believed)
    if np.linalg.norm(believed - corners, axis=1).max() > _FURTHEST:
        return None
    return Aligned(found, blur * _side(found) / n, likeness)


def _side(corners: Floats) -> float:
    return float(np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1).mean())


def _see(rgb: NDArray[np.uint8], plane: Floats, n: int, most: int) -> tuple[Floats, Floats] | None:
    """The mark's pixels: places (N, 2) in modules and light (N,), 0 to 1, evenly thinned to about
    ``most``."""
    low, high = -_BORDER, n + _BORDER
    around = np.array([(0, 0), (1, 0), (1, 1), (0, 1)])
    edge, mark = carry(plane, around * (high - low) + low), carry(plane, around * float(n))
    frame = np.array((rgb.shape[1], rgb.shape[0]))
    if not np.isfinite(edge).all() or (mark < 0).any() or (mark > frame).any():
        return None
    left, top = np.floor(np.maximum(edge.min(axis=0), 0)).astype(int)
    right, bottom = np.ceil(np.minimum(edge.max(axis=0), frame)).astype(int)
    if (right - left) * (bottom - top) < 2 * n * n:  # fewer than some two pixels a module
        return None
    y, x = np.mgrid[top:bottom, left:right]
    places = carry(np.linalg.inv(plane), np.stack([x, y], axis=-1).reshape(-1, 2) + 0.5)
    inside = np.flatnonzero(((places > low) & (places < high)).all(axis=1))
    inside = inside[np.linspace(0, len(inside) - 1, min(most, len(inside))).astype(int)]
    grey = rgb[top:bottom, left:right].reshape(-1, 3)[inside] @ _LUMA
    return places[inside], (grey / 255.0) ** _POWER


def _fit(
    pattern: Floats, places: Floats, light: Floats, blur: float, still: float
) -> tuple[Floats, float, float] | None:
    """Move (2, 3) about the mark's middle, blur in modules, likeness."""
    n = pattern.shape[0]
    about = np.column_stack([places - n / 2, np.ones(len(places))])
    move = np.zeros((2, 3))
    weights = np.ones(len(places))
    for step in range(_STEPS):
        f, fx, fy, fs = _smear(pattern, places + about @ move.T, blur)
        lights = np.column_stack([np.ones_like(f), f, f * (1.0 - f)])
        levels = _solve(lights, light, weights)
        # The slope of the light the model gives, along its own smeared pattern.
        slope = levels[1] + levels[2] * (1.0 - 2.0 * f)
        columns = [lights, (slope * fx)[:, None] * about, (slope * fy)[:, None] * about]
        columns.append((slope * fs)[:, None])
        left = light - lights @ levels
        change = _solve(np.column_stack(columns), left, weights)
        move = move + change[3:9].reshape(2, 3)
        blur = float(np.clip(blur + np.clip(change[9], -0.2, 0.2), _LEAST_BLUR, _MOST_BLUR))
        if not np.isfinite(move).all() or np.abs(move[:, 2]).max() > _FURTHEST:
            return None
        if step >= 2:
            usual = 1.4826 * float(np.median(np.abs(left))) + 1e-4
            weights = (np.abs(left) < _OUTLYING * usual + 0.05 * abs(levels[1])).astype(float)
        if np.abs(change[3:9].reshape(2, 3) * (n, n, 1.0)).max() < still:
            break
    # Inside its edge alone: any dark square has a mark's edge.
    inner = ((places > 1.0) & (places < n - 1.0)).all(axis=1)
    light = light[inner]
    f = _smear(pattern, (places + about @ move.T)[inner], blur)[0]
    spread = float(f.std() * light.std())
    likeness = -float(np.mean((f - f.mean()) * (light - light.mean()))) / max(spread, 1e-9)
    return move, blur, likeness


def _solve(columns: Floats, values: Floats, weights: Floats) -> Floats:
    weighted = columns * weights[:, None]
    normal = weighted.T @ columns
    normal[np.diag_indices_from(normal)] += 1e-9 * max(1.0, float(np.trace(normal)))
    return np.asarray(np.linalg.solve(normal, weighted.T @ values))


def _smear(pattern: Floats, at: Floats, blur: float) -> tuple[Singles, Singles, Singles, Singles]:
    """Darkness (N,) of the pattern smeared by a Gaussian of ``blur``, at places (N, 2) in modules,
    and its slopes along x, y and the blur. A module's share is a difference of two normal
    distributions along x times one along y; only modules within five deviations have any."""
    n, reach = pattern.shape[0], math.ceil(_END * blur)
    many = 2 * reach + 1
    first = np.clip(np.floor(at.T).astype(np.intp) - reach, -many, n)  # (2, N), x and y
    z = ((at.T - first)[:, None] - np.arange(many + 1)[:, None]) / blur  # to the lines between them
    share, slope = _look_up(z.astype(np.float32), blur)
    by_blur = -slope * z.astype(np.float32)
    (x, y), (x_slope, y_slope), (x_blur, y_blur) = (
        level[:, :-1] - level[:, 1:] for level in (share, slope, by_blur)
    )
    wide = np.pad(pattern.astype(np.float32), many)
    start = (first[1] + many) * wide.shape[1] + first[0] + many
    f, fx, fy, fs = (np.zeros(at.shape[0], dtype=np.float32) for _ in range(4))
    for row in range(many):
        modules = [wide.take(start + (row * wide.shape[1] + column)) for column in range(many)]
        level, along, by = (
            sum(dark * part[column] for column, dark in enumerate(modules))
            for part in (x, x_slope, x_blur)
        )
        f += level * y[row]
        fx += along * y[row]
        fy += level * y_slope[row]
        fs += by * y[row] + level * y_blur[row]
    return f, fx, fy, fs


def _look_up(z: Singles, blur: float) -> tuple[Singles, Singles]:
    nearest = np.clip(z * _FINE + (_END * _FINE + 0.5), 0, 2 * _END * _FINE).astype(np.intp)
    return _NORMAL.take(nearest), _DENSITY.take(nearest) / np.float32(blur)
