"""What is shown of a photograph: parts made unrecognisable, and where words can still be read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from builder.look.blurring import blur, find_pixels
from builder.look.codes import Code, find_barcodes
from builder.look.lettering import find_lettering, reduce_to_read
from builder.look.opening import Opened
from builder.look.sheets import FoundSheet
from builder.look.views import cut_quad
from builder.measure.arrays import Mask
from builder.measure.decode import part_of_squares
from builder.observing.cutting import Cut
from builder.observing.places import Places
from builder.records.jig import DOT_MM, BoxMm, read_label, read_mark, widen
from builder.records.photo import Box, Point

Floats = NDArray[np.float64]

_BESIDE_MM = 3.0  # print and things lie and are found to so much
#: How far a label reaches from its code, in sides of the code: left, up, right, down. Codes stand
#: left of the words or above them: builder/sheets/labels.py.
_LABEL = (-0.5, -0.5, 4.5, 2.2)
_CODE = (-0.25, -0.25, 1.25, 1.25)


def hide(opened: Opened, boxes: Sequence[Box]) -> Opened:
    """The picture as it may be shown; the one opened itself where nothing is hidden."""
    return opened.showing(blur(opened.rgb, boxes)) if boxes else opened


def cut_blur(opened: Opened, places: Places, cut: Cut, boxes: Sequence[Box]) -> Mask | None:
    """Which pixels of the piece as ``cut`` (h, w) are hidden, if only in part; None where none can
    be."""
    if not boxes or places.piece is None:
        return None
    hidden = np.zeros_like(opened.rgb)
    for box in boxes:
        hidden[find_pixels(box, opened.height, opened.width)] = 255
    height, width = cut.region.clipped.shape
    fine = cut_quad(hidden, places.piece, width * cut.side, height * cut.side)[..., 0] > 0
    return part_of_squares(fine, cut.side, 0)


def find_words(shown: Opened, places: Places, boxes: Sequence[Box]) -> tuple[Box, ...]:
    """Where words may be read in the picture as it is shown, outside the jig sheet's own print, our
    labels, the card and the piece; and where a code is that is none of ours."""
    size = np.array([shown.width, shown.height], dtype=np.float64)
    known = [_as_points(corners / size) for corners in _list_known(places, size)]
    strange = [
        _bound(code.corners / size)
        for code in places.codes
        if read_mark(code.text) is None and read_label(code.text) is None
    ]
    codes = [code for code in strange if not any(_lies_in(code, box) for box in boxes)]
    grey = reduce_to_read(shown.small)
    barcodes = [_bound(corners) for corners in find_barcodes(grey)]
    return tuple(sorted({*codes, *barcodes, *find_lettering(grey, known)}))


def _list_known(places: Places, size: Floats) -> Iterator[Floats]:
    """Corners, pixels (4, 2), of what is ours."""
    for code in places.codes:
        if read_label(code.text) is not None:
            yield _round_code(code, _LABEL)
        else:  # a mark of a sheet, or one that is told by itself
            yield _round_code(code, _CODE)
    for quad in (places.piece, places.card):
        if quad is not None:
            yield np.array(quad) * size
    if places.sheet is not None:
        for box in _list_print(places.sheet):
            left, top, right, bottom = widen(box, _BESIDE_MM)
            corners = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
            yield places.sheet.to_picture(corners)


def _list_print(sheet: FoundSheet) -> Iterator[BoxMm]:
    jig = sheet.jig
    yield from (*jig.marks, *jig.written, jig.place, jig.slot, jig.label)
    yield from (jig.ruler, jig.ruler_up)
    for x, y in jig.dots:
        yield x - DOT_MM, y - DOT_MM, x + DOT_MM, y + DOT_MM


def _round_code(code: Code, reach: tuple[float, float, float, float]) -> Floats:
    start, across, _, down = code.corners
    left, top, right, bottom = reach
    corners = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
    return np.asarray(start + corners @ np.array([across - start, down - start]))


def _as_points(corners: Floats) -> list[Point]:
    return [(float(x), float(y)) for x, y in corners]


def _bound(corners: Floats) -> Box:
    (left, top), (right, bottom) = np.clip([corners.min(axis=0), corners.max(axis=0)], 0.0, 1.0)
    return float(left), float(top), float(right), float(bottom)


def _lies_in(one: Box, other: Box) -> bool:
    """Whether it lies in the other whole: of a code, a part is enough to read it by."""
    return (
        other[0] <= one[0] and other[1] <= one[1] and one[2] <= other[2] and one[3] <= other[3]
    )  # fmt: skip
