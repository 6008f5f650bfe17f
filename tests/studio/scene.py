"""The scene: bench, sheet, card, slip and piece put together, seen from straight above.

The raster covers the sheet and a strip of bench round it; linear light.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from PIL import Image

from builder.records.jig import BoxMm
from tests.studio.bench import paint_bench
from tests.studio.card import paint_card
from tests.studio.colours import Array, lab_to_linear
from tests.studio.diary import Shot
from tests.studio.grain import Field, Shape, blur, clouds, speckle
from tests.studio.lying import Laid, lie_of
from tests.studio.paint import MARGIN_MM, PX, Painted
from tests.studio.sheet import print_sheet, print_slip
from tests.studio.stand import BENCH_MM, JIG, PLATES

_PAPER = (95.3, 0.3, -0.8)
_INK = (24.0, 0.3, 0.2)
_SLIP_PAPER = (93.5, -0.2, 3.0)


def scene_shape() -> Shape:
    """Rows and columns of the raster."""
    height, width = JIG.height + 2 * BENCH_MM, JIG.width + 2 * BENCH_MM
    return round(height * PX), round(width * PX)


@cache
def _empty_scene() -> Array:
    """Bench and sheet with nothing on it."""
    shape = scene_shape()
    rng = np.random.default_rng(3)
    scene = paint_bench(shape, PX, rng)
    sheet = np.zeros(shape, dtype=np.float32)
    rows, columns = _window((0, 0, JIG.width, JIG.height))
    sheet[rows, columns] = 1
    scene = scene * (1 - _shadow(sheet, 0.5, 1.6, 0.30))[..., None]
    paper_shape = sheet[rows, columns].shape
    cockle = 1 + 0.006 * clouds(paper_shape, PX, 120, 25, rng)
    tooth = cockle * (1 + 0.004 * speckle(paper_shape, PX, 0.3, rng))
    scene[rows, columns] = _inked(_PAPER, print_sheet(PX)) * tooth[..., None]
    return scene.astype(np.float32)


def _inked(paper: tuple[float, float, float], ink: Field) -> Array:
    share = ink[..., None]
    return np.asarray(
        lab_to_linear(paper) * (1 - share) + lab_to_linear(_INK) * share, dtype=np.float32
    )


def compose(shot: Shot, piece: Painted) -> Array:
    """Everything that lay before the camera."""
    rng = shot.rng(1)
    lie = lie_of(shot)
    scene = _empty_scene().copy()
    if lie.card:
        _lay(scene, paint_card(PX, rng), lie.card, 0.35)
    _lay(scene, _inked(_SLIP_PAPER, print_slip(shot.piece, PX)), lie.label, 0.22)
    alpha = _turned(piece.alpha, lie.piece)
    if shot.place is PLATES:
        shadow = _shadow(alpha, 0.5, 0.6, 0.46) + _shadow(alpha, 1.6, 3.2, 0.30)
    else:
        shadow = _shadow(alpha, 1.2, 1.6, 0.36) + _shadow(alpha, 5.0, 9.0, 0.46)
    scene *= (1 - shadow)[..., None]
    if shot.piece.texture == "crusted":
        _shed(scene, shot, lie.piece)
    bounce = piece.rgb[piece.alpha > 0.5].mean(axis=0)
    scene += (_ring(alpha) * 0.05)[..., None] * (bounce - bounce.mean())
    _cover(scene, piece.rgb, alpha, lie.piece)
    return scene


def _window(box: BoxMm) -> tuple[slice, slice]:
    """A box of the sheet in mm as rows and columns of the raster."""
    left, top, right, bottom = (round((edge + BENCH_MM) * PX) for edge in box)
    return slice(top, bottom), slice(left, right)


def _around(laid: Laid, beyond: float) -> tuple[slice, slice]:
    """The window that holds a laid thing and ``beyond`` mm round it."""
    low, high = laid.corners.min(axis=0) - beyond, laid.corners.max(axis=0) + beyond
    return _window((*(float(v) for v in low), *(float(v) for v in high)))  # type: ignore[arg-type]


def _turn(plane: Field, laid: Laid, window: tuple[slice, slice]) -> Field:
    """A raster drawn square to the thing, its middle the thing's own, as it lies in a window of
    the scene; 0 outside it."""
    rows, columns = window
    angle = np.deg2rad(laid.turn)
    c, s = float(np.cos(angle)), float(np.sin(angle))
    x = columns.start - (laid.middle[0] + BENCH_MM) * PX
    y = rows.start - (laid.middle[1] + BENCH_MM) * PX
    height, width = plane.shape
    terms = (c, s, c * x + s * y + width / 2, -s, c, -s * x + c * y + height / 2)
    size = (columns.stop - columns.start, rows.stop - rows.start)
    image = Image.fromarray(np.ascontiguousarray(plane, dtype=np.float32))
    turned = image.transform(size, Image.Transform.AFFINE, terms, Image.Resampling.BICUBIC)
    return np.asarray(turned, dtype=np.float32)


def _turned(alpha: Field, laid: Laid) -> Field:
    """A thing's alpha on the whole raster."""
    whole = np.zeros(scene_shape(), dtype=np.float32)
    window = _around(laid, MARGIN_MM)
    whole[window] = np.clip(_turn(alpha, laid, window), 0, 1)
    return whole


def _cover(scene: Array, rgb: Array, alpha: Field, laid: Laid) -> None:
    """Lay colours over the scene where ``alpha``, on the whole raster, says."""
    window = _around(laid, MARGIN_MM)
    for channel in range(3):
        under = scene[window][..., channel]
        under += (_turn(rgb[..., channel], laid, window) - under) * alpha[window]


def _lay(scene: Array, thing: Array, laid: Laid, depth: float) -> None:
    """Put a flat thing on the sheet, with its shadow."""
    edge = round(MARGIN_MM * PX)
    around = ((edge, edge), (edge, edge))
    mask = _turned(np.pad(np.ones(thing.shape[:2], dtype=np.float32), around), laid)
    scene *= (1 - _shadow(mask, 0.35, 0.55, depth))[..., None]
    _cover(scene, np.pad(thing, (*around, (0, 0)), mode="edge"), mask, laid)


def _shed(scene: Array, shot: Shot, laid: Laid) -> None:
    """Crumbs of crust on the paper round a piece that flakes."""
    rng = shot.rng(6)
    colour = lab_to_linear(shot.truth.zones[0].main.lab).astype(np.float32)
    count = int(np.interp(shot.days, (0, 30, 365), (10, 25, 90)))
    width, height = laid.size
    for _ in range(count):
        below = abs(float(rng.normal(0, 4.0)))
        along = float(rng.uniform(6, width - 6))
        x, y = ((laid.to_sheet(np.array([along, height + below])) + BENCH_MM) * PX).astype(int)
        h, w = (int(rng.integers(1, 6)) for _ in range(2))
        scene[y + 1 : y + h + 2, x : x + w + 1] *= 0.8
        scene[y : y + h, x : x + w] = colour * rng.uniform(0.85, 1.2)


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
