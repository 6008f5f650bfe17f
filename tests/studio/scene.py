"""The scene: bench, sheet, card, slip and piece put together, seen from straight above.

The raster covers the sheet and a strip of bench round it; linear light.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from PIL import Image

from tests.studio import faults
from tests.studio.bench import paint_bench
from tests.studio.card import paint_card
from tests.studio.colours import Array, lab_to_linear
from tests.studio.diary import Shot
from tests.studio.grain import Field, blur, clouds, speckle
from tests.studio.paint import MARGIN_MM, PX, Painted
from tests.studio.sheet import print_sheet, print_slip
from tests.studio.stand import CARD_MM, PLATES, SHEET_MM, SLIP_MM, Place

BENCH_MM = 20.0  # bench shown round the sheet
_PAPER = (95.3, 0.3, -0.8)
_INK = (24.0, 0.3, 0.2)
_SLIP_PAPER = (93.5, -0.2, 3.0)


@cache
def _empty_scene(place: Place) -> Array:
    """Bench and sheet with nothing on it."""
    width, height = SHEET_MM
    shape = (round((height + 2 * BENCH_MM) * PX), round((width + 2 * BENCH_MM) * PX))
    rng = np.random.default_rng(3)
    scene = paint_bench(shape, PX, rng)
    sheet = np.zeros(shape, dtype=np.float32)
    rows, columns = _window((0, 0, width, height), shape)
    sheet[rows, columns] = 1
    scene = scene * (1 - _shadow(sheet, 0.5, 1.6, 0.30))[..., None]
    paper_shape = sheet[rows, columns].shape
    cockle = 1 + 0.006 * clouds(paper_shape, PX, 120, 25, rng)
    tooth = cockle * (1 + 0.004 * speckle(paper_shape, PX, 0.3, rng))
    ink = print_sheet(place, PX)[..., None]
    paper = lab_to_linear(_PAPER) * (1 - ink) + lab_to_linear(_INK) * ink
    scene[rows, columns] = paper * tooth[..., None]
    return scene.astype(np.float32)


def compose(shot: Shot, piece: Painted, with_card: bool = True) -> Array:
    """Everything that lay before the camera."""
    rng = shot.rng(1)
    scene = _empty_scene(shot.place).copy()
    shape = scene.shape[:2]
    if with_card:
        _lay(scene, paint_card(PX, rng), CARD_MM, 0.35)
    slip_mask = print_slip(shot.piece.number, shot.side, PX)[..., None]
    slip = lab_to_linear(_SLIP_PAPER) * (1 - slip_mask) + lab_to_linear(_INK) * slip_mask
    _lay(scene, slip.astype(np.float32), SLIP_MM, 0.22)
    left, top, _, _ = shot.place.box
    rows, columns = _window((left - MARGIN_MM, top - MARGIN_MM, 0, 0), shape, piece.alpha.shape)
    alpha = np.zeros(shape, dtype=np.float32)
    alpha[rows, columns] = piece.alpha
    if shot.place is PLATES:
        shadow = _shadow(alpha, 0.5, 0.6, 0.46) + _shadow(alpha, 1.6, 3.2, 0.30)
    else:
        shadow = _shadow(alpha, 1.2, 1.6, 0.36) + _shadow(alpha, 5.0, 9.0, 0.46)
    scene *= (1 - shadow)[..., None]
    if shot.piece.texture == "crusted":
        _shed(scene, shot, rows, columns)
    bounce = piece.rgb[piece.alpha > 0.5].mean(axis=0)
    scene += (_ring(alpha) * 0.05)[..., None] * (bounce - bounce.mean())
    region = scene[rows, columns]
    region += (piece.rgb - region) * piece.alpha[..., None]
    return scene


def _window(
    box: tuple[float, float, float, float],
    shape: tuple[int, ...],
    size: tuple[int, ...] | None = None,
) -> tuple[slice, slice]:
    """A box of the sheet in mm as rows and columns of the raster."""
    left, top = round((box[0] + BENCH_MM) * PX), round((box[1] + BENCH_MM) * PX)
    if size is None:
        size = (round((box[3] - box[1]) * PX), round((box[2] - box[0]) * PX))
    return slice(top, top + size[0]), slice(left, left + size[1])


def _shadow(mask: Field, down: float, spread: float, depth: float) -> Field:
    """Soft shadow under a mask, mm."""
    step = round(down * PX)
    moved = np.roll(mask, step, axis=0) if step else mask
    return np.asarray(depth * _wide_blur(moved, spread), dtype=np.float32)


def _wide_blur(mask: Field, spread: float) -> Field:
    """Blur by ``spread`` mm, in a smaller picture where it is so wide that none can tell."""
    if spread < 1.5:
        return blur(mask, PX, spread)
    height, width = mask.shape
    size = (width // 4, height // 4)
    small = Image.fromarray(mask).resize(size, Image.Resampling.BOX)
    soft = Image.fromarray(blur(np.asarray(small), PX / 4, spread))
    return np.asarray(soft.resize((width, height), Image.Resampling.BICUBIC), dtype=np.float32)


def _ring(alpha: Field) -> Field:
    """Paper close to the piece, which its colour tints."""
    return np.asarray(_wide_blur(alpha, 5.0) * (1 - alpha), dtype=np.float32)


def _lay(scene: Array, thing: Array, box: tuple[float, float, float, float], depth: float) -> None:
    """Put a flat thing on the sheet, with its shadow."""
    rows, columns = _window(box, scene.shape, thing.shape)
    mask = np.zeros(scene.shape[:2], dtype=np.float32)
    mask[rows, columns] = 1
    scene *= (1 - _shadow(mask, 0.35, 0.55, depth))[..., None]
    scene[rows, columns] = thing


def _shed(scene: Array, shot: Shot, rows: slice, columns: slice) -> None:
    """Crumbs of crust on the paper round a piece that flakes."""
    rng = shot.rng(6)
    colour = lab_to_linear(shot.truth.zones[0].main.lab).astype(np.float32)
    count = int(np.interp(shot.days, (0, 30, 365), (10, 25, 90)))
    bottom, left, right = rows.stop, columns.start, columns.stop
    for _ in range(count):
        y = int(bottom - MARGIN_MM * PX + abs(rng.normal(0, 4.0)) * PX)
        x = int(rng.uniform(left + 6 * PX, right - 6 * PX))
        h, w = (int(rng.integers(1, 6)) for _ in range(2))
        scene[y + 1 : y + h + 2, x : x + w + 1] *= 0.8
        scene[y : y + h, x : x + w] = colour * rng.uniform(0.85, 1.2)


def has_card(shot: Shot) -> bool:
    return (shot.piece.number, shot.planned) != faults.WARM_WITHOUT_CARD
