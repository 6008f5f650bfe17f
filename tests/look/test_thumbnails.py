from __future__ import annotations

import numpy as np
from PIL import Image

from builder.look.thumbnails import shrink
from builder.records.photo import THUMBNAIL_SIDE
from tests.look.pictures import four_corners


def test_a_picture_of_any_shape_becomes_one_small_square_of_greys() -> None:
    for size in ((96, 64), (64, 96), (20, 10)):
        tiny = shrink(np.asarray(four_corners(*size)))
        assert tiny.shape == (THUMBNAIL_SIDE, THUMBNAIL_SIDE)
        assert tiny.dtype == np.uint8


def test_greys_are_luma_as_encoded() -> None:
    tiny = shrink(np.asarray(four_corners()))
    # Weights of ITU-R BT.601: 0.299 red, 0.587 green, 0.114 blue.
    assert abs(int(tiny[4, 4]) - (0.299 * 200 + 0.587 * 40 + 0.114 * 40)) <= 1
    assert abs(int(tiny[27, 4]) - 128) <= 1


def test_size_makes_no_difference() -> None:
    picture = four_corners(960, 640)
    small = picture.resize((480, 320), Image.Resampling.LANCZOS)
    off = shrink(np.asarray(picture)).astype(int) - shrink(np.asarray(small))
    assert np.abs(off).max() <= 3
