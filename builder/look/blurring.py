"""Parts of a picture made unrecognisable, for good.

A light blur can be undone, and so can a mosaic of many cells: each text that might stand there is
made into a mosaic and compared. Here at most three cells by three are left of a part, each of its
middle value and not its mean: ink that covers less than half of a cell leaves nothing in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from builder.records.photo import Box

_CELLS = 3  # along the longer side of a part
_MOST_ASKED = 400  # pixels of a cell's side that its middle value is taken from


def blur(rgb: NDArray[np.uint8], boxes: Iterable[Box]) -> NDArray[np.uint8]:
    """The upright picture (h, w, 3) with the ``boxes`` blurred, each to whole pixels outward; the
    one handed over is left as it is."""
    out = rgb.copy()
    for box in boxes:
        rows, columns = find_pixels(box, rgb.shape[0], rgb.shape[1])
        out[rows, columns] = _blur_whole(out[rows, columns])
    return out


def find_pixels(box: Box, height: int, width: int) -> tuple[slice, slice]:
    """The rows and columns of a picture that a box covers, if only in part."""
    left, top, right, bottom = box
    return _widen_out(top, bottom, height), _widen_out(left, right, width)


def _widen_out(start: float, stop: float, size: int) -> slice:
    first = min(size - 1, math.floor(start * size))
    return slice(first, max(first + 1, math.ceil(stop * size)))


def _blur_whole(part: NDArray[np.uint8]) -> NDArray[np.uint8]:
    height, width = part.shape[:2]
    side = max(height, width) / _CELLS
    rows, columns = (min(size, max(1, round(size / side))) for size in (height, width))
    cells = np.array(
        [
            [_middle_value(cell) for cell in np.array_split(row, columns, axis=1)]
            for row in np.array_split(part, rows, axis=0)
        ],
        dtype=np.uint8,
    )
    # From one cell to the next by degrees, so that it looks like what it is and not like a pattern.
    smooth = Image.fromarray(cells).resize((width, height), Image.Resampling.BILINEAR)
    return np.asarray(smooth)


def _middle_value(cell: NDArray[np.uint8]) -> NDArray[np.float64]:
    down, across = (max(1, size // _MOST_ASKED) for size in cell.shape[:2])
    return np.asarray(np.median(cell[::down, ::across].reshape(-1, 3), axis=0))
