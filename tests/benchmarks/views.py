"""Where the camera stands: perspective to 20°, a turn, a slightly bent lens.

Picture places are pixels from the picture's left top corner; a pixel is one square.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from builder.records.jig import Jig
from builder.records.photo import Quad
from tests.benchmarks.sheet import PX, Field
from tests.benchmarks.spectra import Floats

SIZE = (1600, 1200)
BENCH_MM = 30.0  # of bench in the scene round the sheet
_FOCAL = 0.75 * SIZE[0]  # pixels: a phone's main lens, 67° over its longer side
_CELL = 40  # pixels of the picture that are drawn as one: straight lines bend by less than 0.02 px


@dataclass(frozen=True)
class View:
    """``tilt`` off the upright, ``towards`` that bearing, ``turn`` of the sheet, degrees;
    ``fill``: the part of the frame that the sheet reaches into; ``shift`` of its middle, fractions
    of the room left; ``bend``: radial term of the lens, r in half diagonals."""

    jig: Jig
    tilt: float = 0.0
    towards: float = 0.0
    turn: float = 0.0
    fill: float = 0.92
    shift: tuple[float, float] = (0.0, 0.0)
    bend: float = 0.0

    @cached_property
    def plane(self) -> Floats:
        """(3, 3): the sheet's millimetres → pixels, before the lens bends them."""
        jig = self.jig
        a, b, c = (math.radians(angle) for angle in (self.tilt, self.towards, self.turn))
        rotation = _turned(b) @ _leant(a) @ _turned(c - b)
        centred = np.array([(x, y, 0.0) for x in (-1, 1) for y in (-1, 1)])
        centred = centred * (jig.width / 2, jig.height / 2, 0.0) @ rotation.T
        far = 100.0
        while True:  # as near as the frame allows
            flat = centred[:, :2] / (centred[:, 2:] + far) * _FOCAL
            span = np.ptp(flat, axis=0)
            if (span <= self.fill * np.array(SIZE)).all():
                break
            far *= 1.01
        room = (np.array(SIZE) - span) / 2
        place = np.array(SIZE) / 2 - (flat.min(axis=0) + span / 2) + room * self.shift * 0.8
        lens = np.array([[_FOCAL, 0, place[0]], [0, _FOCAL, place[1]], [0, 0, 1.0]])
        move = np.column_stack([rotation[:, :2], (0.0, 0.0, far)])
        to_middle = np.array([[1, 0, -jig.width / 2], [0, 1, -jig.height / 2], [0, 0, 1.0]])
        plane = lens @ move @ to_middle
        return np.asarray(plane / plane[2, 2])

    def to_picture(self, mm: Floats) -> Floats:
        """The sheet's millimetres (…, 2) → pixels (…, 2)."""
        off = _carry(self.plane, mm) - np.array(SIZE) / 2
        return np.asarray(np.array(SIZE) / 2 + off * (1 + self.bend * _reach(off)))

    def to_sheet(self, px: Floats) -> Floats:
        """Pixels (…, 2) → the sheet's millimetres (…, 2)."""
        seen = px - np.array(SIZE) / 2
        off = seen
        for _ in range(8):  # a bend of a few hundredths is undone to nothing by then
            off = seen / (1 + self.bend * _reach(off))
        return _carry(np.linalg.inv(self.plane), off + np.array(SIZE) / 2)

    def quad(self, points: Floats) -> Quad:
        """Four places of the sheet, mm (4, 2), as fractions of the picture."""
        a, b, c, d = ((float(x), float(y)) for x, y in self.to_picture(points) / SIZE)
        return a, b, c, d

    def photograph(self, scene: Field) -> Field:
        """The scene, (h, w) at ``PX`` with its bench, as it falls on the picture (1200, 1600); the
        bench goes on beyond the scene as it is in its corner."""
        kind, smooth, far = Image.Transform.MESH, Image.Resampling.BILINEAR, float(scene[0, 0])
        return np.asarray(
            Image.fromarray(scene).transform(SIZE, kind, self._mesh, smooth, fillcolor=far)
        )

    @cached_property
    def _mesh(self) -> list[tuple[tuple[int, ...], tuple[float, ...]]]:
        width, height = SIZE
        x, y = np.arange(0, width + 1, _CELL), np.arange(0, height + 1, _CELL)
        nodes = np.stack(np.meshgrid(x, y), axis=-1).astype(np.float64)
        at = (self.to_sheet(nodes) + BENCH_MM) * PX
        cells = []
        for i in range(len(y) - 1):
            for j in range(len(x) - 1):
                corners = (at[i, j], at[i + 1, j], at[i + 1, j + 1], at[i, j + 1])
                box = (int(x[j]), int(y[i]), int(x[j + 1]), int(y[i + 1]))
                cells.append((box, tuple(float(value) for one in corners for value in one)))
        return cells


def _turned(angle: float) -> Floats:
    c, s = math.cos(angle), math.sin(angle)
    return np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])


def _leant(angle: float) -> Floats:
    c, s = math.cos(angle), math.sin(angle)
    return np.array([[1, 0, 0], [0, c, -s], [0, s, c]])


def _carry(matrix: Floats, points: Floats) -> Floats:
    w = points @ matrix[:, :2].T + matrix[:, 2]
    return np.asarray(w[..., :2] / w[..., 2:])


def _reach(off: Floats) -> NDArray[np.float64]:
    return np.asarray((off**2).sum(axis=-1, keepdims=True) / (math.hypot(*SIZE) / 2) ** 2)
