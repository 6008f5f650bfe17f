"""The invented camera: lamp, lens, sensor, tone response; linear light in, 8-bit pixels out.

Pictures are (height, width, 3). Two bodies were used: the second from June 2025 on.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from tests.studio import faults
from tests.studio.colours import SRGB_TO_P3, Array, encode_srgb, lamp_gains
from tests.studio.diary import Shot
from tests.studio.grain import Field, millimetres
from tests.studio.lens import Floats, View
from tests.studio.lying import Laid, lie_of
from tests.studio.paint import PX
from tests.studio.scene import scene_shape
from tests.studio.stand import BENCH_MM, JIG, PICTURE_PX

Pixels = NDArray[np.uint8]
BALANCED_FOR_K = 5200.0
WARM_K = 2700.0
FAIR_EXPOSURE = 0.925  # white paper then stays clear of the end of the scale, lit as it is
#: The two lamps: middle on the bench, mm from the sheet's, and height over it. The left one stands
#: nearer; both a little to the far side.
_LAMPS = ((-560.0, -95.0, 600.0), (640.0, -80.0, 630.0))
_VIGNETTE = 0.035  # of the light at the corner of the frame, lost by the lens
_PATCHES = (64, 48)  # the picture in pieces that the lens bends no further
NOISE_L = 1.0  # sd of the noise of one pixel, L*


@dataclass(frozen=True)
class Body:
    """A camera: how its channels leak into each other, and how far its tone curve bends."""

    crosstalk: tuple[tuple[float, float, float], ...]
    contrast: float
    softness_px: float


BODIES = {
    "B1": Body(((0.93, 0.05, 0.02), (0.03, 0.93, 0.04), (0.01, 0.06, 0.93)), 0.055, 0.75),
    "B2": Body(((1.05, -0.04, -0.01), (-0.02, 1.04, -0.02), (0.0, -0.05, 1.05)), 0.030, 0.62),
}


@dataclass(frozen=True, eq=False)
class Conditions:
    """What differs from shot to shot. ``lamps``: how strong each of the two shone, of 1."""

    body: Body
    gains: tuple[float, float, float]
    exposure: float
    lamps: tuple[float, float]
    view: View
    glare: Laid | None = None  # the piece a lamp is mirrored in
    wide: bool = False


def conditions_of(shot: Shot) -> Conditions:
    """The conditions a shot was taken under, its planted faults included."""
    rng = shot.rng(2)
    key = (shot.piece.number, shot.planned)
    warm = key in faults.WARM_WITH_CARD or key == faults.WARM_WITHOUT_CARD
    kelvin = WARM_K if warm else 5200.0 + float(rng.normal(0, 45))
    red, green, blue = lamp_gains(kelvin, BALANCED_FOR_K)
    exposure = FAIR_EXPOSURE * float(np.exp(rng.normal(0, 0.010)))
    if warm:
        exposure *= 0.9 / max(red, green, blue)  # so that the paper is not burnt out in red
    left = 0.5 + 0.018 * float(np.clip(rng.normal(0, 1), -2, 2))
    lie = lie_of(shot)
    conditions = Conditions(
        body=BODIES[shot.camera],
        gains=(float(red), float(green), float(blue)),
        exposure=exposure,
        lamps=(left, 1 - left),
        view=lie.view,
    )
    if key == faults.GLARE:
        conditions = replace(conditions, glare=lie.piece)
    if key == faults.WIDE_GAMUT_HEIC:
        conditions = replace(conditions, wide=True)
    return conditions


def expose(scene: Array, conditions: Conditions, rng: np.random.Generator) -> Pixels:
    """Photograph a scene."""
    light = scene * light_on_bench(conditions.lamps)[..., None]
    if conditions.glare:
        light = light + _glare(conditions.glare)[..., None]
    light = _through_lens(light, conditions) * vignette()[..., None]
    light = light * (np.array(conditions.gains) * conditions.exposure).astype(np.float32)
    crosstalk = np.array(conditions.body.crosstalk, dtype=np.float32)
    crosstalk = crosstalk / crosstalk.sum(axis=1, keepdims=True)
    light = light @ crosstalk.T
    if conditions.wide:
        light = light @ SRGB_TO_P3.T.astype(np.float32)
    picture = respond(encode_srgb(light), conditions.body.contrast)
    picture = picture + _noise(picture, rng)
    return np.clip(np.round(picture * 255), 0, 255).astype(np.uint8)


def respond(encoded: Array, contrast: float) -> Array:
    """The maker's tone curve: darks a little darker, lights a little lighter; ends fixed."""
    return np.asarray(
        encoded - contrast * np.sin(2 * np.pi * encoded) / (2 * np.pi) * 2, dtype=np.float32
    )


