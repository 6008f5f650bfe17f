"""The jig sheet: corner marks, rulers, outlines of the places; and the slip with the number.

A sheet is drawn as ink coverage (0 paper, 1 solid black), (h, w) float32.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from tests.studio.grain import Field
from tests.studio.stand import (
    BELLS,
    CARD_MM,
    MARK_INSET_MM,
    MARK_MM,
    PLATES,
    SHEET_MM,
    SLIP_MM,
    Place,
)

_FINE = 2  # drawn this many times finer, then averaged


class _Pen:
    """Draws in millimetres on a grey image."""

    def __init__(self, size_mm: tuple[float, float], px: float) -> None:
        self.scale = px * _FINE
        size = (round(size_mm[0] * px) * _FINE, round(size_mm[1] * px) * _FINE)
        self.image = Image.new("L", size, 0)
        self.draw = ImageDraw.Draw(self.image)

    def _box(self, box: tuple[float, float, float, float]) -> list[float]:
        left, top, right, bottom = (round(edge * self.scale) for edge in box)
        return [left, top, right - 1, bottom - 1]

    def fill(self, box: tuple[float, float, float, float], ink: float) -> None:
        self.draw.rectangle(self._box(box), fill=round(255 * ink))

    def frame(
        self, box: tuple[float, float, float, float], ink: float, mm: float, radius: float = 0.0
    ) -> None:
        width = max(1, round(mm * self.scale))
        self.draw.rounded_rectangle(
            self._box(box), radius * self.scale, outline=round(255 * ink), width=width
        )

    def write(
        self, words: str, x: float, y: float, cap_mm: float, ink: float, anchor: str = "ms"
    ) -> None:
        font = ImageFont.load_default(cap_mm * 1.42 * self.scale)
        self.draw.text(
            (x * self.scale, y * self.scale), words, fill=round(255 * ink), font=font, anchor=anchor
        )

    def ink(self) -> Field:
        width, height = self.image.size
        fine = np.asarray(self.image, dtype=np.float32) / 255
        parts = fine.reshape(height // _FINE, _FINE, width // _FINE, _FINE)
        return np.asarray(parts.mean(axis=(1, 3)), dtype=np.float32)


def _corner_mark(pen: _Pen, x: float, y: float, which: int) -> None:
    """A square ring, and inside it a figure of its own for each corner."""
    pen.fill((x, y, x + MARK_MM, y + MARK_MM), 0.96)
    pen.fill((x + 2, y + 2, x + 12, y + 12), 0.0)
    if which == 0:
        pen.fill((x + 4, y + 4, x + 10, y + 10), 0.96)
    elif which == 1:
        pen.fill((x + 4, y + 4, x + 10, y + 10), 0.96)
        pen.fill((x + 6, y + 6, x + 8, y + 8), 0.0)
    elif which == 2:
        pen.fill((x + 4, y + 4, x + 10, y + 6), 0.96)
        pen.fill((x + 4, y + 8, x + 10, y + 10), 0.96)
    else:
        pen.fill((x + 4, y + 4, x + 6, y + 10), 0.96)
        pen.fill((x + 8, y + 4, x + 10, y + 10), 0.96)


def _ruler(pen: _Pen, x: float, y: float, length: float, upright: bool) -> None:
    for mm in range(int(length) + 1):
        tick = 4.2 if mm % 10 == 0 else 2.9 if mm % 5 == 0 else 1.7
        width = 0.22
        if upright:
            pen.fill((x - tick, y + mm - width / 2, x, y + mm + width / 2), 0.8)
        else:
            pen.fill((x + mm - width / 2, y, x + mm + width / 2, y + tick), 0.8)
        if mm % 10 == 0:
            if upright:
                pen.write(str(mm), x - 5.2, y + mm, 1.9, 0.8, "rm")
            else:
                pen.write(str(mm), x + mm, y + 5.0, 1.9, 0.8, "mt")


def _brackets(pen: _Pen, box: tuple[float, float, float, float]) -> None:
    """Four corners of a box: a place for things that are not square."""
    left, top, right, bottom = box
    for x, inward in ((left, 1.0), (right, -1.0)):
        for y, down in ((top, 1.0), (bottom, -1.0)):
            xs, ys = sorted((x, x + 12 * inward)), sorted((y, y + 0.3 * down))
            pen.fill((xs[0], ys[0], xs[1], ys[1]), 0.3)
            xs, ys = sorted((x, x + 0.3 * inward)), sorted((y, y + 12 * down))
            pen.fill((xs[0], ys[0], xs[1], ys[1]), 0.3)


@cache
def print_sheet(place: Place, px: float) -> Field:
    """The printed sheet of a set-up."""
    pen = _Pen(SHEET_MM, px)
    width, height = SHEET_MM
    near, far_x, far_y = MARK_INSET_MM, width - MARK_INSET_MM, height - MARK_INSET_MM
    corners = (
        (near, near), (far_x - MARK_MM, near),
        (far_x - MARK_MM, far_y - MARK_MM), (near, far_y - MARK_MM),
    )  # fmt: skip
    for which, (x, y) in enumerate(corners):
        _corner_mark(pen, x, y, which)
    left, top, right, bottom = place.box
    if place is BELLS:
        _brackets(pen, (left - 1.4, top - 1.4, right + 1.4, bottom + 1.4))
    else:
        pen.frame((left - 1.4, top - 1.4, right + 1.4, bottom + 1.4), 0.24, 0.3, radius=3.4)
    _ruler(pen, left, bottom + 5.0, right - left, upright=False)
    _ruler(pen, left - 5.0, top, bottom - top, upright=True)
    card = CARD_MM
    pen.frame((card[0] - 1.2, card[1] - 1.2, card[2] + 1.2, card[3] + 1.2), 0.24, 0.3)
    pen.write("card", card[0], card[3] + 5.4, 2.0, 0.45, "ls")
    slip = SLIP_MM
    pen.frame((slip[0] - 1.5, slip[1] - 1.5, slip[2] + 1.5, slip[3] + 1.5), 0.24, 0.3)
    pen.write("number", slip[0] - 1.5, slip[3] + 6.0, 2.0, 0.45, "ls")
    name = "plates" if place is PLATES else "bells"
    pen.write(f"Sparrowhithe Metal Evenings   jig sheet for {name}", 148.5, 16.0, 2.3, 0.55)
    pen.write("lay the sheet flat   lamps left and right at 45\N{DEGREE SIGN}   do not move the "
              "camera", 148.5, 201.0, 1.9, 0.45)  # fmt: skip
    return pen.ink()


def print_slip(number: str, side: str, px: float) -> Field:
    """The slip: the piece's number, large, and which side is up."""
    left, top, right, bottom = SLIP_MM
    width, height = right - left, bottom - top
    pen = _Pen((width, height), px)
    pen.write(number, width / 2, height * 0.56, 10.5, 0.88)
    pen.fill((7, height * 0.68, width - 7, height * 0.68 + 0.3), 0.7)
    pen.write(side, width / 2, height * 0.89, 4.0, 0.75)
    return pen.ink()
