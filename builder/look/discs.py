"""The small discs along a sheet's edges, each found by the middle of its darkness."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from builder.look.lens import Lens
from builder.records.jig import DOT_MM, Jig

Floats = NDArray[np.float64]

_WINDOW = DOT_MM  # mm each way from its middle, printed white but for the disc
_GRID = 61  # places along the window
_TURNS = 3
_LEAST_DARK = 0.25  # of the paper's own light, the step from paper to disc
_AREA = (0.7, 1.35)  # of what a disc covers, what is allowed
_ROUND = 1.5  # the longer over the shorter spread
_POWER = 2.2  # as in marks: near to light
_LUMA = np.array([0.299, 0.587, 0.114], dtype=np.float32)  # ITU-R BT.601


def find_discs(rgb: NDArray[np.uint8], jig: Jig, lens: Lens) -> dict[int, Floats]:
    """Pixels (2,) of the discs that are seen whole, by their number in ``jig.dots``, in the picture
    (h, w, 3), near where ``lens`` has them. Covered and doubtful ones are left out."""
    found = {}
    for number, dot in enumerate(jig.dots):
        place = _find(rgb, np.array(dot), lens)
        if place is not None:
            found[number] = lens.to_picture(place)
    return found


def _find(rgb: NDArray[np.uint8], dot: Floats, lens: Lens) -> Floats | None:
    place, window = dot, _WINDOW
    for _ in range(_TURNS):
        along = np.linspace(-window, window, _GRID)
        # From the middles of the outermost places half a step on.
        beyond = window * _GRID / (_GRID - 1)
        x, y = lens.over(place - beyond, np.array(2 * beyond), _GRID, _GRID)
        light = _sample(rgb, x, y)
        if light is None:
            return None
        paper, ink = (float(level) for level in np.quantile(light, (0.75, 0.03)))
        if paper - ink < _LEAST_DARK * paper:
            return None
        dark = np.clip((paper - light) / (paper - ink), 0.0, 1.0)
        dark = np.where(dark < 0.15, 0.0, dark)  # grain of the paper
        total = float(dark.sum())
        step = np.array([dark.sum(axis=0) @ along, dark.sum(axis=1) @ along]) / total
        place = place + step
        if np.abs(place - dot).max() > _WINDOW - DOT_MM / 2:
            return None
        window = min(_WINDOW - float(np.abs(place - dot).max()), 0.85 * _WINDOW)
    off = np.stack(np.meshgrid(along, along), axis=-1) - step
    return place if _is_disc(dark, off, float(along[1] - along[0])) else None


def _is_disc(dark: Floats, off: Floats, pitch: float) -> bool:
    total = float(dark.sum())
    area = total * pitch**2 / (math.pi * (DOT_MM / 2) ** 2)
    spread = np.einsum("ij,ijk,ijl->kl", dark, off, off) / total
    shorter, longer = np.linalg.eigvalsh(spread)
    return _AREA[0] < area < _AREA[1] and bool(longer < _ROUND * max(shorter, 1e-9))


def _sample(rgb: NDArray[np.uint8], x: Floats, y: Floats) -> Floats | None:
    """Light, 0 to 1, at pixels ``x``, ``y``, a blend of four; None where not all lie in the
    picture."""
    height, width = rgb.shape[:2]
    x, y = x - 0.5, y - 0.5
    left, right, top, bottom = (float(end) for end in (x.min(), x.max(), y.min(), y.max()))
    if not (left >= 0 and top >= 0 and right <= width - 2 and bottom <= height - 2):
        return None
    part = rgb[int(top) : int(bottom) + 2, int(left) : int(right) + 2].astype(np.float32)
    light = ((part @ _LUMA) / np.float32(255)) ** np.float32(_POWER)
    j, i = x.astype(np.intp), y.astype(np.intp)
    fx, fy = x - j, y - i
    first = (i - int(top)) * light.shape[1] + (j - int(left))
    above, below = (
        light.take(first + step) * (1 - fx) + light.take(first + (step + 1)) * fx
        for step in (0, light.shape[1])
    )
    return np.asarray(above * (1 - fy) + below * fy)
