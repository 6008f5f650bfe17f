"""What is cut out of an upright picture: the piece straightened, the card's patches, and the views
that are published of them.

Measuring takes original pixels only (nearest neighbour): a mean of gamma-coded values is not the
mean of light. Looking may take smooth ones.
"""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from builder.look.perspective import (
    Floats,
    carry,
    coefficients,
    map_plane,
    native_size,
)
from builder.look.spaces import xyz_to_srgb8
from builder.look.web import store_picture
from builder.records.photo import Box, Quad, WebImage

#: (h, w, 3) where it is an array.
Picture = Image.Image | NDArray[np.uint8]

#: Larger than this many times the wanted size, a picture is first reduced by plain averaging.
_REDUCING_GAP = 2.0
#: Of a raster laid over a picture; even, so that the half of it is a step.
ONE = 254
_LONGEST, _MOST_PIXELS = 10_000, 25_000_000  # of a view; no screen shows more
_MOST_ROWS = 26  # rows are lettered A to Z


def quad_size(picture: Picture, quad: Quad) -> tuple[int, int]:
    """Width and height in pixels that the place ``quad`` covers in the picture: the size to cut it
    at for measuring."""
    return native_size(quad, *_as_image(picture).size)


def part_of(quad: Quad, box: Box) -> Quad:
    """The corners in the picture of a part of the place ``quad``: ``box`` is left, top, right and
    bottom as fractions of the straightened place. Raises ``CornersError``."""
    left, top, right, bottom = box
    corners = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
    a, b, c, d = ((float(x), float(y)) for x, y in carry(map_plane(quad, 1, 1), corners))
    return a, b, c, d


def cut_quad(
    picture: Picture, quad: Quad, width: int, height: int, smooth: bool = False
) -> NDArray[np.uint8]:
    """The place ``quad`` (fractions, clockwise from left top) straightened, (height, width, 3).

    Original pixels, each cell the nearest; where ``smooth``, a blend of four, for looking at only.
    What lies outside the picture is black. To be cut at its own size (:func:`quad_size`) and
    brought to another in linear light by :func:`write_view`.
    Raises ``CornersError`` (a ValueError) for corners that go round no four-sided place.
    """
    image = _as_image(picture)
    matrix = map_plane(quad, *image.size)
    kind = Image.Resampling.BILINEAR if smooth else Image.Resampling.NEAREST
    return np.asarray(
        image.transform(
            (width, height),
            Image.Transform.PERSPECTIVE,
            coefficients(matrix, width, height),
            kind,
        )
    )


def lay_over(
    rasters: NDArray[np.floating[Any]], matrix: Floats, width: int, height: int
) -> NDArray[np.uint8]:
    """Four rasters (h, w, 4) of 0 to 1 seen through a plane's ``matrix`` (3, 3), which leads from
    fractions of what is made to their cells: (height, width, 4), a blend of four cells in steps of
    one in ONE, rounded down; nought outside."""
    steps = np.round(rasters * ONE).astype(np.uint8)
    # Four channels of no meaning; as colour with transparency they would be mixed.
    layers = Image.merge("CMYK", [Image.fromarray(layer) for layer in np.moveaxis(steps, -1, 0)])
    return np.asarray(
        layers.transform(
            (width, height),
            Image.Transform.PERSPECTIVE,
            coefficients(matrix / matrix[2, 2], width, height),
            Image.Resampling.BILINEAR,
        )
    )


