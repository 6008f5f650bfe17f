"""A change map as a picture: greys only, and marks that differ in shape and size as well."""

from __future__ import annotations

import io
from collections.abc import Sequence

from PIL import Image, ImageDraw

#: The pages' mat, for what was not compared; the ground of what was; the marks on it.
MAT, GROUND, MARK, VEIL = 0x76, 0x46, 0xF4, 0xA8
#: How much of a square's side a mark takes, by sign.
MARKS = {"1": 0.42, "2": 0.70, "3": 1.0}
_FINER = 4  # drawn so many times as large, then brought down: round dots without jags


def draw_change_map(levels: Sequence[str], width: int, height: int) -> bytes:
    """PNG of ``width`` by ``height`` pixels. ``levels``: a text a row, a sign a square: "-" the
    mat, "0" plain ground, "?" a stroke, "1" and "2" dots, "3" a full square.

    Same signs, same bytes.
    """
    rows, columns = len(levels), len(levels[0])
    size = width * _FINER, height * _FINER
    image = Image.new("L", size, MAT)
    pen = ImageDraw.Draw(image)
    wide, high = size[0] / columns, size[1] / rows
    for i, row in enumerate(levels):
        for j, sign in enumerate(row):
            if sign == "-":
                continue
            left, top, right, bottom = j * wide, i * high, (j + 1) * wide, (i + 1) * high
            pen.rectangle((left, top, right, bottom), fill=GROUND)
            if sign == "?":
                pen.line((left, bottom, right, top), fill=VEIL, width=round(0.18 * wide))
            elif sign == "3":
                pen.rectangle((left, top, right, bottom), fill=MARK)
            elif sign in MARKS:
                x, y = (left + right) / 2, (top + bottom) / 2
                a, b = MARKS[sign] * wide / 2, MARKS[sign] * high / 2
                pen.ellipse((x - a, y - b, x + a, y + b), fill=MARK)
    stream = io.BytesIO()
    image.resize((width, height), Image.Resampling.BOX).save(stream, "PNG", optimize=True)
    return stream.getvalue()
