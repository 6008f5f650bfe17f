"""The jig sheet: what is printed where, in millimetres from its left top corner, lying wide.

One description for the printer of the sheet and for the finder of it. The layout is our own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

BoxMm = tuple[float, float, float, float]  # left, top, right, bottom
PointMm = tuple[float, float]

LAYOUT = 1  # raised when anything below moves: a sheet already printed keeps its own
MARK_MM = 18.0  # a QR code of 21 modules, ISO/IEC 18004 version 1
MARK_MODULES = 21
QUIET_MODULES = 4  # white round a code, ISO/IEC 18004
DOT_MM = 5.0
_INSET_MM = 8.0  # printers leave some 5 mm white
_DOT_INSET_MM = 12.0
MOST_SHEETS = 9999

# Sixteen signs are all that version 1 holds at level Q (ISO/IEC 18004), so sizes are short.
_SIZES = {"A4": "A4", "Letter": "LTR"}
_MARK_TEXT = re.compile(r"JIG(\d)/(A4|LTR)/(\d{4})/([1-4])", re.ASCII)
_LABEL_START = "PIECE/"


@dataclass(frozen=True)
class Jig:
    """One size of sheet.

    ``name`` "A4" or "Letter"; ``width`` and ``height`` mm, lying wide. ``marks``: four square codes
    clockwise from the left top. ``dots``: middles of the small discs along the edges that show
    whether the sheet lies flat. ``place``: where a piece may lie; ``slot``: where the card may;
    ``label``: where the label may. ``ruler`` and ``ruler_up``: boxes of the two 100 mm rulers.
    """

    name: str
    width: float
    height: float

    @property
    def marks(self) -> tuple[BoxMm, BoxMm, BoxMm, BoxMm]:
        near, right, bottom = _INSET_MM, self.width - _INSET_MM, self.height - _INSET_MM
        left_edge, top_edge = right - MARK_MM, bottom - MARK_MM
        return (
            (near, near, near + MARK_MM, near + MARK_MM),
            (left_edge, near, right, near + MARK_MM),
            (left_edge, top_edge, right, bottom),
            (near, top_edge, near + MARK_MM, bottom),
        )

    @property
    def dots(self) -> tuple[PointMm, ...]:
        across = [self.width * part for part in (0.2, 0.4, 0.6, 0.8)]
        down = [self.height * part for part in (1 / 3, 2 / 3)]
        low, right = self.height - _DOT_INSET_MM, self.width - _DOT_INSET_MM
        return (
            *((x, _DOT_INSET_MM) for x in across),
            *((right, y) for y in down),
            *((x, low) for x in reversed(across)),
            *((_DOT_INSET_MM, y) for y in reversed(down)),
        )

    @property
    def place(self) -> BoxMm:
        x, y = self.middle
        return (x - 60.0, y - 80.0, x + 60.0, y + 80.0)

    @property
    def middle(self) -> PointMm:
        """The middle of the piece's place."""
        return (100.0, self.height / 2)

    @property
    def slot(self) -> BoxMm:
        right = self.width - 17.0
        return (right - 96.0, 34.0, right, 132.0)

    @property
    def label(self) -> BoxMm:
        right = self.width - 17.0
        return (right - 96.0, 142.0, right, 180.0)

    @property
    def ruler(self) -> BoxMm:
        """Lying, below the place, ticks above figures; its nought at the left."""
        x, _ = self.middle
        return (x - 50.0, self.height - 24.0, x + 50.0, self.height - 18.0)

    @property
    def ruler_up(self) -> BoxMm:
        """Standing, left of the place, figures left of ticks; its nought at the top."""
        _, y = self.middle
        return (30.0, y - 50.0, 36.0, y + 50.0)

    @property
    def printed(self) -> tuple[BoxMm, ...]:
        """Boxes that are not sure to be white paper: everything printed, and the places where
        things are laid. The white margin is what is left of the sheet, 3 mm from its edges."""
        quiet = QUIET_MODULES * MARK_MM / MARK_MODULES / 2
        return (
            *(widen(mark, quiet) for mark in self.marks),
            *((x - DOT_MM, y - DOT_MM, x + DOT_MM, y + DOT_MM) for x, y in self.dots),
            widen(self.slot, 1.0),
            widen(self.label, 1.0),
            widen(self.ruler, 1.0),
            widen(self.ruler_up, 1.0),
            *self.written,
        )

    @property
    def written(self) -> tuple[BoxMm, BoxMm]:
        """Lines of words: the sheet's name and number above the place, how to use it below the
        label."""
        mark = self.marks[2]
        return (
            (60.0, 16.0, self.width - 60.0, 22.0),
            (self.slot[0], mark[1], mark[0] - 6.0, mark[1] + 9.0),
        )


A4 = Jig("A4", 297.0, 210.0)  # ISO 216
LETTER = Jig("Letter", 279.4, 215.9)  # ANSI/ASME Y14.1, size A
JIGS = (A4, LETTER)
#: Outlines printed in the place, about its middle: width and height mm; a circle where only one.
OUTLINES: tuple[tuple[float, ...], ...] = (
    (50.0, 75.0),
    (100.0, 150.0),
    (60.0,),
    (120.0,),
)


@dataclass(frozen=True)
class Mark:
    """What a corner mark says: the sheet's layout, size and ``number`` (0 to 9999), and which
    ``corner`` it is, 0 to 3 clockwise from the left top."""

    layout: int
    jig: Jig
    number: int
    corner: int


def jig_named(name: str) -> Jig | None:
    return next((jig for jig in JIGS if jig.name.casefold() == name.casefold()), None)


def write_marks(jig: Jig, number: int) -> Iterator[str]:
    """The texts of a sheet's four marks, clockwise from the left top; letters, figures and signs
    of the QR code's alphanumeric mode alone. ValueError for a number outside 0 to 9999."""
    if not 0 <= number <= MOST_SHEETS:
        raise ValueError(f"a sheet's number is from 0 to {MOST_SHEETS}, not {number}")
    for corner in range(1, 5):
        yield f"JIG{LAYOUT}/{_SIZES[jig.name]}/{number:04d}/{corner}"


def read_mark(text: str) -> Mark | None:
    """What a code's text says, None where it is no corner mark of a jig sheet."""
    found = _MARK_TEXT.fullmatch(text)
    if found is None:
        return None
    jig = next(jig for jig in JIGS if _SIZES[jig.name] == found[2])
    return Mark(int(found[1]), jig, int(found[3]), int(found[4]) - 1)


def write_label(piece: str) -> str:
    """The text of a piece's label."""
    return _LABEL_START + piece


def read_label(text: str) -> str | None:
    """The piece's number that a code's text carries, None where it is no label."""
    return text.removeprefix(_LABEL_START) if text.startswith(_LABEL_START) else None


def widen(box: BoxMm, by: float) -> BoxMm:
    """The box with ``by`` mm more on each side."""
    left, top, right, bottom = box
    return (left - by, top - by, right + by, bottom + by)
