"""What is laid on the sheet: pieces and cards, their shapes, spectra and grain."""

from __future__ import annotations

import csv
import math
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

from builder.records.jig import PointMm
from builder.records.settings import Card, CardPatch
from tests.benchmarks.sheet import PX, Field, average
from tests.benchmarks.spectra import (
    Floats,
    Lab,
    Random,
    Spectrum,
    make_surface,
    target_patches,
    to_lab,
)
from tests.studio.card import PATCHES
from tests.studio.grain import clouds, streaks
from tests.studio.pieces import BARE_METALS

_TABLE = Path(__file__).parent.parent / "data" / "demo_pieces.csv"
_MONTHS = ("0", "0.25", "1", "3", "6", "12")
_FINE = 2  # edges are drawn this many times finer, then averaged
_FIELD_MM = 170.0  # side of a field of grain
_SPREAD = (3.0, 2.0, 2.5)  # of a piece round a colour of the demo: L*, a*, b*


class Kind(StrEnum):
    """What reference lies in the frame."""

    TARGET = "target of 24"
    NINE = "nine patches"
    GREYS = "six grey steps"
    SHEET = "sheet only"
    NONE = "nothing"


#: Rows and columns, and the pitch of patches in mm; gaps and border are dark.
GRIDS = {Kind.TARGET: (4, 6, 14.0), Kind.NINE: (3, 3, 24.0), Kind.GREYS: (1, 6, 14.0)}
_GAP_MM = 2.0
_BORDER_MM = 4.0


@dataclass(frozen=True, eq=False)
class Shape:
    """``size`` mm; round, or square-cornered."""

    size: tuple[float, float]
    round: bool = False

    def outline(self, at: PointMm, turn: float) -> Floats:
        """(n, 2) mm, clockwise from the left top (a disc's from its left)."""
        w, h = self.size
        if self.round:
            t = np.linspace(0, 2 * np.pi, 180, endpoint=False)
            return np.stack([-np.cos(t) * w / 2, -np.sin(t) * h / 2], axis=-1) + at
        return corners_of(self.size, at, turn)


SHAPES = (
    Shape((100.0, 150.0)),
    Shape((50.0, 75.0)),
    Shape((60.0, 60.0), round=True),
    Shape((90.0, 90.0), round=True),
)
_HOW_OFTEN = (0.55, 0.15, 0.15, 0.15)


@dataclass(frozen=True, eq=False)
class Piece:
    """``lab`` of its main colour; ``own`` says which of the spectra of that colour it has.
    ``second``: the spectrum of what shows between, over ``between`` of its area. ``depth`` of the
    ``grain``, as a part of the light; ``seed`` where on the field it lies."""

    shape: Shape
    lab: Lab
    own: Floats
    second: Spectrum
    between: float
    grain: str
    depth: float
    seed: int

    @property
    def surface(self) -> Spectrum:
        return make_surface(self.lab, self.own)

    @property
    def true(self) -> Lab:
        L, a, b = (float(value) for value in to_lab(self.surface))
        return L, a, b


@cache
def demo_colours() -> tuple[Lab, ...]:
    """Colours of finishes: fresh, through a year, and bare metal. Source: invented demo."""
    with _TABLE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    stems = ["fresh", *(f"{month}_mo" for month in _MONTHS)]
    found = [
        (float(row[f"{stem}_L"]), float(row[f"{stem}_a"]), float(row[f"{stem}_b"]))
        for row in rows
        for stem in stems
    ]
    return (*found, *(lab for pair in BARE_METALS.values() for lab in pair))


def draw_piece(rng: Random) -> Piece:
    """A piece by chance."""
    colours = demo_colours()
    lab, second = (
        tuple(float(v) for v in np.array(colours[k]) + rng.normal(0, _SPREAD))
        for k in rng.integers(len(colours), size=2)
    )
    patchy = rng.random() < 0.3
    return Piece(
        shape=SHAPES[int(rng.choice(len(SHAPES), p=_HOW_OFTEN))],
        lab=(max(lab[0], 12.0), lab[1], lab[2]),
        own=rng.normal(0, 1, 12),
        second=make_surface((max(second[0], 12.0), second[1], second[2]), rng.normal(0, 1, 12)),
        between=float(rng.uniform(0.05, 0.25)) if patchy else 0.0,
        grain=str(rng.choice(["brushed", "mottled", "calm"])),
        depth=float(rng.uniform(0.01, 0.07)),
        seed=int(rng.integers(1 << 30)),
    )


@cache
def _field(grain: str) -> Field:
    rng = np.random.default_rng(sum(map(ord, grain)))
    shape = (round(_FIELD_MM * PX),) * 2
    if grain == "brushed":
        return streaks(shape, PX, 40.0, 0.4, rng)
    if grain == "mottled":
        return clouds(shape, PX, 20.0, 0.8, rng)
    return clouds(shape, PX, 100.0, 10.0, rng)


