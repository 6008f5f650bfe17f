"""From the sheet's millimetres to the picture's pixels: a camera held by hand over the bench.

Pixels are counted from the left top corner of the picture, whole numbers at the edges of pixels.
Points are (…, 2).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.studio.stand import JIG, PICTURE_PX

Floats = NDArray[np.float64]

#: A lens said to be like one of 26 mm before film 36 × 24 mm: in pixels, by the diagonals.
FOCAL_PX = 26.0 / float(np.hypot(36, 24)) * float(np.hypot(*PICTURE_PX))
_STEPS = 12  # of a contraction that gains more than a digit a step


@dataclass(frozen=True, eq=False)
class View:
    """How a photograph sees the sheet: the 3 × 3 ``homography`` from mm to undistorted px, and
    ``k``, by which part of the way from the middle the lens shifts the corner of the picture,
    under 0 where it draws it in (a barrel)."""

    homography: Floats
    k: float = 0.0

    def to_picture(self, mm: Floats) -> Floats:
        """Sheet to picture."""
        return self._distort(project(self.homography, np.asarray(mm, dtype=np.float64)))

    def to_sheet(self, px: Floats) -> Floats:
        """Picture to sheet."""
        flat = self._undistort(np.asarray(px, dtype=np.float64))
        return project(np.asarray(np.linalg.inv(self.homography), dtype=np.float64), flat)

    def _distort(self, px: Floats) -> Floats:
        out = (px - _CENTRE) / _REACH
        return np.asarray(
            _CENTRE + _REACH * out * (1 + self.k * (out**2).sum(axis=-1, keepdims=True))
        )

    def _undistort(self, px: Floats) -> Floats:
        seen = (px - _CENTRE) / _REACH
        out = seen
        for _ in range(_STEPS):
            out = seen / (1 + self.k * (out**2).sum(axis=-1, keepdims=True))
        return np.asarray(_CENTRE + _REACH * out)


_CENTRE = np.array(PICTURE_PX) / 2
_REACH = float(np.hypot(*_CENTRE))


def project(matrix: Floats, points: Floats) -> Floats:
    """Points through a homography."""
    spread = points @ matrix[:, :2].T + matrix[:, 2]
    return np.asarray(spread[..., :2] / spread[..., 2:])


@dataclass(frozen=True)
class Hold:
    """How the camera was held. ``tilt``: degrees from level, the nearer side of the sheet being
    that towards ``towards`` (degrees, 0 right, 90 down); ``turn``: degrees clockwise; ``rim``: px
    of bench left beside the sheet; ``off``: px by which the sheet is off the middle."""

    tilt: float
    towards: float
    turn: float
    rim: float
    off: tuple[float, float]


def look_down(hold: Hold, k: float) -> View:
    """The view of a camera held so, brought as near as leaves ``rim`` beside the sheet."""
    rotation = _rotate(hold)
    distance, shift = FOCAL_PX * JIG.width / PICTURE_PX[0], np.zeros(2)
    wanted = np.array(PICTURE_PX) - 2 * hold.rim
    for _ in range(_STEPS):
        view = View(_see_from(rotation, distance, shift), k)
        edge = view.to_picture(sheet_edge())
        low, high = edge.min(axis=0), edge.max(axis=0)
        distance /= float((wanted / (high - low)).min())
        off = (low + high) / 2 - _CENTRE - np.array(hold.off)
        shift = shift - off * distance / FOCAL_PX
    return View(_see_from(rotation, distance, shift), k)


def sheet_edge() -> Floats:
    """Points along the sheet's edge, clockwise, mm."""
    t = np.linspace(0, 1, 9)[:-1]
    corners = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], dtype=np.float64)
    corners = corners * (JIG.width, JIG.height)
    sides = [
        a + t[:, None] * (b - a) for a, b in zip(corners, np.roll(corners, -1, 0), strict=True)
    ]
    return np.concatenate(sides)


def _rotate(hold: Hold) -> Floats:
    tilt, towards, turn = np.deg2rad([hold.tilt, hold.towards, hold.turn])
    across = np.array([-np.sin(towards), np.cos(towards), 0.0])
    x, y, z = across
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    # Rodrigues' formula; depth grows away from the camera.
    leaned = np.eye(3) + np.sin(tilt) * cross + (1 - np.cos(tilt)) * cross @ cross
    c, s = np.cos(turn), np.sin(turn)
    return np.asarray(np.array([[c, -s, 0], [s, c, 0], [0, 0, 1.0]]) @ leaned)


def _see_from(rotation: Floats, distance: float, shift: Floats) -> Floats:
    """Pinhole: K [r1 r2 t], with the sheet's middle on the axis but for ``shift`` (mm)."""
    lens = np.array([[FOCAL_PX, 0, _CENTRE[0]], [0, FOCAL_PX, _CENTRE[1]], [0, 0, 1.0]])
    place = np.column_stack([rotation[:, :2], [*shift, distance]])
    to_middle = np.array([[1, 0, -JIG.width / 2], [0, 1, -JIG.height / 2], [0, 0, 1.0]])
    matrix = lens @ place @ to_middle
    return np.asarray(matrix / matrix[2, 2])
