"""The camera stand: where sheet, piece and card lie, in millimetres and in the picture.

Millimetres run from the sheet's left top corner, x to the right, y down. The camera looks down
with a slight tilt that stays the same, so one set of fractions, marked once, serves every picture.
The layout of sheet and card is our own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
BoxMm = tuple[float, float, float, float]  # left, top, right, bottom

PICTURE_PX = (1600, 1200)  # width, height
SHEET_MM = (297.0, 210.0)  # A4 landscape, ISO 216
MARK_MM = 14.0
MARK_INSET_MM = 7.0
#: Where the sheet's corners fall in the picture, px, clockwise from the left top: the far (upper)
#: edge is 2 % shorter than the near one, as under a phone that is not quite level.
SHEET_CORNERS_PX = ((69.0, 83.0), (1533.0, 79.0), (1547.0, 1123.0), (55.0, 1127.0))

CARD_MM: BoxMm = (197.0, 32.0, 271.0, 106.0)
CARD_GRID = (3, 3)
CARD_GAP_MM = 2.0
PATCH_MM = 22.0
SLIP_MM: BoxMm = (199.0, 128.0, 269.0, 166.0)  # the paper slip with the piece's number

#: Largest shift of a corner of the piece between pictures, as a fraction of the frame.
JITTER = 0.004


@dataclass(frozen=True)
class Place:
    """A set-up: its name, the box the piece fills, and the part of that box that is read."""

    name: str
    box: BoxMm
    read_at: tuple[float, float, float, float]  # fractions of the box

    @property
    def size_mm(self) -> tuple[float, float]:
        left, top, right, bottom = self.box
        return right - left, bottom - top


PLATES = Place("bench plates", (62.0, 29.0, 162.0, 179.0), (0.08, 0.08, 0.92, 0.92))
#: The read box of a bell lies below the hanging hole of a dished disc and inside the skirt of a
#: bell lying on its side.
BELLS = Place("bench bells", (55.0, 44.0, 175.0, 164.0), (0.30, 0.58, 0.70, 0.82))


def homography(corners_px: tuple[tuple[float, float], ...] = SHEET_CORNERS_PX) -> Floats:
    """The 3 × 3 matrix that takes sheet millimetres to picture pixels."""
    width, height = SHEET_MM
    rows: list[list[float]] = []
    right: list[float] = []
    for (x, y), (u, v) in zip(
        ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)), corners_px, strict=True
    ):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y])
        right += [u, v]
    h = np.linalg.solve(np.array(rows), np.array(right))
    return np.append(h, 1.0).reshape(3, 3)


def project(matrix: Floats, points: Floats) -> Floats:
    """Points (…, 2) through a homography."""
    spread = points @ matrix[:, :2].T + matrix[:, 2]
    return np.asarray(spread[..., :2] / spread[..., 2:])


def corners_in_picture(box: BoxMm) -> list[tuple[float, float]]:
    """A box of the sheet as four fractions of the picture, clockwise from the left top."""
    left, top, right, bottom = box
    points = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
    pixels = project(homography(), points)
    return [(round(float(x / 1600), 4), round(float(y / 1200), 4)) for x, y in pixels]


def card_cells_box() -> BoxMm:
    """The card without half its border, so that an even 3 × 3 division centres on the patches."""
    left, top, right, bottom = CARD_MM
    rim = CARD_GAP_MM / 2
    return left + rim, top + rim, right - rim, bottom - rim


def setups_as_yaml() -> str:
    """The set-ups as they are written into ``mkdocs.yml``."""
    lines = ["setups:"]
    for place in (PLATES, BELLS):
        width, height = place.size_mm
        lines += [
            f"  {place.name}:",
            f"    piece_at: {_points(corners_in_picture(place.box))}",
            f"    card_at: {_points(corners_in_picture(card_cells_box()))}",
            "    card: sparrowhithe-card.txt",
            f"    card_grid: [{CARD_GRID[0]}, {CARD_GRID[1]}]",
            f"    piece_mm: [{width:g}, {height:g}]",
        ]
        if place is not PLATES:
            lines.append(f"    read_at: [{', '.join(f'{part:g}' for part in place.read_at)}]")
    return "\n".join(lines) + "\n"


def _points(points: list[tuple[float, float]]) -> str:
    return "[" + ", ".join(f"[{x:.4f}, {y:.4f}]" for x, y in points) + "]"
