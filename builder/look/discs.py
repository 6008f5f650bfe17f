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
_LUMA = np.array([0.299, 0.587, 0.114])  # ITU-R BT.601


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
        offset = np.stack(np.meshgrid(along, along), axis=-1)
        light = _sample(rgb, lens.to_picture(place + offset))
        if light is None:
            return None
        paper, ink = (float(level) for level in np.quantile(light, (0.75, 0.03)))
        if paper - ink < _LEAST_DARK * paper:
            return None
        dark = np.clip((paper - light) / (paper - ink), 0.0, 1.0)
        dark = np.where(dark < 0.15, 0.0, dark)  # grain of the paper
        total = float(dark.sum())
        step = np.einsum("ij,ijk->k", dark, offset) / total
        place = place + step
        if np.abs(place - dot).max() > _WINDOW - DOT_MM / 2:
            return None
        window = min(_WINDOW - float(np.abs(place - dot).max()), 0.85 * _WINDOW)
    off = offset - step
    return place if _is_disc(dark, off, float(along[1] - along[0])) else None


def _is_disc(dark: Floats, off: Floats, pitch: float) -> bool:
    total = float(dark.sum())
    area = total * pitch**2 / (math.pi * (DOT_MM / 2) ** 2)
    spread = np.einsum("ij,ijk,ijl->kl", dark, off, off) / total
    shorter, longer = np.linalg.eigvalsh(spread)
    return _AREA[0] < area < _AREA[1] and bool(longer < _ROUND * max(shorter, 1e-9))


def _sample(rgb: NDArray[np.uint8], px: Floats) -> Floats | None:
    """Light, 0 to 1, at pixels (…, 2), a blend of four; None where not all lie in the picture."""
    height, width = rgb.shape[:2]
    at = px - 0.5
    if not np.isfinite(at).all() or (at < 0).any() or (at > (width - 2, height - 2)).any():
        return None
    left, top = np.floor(at.min(axis=(0, 1))).astype(int)
    right, bottom = np.floor(at.max(axis=(0, 1))).astype(int) + 2
    light = (rgb[top:bottom, left:right] @ _LUMA / 255.0) ** _POWER
    whole = np.floor(at).astype(int)
    x, y = np.moveaxis(whole - (left, top), -1, 0)
    fx, fy = np.moveaxis(at - whole, -1, 0)
    upper = light[y, x] * (1 - fx) + light[y, x + 1] * fx
    lower = light[y + 1, x] * (1 - fx) + light[y + 1, x + 1] * fx
    return np.asarray(upper * (1 - fy) + lower * fy)
