"""The jig sheet, drawn from its one description."""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.jig import DOT_MM, LAYOUT, OUTLINES, BoxMm, Jig, write_marks
from builder.sheets.codes import draw_mark
from builder.sheets.lettering import measure_words
from builder.sheets.rulers import draw_ruler
from builder.sheets.shapes import (
    FAINT,
    QUIET,
    Disc,
    Frame,
    Line,
    Pen,
    Ring,
    Shape,
    Sheet,
    Words,
)

CHECK = (
    "Each ruler must measure exactly 100 mm.",
    "If not: print again at 100 %, not “fit to page”.",
)
HOW = (
    "Lay the sheet flat. Three corners at least must be seen.",
    "Two lamps of one kind, left and right, at 45°. No window light.",
    "Camera square above; its shadow, and yours, off the sheet.",
    "Piece inside its corners. Card inside its frame, shaded by nothing.",
    "Label here, over these lines.",
    "Keep the white white: print a soiled or yellowed sheet anew.",
)
_THIN = Pen()
_CORNER_MM = 8.0
_CROSS_MM = 2.0
_SMALL_MM = 2.3
_NAME_MM = 5.2
_HOW_MM, _HOW_STEP_MM = 2.75, 4.9
_CHECK_MM = 3.0


def draw_jig(jig: Jig, number: int) -> Sheet:
    """The sheet of that size, bearing ``number`` (0 to 9999, else ``ValueError``)."""
    name = f"Jig sheet {jig.name}, number {number:04d}"
    about = (
        f"A sheet of paper, {jig.width:g} by {jig.height:g} mm, to lay a test piece, a reference "
        "card and a label on for a photograph: four corner marks, discs along the edges, "
        "outlines of pieces, frames for card and label, and two rulers of 100 mm."
    )
    shapes = (
        *_draw_marks(jig, number),
        *_draw_place(jig),
        *_draw_frame(jig.slot, "card"),
        *_draw_frame(jig.label, "label"),
        *_write_how(jig.label),
        *draw_ruler(jig.ruler),
        *draw_ruler(jig.ruler_up, standing=True),
        *_write_lines(jig, number),
    )
    return Sheet(name, about, jig.width, jig.height, shapes)


def _draw_marks(jig: Jig, number: int) -> Iterator[Shape]:
    for text, box in zip(write_marks(jig, number), jig.marks, strict=True):
        yield draw_mark(text, box)
    for dot in jig.dots:
        yield Disc(dot, DOT_MM)


def _draw_place(jig: Jig) -> Iterator[Shape]:
    """Corners of the piece's place, its middle, and the outlines, named above their lower edge."""
    left, top, right, bottom = jig.place
    for x, inward in ((left, _CORNER_MM), (right, -_CORNER_MM)):
        for y, down in ((top, _CORNER_MM), (bottom, -_CORNER_MM)):
            yield Line(((x + inward, y), (x, y), (x, y + down)), _THIN)
    x, y = jig.middle
    yield Line(((x - _CROSS_MM, y), (x + _CROSS_MM, y)), _THIN)
    yield Line(((x, y - _CROSS_MM), (x, y + _CROSS_MM)), _THIN)
    for size in OUTLINES:
        if len(size) == 1:
            yield Ring(jig.middle, size[0], _THIN)
            name = f"Ø {size[0]:g}"
        else:
            half, high = size[0] / 2, size[1] / 2
            yield Frame((x - half, y - high, x + half, y + high), _THIN)
            name = f"{size[0]:g} × {size[1]:g}"
        base = y + size[-1] / 2 - 1.5
        yield Words(name, (x, base), _SMALL_MM, grey=FAINT, anchor="middle")


def _draw_frame(box: BoxMm, name: str) -> Iterator[Shape]:
    yield Frame(box, _THIN)
    yield Words(name, (box[0] + 3.0, box[1] + 4.6), _SMALL_MM, grey=FAINT)


def _write_how(box: BoxMm) -> Iterator[Shape]:
    """How to use the sheet, in the label's place: it is read before a label lies there."""
    left, top, *_ = box
    for row, line in enumerate(HOW):
        base = top + 9.6 + row * _HOW_STEP_MM
        yield Words(str(row + 1), (left + 3.0, base), _HOW_MM, True, QUIET)
        yield Words(line, (left + 7.0, base), _HOW_MM, grey=QUIET)


def _write_lines(jig: Jig, number: int) -> Iterator[Shape]:
    base = jig.written[0][3] - 1.3  # room for the letters that hang below
    name, count = f"Jig sheet {jig.name}", f"number {number:04d}"
    wide = measure_words(name, _NAME_MM, bold=True)
    whole = wide + _NAME_MM + measure_words(count, _NAME_MM)
    left = jig.middle[0] - whole / 2
    yield Words(name, (left, base), _NAME_MM, True)
    yield Words(count, (left + wide + _NAME_MM, base), _NAME_MM, grey=QUIET)
    size = f"{jig.width:g} × {jig.height:g} mm, layout {LAYOUT}"
    yield Words(size, (jig.slot[0], base), _SMALL_MM, grey=QUIET)
    left, top, *_ = jig.written[1]
    yield Words(CHECK[0], (left, top + 3.0), _CHECK_MM, True)
    yield Words(CHECK[1], (left, top + 7.4), _CHECK_MM)
