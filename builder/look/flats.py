"""Parts of a found sheet straightened, and the pixels of its white margin.

Looking may take smooth pixels; measuring takes original ones only: a mean of gamma-coded values is
not the mean of light.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import chain
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from builder.look.sheets import FoundSheet
from builder.records.jig import OUTLINES, BoxMm, Jig

Floats = NDArray[np.float64]
Pixels = NDArray[np.float32]

CELL_MM = 4.0
_ACROSS = 6  # samples a cell each way, evenly spread
_EDGE_MM = 3.0  # from the sheet's edge: curl and shadow
_LINE_MM = 3.0  # a printed outline, smeared, and the size named above it
_CROSS = (6.0, 6.0)  # mm, round the cross in the middle of the place
_ROWS = 32  # worked on at a time: more would not stay in the cache
_MOST_PIXELS = 40_000_000  # of a straightened part


@dataclass(frozen=True, eq=False)
class WhiteCells:
    """Cells of the margin that are white paper as far as the sheet's print goes. ``at`` (n, 2): mm
    of their middles; ``samples`` (n, k, 3): original pixels of each, 8-bit, still encoded."""

    at: Floats = field(repr=False)
    samples: NDArray[np.uint8] = field(repr=False)


def flatten(
    rgb: NDArray[np.uint8], sheet: FoundSheet, box_mm: BoxMm, px_per_mm: float
) -> NDArray[np.uint8]:
    """The box of the sheet straightened, (height, width, 3) of the picture's own encoding: cell
    (i, j)'s middle is the box's left top and (j + 0.5, i + 0.5) / ``px_per_mm``. Each cell is a
    blend of about the pixels it covers: to be looked at and outlined, not measured. What lies
    outside the picture is black. ValueError for a box without area or with too many cells.
    """
    left, top, right, bottom = box_mm
    width, height = (round((b - a) * px_per_mm) for a, b in ((left, right), (top, bottom)))
    if not (width >= 1 and height >= 1 and width * height <= _MOST_PIXELS):
        raise ValueError(f"no part of a sheet has {width} × {height} cells")
    ratio = 1.0 / (px_per_mm * sheet.mm_per_px)  # pixels of the picture along a cell
    fine = 2 if ratio > 1.5 else 1  # places along a cell
    start, size = np.array((left, top)), np.array((width, height)) / px_per_mm
    x, y = sheet.lens.over(start, size, height * fine, width * fine)
    # Whole pixels are first averaged in squares, so that a coarse view does not skip any.
    seen = _sample(rgb, x, y, max(1, round(ratio / fine)))
    return np.asarray(Image.fromarray(seen).reduce(fine)) if fine > 1 else seen


def find_white_cells(
    rgb: NDArray[np.uint8], sheet: FoundSheet, covered: Iterable[BoxMm] = ()
) -> WhiteCells:
    """The cells of :data:`CELL_MM` that lie wholly on unprinted paper: 3 mm from the sheet's
    edges, clear of all that is printed or may be laid there, and of the boxes ``covered`` (mm; the
    piece's, widened by the caller for its shadow). Cells not wholly in the picture are left out.

    Samples are the nearest original pixels, 36 a cell; a stain or a shadow is for the caller to
    see. Where pixels are coarser than the samples some are there twice.
    """
    jig = sheet.jig
    at = _middles(jig)
    half = CELL_MM / 2
    free = np.ones(len(at), dtype=bool)
    for left, top, right, bottom in chain(jig.printed, covered):
        free &= (
            (at[:, 0] + half <= left)
            | (at[:, 0] - half >= right)
            | (at[:, 1] + half <= top)
            | (at[:, 1] - half >= bottom)
        )
    free &= ~_near_outlines(jig, at, half * math.sqrt(2.0) + _LINE_MM)
    at = at[free]
    spread = ((np.arange(_ACROSS) + 0.5) / _ACROSS - 0.5) * CELL_MM
    offset = np.stack(np.meshgrid(spread, spread), axis=-1).reshape(-1, 2)
    px = np.floor(sheet.to_picture(at[:, None] + offset)).astype(np.intp)
    inside = ((px >= 0) & (px < sheet.size)).all(axis=(1, 2))
    x, y = np.moveaxis(px[inside], -1, 0)
    return WhiteCells(at[inside], rgb[y, x])


def _middles(jig: Jig) -> Floats:
    along, down = (
        np.arange(_EDGE_MM + CELL_MM / 2, length - _EDGE_MM - CELL_MM / 2 + 1e-9, CELL_MM)
        for length in (jig.width, jig.height)
    )
    return np.stack(np.meshgrid(along, down), axis=-1).reshape(-1, 2)


def _near_outlines(jig: Jig, at: Floats, reach: float) -> NDArray[np.bool_]:
    """Whether a printed outline of the piece's place, its own corners or the cross in its middle
    pass within ``reach`` mm."""
    off = np.abs(at - jig.middle)
    left, top, right, bottom = jig.place
    near = np.zeros(len(at), dtype=bool)
    for outline in (*OUTLINES, (right - left, bottom - top), _CROSS):
        near |= np.abs(_beyond(off, outline)) < reach
    return near


def _beyond(off: Floats, outline: Sequence[float]) -> Floats:
    """How far outside a rectangle or circle about nought, mm; inside it, below nought."""
    if len(outline) == 1:
        return np.asarray(np.hypot(off[:, 0], off[:, 1]) - outline[0] / 2)
    past = off - np.array(outline) / 2
    outside = np.hypot(*np.maximum(past, 0.0).T)
    return np.asarray(outside + np.minimum(past.max(axis=1), 0.0))


def _sample(rgb: NDArray[np.uint8], x: Floats, y: Floats, reduce: int) -> NDArray[np.uint8]:
    """The picture (h, w, 3) at pixels ``x``, ``y``, (r, c) each, a blend of four."""
    height, width = rgb.shape[:2]
    outside = (x < 0) | (x > width) | (y < 0) | (y > height)
    left, right = _reach(x, reduce, width)
    top, bottom = _reach(y, reduce, height)
    if right <= left or bottom <= top:
        return np.zeros((*x.shape, 3), dtype=np.uint8)
    part = Image.fromarray(rgb[top:bottom, left:right])
    seen = np.asarray(part.reduce(reduce) if reduce > 1 else part)
    planes = [np.ascontiguousarray(seen[..., channel]) for channel in range(3)]
    out = np.empty((*x.shape, 3), dtype=np.uint8)
    for start in range(0, len(x), _ROWS):
        rows = slice(start, start + _ROWS)
        across = _split(((x[rows] - left) / reduce - 0.5).astype(np.float32), seen.shape[1])
        down = _split(((y[rows] - top) / reduce - 0.5).astype(np.float32), seen.shape[0])
        for channel, plane in enumerate(planes):
            out[rows, :, channel] = np.rint(_blend_four(plane, across, down))
    out[outside] = 0
    return out


def _blend_four(
    plane: NDArray[np.uint8],
    across: tuple[NDArray[np.intp], Pixels],
    down: tuple[NDArray[np.intp], Pixels],
) -> Pixels:
    (column, fx), (row, fy) = across, down
    rows, columns = plane.shape
    values = plane.ravel()
    first = row * columns + column  # one running number a pixel: twice as fast as two
    right_of, below = min(1, columns - 1), columns * min(1, rows - 1)
    upper, lower = (
        _blend(values.take(first + step), values.take(first + (step + right_of)), fx)
        for step in (0, below)
    )
    return _blend(upper, lower, fy)


def _reach(at: Floats, room: int, size: int) -> tuple[int, int]:
    """The first and the one after the last of ``size`` pixels that lie about the places."""
    low, high = math.floor(at.min()) - room, math.ceil(at.max()) + room
    return min(max(low, 0), size), min(max(high, 0), size)


def _split(at: Pixels, size: int) -> tuple[NDArray[np.intp], Pixels]:
    """The pixel before each place, of ``size`` in a row, and the part of the way to the next."""
    at = np.clip(at, 0, size - 1)
    whole = np.clip(at.astype(np.intp), 0, max(0, size - 2))
    return whole, at - whole.astype(np.float32)


def _blend(one: NDArray[Any], other: NDArray[Any], part: Pixels) -> Pixels:
    first = one.astype(np.float32)
    return first + (other.astype(np.float32) - first) * part
