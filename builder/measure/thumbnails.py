"""Whether two thumbnails are of one exposure: saved again smaller, lighter, or cropped a little.

How far they are apart is the *misfit*: the root mean square of what is left of the one after the
other was fitted to it, as a part of its contrast; 0 for the same, 1 for nothing in common.
"""

from __future__ import annotations

import base64
import math

import numpy as np

from builder.measure.arrays import Bytes, Floats, Mask
from builder.records.photo import THUMBNAIL_SIDE

# A copy may lack this much of the picture at each side.
MOST_CROPPED = 0.06
# Where a crop lies is looked for from these starts; a seam between two pixels hides the way else.
_STARTS = (0.0, 0.015, 0.03)
_ROUNDS = 6
_STEP = 0.004
_LONGEST_STEP = 0.02
# Pixels at the edge that a crop changes in other ways than by moving them.
_EDGE = 3
_LEAST_CONTRAST = 1.0  # of 255: a blank picture is like no other

_n = THUMBNAIL_SIDE
_SOFT: Floats = np.linalg.matrix_power(
    0.5 * np.eye(_n) + 0.25 * np.eye(_n, k=1) + 0.25 * np.eye(_n, k=-1), 2
)
_WAVES: Floats = np.stack(
    [np.cos(np.pi * (np.arange(_n) + 0.5) * k / _n) * math.sqrt(2 / _n) for k in range(5)]
)
_WAVES[0] /= math.sqrt(2)
_COARSE: Mask = np.add.outer(np.arange(5), np.arange(5)) <= 4
_COARSE[0, 0] = False


def pack_thumbnail(grey: Bytes) -> str:
    """Greys (THUMBNAIL_SIDE, THUMBNAIL_SIDE), 8-bit, as text."""
    return base64.b64encode(np.ascontiguousarray(grey, dtype=np.uint8).tobytes()).decode("ascii")


def read_thumbnail(packed: str) -> Floats:
    """The greys (THUMBNAIL_SIDE, THUMBNAIL_SIDE) of a packed text. Raises ValueError where it does
    not hold that many."""
    try:
        data = base64.b64decode(packed, validate=True)
    except ValueError as error:  # binascii's own error is one
        raise ValueError(f"the thumbnail's text is broken: {error}") from error
    grey = np.frombuffer(data, dtype=np.uint8).astype(np.float64)
    return grey.reshape(THUMBNAIL_SIDE, THUMBNAIL_SIDE)


def describe(grey: Floats) -> Floats:
    """The fourteen coarsest cosines of a thumbnail, of its contrast alike: what a copy that is not
    cropped has in common with its original to a hundredth or two. NaN for a blank picture."""
    even = _standardise(grey)
    if even is None:
        return np.full(int(_COARSE.sum()), np.nan)
    return np.asarray((_WAVES @ even @ _WAVES.T)[_COARSE] / THUMBNAIL_SIDE)


def misfit_whole(first: Floats, second: Floats) -> float:
    """The misfit of two thumbnails after the best change of brightness and contrast."""
    one, two = _standardise(first), _standardise(second)
    if one is None or two is None:
        return 1.0
    return math.sqrt(max(0.0, 1 - float(np.mean(one * two)) ** 2))


def misfit_cropped(whole: Floats, part: Floats) -> float:
    """The misfit of ``part`` and what is left of ``whole`` cropped as fits it best, by up to
    MOST_CROPPED a side; both softened, since a thumbnail shows nothing finer than its pixels.

    Least squares by Gauss and Newton over the four sides.
    """
    target = _standardise(_inner(_soften(part)))
    if target is None:
        return 1.0
    soft = _soften(whole)
    best = 1.0
    for start in _STARTS:
        sides = np.full(4, start)
        for _ in range(_ROUNDS):
            left = _leave(soft, target, sides)
            best = min(best, float(np.sqrt(np.mean(left**2))))
            moved = [(_leave(soft, target, sides + _STEP * way) - left) for way in np.eye(4)]
            pull = np.linalg.lstsq(np.stack(moved, axis=-1) / _STEP, -left, rcond=None)[0]
            step = np.clip(pull, -_LONGEST_STEP, _LONGEST_STEP)
            sides = np.clip(sides + step, 0, MOST_CROPPED)
    return best


def _leave(soft: Floats, target: Floats, sides: Floats) -> Floats:
    """What is left of ``target`` after the whole, cropped at top, bottom, left and right."""
    top, bottom, left, right = sides
    cropped = _standardise(_inner(_stretch(top, bottom) @ soft @ _stretch(left, right).T))
    return (target if cropped is None else target - cropped).ravel()


def _stretch(before: float, after: float) -> Floats:
    """(n, n): a line of pixels with these parts cut off, stretched to its old length; cubic
    convolution. Source: R. G. Keys, IEEE Trans. ASSP 29(6):1153-1160 (1981)."""
    n = THUMBNAIL_SIDE
    at = before * n + (np.arange(n) + 0.5) * (1 - before - after) - 0.5
    off = np.abs(at[:, None] - np.arange(-2, n + 2))
    near = 1.5 * off**3 - 2.5 * off**2 + 1
    far = -0.5 * off**3 + 2.5 * off**2 - 4 * off + 2
    weight = np.where(off < 1, near, np.where(off < 2, far, 0))
    weight[:, 2] += weight[:, :2].sum(axis=1)
    weight[:, -3] += weight[:, -2:].sum(axis=1)
    return np.asarray(weight[:, 2:-2])


def _soften(grey: Floats) -> Floats:
    return np.asarray(_SOFT @ grey @ _SOFT.T)


def _inner(grey: Floats) -> Floats:
    return grey[_EDGE:-_EDGE, _EDGE:-_EDGE]


def _standardise(grey: Floats) -> Floats | None:
    off = grey - grey.mean()
    contrast = float(np.sqrt(np.mean(off**2)))
    return None if contrast < _LEAST_CONTRAST else np.asarray(off / contrast)
