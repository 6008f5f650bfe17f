"""The jig sheet found in a picture: which it is, and where each of its millimetres lies.

Marks are read, then laid on their pictures to a part of a pixel (:mod:`builder.look.marks`);
perspective and lens are fitted to their corners and to the small discs along the edges
(:mod:`builder.look.lens`), and how far the discs lie from that tells whether the sheet is flat.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from builder.look.codes import Code
from builder.look.discs import find_discs
from builder.look.lens import Lens, fit_lens, map_square
from builder.look.marks import Aligned, align_mark, draw_pattern
from builder.look.sheet_marks import (
    AGAIN,
    LEAST_MARKS,
    NoMarksError,
    SheetError,
    check_order,
    settle_marks,
    strange_marks,
)
from builder.records.jig import Jig, write_marks
from builder.records.photo import Quad

__all__ = ["FoundSheet", "NoMarksError", "SheetError", "find_sheet"]

Floats = NDArray[np.float64]

_NO_LIKENESS = 0.75  # correlation of pattern and picture below which a mark is not there
_STRANGE_MM = 4.0  # marks that lie further than that from any flat sheet's are no sheet's
_LEAST_DISCS = 6  # for the lens's bend to be told from the perspective
_EDGE = 2.563  # standard deviations between a tenth and nine tenths of a smeared edge
_PAIR = 2  # marks that foretell where the others are


@dataclass(frozen=True, eq=False)
class FoundSheet:
    """A sheet in a picture of ``size`` (width, height) pixels.

    ``marks``: corner marks used, 3 or 4; ``discs``: small discs seen, 0 to 12; ``off_mm``: how far
    those lie from where a flat sheet has them, root mean square (of the marks' corners where fewer
    than three are seen); ``mm_per_px`` at the middle of the piece's place; ``blur_mm``: the width
    over which an edge of the marks goes from a tenth to nine tenths of its step. Pixel (0, 0) has
    its middle at (0.5, 0.5).
    """

    jig: Jig
    number: int
    marks: int
    discs: int
    off_mm: float
    mm_per_px: float
    blur_mm: float
    size: tuple[int, int]
    lens: Lens = field(repr=False)

    def to_picture(self, mm: Floats | Sequence[Sequence[float]]) -> Floats:
        """Millimetres of the sheet (…, 2) → pixels (…, 2)."""
        return self.lens.to_picture(np.asarray(mm, dtype=np.float64))

    def to_sheet(self, px: Floats | Sequence[Sequence[float]]) -> Floats:
        """Pixels (…, 2) → millimetres of the sheet (…, 2)."""
        return self.lens.to_sheet(np.asarray(px, dtype=np.float64))

    def quad(self, points: Floats | Sequence[Sequence[float]]) -> Quad:
        """Four places on the sheet, mm (4, 2), as fractions of the upright picture."""
        a, b, c, d = ((float(x), float(y)) for x, y in self.to_picture(points) / self.size)
        return a, b, c, d

    def enlarged(self, times: int, size: tuple[int, int]) -> FoundSheet:
        """The same in the picture of ``size`` that this one was reduced from, so many times."""
        return replace(
            self, mm_per_px=self.mm_per_px / times, size=size, lens=self.lens.enlarged(times)
        )


def find_sheet(
    rgb: NDArray[np.uint8], codes: Iterable[Code], size: str = "", number: int | None = None
) -> FoundSheet:
    """The jig sheet in the upright picture (h, w, 3), whose codes were read before.

    ``size`` and ``number`` are those the set-up names, "" and None for any. Raises
    :class:`SheetError`, and its kind :class:`NoMarksError`, with one sentence saying why not.
    """
    marks = settle_marks(codes, size, number)
    first = next(iter(marks))
    jig, sheet = first.jig, first.number
    seen = {mark.corner: code for mark, code in marks.items()}
    check_order({corner: code.middle for corner, code in seen.items()})
    picture = (rgb.shape[1], rgb.shape[0])
    patterns = _patterns(jig, sheet, seen)
    planes = {corner: map_square(code.corners) for corner, code in seen.items()}
    laid = _align(rgb, patterns, planes, {}, rough=True)
    if len(laid) >= _PAIR:
        # Again from all together, and those too that could not be read but are there.
        lens = _fit_marks(jig, laid, picture)
        laid = _align(rgb, patterns, _planes(jig, lens), laid)
    if len(laid) < LEAST_MARKS:
        made_out = len(laid) or min(len(marks), _PAIR)
        raise SheetError(
            f"only {_count(made_out)} of the sheet’s four corner marks can be made out",
            "three or four are needed",
            f"{AGAIN} with the corners in the frame, uncovered and sharp",
        )
    lens = _fit_marks(jig, laid, picture, bent=len(laid) > LEAST_MARKS)
    discs = find_discs(rgb, jig, lens)
    lens = _fit_all(jig, laid, discs, picture)
    if lens.bend:  # what was found by a plane alone is found better, or only now, with the bend
        laid = _align(rgb, patterns, _planes(jig, lens), laid)
        discs = find_discs(rgb, jig, lens)
        lens = _fit_all(jig, laid, discs, picture)
    return _describe(jig, sheet, laid, discs, picture, lens)


def _patterns(jig: Jig, number: int, seen: Mapping[int, Code]) -> dict[int, Floats]:
    """Every corner's pattern; an unread one's is taken to be made as those that were read."""
    level = next(iter(seen.values())).level
    return {
        corner: draw_pattern(
            text,
            seen[corner].level if corner in seen else level,
            seen[corner].mask if corner in seen else None,
        )
        for corner, text in enumerate(write_marks(jig, number))
    }


def _align(
    rgb: NDArray[np.uint8],
    patterns: Mapping[int, Floats],
    planes: Mapping[int, Floats],
    before: Mapping[int, Aligned],
    rough: bool = False,
) -> dict[int, Aligned]:
    """Marks that are there; ``planes`` lead from the unit square of a mark to pixels."""
    laid = dict(before)
    for corner, plane in sorted(planes.items()):
        pattern = patterns[corner]
        n = pattern.shape[0]
        found = align_mark(rgb, pattern, plane / np.array([n, n, 1.0]), before.get(corner), rough)
        if found is not None and found.likeness >= _NO_LIKENESS:
            laid[corner] = found
    return laid


def _planes(jig: Jig, lens: Lens) -> dict[int, Floats]:
    """Every mark's, as the lens has it."""
    return {c: map_square(lens.to_picture(_corners(jig, c))) for c in range(len(jig.marks))}