def _through_lens(scene: Array, conditions: Conditions) -> Array:
    """Perspective, distortion and softness."""
    mesh = _mesh(conditions.view)
    channels = []
    for channel in range(3):
        plane = np.ascontiguousarray(scene[..., channel], dtype=np.float32)
        seen = Image.fromarray(plane).transform(
            PICTURE_PX, Image.Transform.MESH, mesh, Image.Resampling.BICUBIC
        )
        soft = ndimage.gaussian_filter(np.asarray(seen), conditions.body.softness_px)
        channels.append(np.maximum(soft, 0))
    return np.stack(channels, axis=-1)


def _mesh(view: View) -> list[tuple[tuple[int, int, int, int], tuple[float, ...]]]:
    """Boxes of the picture, and the four points of the raster each shows, anticlockwise from the
    left top as Pillow asks for them."""
    columns, rows = _PATCHES
    x = np.linspace(0, PICTURE_PX[0], columns + 1)
    y = np.linspace(0, PICTURE_PX[1], rows + 1)
    grid = np.stack(np.meshgrid(x, y), axis=-1)
    raster: Floats = (view.to_sheet(grid) + BENCH_MM) * PX
    mesh = []
    for i in range(rows):
        for j in range(columns):
            box = (int(x[j]), int(y[i]), int(x[j + 1]), int(y[i + 1]))
            quad = (raster[i, j], raster[i + 1, j], raster[i + 1, j + 1], raster[i, j + 1])
            mesh.append((box, tuple(float(value) for value in np.concatenate(quad))))
    return mesh


@cache
def _bench_mm() -> tuple[Field, Field]:
    """Every point of the raster, mm from the sheet's middle."""
    x, y = millimetres(scene_shape(), PX)
    return x - BENCH_MM - JIG.width / 2, y - BENCH_MM - JIG.height / 2


def light_on_bench(lamps: tuple[float, float]) -> Field:
    """How the two lamps light the bench: over every point of the raster, 1 at the sheet's middle.

    Each lamp is a point that lights by the square of its distance and the slant of its light:
    E ~ h / d³, the inverse square and the cosine law (CIE 18.2, physical photometry).
    """
    x, y = _bench_mm()
    total = np.zeros(x.shape, dtype=np.float32)
    for (lamp_x, lamp_y, height), strength in zip(_LAMPS, lamps, strict=True):
        square = (x - lamp_x) ** 2 + (y - lamp_y) ** 2 + height**2
        total += strength * ((lamp_x**2 + lamp_y**2 + height**2) / square) ** 1.5
    return np.asarray(total / sum(lamps), dtype=np.float32)


def vignette() -> Field:
    """What the lens passes of the light at each pixel of the picture."""
    width, height = PICTURE_PX
    u = np.linspace(-1, 1, width, dtype=np.float32)[None, :] * width
    v = np.linspace(-1, 1, height, dtype=np.float32)[:, None] * height
    return np.asarray(1 - _VIGNETTE * (u**2 + v**2) / (width**2 + height**2), dtype=np.float32)


def _glare(piece: Laid) -> Field:
    """A lamp mirrored in the lacquer of a piece."""
    x, y = _bench_mm()
    angle = np.deg2rad(piece.turn)
    x = x + JIG.width / 2 - piece.middle[0]
    y = y + JIG.height / 2 - piece.middle[1]
    x, y = x * np.cos(angle) + y * np.sin(angle), y * np.cos(angle) - x * np.sin(angle)
    across = (x - 7.4 + 0.30 * y) / 9.3
    along = (y + 15.3) / 61
    on_piece = (np.abs(x) < piece.size[0] / 2) & (np.abs(y) < piece.size[1] / 2)
    return np.asarray(1.3 * np.exp(-(across**4) - along**4) * on_piece, dtype=np.float32)


def _noise(picture: Array, rng: np.random.Generator) -> Array:
    """Noise of a phone: part grain, part blotches that its own smoothing left."""
    height, width, _ = picture.shape
    grain = rng.standard_normal((height, width), dtype=np.float32)
    blotch = ndimage.gaussian_filter(rng.standard_normal((height, width), dtype=np.float32), 1.1)
    luma = 0.80 * grain + 0.60 * blotch / float(blotch.std())
    tints = []
    for _ in range(2):
        raw = rng.standard_normal((height // 4, width // 4), dtype=np.float32)
        tint = ndimage.zoom(ndimage.gaussian_filter(raw, 0.7), 4, order=1)
        tints.append(tint / float(tint.std()))
    warm, green = tints
    # One L* is near 2.55 steps of 255 along the sRGB curve, and a little less in the darks.
    scale = NOISE_L * (2.55 / 255) * (0.75 + 0.35 * picture.mean(axis=-1))
    shift = np.stack([luma + 0.30 * warm, luma + 0.16 * green, luma - 0.36 * warm], axis=-1)
    return np.asarray(shift * scale[..., None], dtype=np.float32)
