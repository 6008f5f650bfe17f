"""The jig sheet as its own printer draws it, and the slip with a piece's number."""

from __future__ import annotations

from functools import cache

import numpy as np
import pypdfium2
import segno
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from builder.records.jig import BoxMm, Jig, write_label
from builder.sheets.printing import print_jig

Field = NDArray[np.float32]

PX = 4  # of a scene, pixels a millimetre
_FINE = 4  # drawn this many times finer, then averaged
_POINTS = 72 / 25.4  # a millimetre
NUMBER = 12  # of the print
SLIP_MM = (70.0, 30.0)
_SLIP_QR_MM = 24.0


@cache
def print_sheet(jig: Jig) -> Field:
    """Ink on the sheet, 0 paper to 1 solid, (height · PX, width · PX)."""
    (file,) = print_jig(jig, NUMBER, ["pdf"])
    page = pypdfium2.PdfDocument(file.content)[0]
    drawn = page.render(scale=PX * _FINE / _POINTS, grayscale=True).to_pil().convert("L")
    size = (round(jig.width * PX), round(jig.height * PX))
    drawn = drawn.resize((size[0] * _FINE, size[1] * _FINE), Image.Resampling.NEAREST)
    return average(1 - np.asarray(drawn, dtype=np.float32) / 255, _FINE)


@cache
def print_slip(piece: str) -> Field:
    """Ink on the slip with the piece's code, (30 · PX, 70 · PX)."""
    modules = np.array([list(row) for row in segno.make_qr(write_label(piece), error="m").matrix])
    scale = PX * _FINE
    image = Image.new("L", (round(SLIP_MM[0] * scale), round(SLIP_MM[1] * scale)), 0)
    code = Image.fromarray((modules > 0).astype(np.uint8) * 255)
    side = round(_SLIP_QR_MM * scale)
    image.paste(code.resize((side, side), Image.Resampling.NEAREST), (3 * scale, 3 * scale))
    ImageDraw.Draw(image).text(
        (32 * scale, 15 * scale), piece, fill=255, anchor="lm", font_size=7 * scale
    )
    return average(np.asarray(image, dtype=np.float32) / 255, _FINE)


def average(values: Field, side: int) -> Field:
    """Means over squares of ``side``, (h, w, …) → (h / side, w / side, …)."""
    h, w = values.shape[0] // side, values.shape[1] // side
    cut = values[: h * side, : w * side]
    parts = cut.reshape(h, side, w, side, *values.shape[2:])
    return np.asarray(parts.mean(axis=(1, 3)), dtype=np.float32)


def window(box: BoxMm) -> tuple[slice, slice]:
    """Rows and columns of a box in mm on a raster of the scene."""
    left, top, right, bottom = (round(edge * PX) for edge in box)
    return slice(top, bottom), slice(left, right)
