"""How evenly a sheet was lit, told from its white margin."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from builder.measure.arrays import Floats, Mask, Pixels
from builder.measure.difference import delta_e_2000
from builder.measure.spaces import SRGB, xyz_to_lab
from builder.smooth import spread

# A quadratic in the logarithm of light: lamps at two sides, their falloff, a lens's own vignetting.
TERMS = 6
LEAST_CELLS = 3 * TERMS
_UNIT_MM = 100.0
# Lighter than this, paper may have run out of scale and tells no more how much light there was.
_FULL = 0.97
_ROUNDS = 8
# Tukey's biweight leaves out what lies further than this many spreads: a shadow, a stain, a finger.
# Source of the constant: Holland and Welsch, Communications in Statistics A6(9):813-827 (1977).
_TUKEY = 4.685
_MAD_TO_SD = 1.4826
_LEAST_SPREAD = 0.002  # paper's own grain: no cell is an outlier for less
BLOCKS = (4, 3)  # across and down, for leaving out
TILE_MM = 16.0


@dataclass(frozen=True, eq=False)
class Margin:
    """White paper round piece and card: ``at`` (n, 2) the middles of its cells in mm on the sheet,
    ``xyz`` (n, 3) their mean in linear light as seen, D65 white, Y = 1."""

    at: Floats
    xyz: Floats


@dataclass(frozen=True, eq=False)
class LightField:
    """Light on the sheet, a channel each: ``terms`` (6, 3) of the logarithm's quadratic;
    ``middle`` (2,) mm where it counts from. ``white`` (3,) the paper's own value at light 1, which
    is the light's geometric mean over the margin. ``uneven_pct``, ``left_pct`` and ``tint`` as in
    :class:`builder.records.photo.SheetReport`."""

    terms: Floats
    middle: Floats
    white: Floats
    uneven_pct: float = 0.0
    left_pct: float = 0.0
    tint: float = 0.0

    def at(self, mm: Floats) -> Floats:
        """Light (…, 3) at places (…, 2), mm, about 1."""
        return np.asarray(np.exp(_basis(np.asarray(mm) - self.middle) @ self.terms))

    def over(self, where: Callable[[Floats], Floats], height: int, width: int) -> Pixels:
        """Light (3, height, width) at every pixel of a picture, about 1; ``where`` leads from
        fractions of the picture (…, 2) to mm.
        """
        return spread(lambda place: self.at(where(place)), height, width, np.float32)

    def brought_to(self, places: Floats) -> LightField:
        """The same light, counted as 1 on the mean of ``places`` (n, 2), mm."""
        offset = np.log(self.at(places)).mean(axis=0)
        terms = self.terms.copy()
        terms[0] -= offset
        return replace(self, terms=terms, white=self.white * np.exp(offset))


def is_in_scale(rgb: Floats) -> Mask:
    """Which of ``rgb`` (n, 3), linear as seen, still tell how much light there was, (n,)."""
    return np.asarray(np.all((rgb < _FULL) & (rgb > 0), axis=-1))


def fit_field(
    at: Floats, rgb: Floats, working: Floats | None = None, full: bool = True
) -> LightField | None:
    """The light field from white paper: ``at`` (n, 2) mm and its linear RGB ``rgb`` (n, 3) in the
    space of the matrix ``working`` (3, 3) → XYZ (sRGB if not given). None where too little of it
    can be read. ``full``: leave out what may have run out of scale.

    Robust least squares, reweighted. What is left is told from blocks left out of the fit.
    Source: Tukey's biweight as in Holland and Welsch 1977.
    """
    use = is_in_scale(rgb) if full else np.asarray(np.all(rgb > 0, axis=-1))
    if use.sum() < LEAST_CELLS:
        return None
    at, light = at[use], np.log(rgb[use])
    middle = at.mean(axis=0)
    terms, good = _fit(at - middle, light)
    if good.sum() < LEAST_CELLS:
        return None
    offset = (_basis(at[good] - middle) @ terms).mean(axis=0)
    terms[0] -= offset
    lit = _basis(at[good] - middle) @ terms
    matrix = SRGB.to_xyz if working is None else working
    luminance = np.exp(lit) @ matrix.T[:, 1]
    return LightField(
        terms=terms,
        middle=middle,
        white=np.exp(offset),
        uneven_pct=100 * float(1 - luminance.min() / luminance.max()),
        left_pct=100 * _left_over(at, light),
        tint=_find_tint(lit, matrix),
    )


def _basis(off: Floats) -> Floats:
    x, y = np.moveaxis(off / _UNIT_MM, -1, 0)
    return np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)


def _fit(off: Floats, light: Floats) -> tuple[Floats, Mask]:
    """(6, 3) and which cells (n,) count at the end."""
    columns = _basis(off)
    weight = np.ones(len(off))
    terms: Floats = np.zeros((TERMS, 3))
    for _ in range(_ROUNDS):
        root = np.sqrt(weight)[:, None]
        terms = np.asarray(np.linalg.lstsq(columns * root, light * root, rcond=None)[0])
        # What all channels lack together is a shadow; the sign is kept, as a shadow only darkens.
        left = (light - columns @ terms).mean(axis=-1)
        spread = max(_MAD_TO_SD * float(np.median(np.abs(left))), _LEAST_SPREAD)
        weight = np.maximum(1 - (left / (_TUKEY * spread)) ** 2, 0) ** 2
    return terms, weight > 0


def _left_over(at: Floats, light: Floats) -> float:
    """How far the field misses places it has not seen, as a standard deviation, in parts of the
    light: what is left in blocks left out of the fit, averaged over squares of TILE_MM, since it is
    not a cell's grain that matters.

    A block at the sheet's corner has to be guessed from beyond the rest, which piece and card never
    are, so those are not asked. Shadows at single places do not count: the middling square does.
    """
    low, high = at.min(axis=0), at.max(axis=0) + 1e-9
    column, row = ((at - low) / (high - low) * BLOCKS).astype(int).T
    block = row * BLOCKS[0] + column
    inner = (column > 0) & (column < BLOCKS[0] - 1) | (row > 0) & (row < BLOCKS[1] - 1)
    tile = np.unique((at - low) // TILE_MM, axis=0, return_inverse=True)[1].reshape(-1)
    columns = _basis(at - at.mean(axis=0))
    left = []
    for one in np.unique(block[inner]):
        out = block == one
        if (~out).sum() < LEAST_CELLS:
            continue
        terms = np.linalg.lstsq(columns[~out], light[~out], rcond=None)[0]
        missed = (light[out] - columns[out] @ terms).mean(axis=-1)
        count = np.bincount(tile[out])
        left += list(np.bincount(tile[out], missed)[count > 0] / count[count > 0])
    return _MAD_TO_SD * float(np.median(np.abs(left))) if left else 0.0


def _find_tint(lit: Floats, matrix: Floats) -> float:
    """ΔE00 between the warmest and the coldest of the paper, both at one lightness."""
    xyz = np.exp(lit - lit.mean(axis=-1, keepdims=True)) @ matrix.T
    lab = xyz_to_lab(xyz * 0.85)  # paper's own lightness, about L* 94
    warm, cold = np.argmax(lab[:, 2]), np.argmin(lab[:, 2])
    return float(delta_e_2000(lab[warm], lab[cold]))
