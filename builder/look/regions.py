"""Regions of a raster: growing and shrinking them, telling them apart, how deep they are.

Masks are (h, w) bool. What lies outside the raster counts as outside the region.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from builder.look.joining import join_runs

Mask = NDArray[np.bool_]
Labels = NDArray[np.int32]
Floats = NDArray[np.float32]

_LEVELS = 512

_ASK_EVERY = 4  # steps
_SHALLOW = 181  # cells: twice the square of it fits into sixteen bits


def widen_brightest(values: NDArray[Any], reach: int) -> NDArray[Any]:
    """Each cell the highest of the square of 2 ``reach`` + 1 cells about it; (h, w, …)."""
    return _extreme(values, reach, np.maximum)


def widen_darkest(values: NDArray[Any], reach: int) -> NDArray[Any]:
    """Each cell the lowest of the square of 2 ``reach`` + 1 cells about it; (h, w, …)."""
    return _extreme(values, reach, np.minimum)


def grow(mask: Mask, reach: int) -> Mask:
    """The region and all within ``reach`` cells of it, squarely."""
    return np.asarray(widen_brightest(mask, reach))


def shrink(mask: Mask, reach: int) -> Mask:
    """What of the region has ``reach`` cells of it on every side, squarely. The raster's edge does
    not eat into it."""
    return np.asarray(widen_darkest(mask, reach))


def open_up(mask: Mask, reach: int) -> Mask:
    """The region without what is thinner than 2 ``reach`` + 1 cells."""
    return grow(shrink(mask, reach), reach)


def soften(values: NDArray[Any], sd: float) -> Floats:
    """(h, w, …) blurred by a normal curve of ``sd`` cells, edges continued."""
    reach = max(1, round(3 * sd))
    taps = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sd) ** 2)
    taps = (taps / taps.sum()).astype(np.float32)
    out = np.asarray(values, dtype=np.float32)
    for axis in (0, 1):
        size = out.shape[axis]
        widths = [(reach, reach) if a == axis else (0, 0) for a in range(out.ndim)]
        wide = np.pad(out, widths, mode="edge")
        out = np.zeros_like(out)
        for tap, weight in enumerate(taps):
            part = wide[tap : tap + size] if axis == 0 else wide[:, tap : tap + size]
            out += weight * part
    return out


def slope(values: NDArray[Any]) -> Floats:
    """(h, w) the steepness a cell of a picture (h, w) or (h, w, c), all channels together."""
    down, across = np.gradient(values, axis=(0, 1))
    square = down**2 + across**2
    return np.asarray(np.sqrt(square if square.ndim == 2 else square.sum(axis=2)), dtype=np.float32)


def label(mask: Mask) -> tuple[Labels, int]:
    """(h, w) 0 outside, 1 to n the regions that hang together by their sides; and n."""
    height, width = mask.shape
    wide = width + 1
    # Beginnings and ends of runs take turns.
    ends = np.flatnonzero(np.diff(np.pad(mask, ((0, 0), (1, 1))), axis=1))
    rows, starts, stops = ends[::2] // wide, ends[::2] % wide, ends[1::2] % wide
    joined = join_runs(rows, starts, stops, width, corners=False)
    kept, numbers = np.unique(joined, return_inverse=True)
    out = np.zeros(height * width, dtype=np.int32)
    lengths = stops - starts
    where = np.repeat(rows * width + starts - np.cumsum(lengths) + lengths, lengths)
    out[where + np.arange(lengths.sum())] = np.repeat(numbers.ravel() + 1, lengths)
    return out.reshape(height, width), len(kept)


def depth(mask: Mask, limit: float = np.inf) -> Floats:
    """(h, w) how far each cell of the region lies from the nearest cell outside it, in cells; 0
    outside. Depths beyond ``limit`` may be told too large.

    Exact. Source: Meijster, Roerdink and Hesselink, A General Algorithm for Computing Distance
    Transforms in Linear Time (2000): columns first, then rows.
    """
    out = np.zeros(mask.shape, dtype=np.float32)
    part = _around(mask)
    if part is None:
        return out
    padded = np.pad(mask[part], 1)
    height = padded.shape[0]
    down = np.where(padded, np.int32(sum(padded.shape)), np.int32(0))
    for row in range(1, height):
        np.minimum(down[row], down[row - 1] + 1, out=down[row])
    for row in range(height - 2, -1, -1):
        np.minimum(down[row], down[row + 1] + 1, out=down[row])
    # Sums of two squares in as few bytes as hold them: the fewer, the more are done at a time.
    kind = np.dtype(np.uint16 if down.max() <= _SHALLOW else np.int32)
    square: NDArray[Any] = (down**2).astype(kind)
    best, width = square.copy(), square.shape[1]
    top, bottom, left, right = 0, height, 0, width
    for step in range(1, width):
        if step > limit:
            break
        if step % _ASK_EVERY == 1:
            # Further off than this step only deeper cells can find anything nearer.
            deeper = _around(best[top:bottom, left:right] > step * step)
            if deeper is None:
                break
            (top, bottom), (left, right) = (
                (start + along.start, start + along.stop)
                for start, along in zip((top, left), deeper, strict=True)
            )
        before, after, start = max(left, step), min(right, width - step), max(0, left - step)
        further = square[top:bottom, start : right + step] + kind.type(step * step)
        for low, high, off in ((before, right, -step), (left, after, step)):
            if low < high:
                own = best[top:bottom, low:high]
                np.minimum(own, further[:, low + off - start : high + off - start], out=own)
    out[part] = np.sqrt(best[1:-1, 1:-1], dtype=np.float32)
    return out


def _around(mask: Mask) -> tuple[slice, slice] | None:
    """The rows and columns that hold all of a region, None where there is none."""
    rows, columns = (np.flatnonzero(mask.any(axis=axis)) for axis in (1, 0))
    if not len(rows):
        return None
    return slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1)


def share_out(steepness: Floats, seeds: Labels) -> Labels:
    """Each cell with the seed that reaches it over the lowest passes: regions meet on ridges.

    ``seeds`` (h, w): 0 where open, a label elsewhere; only open cells are changed. All open cells
    that can be reached get a label. Source: Meyer, Un algorithme optimal de ligne de partage des
    eaux (1991).
    """
    part = _around(grow(seeds == 0, 1))
    if part is None:
        return seeds.copy()
    top = float(steepness.max()) or 1.0
    out = np.maximum(seeds, 0)
    out[part] = _flood(steepness[part] / top, seeds[part])
    return out


def _flood(steepness: Floats, seeds: Labels) -> Labels:
    """The same for ``steepness`` up to 1."""
    wide = seeds.shape[1] + 2
    # A frame that no flood enters, so that neighbours need no test of the edge.
    labels = np.pad(seeds, 1, constant_values=-1).ravel()
    # The square root spends more of the levels where the slopes are gentle.
    scaled = np.sqrt(np.maximum(steepness, 0)) * (_LEVELS - 1)
    height = np.pad(scaled.astype(np.int32), 1).ravel().tolist()
    around = (-wide, -1, 1, wide)
    open_near = np.zeros(len(labels), dtype=bool)
    inner = np.flatnonzero(labels > 0)
    for step in around:
        open_near[inner] |= labels[inner + step] == 0
    seen = labels.tolist()
    queues: list[list[int]] = [[] for _ in range(_LEVELS)]
    for cell in np.flatnonzero(open_near).tolist():
        queues[height[cell]].append(cell)
    for level, queue in enumerate(queues):
        for cell in queue:  # grows while it is walked: cells of a level are served in turn
            mine = seen[cell]
            for near in (cell - wide, cell - 1, cell + 1, cell + wide):
                if seen[near] == 0:
                    seen[near] = mine
                    high = height[near]
                    queues[high if high > level else level].append(near)
    out = np.array(seen, dtype=np.int32).reshape(-1, wide)[1:-1, 1:-1]
    return np.asarray(np.maximum(out, 0))


def _extreme(values: NDArray[Any], reach: int, which: np.ufunc) -> NDArray[Any]:
    out = values
    for axis in (0, 1):
        widths = [(reach, reach) if a == axis else (0, 0) for a in range(values.ndim)]
        wide = np.pad(out, widths, mode="edge")
        size = out.shape[axis]
        out = out.copy()
        for step in range(2 * reach + 1):
            part = wide[step : step + size] if axis == 0 else wide[:, step : step + size]
            which(out, part, out=out)
    return out
