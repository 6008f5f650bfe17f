"""A ruler of 100 mm: what a printed sheet is checked by."""

from __future__ import annotations

from collections.abc import Iterator

from builder.records.jig import BoxMm, PointMm
from builder.sheets.shapes import TEXT, Line, Pen, Shape, Words

LENGTH_MM = 100
_TICK = {10: 2.9, 5: 2.2, 1: 1.5}  # length by what the millimetre is a multiple of
_FINE = Pen(0.15, TEXT)
_FIGURE_MM = 2.5
_FIGURE_BASE_MM = 5.6  # from the edge the ticks hang from
_OVER_MM = 0.7  # how far the first and the last figure may stand over


def draw_ruler(box: BoxMm, standing: bool = False) -> Iterator[Shape]:
    """Ticks and figures filling ``box``: lying, its nought at the left; or standing, that same
    ruler turned a quarter clockwise, its nought at the top. Ticks have their middles on the mm.
    Raises ``ValueError`` where the box is not 100 mm long."""
    left, top, right, bottom = box
    length = bottom - top if standing else right - left
    if abs(length - LENGTH_MM) > 1e-6:
        raise ValueError(f"a ruler is {LENGTH_MM} mm long, not {length}")

    def at(along: float, below: float) -> PointMm:
        return (right - below, top + along) if standing else (left + along, top + below)

    turn = 90.0 if standing else 0.0
    half = _FINE.width / 2
    yield Line((at(-half, half), at(LENGTH_MM + half, half)), _FINE)
    for mm in range(LENGTH_MM + 1):
        tick = next(tick for part, tick in _TICK.items() if mm % part == 0)
        yield Line((at(mm, 0.0), at(mm, tick)), _FINE)
    yield Words("0 mm", at(-_OVER_MM, _FIGURE_BASE_MM), _FIGURE_MM, turn=turn)
    for mm in range(10, LENGTH_MM, 10):
        yield Words(str(mm), at(mm, _FIGURE_BASE_MM), _FIGURE_MM, anchor="middle", turn=turn)
    last = at(LENGTH_MM + _OVER_MM, _FIGURE_BASE_MM)
    yield Words(str(LENGTH_MM), last, _FIGURE_MM, anchor="end", turn=turn)
