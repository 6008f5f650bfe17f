"""A text as the outlines of a QR code (ISO/IEC 18004)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

import segno

from builder.records.jig import QUIET_MODULES, BoxMm
from builder.sheets.shapes import Code

_Corner = tuple[int, int]
Level = Literal["M", "Q"]


def draw_mark(text: str, box: BoxMm) -> Code:
    """A version 1 code of level Q filling ``box``; the quiet zone lies outside it. Raises
    ``ValueError`` where version 1 does not hold the text (16 signs, alphanumeric)."""
    made = segno.make(text, error="q", version=1, mode="alphanumeric", boost_error=False)
    return _place(text, made.matrix, box)


def draw_label_code(text: str, box: BoxMm) -> Code:
    """The smallest code of level M that holds ``text``, UTF-8 where it is not plain; it and its
    quiet zone fill the square ``box``."""
    made = _make_label(text)
    left, top, right, bottom = box
    modules = len(made.matrix) + 2 * QUIET_MODULES
    quiet = QUIET_MODULES * (right - left) / modules
    return _place(text, made.matrix, (left + quiet, top + quiet, right - quiet, bottom - quiet))


def count_modules(text: str) -> int:
    """How many modules wide the code of a label is, without its quiet zone."""
    return len(_make_label(text).matrix)


def _make_label(text: str) -> segno.QRCode:
    encoding = None if text.isascii() else "utf-8"
    return segno.make(text, error="m", micro=False, boost_error=False, encoding=encoding)


def _place(text: str, matrix: Sequence[Sequence[int]], box: BoxMm) -> Code:
    left, top, right, bottom = box
    across, down = (right - left) / len(matrix[0]), (bottom - top) / len(matrix)
    loops = tuple(
        tuple((left + x * across, top + y * down) for x, y in loop)
        for loop in trace_borders(matrix)
    )
    return Code(text, box, loops)


def trace_borders(matrix: Sequence[Sequence[int]]) -> Iterator[tuple[_Corner, ...]]:
    """The borders of the dark parts, each a loop of its corners (x, y), in the order of rows.

    One outline instead of a square a module: squares that touch leave hairlines of paper between
    them where a viewer softens edges.
    """
    ways = _find_edges(matrix)
    while ways:
        start = min(ways, key=lambda corner: (corner[1], corner[0]))
        corner, before, loop = start, (0, 0), []
        while corner in ways:
            after = ways[corner].pop()
            if not ways[corner]:
                del ways[corner]
            step = (after[0] - corner[0], after[1] - corner[1])
            if step != before:
                loop.append(corner)
            corner, before = after, step
        yield tuple(loop)


def _find_edges(matrix: Sequence[Sequence[int]]) -> dict[_Corner, list[_Corner]]:
    """From each corner the next ones along a border, dark on the right hand."""
    down, across = len(matrix), len(matrix[0])

    def dark(x: int, y: int) -> bool:
        return 0 <= y < down and 0 <= x < across and bool(matrix[y][x])

    ways: dict[_Corner, list[_Corner]] = {}
    for y in range(down):
        for x in range(across):
            if not dark(x, y):
                continue
            square = ((x, y), (x + 1, y), (x + 1, y + 1), (x, y + 1))
            beside = ((x, y - 1), (x + 1, y), (x, y + 1), (x - 1, y))
            for side, (beside_x, beside_y) in enumerate(beside):
                if not dark(beside_x, beside_y):
                    ways.setdefault(square[side], []).append(square[(side + 1) % 4])
    return ways
