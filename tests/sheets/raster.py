"""A PDF page as a printer would lay it down: grey, rows downward."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pypdfium2
import zxingcpp
from numpy.typing import NDArray

DPI = 300
PX_PER_MM = DPI / 25.4

Grey = NDArray[np.uint8]


def rasterise(pdf: bytes, dpi: float = DPI) -> list[Grey]:
    """Every page, (h, w) 0 black to 255 paper."""
    with pypdfium2.PdfDocument(pdf) as document:
        pages = []
        for page in document:
            drawn = page.render(scale=dpi / 72, grayscale=True).to_numpy()
            pages.append(drawn.reshape(drawn.shape[:2]).copy())
        return pages


def page_sizes(pdf: bytes) -> list[tuple[float, float]]:
    with pypdfium2.PdfDocument(pdf) as document:
        return [page.get_size() for page in document]


def read_codes(page: Grey) -> dict[str, NDArray[np.float64]]:
    """Text to corners, mm, clockwise from the code's own left top; the outer edges of its dark
    parts. By a reader that has nothing to do with what drew them."""
    found = {}
    for code in zxingcpp.read_barcodes(page, formats=zxingcpp.BarcodeFormat.QRCode):
        at = code.position
        corners = (at.top_left, at.top_right, at.bottom_right, at.bottom_left)
        found[code.text] = np.array([[p.x, p.y] for p in corners]) / PX_PER_MM
    return found


def cut(page: Grey, box: tuple[float, float, float, float]) -> Grey:
    """The pixels of a box, mm."""
    left, top, right, bottom = (round(edge * PX_PER_MM) for edge in box)
    return page[top:bottom, left:right]


def read_pictures(pdf: bytes) -> list[bytes]:
    """Every picture in it, as the JPEG file it was put in as."""
    with pypdfium2.PdfDocument(pdf) as document:
        return [
            bytes(shown.get_data(decode_simple=True))
            for page in document
            for shown in page.get_objects()
            if isinstance(shown, pypdfium2.PdfImage)
        ]


def write_picture(pdf: bytes, into: Path, dpi: float) -> None:
    with pypdfium2.PdfDocument(pdf) as document:
        document[0].render(scale=dpi / 72).to_pil().convert("L").save(into, optimize=True)
