"""From the 8-bit values of a picture to linear light."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from builder.measure.arrays import Bytes, Floats, Mask, Pixels, Places
from builder.measure.spaces import RGB_SPACES
from builder.records.photo import Encoding

# Of 255: an encoder rounds and a lossy one wobbles by a count, so the last but one is taken too.
CLIPPED_HIGH = 254
CLIPPED_LOW = 1
# A clipped pixel counts where a third of its 3 × 3 surroundings is clipped with it: noise alone
# throws single pixels to the end of the scale, a blown highlight does not come singly.
CLIPPED_NEIGHBOURS = 3


def rgb_to_xyz_of(encoding: Encoding) -> Floats:
    """The (3, 3) matrix of ``encoding`` from linear RGB to XYZ, D65 white, Y = 1.

    Raises ValueError if the encoding is neither known by name nor carries its own matrix.
    """
    if encoding.to_xyz is not None:
        return np.array(encoding.to_xyz, dtype=np.float64)
    if encoding.name not in RGB_SPACES:
        raise ValueError(f"encoding {encoding.name!r} has no matrix and is not known by name")
    return RGB_SPACES[encoding.name].to_xyz


def linear_tables(encoding: Encoding) -> Floats:
    """(3, 256): the linear value in [0, 1] of each 8-bit value of each channel.

    Raises ValueError if the encoding is neither known by name nor carries its own tables.
    """
    if encoding.decode is not None:
        return np.array(encoding.decode, dtype=np.float64)
    if encoding.name not in RGB_SPACES:
        raise ValueError(f"encoding {encoding.name!r} has no tables and is not known by name")
    return np.tile(RGB_SPACES[encoding.name].decode(np.arange(256) / 255), (3, 1))


def to_linear_xyz(rgb8: Bytes, encoding: Encoding) -> Pixels:
    """8-bit values (…, 3) → XYZ (…, 3), float32, D65 white, Y = 1 for the encoding's white.

    Raises ValueError if the encoding is neither known by name nor carries tables and matrix.
    """
    linear = to_linear_rgb(rgb8, encoding)
    return np.asarray(linear @ rgb_to_xyz_of(encoding).T.astype(np.float32))


def to_linear_rgb(rgb8: Bytes, encoding: Encoding) -> Pixels:
    """8-bit values (…, 3) → linear RGB (…, 3), float32, of the encoding's own channels.

    Raises ValueError if the encoding is neither known by name nor carries its own tables.
    """
    tables = linear_tables(encoding).astype(np.float32)
    linear = np.empty(rgb8.shape, dtype=np.float32)
    for channel in range(3):
        np.take(tables[channel], rgb8[..., channel], out=linear[..., channel])
    return linear


def find_colours(rgb8: Bytes) -> tuple[Bytes, Places]:
    """The colours of a picture (h, w, 3), each once, (k, 3); and which of them every pixel has,
    (h, w). A photograph has a few for every hundred of its pixels."""
    green = rgb8[..., 1].astype(np.int16)
    plain = [green, *(rgb8[..., channel].astype(np.int16) for channel in (0, 2))]
    # A photograph's colours differ in light more than in anything else: counted from green, red and
    # blue take up less room, unless it shows all colours.
    apart = [green, *(channel - green for channel in plain[1:])]
    (lows, sides), axes = min(((_room(axes), axes) for axes in (plain, apart)), key=_size)
    code = np.zeros(green.shape, dtype=np.int32)
    for axis, low, side in zip(axes, lows, sides, strict=True):
        code *= side
        code += axis
        code -= low
    there = np.zeros(math.prod(sides), dtype=np.bool_)
    there[code] = True
    present = np.flatnonzero(there)
    number = np.empty(len(there), dtype=np.int32)
    number[present] = np.arange(len(present), dtype=np.int32)
    found = np.stack(np.unravel_index(present, sides), axis=-1) + lows
    if axes is apart:
        found[:, 1:] += found[:, :1]
    return found[:, [1, 0, 2]].astype(np.uint8), number.take(code)


def _room(axes: Sequence[npt.NDArray[np.int16]]) -> tuple[list[int], list[int]]:
    """The lowest value of each axis, and how many there are from there to the highest."""
    lows = [int(axis.min()) for axis in axes]
    return lows, [int(axis.max()) - low + 1 for axis, low in zip(axes, lows, strict=True)]


def _size(room: tuple[tuple[list[int], list[int]], object]) -> int:
    return math.prod(room[0][1])


def is_clipped(rgb8: Bytes) -> Mask:
    """Which 8-bit values (…, 3) are at either end of the scale in any channel → (…)."""
    past = np.uint8(256 - CLIPPED_HIGH)  # so many levels on, both ends of the scale lie together
    ends = rgb8 + past <= CLIPPED_LOW + past
    return np.asarray(ends[..., 0] | ends[..., 1] | ends[..., 2])


def part_of_squares(mask: Mask, side: int, least: float) -> Mask:
    """Which squares of ``side`` cells of a mask (h, w), both whole multiples of it, hold at least
    the part ``least`` of it, and some."""
    if side == 1 or not mask.any():
        return mask[::side, ::side]
    height, width = (size // side for size in mask.shape)
    held = mask.reshape(height, side, width, side).sum(axis=(1, 3))
    return np.asarray(held >= max(1, least * side**2))


def find_clipped(rgb8: Bytes) -> Mask:
    """Where a picture (h, w, 3) has run out of scale in any channel → (h, w)."""
    ends = is_clipped(rgb8)
    if not ends.any():
        return ends
    padded = np.pad(ends, 1).astype(np.uint8)
    rows = padded[:-2] + padded[1:-1] + padded[2:]
    around = rows[:, :-2] + rows[:, 1:-1] + rows[:, 2:]
    return np.asarray(ends & (around >= CLIPPED_NEIGHBOURS))
