"""Where marked squares lie, in words."""

from __future__ import annotations

import numpy as np
import pytest

from builder.relate.places import name_place, name_point

ROWS, COLUMNS = 75, 50
THERE = np.ones((ROWS, COLUMNS), bool)
Y, X = np.mgrid[:ROWS, :COLUMNS]


@pytest.mark.parametrize(
    ("marked", "words"),
    [
        (Y < 0, ""),
        (Y >= 0, "the whole face"),
        (Y >= 5, "the whole face"),
        (Y < 25, "the upper third"),
        (Y < 6, "the upper edge"),
        (Y >= 69, "the lower edge"),
        (X < 6, "the left edge"),
        (X >= 25, "the right half"),
        (Y >= 38, "the lower half"),
        ((Y < 24) & (X < 16), "the upper left corner"),
        ((Y > 24) & (Y < 50), "the band across the middle"),
        ((np.abs(Y - 37) < 22) & (np.abs(X - 25) < 14), "the middle"),
        ((Y < 6) | (Y >= 69) | (X < 6) | (X >= 44), "the rim all round"),
        (Y < 50, "all but the lower third"),
        ((Y + X) % 4 > 0, "most of the face"),
        ((Y % 15 < 2) & (X % 10 < 2), "spots all over"),
        ((Y % 15 < 2) & (X % 10 < 2) & (Y > 40), "spots, most of them in the lower half"),
        ((Y < 3) & (X < 3), "one spot"),
        (((Y // 12 + X // 12) % 2 == 0), "patches all over"),
    ],
)
def test_a_place_has_the_words_one_would_use(marked: np.ndarray, words: str) -> None:
    assert name_place(marked, THERE) == words


def test_places_are_told_of_the_piece_and_not_of_the_squares_round_it() -> None:
    disc = (Y - 37) ** 2 + (X - 25) ** 2 < 20**2
    assert name_place(disc & (Y < 37), disc) == "the upper half"


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        (2, 3, "upper left"),
        (37, 25, "centre"),
        (70, 25, "lower centre"),
        (37, 2, "middle of the left side"),
        (74, 49, "lower right"),
    ],
)
def test_a_square_lies_in_a_ninth(row: int, column: int, words: str) -> None:
    assert name_point(row, column, THERE) == words
