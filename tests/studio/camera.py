"""The invented camera: lamp, lens, sensor, tone response; linear light in, 8-bit pixels out.

Pictures are (height, width, 3). Two bodies were used: the second from June 2025 on.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from tests.studio import faults
from tests.studio.colours import SRGB_TO_P3, Array, encode_srgb, lamp_gains
from tests.studio.diary import Shot
from tests.studio.paint import PX
from tests.studio.scene import BENCH_MM
from tests.studio.stand import JITTER, PICTURE_PX, SHEET_CORNERS_PX, homography

Pixels = NDArray[np.uint8]
BALANCED_FOR_K = 5200.0
WARM_K = 2700.0
#: Share of the jitter budget one standard deviation takes, so that three stay inside it.
_JITTER_SD = JITTER * PICTURE_PX[1] / 3.2
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


@dataclass(frozen=True)
class Conditions:
    """What differs from shot to shot. ``corners``: the sheet's corners, px."""

    body: Body
    gains: tuple[float, float, float]
    exposure: float
    lean: tuple[float, float]  # change of unevenness across and down the frame
    corners: tuple[tuple[float, float], ...]
    glare: float = 0.0
    wide: bool = False


def conditions_of(shot: Shot) -> Conditions:
    """The conditions a shot was taken under, its planted faults included."""
    rng = shot.rng(2)
    key = (shot.piece.number, shot.planned)
    warm = key in faults.WARM_WITH_CARD or key == faults.WARM_WITHOUT_CARD
    kelvin = WARM_K if warm else 5200.0 + float(rng.normal(0, 45))
    red, green, blue = lamp_gains(kelvin, BALANCED_FOR_K)
    exposure = 0.955 * float(np.exp(rng.normal(0, 0.010)))
    if warm:
        exposure *= 0.9 / max(red, green, blue)  # so that the paper is not burnt out in red
    dx, dy, turn, zoom = rng.normal(0, 1, 4)
    conditions = Conditions(
        body=BODIES[shot.camera],
        gains=(float(red), float(green), float(blue)),
        exposure=exposure,
        lean=(float(rng.normal(0, 0.0022)), float(rng.normal(0, 0.0022))),
        corners=_jittered(dx, dy, turn, zoom),
    )
    if key == faults.GLARE:
        conditions = replace(conditions, glare=1.0)
    if key == faults.WIDE_GAMUT_HEIC:
        conditions = replace(conditions, wide=True)
    return conditions


def _jittered(dx: float, dy: float, turn: float, zoom: float) -> tuple[tuple[float, float], ...]:
    corners = np.array(SHEET_CORNERS_PX)
    centre = corners.mean(axis=0)
    angle = np.clip(turn, -2, 2) * 0.0009  # radians: the sheet's corner then moves under 1 px
    spread = 1 + np.clip(zoom, -2, 2) * 0.0007
    rotation = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    moved = (corners - centre) @ rotation * spread + centre
    moved = moved + np.clip([dx, dy], -2.2, 2.2) * _JITTER_SD
    return tuple((float(x), float(y)) for x, y in moved)


def expose(scene: Array, conditions: Conditions, rng: np.random.Generator) -> Pixels:
    """Photograph a scene."""
    light = _through_lens(scene, conditions)
    light = light * _unevenness(conditions.lean)[..., None]
    if conditions.glare:
        light = light + _glare(conditions.glare)[..., None]
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
    """Perspective and softness."""
    width, height = PICTURE_PX
    to_raster = np.array([[PX, 0, BENCH_MM * PX], [0, PX, BENCH_MM * PX], [0, 0, 1.0]])
    back = to_raster @ np.linalg.inv(homography(conditions.corners))
    back = back / back[2, 2]
    terms = tuple(float(value) for value in back.ravel()[:8])
    channels = []
    for channel in range(3):
        plane = np.ascontiguousarray(scene[..., channel], dtype=np.float32)
        seen = Image.fromarray(plane).transform(
            (width, height), Image.Transform.PERSPECTIVE, terms, Image.Resampling.BICUBIC
        )
        soft = ndimage.gaussian_filter(np.asarray(seen), conditions.body.softness_px)
        channels.append(np.maximum(soft, 0))
    return np.stack(channels, axis=-1)


def _unevenness(lean: tuple[float, float]) -> Array:
    """How the two lamps and the lens light the frame; the same at every look but for ``lean``."""
    width, height = PICTURE_PX
    u = np.linspace(-1, 1, width, dtype=np.float32)[None, :]
    v = np.linspace(-1, 1, height, dtype=np.float32)[:, None]
    steady = 1.010 + 0.008 * u - 0.010 * v - 0.014 * u**2 - 0.016 * v**2
    return np.asarray(steady + lean[0] * u + lean[1] * v, dtype=np.float32)


def _glare(strength: float) -> Array:
    """A lamp mirrored in the lacquer."""
    width, height = PICTURE_PX
    x = np.arange(width, dtype=np.float32)[None, :]
    y = np.arange(height, dtype=np.float32)[:, None]
    across = (x - 655 + 0.30 * (y - 600)) / 46
    along = (y - 520) / 300
    on_piece = (x > 372) & (x < 866) & (y > 226) & (y < 968)
    streak = np.exp(-(across**4) - along**4)
    return np.asarray(1.3 * strength * streak * on_piece, dtype=np.float32)


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
