"""The jig sheet and the pieces' labels as they came out of the printer.

The shapes are those that ``patinarium print`` writes; here they become ink coverage (0 paper, 1
solid black), (h, w) float32. Straight edges and discs count by the part of each pixel they cover,
so that they lie true to a hundredth of a millimetre.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFont

from builder import look
from builder.records.jig import BoxMm, PointMm
from builder.sheets.jig_sheet import draw_jig
from builder.sheets.labels import Label, draw_label
from builder.sheets.lettering import measure_words
from builder.sheets.shapes import Code, Disc, Frame, Line, Ring, Shape, Words
from tests.studio.grain import Field, millimetres
from tests.studio.pieces import DemoPiece
from tests.studio.stand import JIG, LABEL_SIZE_MM, SHEET_NUMBER

_FINE = 3  # words are drawn this many times finer, then averaged
_LETTERS_PX = 100  # size at which the width of words is taken
_GAMMA = 2.2  # of the printed greys, near the sRGB curve (IEC 61966-2-1)
_FONTS = Path(look.__file__).parent / "type"


class _Paper:
    """Takes ink in millimetres."""

    def __init__(self, size_mm: tuple[float, float], px: float) -> None:
        self.px = px
        width, height = (round(side * px) for side in size_mm)
        self.ink = np.zeros((height, width), dtype=np.float32)
        self._upright = Image.new("L", (width * _FINE, height * _FINE), 0)
        self._turned = Image.new("L", (height * _FINE, width * _FINE), 0)

    def draw(self, shape: Shape) -> None:
        match shape:
            case Line(points, pen):
                for start, end in pairwise(points):
                    self._fill(_thicken(start, end, pen.width), _ink(pen.grey))
            case Frame((left, top, right, bottom), pen):
                corners = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
                self.draw(Line(corners, pen))
            case Ring(middle, across, pen):
                off = np.abs(self._from(middle) - across / 2)
                self._soak(pen.width / 2 - off, _ink(pen.grey), pen.width)
            case Disc(middle, across, grey):
                self._soak(across / 2 - self._from(middle), _ink(grey), across)
            case Code(_, box, loops):
                self._print_code(box, loops)
            case Words():
                self._write(shape)

    def dry(self) -> Field:
        """All the ink."""
        height, width = self.ink.shape
        turned = self._turned.transpose(Image.Transpose.ROTATE_270)  # a quarter clockwise
        fine = np.maximum(np.asarray(self._upright), np.asarray(turned)).astype(np.float32) / 255
        words = fine.reshape(height, _FINE, width, _FINE).mean(axis=(1, 3))
        return np.asarray(np.clip(np.maximum(self.ink, words), 0, 1), dtype=np.float32)

    def _fill(self, box: BoxMm, ink: float) -> None:
        np.maximum(self.ink, ink * self._cover(box), out=self.ink)

    def _soak(self, inside: Field, ink: float, width: float) -> None:
        """Ink where ``inside``, mm, is over 0, no more of a pixel than ``width`` mm cover."""
        part = np.clip(inside * self.px + 0.5, 0, min(1.0, width * self.px))
        np.maximum(self.ink, ink * part, out=self.ink)

    def _print_code(self, box: BoxMm, loops: Iterable[tuple[PointMm, ...]]) -> None:
        """Dark lies to the right of each border: all that is right of an upward edge, less all
        that is right of a downward one."""
        code = np.zeros_like(self.ink)
        for loop in loops:
            for (x, y), (_, to_y) in zip(loop, (*loop[1:], loop[0]), strict=True):
                if y != to_y:
                    right = self._cover((x, min(y, to_y), box[2], max(y, to_y)))
                    code += right if to_y < y else -right
        np.maximum(self.ink, code, out=self.ink)

    def _write(self, words: Words) -> None:
        """As large as the printer's, and no wider: its font is another."""
        upright = words.turn == 0
        image = self._upright if upright else self._turned
        x, y = words.at if upright else (words.at[1], self.ink.shape[1] / self.px - words.at[0])
        scale = self.px * _FINE
        own = _font(words.bold, _LETTERS_PX).getlength(words.text) / _LETTERS_PX
        wide = measure_words(words.text, words.size, words.bold) / own
        size = min(words.size, wide) * scale
        ImageDraw.Draw(image).text(
            (x * scale, y * scale),
            words.text,
            fill=round(255 * _ink(words.grey)),
            font=_font(words.bold, size),
            anchor={"start": "ls", "middle": "ms", "end": "rs"}[words.anchor],
        )

    def _cover(self, box: BoxMm) -> Field:
        """How much of each pixel a box covers."""
        sides = []
        for low, high, count in zip(box[:2], box[2:], self.ink.shape[::-1], strict=True):
            edges = np.arange(count, dtype=np.float64)
            part = np.minimum(edges + 1, high * self.px) - np.maximum(edges, low * self.px)
            sides.append(np.clip(part, 0, 1).astype(np.float32))
        across, down = sides
        return np.asarray(down[:, None] * across[None, :])

    def _from(self, middle: PointMm) -> Field:
        x, y = millimetres((self.ink.shape[0], self.ink.shape[1]), self.px)
        return np.asarray(np.hypot(x - middle[0], y - middle[1]), dtype=np.float32)


def _ink(grey: float) -> float:
    """A grey of the printed page, which is laid down as dots that look like that step of sRGB."""
    return float(1 - grey**_GAMMA)


def _font(bold: bool, size: float) -> ImageFont.FreeTypeFont:
    name = "inter-semibold.ttf" if bold else "inter-regular.ttf"
    return ImageFont.truetype(_FONTS / name, size, layout_engine=ImageFont.Layout.BASIC)


def _thicken(start: PointMm, end: PointMm, width: float) -> BoxMm:
    """A line along x or y as a box, half its width longer at each end, so that corners close."""
    (x, y), (to_x, to_y) = start, end
    half = width / 2
    return min(x, to_x) - half, min(y, to_y) - half, max(x, to_x) + half, max(y, to_y) + half


def _print(shapes: Iterable[Shape], size_mm: tuple[float, float], px: float) -> Field:
    paper = _Paper(size_mm, px)
    for shape in shapes:
        paper.draw(shape)
    return paper.dry()


@cache
def print_sheet(px: float) -> Field:
    """The jig sheet that lay on the bench at every evening."""
    return _print(draw_jig(JIG, SHEET_NUMBER).shapes, (JIG.width, JIG.height), px)


@cache
def print_slip(piece: DemoPiece, px: float) -> Field:
    """A piece's label: its number as a code and, large, in words."""
    label = Label(piece.number, f"{piece.metal}, {piece.method}")
    return _print(draw_label(label, (0.0, 0.0)), LABEL_SIZE_MM, px)