@cache
def _patches() -> tuple[Field, Floats]:
    field = clouds((round(_FIELD_MM * PX),) * 2, PX, 12.0, 1.5, np.random.default_rng(7))
    return field, np.sort(field.ravel())


def paint_piece(piece: Piece, colours: Floats, size: tuple[int, int]) -> Field:
    """Raw light (h, w, 3) of the piece's face on a raster of ``size`` (h, w), unlit; ``colours``
    (2, 3): of its main and its second colour. Each colour's mean is its own."""
    rng = np.random.default_rng(piece.seed)
    top, left = (int(rng.integers(round(_FIELD_MM * PX) - n + 1)) for n in size)
    part = np.s_[top : top + size[0], left : left + size[1]]
    light = np.exp(piece.depth * _field(piece.grain)[part])
    light = light / light.mean()
    face = light[..., None] * colours[0].astype(np.float32)
    if piece.between:
        field, ranked = _patches()
        limit = ranked[int((1 - piece.between) * len(ranked))]
        spots = field[part] >= limit
        face[spots] = light[spots][:, None] * colours[1].astype(np.float32)
    return np.asarray(face, dtype=np.float32)


def corners_of(size: tuple[float, float], at: PointMm, turn: float) -> Floats:
    """(4, 2) mm: a rectangle about ``at``, turned by ``turn`` degrees."""
    w, h = size
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    square = np.array([(-w, -h), (w, -h), (w, h), (-w, h)]) / 2
    return np.asarray(square @ np.array([[c, s], [-s, c]]) + at)


def fill_outline(outline: Floats, left_top: PointMm, size: tuple[int, int]) -> Field:
    """How much of each cell of a raster of ``size`` (h, w) from ``left_top`` mm lies inside."""
    fine = Image.new("L", (size[1] * _FINE, size[0] * _FINE), 0)
    points = (outline - left_top) * (PX * _FINE) - 0.5
    ImageDraw.Draw(fine).polygon([(float(x), float(y)) for x, y in points], fill=1)
    return average(np.asarray(fine, dtype=np.float32), _FINE)


@cache
def card_surfaces(kind: Kind) -> Floats:
    """(n, 71): the patches' reflectances, row by row. The nine are made up, from the invented
    card's colours."""
    match kind:
        case Kind.TARGET:
            return target_patches()
        case Kind.GREYS:
            return target_patches()[18:]
        case Kind.NINE:
            rng = np.random.default_rng(9)
            own = [np.zeros(12) if abs(lab[1]) < 1 else rng.normal(0, 1, 12)
                   for lab in PATCHES.values()]  # fmt: skip
            return np.array([make_surface(lab, one) for lab, one in zip(PATCHES.values(), own,
                                                                         strict=True)])  # fmt: skip
    return np.empty((0, 71))


@cache
def card_of(kind: Kind) -> Card | None:
    """The card as its list has it, D65."""
    if kind not in GRIDS:
        return None
    rows, columns, _ = GRIDS[kind]
    labs = to_lab(card_surfaces(kind))
    patches = [
        CardPatch(f"{chr(65 + k // columns)}{k % columns + 1}", k // columns, k % columns,
                  (round(float(L), 2), round(float(a), 2), round(float(b), 2)))
        for k, (L, a, b) in enumerate(labs)
    ]  # fmt: skip
    return Card(str(kind), rows, columns, tuple(patches))


def grid_mm(kind: Kind) -> tuple[float, float]:
    """Width and height of a card's grid of patches, half a gap round it."""
    rows, columns, pitch = GRIDS[kind]
    return columns * pitch, rows * pitch


def patches_mm(kind: Kind) -> tuple[float, float]:
    """Width and height of the patches together, from outer edge to outer edge."""
    width, height = grid_mm(kind)
    return width - _GAP_MM, height - _GAP_MM


def card_mm(kind: Kind) -> tuple[float, float]:
    """Width and height of the whole card."""
    width, height = grid_mm(kind)
    return width + 2 * _BORDER_MM, height + 2 * _BORDER_MM


def which_patch(kind: Kind, on_card: Floats) -> Floats:
    """Which patch, from 0, lies at places of the card, mm from its left top (…, 2); -1 for its dark
    border."""
    rows, columns, pitch = GRIDS[kind]
    at = (on_card - _BORDER_MM) / pitch
    cell = np.floor(at)
    inner = np.abs(at - cell - 0.5) <= 0.5 - _GAP_MM / 2 / pitch
    on_grid = (cell >= 0) & (cell < (columns, rows))
    patch = cell[..., 1] * columns + cell[..., 0]
    return np.asarray(np.where((inner & on_grid).all(axis=-1), patch, -1))
