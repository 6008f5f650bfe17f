"""Sheets as one PDF file (ISO 32000), a page each."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import FILL_EVEN_ODD, Canvas

from builder.sheets.lettering import name_font, spell
from builder.sheets.shapes import (
    Code,
    Disc,
    Frame,
    Line,
    Mat,
    Pen,
    Photo,
    Ring,
    Shape,
    Sheet,
    Words,
)

POINTS_PER_MM = 72 / 25.4
_SQUARE_ENDS = 0  # the line stops where its last point is


def write_pdf(sheets: Sequence[Sheet]) -> bytes:
    """The file's bytes: the same for the same sheets. Its pages are exactly as large as the sheets,
    its fonts those every reader has, and it asks for printing at its own size. At least one sheet.
    """
    into = BytesIO()
    # Not packed: the packing differs from one library of it to another.
    canvas = Canvas(into, invariant=1, pageCompression=0, lang="en")
    canvas.setTitle(sheets[0].title)
    canvas.setSubject(sheets[0].about)
    canvas.setAuthor("Patinarium")
    canvas.setCreator("Patinarium")
    canvas.setProducer("Patinarium")
    canvas.setViewerPreference("PrintScaling", "None")
    for sheet in sheets:
        canvas.setPageSize((sheet.width * POINTS_PER_MM, sheet.height * POINTS_PER_MM))
        # From here on in millimetres, y downward as in the shapes.
        canvas.translate(0, sheet.height * POINTS_PER_MM)
        canvas.scale(POINTS_PER_MM, -POINTS_PER_MM)
        for shape in sheet.shapes:
            _draw(canvas, shape)
        canvas.showPage()
    canvas.save()
    return into.getvalue()


def _draw(canvas: Canvas, shape: Shape) -> None:
    match shape:
        case Line(points, pen):
            _take(canvas, pen)
            path = canvas.beginPath()
            path.moveTo(*points[0])
            for point in points[1:]:
                path.lineTo(*point)
            canvas.drawPath(path)
        case Frame((left, top, right, bottom), pen):
            _take(canvas, pen)
            canvas.rect(left, top, right - left, bottom - top)
        case Mat((left, top, right, bottom), grey):
            canvas.setFillGray(grey)
            canvas.rect(left, top, right - left, bottom - top, stroke=0, fill=1)
        case Ring((x, y), across, pen):
            _take(canvas, pen)
            canvas.circle(x, y, across / 2)
        case Disc((x, y), across, grey):
            canvas.setFillGray(grey)
            canvas.circle(x, y, across / 2, stroke=0, fill=1)
        case Code():
            _fill(canvas, shape)
        case Words():
            _write(canvas, shape)
        case Photo():
            _place(canvas, shape)


def _take(canvas: Canvas, pen: Pen) -> None:
    canvas.setStrokeGray(pen.grey)
    canvas.setLineWidth(pen.width)
    canvas.setLineCap(_SQUARE_ENDS)
    canvas.setDash(*([list(pen.dashes)] if pen.dashes else [[]]))


def _fill(canvas: Canvas, code: Code) -> None:
    canvas.setFillGray(0)
    path = canvas.beginPath()
    for loop in code.loops:
        path.moveTo(*loop[0])
        for point in loop[1:]:
            path.lineTo(*point)
        path.close()
    canvas.drawPath(path, stroke=0, fill=1, fillMode=FILL_EVEN_ODD)


def _place(canvas: Canvas, photo: Photo) -> None:
    left, top, right, bottom = photo.box
    canvas.saveState()
    canvas.translate(left, bottom)
    canvas.scale(1, -1)
    # A JPEG stays as it is (ISO 32000-1, 7.4.8): nothing is decoded or lost.
    canvas.drawImage(ImageReader(BytesIO(photo.jpeg)), 0, 0, right - left, bottom - top)
    canvas.restoreState()


def _write(canvas: Canvas, words: Words) -> None:
    text = spell(words.text)
    canvas.saveState()
    canvas.translate(*words.at)
    canvas.rotate(words.turn)
    canvas.scale(1, -1)
    canvas.setFillGray(words.grey)
    canvas.setFont(name_font(words.bold), words.size)
    match words.anchor:
        case "middle":
            canvas.drawCentredString(0, 0, text)
        case "end":
            canvas.drawRightString(0, 0, text)
        case _:
            canvas.drawString(0, 0, text)
    canvas.restoreState()
