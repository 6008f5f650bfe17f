"""The outline of the piece in its place on the jig sheet: not just a box.

Paper and piece are told apart by where one can walk from the raster's edge without climbing: a
shadow is soft and a piece's edge is steep, so a light piece in its own shadow is still found.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from builder.look.holes import find_holes
from builder.look.paper import (
    Seen,
    look_at,
    paper_from_the_edge,
    printed_lines,
)
from builder.look.regions import Mask, depth, grow, label, share_out, shrink, slope
from builder.look.sides import find_sides, keep_between
from builder.records.jig import Jig, PointMm

#: The rim of 3 mm that is left off at each side would leave less than 2 mm to read.
LEAST_MM = 8.0
LEAST_PX = 24  # as many cells as three a millimetre give for it
_CRUMB_MM = 3.0
_SECOND_MM = 6.0  # from here on another thing in the place is a piece and not a crumb
# The piece's middle, where colour alone does not tell it from a shadow: this far into what is not
# white paper, as a share of the deepest, and in mm.
_MIDDLE_SHARE, _MIDDLE_MM = 0.6, 3.0
_BAND_MM = 0.8  # how far the first outline may be moved by the fine one
_DISC_ROUND = 0.03  # how far a disc's width, height and area may be off each other

_PAPER, _PIECE = 1, 2


class OutlineError(Exception):
    """No outline that could be trusted; ``sentence`` says what was found and what to do."""

    def __init__(self, sentence: str) -> None:
        self.sentence = sentence
        super().__init__(sentence)


class NothingThereError(OutlineError):
    """The place is empty."""


@dataclass(frozen=True, eq=False)
class Outline:
    """Where the piece lies.

    ``mask`` (h, w): cells of the piece, holes left out; cell (i, j)'s middle lies at
    ``origin_mm`` + ((j, i) + 0.5) / ``px_per_mm``. ``corners``: what a view of the piece shows,
    mm on the sheet, clockwise from the left top: a plate's own corners, else its upright box.
    ``form``: "plate", "disc" or "other". ``size_mm``: width and height of that view. ``area_mm2``
    without holes. ``holes``: how many were left out. ``said``: plain sentences on what was decided.
    """

    mask: Mask
    origin_mm: PointMm
    px_per_mm: float
    corners: tuple[PointMm, PointMm, PointMm, PointMm]
    form: str
    size_mm: tuple[float, float]
    area_mm2: float
    holes: int = 0
    said: tuple[str, ...] = ()


def find_outline(
    flat: NDArray[Any], px_per_mm: float, origin_mm: PointMm, jig: Jig | None = None
) -> Outline:
    """The piece in ``flat`` (h, w, 3): the place and some millimetres about it, straightened,
    linear light over that of the white paper, (0, 0)'s left top corner at ``origin_mm``.

    The print of ``jig`` is no piece. Raises :class:`NothingThereError` for an empty place and
    :class:`OutlineError` for a piece that reaches beyond ``flat``, is too small, or is not alone.
    """
    lines = None if jig is None else printed_lines(jig, flat.shape[:2], px_per_mm, origin_mm)
    seen = look_at(flat, px_per_mm, lines)
    whole = _pick_piece(_part_from_paper(seen), seen)
    sides = find_sides(whole, seen.light, px_per_mm)
    if sides is not None:
        whole = keep_between(whole, sides, px_per_mm)
    holes = find_holes(whole, seen)
    mask = whole & ~holes.mask
    outline = _describe(mask, whole, px_per_mm, origin_mm)
    if sides is not None:
        corners = [
            (origin_mm[0] + x / px_per_mm, origin_mm[1] + y / px_per_mm) for x, y in sides.tolist()
        ]
        p = np.array(corners)
        edges = np.linalg.norm(np.roll(p, -1, axis=0) - p, axis=1)
        outline = replace(
            outline,
            corners=(corners[0], corners[1], corners[2], corners[3]),
            form="plate",
            size_mm=(float(edges[0] + edges[2]) / 2, float(edges[1] + edges[3]) / 2),
        )
    return replace(outline, holes=holes.count, said=holes.said)


def _part_from_paper(seen: Seen) -> Mask:
    """Everything that is not paper, without looking into holes."""
    white, coloured = paper_from_the_edge(seen), seen.coloured
    inner = shrink(coloured, 1)
    middle = _find_middles(seen, coloured)
    if not (inner.any() or middle.any()):
        raise NothingThereError(
            "Nothing lies in the place for the piece. Lay the piece inside the outlines."
        )
    seeds = np.zeros(white.shape, dtype=np.int32)
    seeds[middle] = _PIECE
    seeds[white] = _PAPER
    seeds[inner] = _PIECE
    if not white.any():
        raise OutlineError(
            "No white paper is to be seen round the piece. Lay it inside the place on the sheet, "
            "and keep other things and hard shadows away from it."
        )
    rough = share_out(seen.steep, seeds) == _PIECE
    # Where an edge lies is told by light itself: in L* a dark edge would seem to lie further out.
    band = grow(rough, seen.cells(_BAND_MM)) & ~shrink(rough, seen.cells(_BAND_MM))
    # The raster's own edge is no edge of the piece.
    fine = np.where(rough, _PIECE, _PAPER).astype(np.int32)
    fine[band] = 0
    return np.asarray(share_out(slope(seen.light), fine) == _PIECE)


def _find_middles(seen: Seen, coloured: Mask) -> Mask:
    """Cells so deep in what is not white that no soft shadow reaches there."""
    dark = ~seen.white
    deep = depth(dark) / seen.px_per_mm
    labels, count = label(dark)
    deepest = np.zeros(count + 1, dtype=np.float32)
    np.maximum.at(deepest, labels.ravel(), deep.ravel())
    middle = dark & (deep > np.maximum(_MIDDLE_MM, _MIDDLE_SHARE * deepest)[labels])
    # Where colour tells, it tells better.
    all_of = np.bincount(labels[middle], minlength=count + 1)
    told = np.bincount(labels[middle & coloured], minlength=count + 1)
    return np.asarray(middle & (2 * told < all_of)[labels])


def _pick_piece(mask: Mask, seen: Seen) -> Mask:
    """The one piece; crumbs are let go. Raises :class:`OutlineError`."""
    labels, count = label(mask)
    deepest = np.zeros(count + 1, dtype=np.float32)
    # Only whether it is more than so deep is asked.
    deep = depth(mask, limit=_SECOND_MM / 2 * seen.px_per_mm + 2)
    np.maximum.at(deepest, labels.ravel(), deep.ravel())
    across = 2 * deepest / seen.px_per_mm  # of the largest circle in it
    across[0] = 0
    if across.max(initial=0) < _CRUMB_MM:
        raise NothingThereError(
            "Nothing but crumbs lies in the place for the piece. Lay the piece inside the outlines."
        )
    areas = np.bincount(labels.ravel(), minlength=count + 1)
    areas[0] = 0
    largest = int(areas.argmax())
    others = [n for n in range(1, count + 1) if n != largest and across[n] > _SECOND_MM]
    piece = labels == largest
    if others:
        raise OutlineError(
            f"{len(others) + 1} things lie in the place for the piece. Photograph one piece at a "
            "time, and lay nothing else on the sheet but the card and the label."
        )
    if piece[0].any() or piece[-1].any() or piece[:, 0].any() or piece[:, -1].any():
        raise OutlineError(
            "The piece reaches beyond the place for it. Lay it wholly inside the outlines, with "
            "white paper all round; a piece that is larger needs its place marked by hand."
        )
    y, x = np.nonzero(piece)
    low = min(int(np.ptp(y)), int(np.ptp(x))) + 1
    if low < LEAST_MM * seen.px_per_mm or low < LEAST_PX:
        raise OutlineError(
            f"The piece is {low / seen.px_per_mm:.0f} mm ({low} cells of the picture) across, and "
            f"{LEAST_MM:.0f} mm and {LEAST_PX} cells is the least: its edges are left off, and too "
            "little would be left to read. Go nearer with a smaller sheet, or mark it by hand."
        )
    # Paper is looked for in holes later, and by stricter rules.
    outside, count = label(~np.pad(piece, 1))
    return np.asarray((outside != outside[0, 0])[1:-1, 1:-1])


def _describe(mask: Mask, whole: Mask, px_per_mm: float, origin_mm: PointMm) -> Outline:
    y, x = np.nonzero(whole)
    left, right = origin_mm[0] + x.min() / px_per_mm, origin_mm[0] + (x.max() + 1) / px_per_mm
    top, bottom = origin_mm[1] + y.min() / px_per_mm, origin_mm[1] + (y.max() + 1) / px_per_mm
    width, height = float(right - left), float(bottom - top)
    full = np.count_nonzero(whole) / px_per_mm**2
    across = (width + height) / 2
    disc = (
        abs(width - height) < _DISC_ROUND * across
        and abs(full / (np.pi / 4 * across**2) - 1) < _DISC_ROUND
    )
    return Outline(
        mask=mask,
        origin_mm=origin_mm,
        px_per_mm=px_per_mm,
        corners=((left, top), (right, top), (right, bottom), (left, bottom)),
        form="disc" if disc else "other",
        size_mm=(width, height),
        area_mm2=np.count_nonzero(mask) / px_per_mm**2,
    )
