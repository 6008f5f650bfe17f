"""Cameras: what three measured sensors see, and what their makers make of it.

Raw values are linear.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from builder.measure.spaces import RGB_SPACES, RgbSpace
from tests.benchmarks.spectra import NM, Floats, Lamp, list_lamps, measured_surfaces, to_share
from tests.reference import colour

Pixels = NDArray[np.float32]
_THIRD = "characterisation/datasets/rawtoaces/CANON_EOS_5DMark_II_RGB_Sensitivities.csv"
_BALANCED = "daylight 6500 K"  # for which makers fit their matrix
_LEVELS = 1 << 14  # of the table from linear light to encoded; square roots of light


@cache
def responses() -> tuple[Floats, ...]:
    """Three of (71, 3), red, green, blue: the two measured by the National Physical Laboratory and
    the one that comes with the public tools for ACES, all as colour-science holds them."""
    measured = [
        (one.wavelengths, one.values) for _, one in sorted(colour.MSDS_CAMERA_SENSITIVITIES.items())
    ]
    table = np.loadtxt(str(files("colour") / _THIRD), delimiter=",", skiprows=1)
    measured.append((table[:, 0], table[:, 1:]))
    return tuple(
        np.stack([np.interp(NM, nm, v[:, k], left=0, right=0) for k in range(3)], axis=-1)
        for nm, v in measured
    )


def see_raw(reflectance: Floats, lamp: Lamp, response: Floats) -> Floats:
    """Reflectances (…, 71) under a lamp → raw (…, 3), a perfect white's green being 1."""
    seen = response * lamp.power[:, None]
    return np.asarray(reflectance @ seen / seen[:, 1].sum())


@cache
def matrix_of(camera: int) -> Floats:
    """(3, 3): balanced raw → linear sRGB, least squares over measured surfaces in daylight, whites
    kept white: what is usual. Source: common practice, no source."""
    lamp = next(lamp for lamp in list_lamps() if lamp.name == _BALANCED)
    response = responses()[camera]
    surfaces = measured_surfaces()
    raw = see_raw(surfaces, lamp, response) / see_raw(np.ones_like(NM), lamp, response)
    space = RGB_SPACES["srgb"].to_xyz
    rgb = (to_share(surfaces) * space.sum(axis=1)) @ np.linalg.inv(space).T
    # Rows sum to one: fit what is left after the mean of the channels has been taken from each.
    free = raw[:, :2] - raw[:, 2:]
    found, *_ = np.linalg.lstsq(free, rgb - raw[:, 2:], rcond=None)
    return np.vstack([found, 1 - found.sum(axis=0)]).T


def plain(v: Floats) -> Floats:
    return v


def s_shaped(v: Floats) -> Floats:
    """Darks darker, lights lighter, as cameras of old do it."""
    return np.asarray(v - 0.09 * np.sin(2 * np.pi * np.clip(v, 0, 1)) / (2 * np.pi) * 2)


def phone_like(v: Floats) -> Floats:
    """Shadows lifted, and a shoulder up to white in place of an edge."""
    return np.asarray(1 - (1 - np.clip(v, 0, 1) ** 0.93) ** 1.25)


#: Curves on the encoded value, 1 for the sensor's own white. Invented after what is usual.
CURVES: dict[str, Callable[[Floats], Floats]] = {
    "plain": plain,
    "S-shaped": s_shaped,
    "phone-like": phone_like,
}


@dataclass(frozen=True)
class Body:
    """A camera as it is set: ``sensor`` 0 to 2; ``curve`` of CURVES; ``profile`` of the file."""

    sensor: int
    curve: str
    profile: str  # srgb, display-p3, adobe-rgb

    @property
    def space(self) -> RgbSpace:
        return RGB_SPACES[self.profile]

    @property
    def matrix(self) -> Floats:
        """(3, 3): balanced raw → linear RGB of the profile."""
        to_profile = np.linalg.inv(self.space.to_xyz) @ RGB_SPACES["srgb"].to_xyz
        return np.asarray(to_profile @ matrix_of(self.sensor))


@cache
def _table(curve: str, profile: str) -> NDArray[np.uint8]:
    linear = (np.arange(_LEVELS) / (_LEVELS - 1)) ** 2
    encoded = CURVES[curve](RGB_SPACES[profile].encode(linear))
    return np.asarray(np.clip(np.rint(255 * encoded), 0, 255), dtype=np.uint8)


def develop(raw: Pixels, body: Body) -> NDArray[np.uint8]:
    """Balanced raw (h, w, 3), 1 where the sensor is full → 8-bit picture."""
    full = np.clip(raw, 0, 1).reshape(-1, 3)
    linear = np.clip(full @ body.matrix.T.astype(np.float32), 0, 1)
    level = (np.sqrt(linear) * np.float32(_LEVELS - 1) + np.float32(0.5)).astype(np.int16)
    return _table(body.curve, body.profile)[level].reshape(raw.shape)


def balance(lamp: Lamp, camera: int, adapted: float) -> Floats:
    """Gains (3,) on raw, green 1: ``adapted`` 1 makes the lamp's white neutral, 0 leaves it as in
    daylight."""
    daylight = next(one for one in list_lamps() if one.name == _BALANCED)
    whites = [see_raw(np.ones_like(NM), one, responses()[camera]) for one in (lamp, daylight)]
    here, there = (1 / white for white in whites)
    return np.asarray(here**adapted * there ** (1 - adapted))