def cut_patches(
    picture: Picture, quad: Quad, rows: int, columns: int, inset: float = 0.3
) -> dict[str, NDArray[np.uint8]]:
    """The inner pixels of every patch of a card lying at ``quad``: name → (n, 3).

    ``A1`` is the left top patch, letters are rows. ``inset`` is the part left off at each side, a
    fraction of the patch: edges bleed. Every original pixel whose centre lies inside is given once;
    a patch too small to hold one gives (0, 3). Raises ``CornersError``, and ValueError for more
    than 26 rows or an inset outside 0 to 0.5.
    """
    if not (1 <= rows <= _MOST_ROWS and columns >= 1 and 0 <= inset < 0.5):
        raise ValueError(f"no card has {rows} rows, {columns} columns and an inset of {inset}")
    image = _as_image(picture)
    w, h = image.size
    back = np.linalg.inv(map_plane(quad, w, h))
    around = _bounds(quad, w, h)
    rgb, (corner_x, corner_y, _, _) = np.asarray(image.crop(around)), around
    found = {}
    for row in range(rows):
        for column in range(columns):
            box = (
                (column + inset) / columns, (row + inset) / rows,
                (column + 1 - inset) / columns, (row + 1 - inset) / rows,
            )  # fmt: skip
            left, top, right, bottom = _bounds(part_of(quad, box), w, h)
            y, x = np.mgrid[top:bottom, left:right]
            plane = carry(back, np.stack([x + 0.5, y + 0.5], axis=-1).reshape(-1, 2))
            off_x, off_y = plane[:, 0] * columns - column, plane[:, 1] * rows - row
            inner = _is_inner(off_x, inset) & _is_inner(off_y, inset)
            pixels = rgb[top - corner_y : bottom - corner_y, left - corner_x : right - corner_x]
            pixels = pixels.reshape(-1, 3)
            found[f"{chr(ord('A') + row)}{column + 1}"] = pixels[inner]
    return found


def write_view(
    xyz: NDArray[np.floating[Any]],
    folder: Path,
    width: int | None = None,
    height: int | None = None,
) -> WebImage:
    """Publish linear XYZ (h, w, 3), D65, Y = 1, as an sRGB picture in ``folder``.

    Brought to ``width`` by ``height`` pixels in linear light where they are given (a height alone
    left out follows in proportion). Colours outside sRGB are cut off here and nowhere before.
    Raises ``SiteError`` where the folder cannot be written.
    """
    values = np.asarray(xyz, dtype=np.float32)
    if width is not None and height is None:
        height = max(1, round(values.shape[0] * width / values.shape[1]))
    if width is not None and height is not None:
        values = _resize_light(values, *_within_bounds(width, height))
    return store_picture(Image.fromarray(xyz_to_srgb8(values)), folder, full_colour=True)


def _within_bounds(width: int, height: int) -> tuple[int, int]:
    """The size brought down to what a page can show: a sliver of a picture, brought to the usual
    width, would be as high as a house."""
    less = min(1.0, _LONGEST / max(width, height), (_MOST_PIXELS / (width * height)) ** 0.5)
    return max(1, int(width * less)), max(1, int(height * less))


def mm_per_pixel(piece_mm: tuple[float, float], width: int) -> float:
    """Millimetres that one pixel of a straightened piece covers: its width in mm over its width in
    pixels."""
    return piece_mm[0] / width


def _resize_light(values: NDArray[np.float32], width: int, height: int) -> NDArray[np.float32]:
    if values.shape[:2] == (height, width):
        return values
    channels = [
        # Smaller, each pixel is the mean of those it covers; larger, a blend without ringing.
        np.asarray(
            Image.fromarray(np.ascontiguousarray(values[..., channel])).resize(
                (width, height), Image.Resampling.BILINEAR, reducing_gap=_REDUCING_GAP
            )
        )
        for channel in range(values.shape[-1])
    ]
    return np.stack(channels, axis=-1)


def _is_inner(part: NDArray[np.floating[Any]], inset: float) -> NDArray[np.bool_]:
    return np.asarray((part >= inset) & (part < 1.0 - inset))


def _as_image(picture: Picture) -> Image.Image:
    return picture if isinstance(picture, Image.Image) else Image.fromarray(picture)


def _bounds(quad: Quad, width: int, height: int) -> tuple[int, int, int, int]:
    """Left, top, right and bottom of what of the place lies in the picture."""
    (left, right), (top, bottom) = (
        (min(size, max(0, math.floor(min(along)))), min(size, math.ceil(max(along))))
        for along, size in (
            ([x * width for x, _ in quad], width),
            ([y * height for _, y in quad], height),
        )
    )
    return left, top, max(left, right), max(top, bottom)
