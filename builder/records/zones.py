"""Where the zones of a piece lie on it."""

from __future__ import annotations

from builder.records.photo import Box
from builder.records.piece import Piece, Zone

#: Names that place zones by themselves, as equal strips in this order (common practice, no source).
_ACROSS = ("left", "centre", "center", "middle", "right")
_DOWN = ("top", "upper", "centre", "center", "middle", "lower", "bottom")


def read_box(zone: Zone) -> Box | None:
    """The fractions written at a zone: left, top, right, bottom of the piece's place, each 0 to 1;
    None where there are none or they make no box."""
    if len(zone.at) != 4:
        return None
    try:
        left, top, right, bottom = (float(part.written) for part in zone.at)
    except ValueError:
        return None
    if 0 <= left < right <= 1 and 0 <= top < bottom <= 1:
        return left, top, right, bottom
    return None


def place_zones(piece: Piece) -> tuple[tuple[str, Box], ...]:
    """(name, box) of every zone that can be placed: by its ``at``, else, where no zone has one and
    the names say where they lie ("left", "centre", "right"), as equal strips in that order."""
    if any(zone.at for zone in piece.zones):
        boxes = ((zone.name, read_box(zone)) for zone in piece.zones)
        return tuple((name, box) for name, box in boxes if box is not None)
    names = [zone.name.lower() for zone in piece.zones]
    count = len(names)
    if count < 2:
        return ()
    if all(name in _ACROSS for name in names):
        order = sorted(range(count), key=lambda i: _ACROSS.index(names[i]))
        return _in_written_order(
            piece,
            {i: (place / count, 0.0, (place + 1) / count, 1.0) for place, i in enumerate(order)},
        )
    if all(name in _DOWN for name in names):
        order = sorted(range(count), key=lambda i: _DOWN.index(names[i]))
        return _in_written_order(
            piece,
            {i: (0.0, place / count, 1.0, (place + 1) / count) for place, i in enumerate(order)},
        )
    return ()


def _in_written_order(piece: Piece, boxes: dict[int, Box]) -> tuple[tuple[str, Box], ...]:
    return tuple((zone.name, boxes[i]) for i, zone in enumerate(piece.zones))
