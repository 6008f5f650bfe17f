"""Change maps as pictures: each sign has a shape of its own, and greys only."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image

from builder.look.change_maps import GROUND, MARK, MAT, draw_change_map

SIDE = 20


def drawn(*levels: str) -> np.ndarray:
    data = draw_change_map(levels, SIDE * len(levels[0]), SIDE * len(levels))
    return np.asarray(Image.open(io.BytesIO(data)))


def square(picture: np.ndarray, column: int) -> np.ndarray:
    return picture[1 : SIDE - 1, SIDE * column + 1 : SIDE * (column + 1) - 1]


def test_marks_grow_with_the_change() -> None:
    picture = drawn("-0123?")
    assert picture.shape == (SIDE, 6 * SIDE)
    assert (square(picture, 0) == MAT).all()
    assert (square(picture, 1) == GROUND).all()
    light = [float((square(picture, k) > 200).mean()) for k in (2, 3, 4)]
    assert 0 < light[0] < light[1] / 2 < light[1] < light[2] == 1
    assert (square(picture, 4) == MARK).all()


def test_a_stroke_is_no_dot() -> None:
    stroke, small = (square(drawn(sign * 3), 1) for sign in "?1")
    assert stroke[SIDE // 2 - 1, SIDE // 2 - 1] != GROUND
    assert stroke[0, 0] == small[0, 0] == GROUND
    assert stroke[0, -1] != GROUND == small[0, -1]


def test_the_same_signs_give_the_same_bytes_without_a_word_in_them() -> None:
    one, two = (draw_change_map(("012", "-?3"), 90, 60) for _ in range(2))
    assert one == two
    assert not Image.open(io.BytesIO(one)).info
