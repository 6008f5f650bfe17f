"""A photograph made tiny, to be known again by its look where it was saved anew."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from builder.records.photo import THUMBNAIL_SIDE

#: Larger than this many times the wanted size, a picture is first reduced by plain averaging.
_REDUCING_GAP = 3.0


def shrink(picture: Image.Image | NDArray[np.uint8]) -> NDArray[Any]:
    """The whole upright picture, (h, w, 3) if as an array, as THUMBNAIL_SIDE × THUMBNAIL_SIDE
    greys, 8-bit.

    Luma as encoded, by the weights of ITU-R BT.601; squeezed to a square, so that one crop of the
    picture is one shift and stretch of it.
    """
    image = picture if isinstance(picture, Image.Image) else Image.fromarray(picture)
    grey = image.convert("L")
    size = (THUMBNAIL_SIDE, THUMBNAIL_SIDE)
    return np.asarray(
        grey.resize(size, Image.Resampling.BICUBIC, reducing_gap=_REDUCING_GAP), dtype=np.uint8
    )