def _corners(jig: Jig, corner: int) -> Floats:
    left, top, right, bottom = jig.marks[corner]
    return np.array([(left, top), (right, top), (right, bottom), (left, bottom)])


def _fit_marks(
    jig: Jig, laid: Mapping[int, Aligned], picture: tuple[int, int], bent: bool = False
) -> Lens:
    mm = np.concatenate([_corners(jig, corner) for corner in sorted(laid)])
    px = np.concatenate([laid[corner].corners for corner in sorted(laid)])
    lens = _fit(mm, px, picture, bent=bent)
    if np.linalg.norm(lens.to_sheet(px) - mm, axis=1).max() > _STRANGE_MM:
        raise strange_marks()
    return lens


def _fit_all(
    jig: Jig, laid: Mapping[int, Aligned], discs: Mapping[int, Floats], picture: tuple[int, int]
) -> Lens:
    """Marks and discs together; a mark's four corners are two free places, so half a disc each."""
    places = np.array(jig.dots)
    mm = [*(_corners(jig, c) for c in sorted(laid)), *(places[[d]] for d in sorted(discs))]
    px = [*(laid[c].corners for c in sorted(laid)), *(discs[d][None] for d in sorted(discs))]
    weights = np.repeat([0.5, 1.0], [4 * len(laid), len(discs)])
    return _fit(
        np.concatenate(mm), np.concatenate(px), picture, weights, len(discs) >= _LEAST_DISCS
    )


def _fit(
    mm: Floats,
    px: Floats,
    picture: tuple[int, int],
    weights: Floats | None = None,
    bent: bool = False,
) -> Lens:
    try:
        return fit_lens(mm, px, picture, weights, bent)
    except (ValueError, np.linalg.LinAlgError):
        raise strange_marks() from None


def _describe(
    jig: Jig,
    number: int,
    laid: Mapping[int, Aligned],
    discs: Mapping[int, Floats],
    picture: tuple[int, int],
    lens: Lens,
) -> FoundSheet:
    if len(discs) >= LEAST_MARKS:
        mm = np.array(jig.dots)[sorted(discs)]
        px = np.array([discs[disc] for disc in sorted(discs)])
    else:
        mm = np.concatenate([_corners(jig, corner) for corner in sorted(laid)])
        px = np.concatenate([laid[corner].corners for corner in sorted(laid)])
    off = np.linalg.norm(lens.to_sheet(px) - mm, axis=1)
    blurs = [
        mark.blur * _scale(lens, _corners(jig, corner).mean(axis=0))
        for corner, mark in laid.items()
    ]
    return FoundSheet(
        jig=jig,
        number=number,
        marks=len(laid),
        discs=len(discs),
        off_mm=float(np.sqrt(np.mean(off**2))),
        mm_per_px=_scale(lens, np.array(jig.middle)),
        blur_mm=_EDGE * float(np.median(blurs)),
        size=picture,
        lens=lens,
    )


def _scale(lens: Lens, at: Floats) -> float:
    """Millimetres a pixel at a place of the sheet: the root of the areas' ratio."""
    square = at + np.array([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)])
    o, x, y = lens.to_picture(square)
    area = abs(float((x - o)[0] * (y - o)[1] - (x - o)[1] * (y - o)[0]))
    return 1.0 / math.sqrt(max(area, 1e-12))


def _count(number: int) -> str:
    return ("none", "one", "two")[number]
