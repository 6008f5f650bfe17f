"""The piece cut out of the picture: straightened, put right, and told from the paper round it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from builder.look.insets import inset, rim_and_centre
from builder.look.opening import Opened
from builder.look.perspective import carry, map_plane
from builder.look.regions import soften
from builder.look.views import ONE, cut_quad, lay_over, quad_size
from builder.measure.cards import CardFit
from builder.measure.coverage import CELL_LEAST, CELL_MM, CELL_PART
from builder.measure.decode import find_clipped, part_of_squares
from builder.measure.readings import Region
from builder.observing.places import Places
from builder.records.photo import Quad

Floats = NDArray[np.float64]

#: Left off at the outline: what blur, burr and the shadow under the edge make of it.
_EDGE_MM = 1.5
#: Pixels of a piece: with so many, more of them make no figure surer.
_PLENTY = 300_000
#: A square of which this part ran out of scale did so: the share of the whole stays what it is.
_CLIPPED = 0.5


@dataclass(frozen=True, eq=False)
class Cut:
    """``region`` what is measured, each of its pixels the mean light of a square of ``side`` pixels
    of the picture. ``alpha`` (h, w), 0 to 1: how far a pixel shows the piece; None where the piece
    is not outlined and all of its place is shown."""

    region: Region
    side: int
    alpha: NDArray[np.float32] | None = None


def cut_piece(opened: Opened, places: Places, fit: CardFit | None, view_width: int) -> Cut | None:
    """The piece's place straightened and corrected, with all pixels that its view, of
    ``view_width`` pixels to 100 mm, and its reading ask for; None where it is not known.

    Raises ``CornersError``."""
    if places.piece is None:
        return None
    size = quad_size(opened.picture, places.piece)
    side = _choose_side(size, places.piece_mm, view_width)
    rgb = _cut_whole(opened, places.piece, side)
    xyz = correct_cut(opened, fit, rgb, places.corners_mm, side)
    clipped = part_of_squares(find_clipped(rgb), side, _CLIPPED)
    outline, corners = places.outline, places.corners_mm
    if outline is None or corners is None:
        return Cut(Region(xyz, clipped), side)
    scale = outline.px_per_mm
    inner = inset(outline.mask, scale, _EDGE_MM)
    inner = inner if inner.any() else outline.mask
    rim, centre = rim_and_centre(inner, scale)
    rasters = np.stack([soften(outline.mask, 0.7), inner, rim, centre], axis=-1)
    # One cell of nought all round, so that a blend runs out into it.
    around = np.pad(rasters, [(1, 1), (1, 1), (0, 0)])
    left, top = 1 - np.array(outline.origin_mm) * scale
    to_cells = np.array([[scale, 0, left], [0, scale, top], [0, 0, 1]]) @ _plane_of(corners)
    laid = lay_over(around, to_cells, clipped.shape[1], clipped.shape[0])
    inside, near, middle = (laid[..., layer] >= ONE / 2 for layer in (1, 2, 3))
    region = Region(xyz, clipped, inside, inside & near, inside & middle)
    return Cut(region, side, np.divide(laid[..., 0], ONE, dtype=np.float32))


def _choose_side(
    size: tuple[int, int], piece_mm: tuple[float, float] | None, view_width: int
) -> int:
    """Of how many pixels each way a mean may be taken in a place of ``size`` (width, height)."""
    if piece_mm:
        finest = max(view_width / 100, CELL_LEAST / CELL_MM)
        spare = size[0] / (piece_mm[0] * finest)
    else:
        spare = min(size[0] / view_width, max(size) * CELL_PART / CELL_LEAST)
    return max(1, int(min(spare, math.sqrt(math.prod(size) / _PLENTY))))


def _cut_whole(opened: Opened, quad: Quad, side: int) -> NDArray[np.uint8]:
    """A place straightened at its own size, to whole multiples of ``side``, (h, w, 3): original
    pixels. Raises ``CornersError``."""
    width, height = (max(1, round(n / side)) for n in quad_size(opened.picture, quad))
    return cut_quad(opened.picture, quad, width * side, height * side)


def correct_cut(
    opened: Opened,
    fit: CardFit | None,
    rgb: NDArray[np.uint8],
    corners_mm: Floats | None,
    side: int = 1,
) -> NDArray[np.float32]:
    """Linear XYZ (h, w, 3) of a place that was straightened, corrected where there is a ``fit``,
    each the mean of a square of ``side`` pixels; ``corners_mm`` (4, 2) of the place on the sheet,
    None where that is not known."""
    where = None if corners_mm is None else partial(spread_over, corners_mm)
    return (fit or CardFit("")).correct_picture(rgb, opened.encoding, where, side)


def spread_over(corners_mm: Floats, plane: Floats) -> Floats:
    """Places (…, 2) in a quad's own plane, 0 to 1, as millimetres of the sheet (…, 2)."""
    return carry(_plane_of(corners_mm), plane)


def _plane_of(corners_mm: Floats) -> Floats:
    a, b, c, d = ((float(x), float(y)) for x, y in corners_mm)
    return map_plane((a, b, c, d), 1, 1)
