"""What a sheet is drawn of: frozen shapes in millimetres from its left top corner, y downward.

Each writer draws the same shapes, so that a sheet is described once for every format.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from builder.records.jig import BoxMm, PointMm

Anchor = Literal["start", "middle", "end"]

BLACK, TEXT, QUIET, FAINT = 0.0, 0.2, 0.45, 0.72  # grey: 0 black, 1 the paper
THIN_MM = 0.3


@dataclass(frozen=True)
class Pen:
    """``width`` mm; ``grey`` 0 to 1; ``dashes``: mm drawn and mm left out in turn, none: whole."""

    width: float = THIN_MM
    grey: float = FAINT
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True)
class Line:
    """A line through ``points``, its middle on them; its ends are cut square."""

    points: tuple[PointMm, ...]
    pen: Pen


@dataclass(frozen=True)
class Frame:
    """The outline of a box, its middle on the box's edges."""

    box: BoxMm
    pen: Pen


@dataclass(frozen=True)
class Mat:
    """A box filled with one grey."""

    box: BoxMm
    grey: float


@dataclass(frozen=True)
class Ring:
    """The outline of a circle. ``across``: its diameter, mm."""

    middle: PointMm
    across: float
    pen: Pen


@dataclass(frozen=True)
class Disc:
    """A filled circle. ``across``: its diameter, mm."""

    middle: PointMm
    across: float
    grey: float = BLACK


@dataclass(frozen=True)
class Code:
    """A QR code that says ``text``, its dark modules filling ``box`` without the quiet zone.
    ``loops``: the borders of its dark parts, mm; a point inside an odd number of them is dark."""

    text: str
    box: BoxMm
    loops: tuple[tuple[PointMm, ...], ...]


@dataclass(frozen=True)
class Words:
    """One line of text standing on ``at``, its left end, middle or right end there. ``size``: the
    letters' nominal height, mm; ``turn``: degrees clockwise about ``at``."""

    text: str
    at: PointMm
    size: float
    bold: bool = False
    grey: float = TEXT
    anchor: Anchor = "start"
    turn: float = 0.0


@dataclass(frozen=True)
class Photo:
    """A picture, as the bytes of a JPEG file, filling ``box``; ``says`` what it shows, in words."""

    jpeg: bytes
    box: BoxMm
    says: str


Shape = Line | Frame | Mat | Ring | Disc | Code | Words | Photo


@dataclass(frozen=True)
class Sheet:
    """One side of paper. ``width`` and ``height`` mm; ``title`` and ``about`` say in words what it
    is, for those who do not see it."""

    title: str
    about: str
    width: float
    height: float
    shapes: tuple[Shape, ...]
