"""A piece in small squares, as it is kept between runs: corrected L*a*b* packed into text."""

from __future__ import annotations

import base64
import zlib

import numpy as np

from builder.measure.arrays import Floats, Mask, Pixels
from builder.measure.cells import READABLE
from builder.measure.spaces import xyz_to_lab
from builder.records.photo import Grid

GRID_MM = 2.0
# Tenths of a unit are kept: rounding to them is wrong by 0.03 (root mean square), a tenth of what
# the noise of a photograph leaves in a cell, and takes half the room of hundredths.
_STEPS = 10
_MISSING = -(2**15)
_LARGEST = 2**15 - 1


def make_grid(
    xyz: Floats | Pixels,
    good: Mask,
    mm_per_px: float,
    mm: float = GRID_MM,
) -> Grid:
    """The mean colour of every square of ``mm`` millimetres of a straightened piece.

    ``xyz`` (h, w, 3) corrected, in linear light, D65 white, Y = 1; ``good`` (h, w) which pixels are
    the piece and readable. Squares lie about the middle of the piece; what fills none is left off
    evenly at the edges. A square of which less than half is good is missing.
    Raises ValueError where not one square fits.
    """
    side = mm / mm_per_px
    rows, columns = (int(n / side + 1e-6) for n in good.shape)
    if not (rows and columns):
        raise ValueError(f"no square of {mm} mm fits in {good.shape} pixels of {mm_per_px} mm")
    down, across = (
        _overlaps(n, k, side).astype(np.float32)
        for n, k in zip(good.shape, (rows, columns), strict=True)
    )
    kept = good.astype(np.float32)
    weight = down @ kept @ across.T
    total = np.stack([down @ (kept * xyz[..., k]) @ across.T for k in range(3)], axis=-1)
    lab = xyz_to_lab(total / np.maximum(weight, np.finfo(float).tiny)[..., None])
    lab[weight < READABLE * side**2] = np.nan
    return Grid(rows, columns, mm, _pack(lab))


def read_grid(grid: Grid) -> Floats:
    """The grid's L*a*b* (rows, columns, 3), NaN where it is missing.

    Raises ValueError where the packed text does not hold that many squares.
    """
    try:
        packed = zlib.decompress(base64.b85decode(grid.packed))
    except zlib.error as error:
        raise ValueError(f"the grid's text is broken: {error}") from error
    planes = np.frombuffer(packed, dtype=np.uint8).reshape(2, 3, grid.rows, grid.columns)
    steps = planes[0].astype(np.uint16) << 8 | planes[1]
    values = np.cumsum(steps, axis=-1, dtype=np.uint16).view(np.int16)
    lab = np.moveaxis(values, 0, -1).astype(np.float64) / _STEPS
    lab[np.moveaxis(values, 0, -1) == _MISSING] = np.nan
    return lab


def _pack(lab: Floats) -> str:
    """Steps from square to square, high bytes apart from low ones: what repeats packs well."""
    values = np.clip(np.round(np.nan_to_num(lab) * _STEPS), -_LARGEST, _LARGEST).astype(np.int16)
    values[np.isnan(lab)] = _MISSING
    planes = np.ascontiguousarray(np.moveaxis(values, -1, 0)).view(np.uint16)
    steps = np.diff(planes, axis=-1, prepend=np.uint16(0)).astype(np.uint16)
    split = np.stack([steps >> 8, steps & 0xFF]).astype(np.uint8)
    return base64.b85encode(zlib.compress(split.tobytes(), 9)).decode("ascii")


def _overlaps(pixels: int, cells: int, side: float) -> Floats:
    """(cells, pixels): how much of each pixel lies in each of the cells of ``side`` pixels."""
    first = (pixels - cells * side) / 2
    edges = first + side * np.arange(cells + 1)
    left, pixel = edges[:-1, None], np.arange(pixels)[None, :]
    covered = np.minimum(pixel + 1, left + side) - np.maximum(pixel, left)
    return np.asarray(np.clip(covered, 0, 1))
