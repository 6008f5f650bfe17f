"""Places in a picture or on a piece, written as fractions."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from builder.records.numbers import read_number
from builder.records.photo import Box, Point, Quad

#: Parts of one picture that can be blurred.
MOST_BOXES = 12


def read_quad(written: Any) -> Quad | str:
    """Two corners (left, top, right, bottom) or four, clockwise from the left top, as fractions 0
    to 1; a sentence saying what is wrong where they cannot be read."""
    if not isinstance(written, (list, tuple)) or len(written) != 4:
        return _count(written)
    if any(isinstance(part, (list, tuple)) for part in written):
        points = [_read_point(part) for part in written]
        corners = [point for point in points if not isinstance(point, str)]
        if len(corners) < 4:
            return next(point for point in points if isinstance(point, str))
        quad: Quad = (corners[0], corners[1], corners[2], corners[3])
        return (
            quad
            if _runs_clockwise(quad)
            else ("the corners do not run clockwise from the left top, or make no four-sided shape")
        )
    box = read_box(written)
    if isinstance(box, str):
        return box
    left, top, right, bottom = box
    return (left, top), (right, top), (right, bottom), (left, bottom)


def read_box(written: Any) -> Box | str:
    """Left, top, right, bottom as fractions 0 to 1, or a sentence saying what is wrong."""
    if not isinstance(written, (list, tuple)) or len(written) != 4:
        return _count(written)
    sides = [_read_fraction(part) for part in written]
    numbers = [side for side in sides if side is not None]
    if len(numbers) < 4:
        return "not every one is a number from 0 to 1"
    left, top, right, bottom = numbers
    if left >= right or top >= bottom:
        return "right and bottom must be larger than left and top"
    return left, top, right, bottom


def read_boxes(written: Any) -> tuple[Box, ...] | str:
    """One box or a list of them, at most MOST_BOXES, or a sentence saying what is wrong."""
    if not isinstance(written, (list, tuple)):
        return _count(written)
    one = len(written) == 4 and not any(isinstance(part, (list, tuple)) for part in written)
    boxes = (written,) if one else written
    if len(boxes) > MOST_BOXES:
        return f"there are {len(boxes)} parts, and at most {MOST_BOXES} serve"
    read = [read_box(box) for box in boxes]
    wrong = [box for box in read if isinstance(box, str)]
    return wrong[0] if wrong else tuple(box for box in read if not isinstance(box, str))


def _read_point(part: Any) -> Point | str:
    if not isinstance(part, (list, tuple)) or len(part) != 2:
        return "each corner needs two numbers, x and y"
    x, y = _read_fraction(part[0]), _read_fraction(part[1])
    return "not every one is a number from 0 to 1" if x is None or y is None else (x, y)


def _read_fraction(part: Any) -> float | None:
    number = None if isinstance(part, (list, tuple, dict)) else read_number(str(part))
    return number if number is not None and 0 <= number <= 1 else None


def _runs_clockwise(quad: Sequence[Point]) -> bool:
    """Whether four corners make a shape without crossing or dent, clockwise with y downwards."""
    turns = []
    for index in range(4):
        (ax, ay), (bx, by), (cx, cy) = (quad[(index + step) % 4] for step in range(3))
        turns.append((bx - ax) * (cy - by) - (by - ay) * (cx - bx))
    return all(turn > 0 for turn in turns)


def _count(written: Any) -> str:
    if not isinstance(written, (list, tuple)):
        return "this is no list"
    return f"there are {len(written)} parts, not four"
