"""Holes through which the paper shows, told from bright patches on the piece.

A hole is as bright as paper in light or soft shadow and no brighter, without tint, even inside, and
its rim is as sharp as the piece's own outline. What is not all of that counts as piece: a reading
with a little paper in it is noticed by its spread, a hole cut into a plate is not.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from builder.look.paper import Seen
from builder.look.regions import (
    Floats,
    Labels,
    Mask,
    depth,
    grow,
    label,
    open_up,
    share_out,
    shrink,
    slope,
    widen_brightest,
)

_LEAST_MM = 1.6  # across; a hanging hole of 3 mm keeps this in its own shadow
_LOW_L, _HIGH_L = 66.0, 103.0  # of paper in shadow and in light; a mirrored lamp is brighter
_OVER_PIECE = 6.0  # L* above the piece's own middle, where looking begins
_TINT = 7.0  # at most; the metal's edge colours the paper in a hole
_WIDE_MM, _WIDE_L = 6.0, 82.0  # in a hole from this width on, shadow does not reach the middle
_STEP = 12.0  # L* between paper and rim; less cannot be told from the metal's own pattern
_EVEN = 25.0  # L* a mm inside, at most at its middle: in a small hole the rim's softness shows
_SHARP = 1.8  # times as wide as the piece's own edge
_SHARPEST_MM = 0.45  # no edge is taken for sharper than this
_ROUND = 0.75  # of the rim has to be sharp
_MARGIN_MM = 0.6


@dataclass(frozen=True, eq=False)
class Holes:
    """``mask`` (h, w) of all holes, their ``count``, and plain sentences on what was decided."""

    mask: Mask
    count: int
    said: tuple[str, ...]


def find_holes(whole: Mask, seen: Seen) -> Holes:
    """The holes in the piece ``whole`` (h, w), a region without any."""
    inside = shrink(whole, seen.cells(0.5))
    if not inside.any():
        return Holes(np.zeros_like(whole), 0, ())
    middle = float(np.median(seen.lightness[inside]))
    bright = inside & (seen.lightness > max(_LOW_L, middle + _OVER_PIECE))
    # Bright metal beside a hole must not become one region with it.
    bright &= seen.tint < 2 * _TINT
    labels, count = label(open_up(bright, max(1, round(_LEAST_MM * seen.px_per_mm / 4))))
    gap = seen.cells(_MARGIN_MM)
    steep = slope(seen.light)
    edge_mm = _width_of_edge(whole, seen, steep)
    seeds = np.zeros(whole.shape, dtype=np.int32)
    kept, glare = 0, 0.0
    for number in range(1, count + 1):
        y, x = np.nonzero(labels == number)
        rows = slice(max(0, y.min() - 3 * gap), y.max() + 3 * gap + 1)
        columns = slice(max(0, x.min() - 3 * gap), x.max() + 3 * gap + 1)
        part = labels[rows, columns] == number
        if _is_hole(part, _cut(seen, rows, columns), steep[rows, columns], gap, edge_mm):
            kept += 1
            core = shrink(part, 1)
            near = grow(part, gap)
            window = seeds[rows, columns]
            window[near & ~part & (window == 0)] = -kept
            window[part] = -kept
            window[core if core.any() else part] = kept
        else:
            glare += np.count_nonzero(part) / seen.px_per_mm**2
    mask = _sharpen(seeds, steep)
    return Holes(mask & whole, kept, _say(kept, mask, glare, seen.px_per_mm))


def _is_hole(part: Mask, seen: Seen, steep: Floats, gap: int, edge_mm: float) -> bool:
    core = shrink(part, max(1, gap // 2))
    core = core if core.any() else part
    lightness = float(np.median(seen.lightness[core]))
    if not lightness <= _HIGH_L or float(np.median(seen.tint[core])) > _TINT:
        return False
    if lightness < _WIDE_L and 2 * float(depth(part).max()) > _WIDE_MM * seen.px_per_mm:
        return False
    if float(np.quantile(seen.lightness[core], 0.95)) > _HIGH_L + 2:
        return False
    if float(np.median(seen.steep[core])) > _EVEN:
        return False
    rim = grow(part, 1) & ~part
    out = np.where(part, np.inf, seen.lightness)
    level = np.where(part, np.float32(np.nan), seen.light.mean(axis=2))
    darkest = -widen_brightest(-out, gap)
    step = lightness - darkest[rim]
    paper = float(np.median(seen.light[core].mean(axis=1)))
    lowest = -widen_brightest(-np.nan_to_num(level, nan=np.inf), gap)
    rise = (paper - lowest[rim]) * np.sqrt(3)
    width = rise / np.maximum(widen_brightest(steep, gap)[rim] * seen.px_per_mm, 1e-6)
    sharp = width < _SHARP * max(edge_mm, _SHARPEST_MM)
    return bool(np.mean((step > _STEP) & sharp) >= _ROUND)


def _width_of_edge(whole: Mask, seen: Seen, steep: Floats) -> float:
    """Millimetres over which the picture goes from paper to piece, at the middle of the outline."""
    gap = seen.cells(_MARGIN_MM)
    rim = whole & ~shrink(whole, 1)
    level = seen.light.mean(axis=2)
    rise = (widen_brightest(level, gap) + widen_brightest(-level, gap))[rim] * np.sqrt(3)
    width = rise / np.maximum(widen_brightest(steep, gap)[rim] * seen.px_per_mm, 1e-6)
    return float(np.median(width))


def _sharpen(seeds: Labels, steep: Floats) -> Mask:
    """Each hole out to where the light falls fastest."""
    out = np.zeros(seeds.shape, dtype=bool)
    for number in range(1, int(seeds.max(initial=0)) + 1):
        y, x = np.nonzero(np.abs(seeds) == number)
        rows = slice(max(0, y.min() - 1), y.max() + 2)
        columns = slice(max(0, x.min() - 1), x.max() + 2)
        mine = seeds[rows, columns]
        start = np.where(np.abs(mine) == number, 0, 2).astype(np.int32)
        start[mine == number] = 1
        out[rows, columns] |= share_out(steep[rows, columns], start) == 1
    return out


def _cut(seen: Seen, rows: slice, columns: slice) -> Seen:
    return Seen(
        seen.light[rows, columns],
        seen.lightness[rows, columns],
        seen.tint[rows, columns],
        seen.steep[rows, columns],
        seen.px_per_mm,
    )


def _say(kept: int, mask: Mask, glare: float, px_per_mm: float) -> tuple[str, ...]:
    said = []
    if kept:
        area = np.count_nonzero(mask) / px_per_mm**2
        holes = "1 hole" if kept == 1 else f"{kept} holes"
        said.append(f"{holes}, {area:.0f} mm² in all, left out: paper shows through.")
    if glare > 3:
        said.append(
            f"Bright patches of {glare:.0f} mm² in all are taken for the piece's own, not for "
            "holes: too bright, tinted, or without a sharp edge."
        )
    return tuple(said)
