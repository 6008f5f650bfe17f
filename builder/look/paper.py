"""What of a straightened part of the jig sheet is white paper, in shadow or out of it.

Light here is linear and counted in that of the white paper around: paper is 1, 1, 1 whatever the
lamp. ``flat`` is (h, w, 3); cell (i, j)'s middle lies at origin + ((j, i) + 0.5) / px_per_mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from builder.look.regions import (
    Floats,
    Mask,
    grow,
    label,
    open_up,
    slope,
    soften,
    widen_brightest,
    widen_darkest,
)
from builder.records.jig import OUTLINES, BoxMm, Jig, PointMm

# A print's line is 0.3 mm and stays under 1 mm however soft the picture is.
_LINE_MM = 1.0
_NEAR_LINE_MM = 1.0  # the sheet may bulge, and the finder be a little off
SOFT_MM = 0.25  # noise is smoothed by this before slopes are taken

# Of white paper in full light: L* and chroma as shares of the paper's own.
_WHITE_L = 93.0
_WHITE_TINT = 6.0
_FLAT = 6.0  # L* a mm: shadows and noise stay under it in the white
# The deepest shadow that is still soft, and the strongest tint a piece throws on the paper.
# Common practice, no source: measured on the demo's drawn bells and on plates over white sheets.
_SHADE_L = 60.0
_SHADE_TINT = 14.0

# sRGB's linear channels in X, Y, Z as shares of the white's own. Source: IEC 61966-2-1:1999.
_SHARES = np.array(
    [[0.4339, 0.3762, 0.1899], [0.2126, 0.7152, 0.0722], [0.0178, 0.1095, 0.8727]], dtype=np.float32
)


@dataclass(frozen=True)
class Seen:
    """A part of the sheet looked at. ``light`` (h, w, 3) without print and with less noise;
    ``lightness`` (h, w) L* and ``tint`` (h, w) chroma against the paper; ``steep`` (h, w) how fast
    the colour changes, ΔE*ab a mm."""

    light: Floats
    lightness: Floats
    tint: Floats
    steep: Floats
    px_per_mm: float

    def cells(self, mm: float) -> int:
        """A length in whole cells, at least one."""
        return max(1, round(mm * self.px_per_mm))

    @property
    def white(self) -> Mask:
        """Paper in full light."""
        plain = (self.lightness > _WHITE_L) & (self.tint < _WHITE_TINT) & (self.steep < _FLAT)
        return open_up(plain, max(1, round(0.4 * self.px_per_mm)))

    @property
    def coloured(self) -> Mask:
        """What neither paper nor any shadow on it can be, and is no thin line or crumb."""
        strange = (self.lightness < _SHADE_L) | (self.tint > _SHADE_TINT)
        return open_up(strange, max(1, round(0.5 * self.px_per_mm)))


def look_at(flat: NDArray[Any], px_per_mm: float, lines: Mask | None = None) -> Seen:
    """Smooth ``flat`` and take its print away where ``lines`` (h, w) says there may be some."""
    light = np.asarray(flat, dtype=np.float32)
    light = light / _paper_level(light)
    if lines is not None:
        reach = max(1, round(_LINE_MM * px_per_mm / 2))
        # The brightest and then the darkest about each cell: thin dark lines are gone, all else
        # is as it was.
        whole = widen_darkest(widen_brightest(light, reach), reach)
        light = np.where(lines[..., None], whole, light)
    light = soften(light, SOFT_MM * px_per_mm)
    lab = _lab(light)
    return Seen(
        light=light,
        lightness=lab[..., 0],
        tint=np.hypot(lab[..., 1], lab[..., 2]),
        steep=slope(lab) * px_per_mm,
        px_per_mm=px_per_mm,
    )


def printed_lines(jig: Jig, shape: tuple[int, int], px_per_mm: float, origin_mm: PointMm) -> Mask:
    """(h, w) where the sheet has print in and about the piece's place: close to its outlines, and
    everywhere outside it."""
    x = origin_mm[0] + (np.arange(shape[1]) + 0.5) / px_per_mm
    y = origin_mm[1] + (np.arange(shape[0]) + 0.5) / px_per_mm
    across, down = np.meshgrid(x - jig.middle[0], y - jig.middle[1])
    out = ~_inside(jig.place, x, y)
    for size in OUTLINES:
        if len(size) == 1:
            off = np.hypot(across, down) - size[0] / 2
        else:
            off = np.maximum(np.abs(across) - size[0] / 2, np.abs(down) - size[1] / 2)
        out |= np.abs(off) < _NEAR_LINE_MM
    return np.asarray(out)


def paper_from_the_edge(seen: Seen) -> Mask:
    """White paper that hangs together with the raster's edge."""
    labels, count = label(seen.white)
    edge = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    kept = np.zeros(count + 1, dtype=bool)
    kept[np.unique(edge)] = True
    kept[0] = False
    return np.asarray(kept[labels])


def near(mask: Mask, seen: Seen, mm: float) -> Mask:
    """All within ``mm`` of a region, squarely."""
    return grow(mask, seen.cells(mm))


def _paper_level(light: Floats) -> Floats:
    """(3,) the middle of the paper about the raster's edge, where most of it is to be seen."""
    rim = max(2, min(light.shape[:2]) // 24)
    edge = np.concatenate(
        [
            light[:rim].reshape(-1, 3),
            light[-rim:].reshape(-1, 3),
            light[:, :rim].reshape(-1, 3),
            light[:, -rim:].reshape(-1, 3),
        ]
    )
    # A shadow reaching the edge, or a piece: then what was given stands.
    paper = edge[(np.abs(edge - 1) < 0.12).all(axis=1)]
    if len(paper) < len(edge) // 4:
        return np.ones(3, dtype=np.float32)
    return np.asarray(np.median(paper, axis=0), dtype=np.float32)


def _lab(light: Floats) -> Floats:
    """Linear light over that of the white → L*a*b* against that white. Source: CIE 15:2004."""
    t = light @ _SHARES.T
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1).astype(np.float32)


def _inside(box: BoxMm, x: NDArray[Any], y: NDArray[Any]) -> Mask:
    left, top, right, bottom = box
    return np.asarray(((y > top) & (y < bottom))[:, None] & ((x > left) & (x < right))[None])
