"""A part that was blurred is gone: not faint, gone."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from builder.look.blurring import blur, find_pixels
from builder.records.photo import Box

PART: Box = (0.25, 0.4, 0.75, 0.6)
fractions = st.floats(0, 1, allow_nan=False)


def write(words: str, ink: int = 20) -> NDArray[np.uint8]:
    picture = Image.new("RGB", (400, 300), (200, 190, 180))
    draw = ImageDraw.Draw(picture)
    draw.text((200, 150), words, fill=(ink, ink, ink), font=ImageFont.load_default(44), anchor="mm")
    return np.asarray(picture)


@pytest.mark.parametrize("other", ["17", "888", "W 4", "Lane 9"])
def test_two_texts_leave_the_very_same_picture(other: str) -> None:
    # A mosaic of means can be undone by trying every text; see the module's own words.
    assert np.array_equal(blur(write("142"), [PART]), blur(write(other), [PART]))
    assert not np.array_equal(write("142"), write(other))


def test_what_lies_outside_stays_and_the_picture_handed_over_too() -> None:
    picture = write("142")
    before = picture.copy()
    hidden = blur(picture, [PART])
    assert np.array_equal(picture, before)
    rows, columns = find_pixels(PART, 300, 400)
    outside = np.ones((300, 400), dtype=bool)
    outside[rows, columns] = False
    assert np.array_equal(hidden[outside], picture[outside])


def test_three_cells_by_three_at_most_are_left_of_noise() -> None:
    noise = np.random.default_rng(1).integers(0, 256, (90, 120, 3)).astype(np.uint8)
    hidden = blur(noise, [(0.0, 0.0, 1.0, 1.0)])
    # What a blend of nine cells can be made of again: three numbers each way in every channel.
    assert np.linalg.matrix_rank(hidden[..., 0].astype(float), tol=40) <= 3
    assert hidden.std() < noise.std() / 8


@settings(max_examples=60, deadline=None)
@given(st.tuples(fractions, fractions), st.tuples(fractions, fractions), st.integers(1, 40))
def test_any_part_of_any_picture_can_be_blurred(
    across: tuple[float, float], down: tuple[float, float], side: int
) -> None:
    (left, right), (top, bottom) = sorted(across), sorted(down)
    picture = np.zeros((side, 2 * side, 3), dtype=np.uint8)
    assert blur(picture, [(left, top, right, bottom)]).shape == picture.shape
