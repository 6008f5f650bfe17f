"""How a drawn plate lies, as its own array turned; grids differ by the noise of their drawing."""

from __future__ import annotations

import numpy as np
import pytest

from builder.measure.registration import find_pattern
from builder.measure.turning import Way, find_way
from tests.measure.plates import BROWN, GREEN, chips, grain, millimetres, moved_places, see_plate


def lay(seed: int, right: float = 0.0, down: float = 0.0, degrees: float = 0.0) -> np.ndarray:
    return see_plate(GREEN, BROWN, chips(*moved_places(right, down, degrees)), seed)


def ways(one: np.ndarray, two: np.ndarray) -> Way | None:
    return find_way(find_pattern(one), find_pattern(two))


def test_laid_alike_it_lies_upright() -> None:
    assert ways(lay(1), lay(2)) is Way.UPRIGHT
    assert ways(lay(1), lay(2, 1.3, -2.0, 0.8)) is Way.UPRIGHT


def test_half_a_turn_is_found() -> None:
    assert ways(lay(1), np.rot90(lay(2, 1.0), 2)) is Way.HALF


def test_a_mirrored_picture_is_found() -> None:
    assert ways(lay(1), lay(2)[:, ::-1]) is Way.MIRRORED


@pytest.mark.parametrize(("quarters", "way"), [(1, Way.LEFT), (-1, Way.RIGHT), (2, Way.HALF)])
def test_a_square_piece_can_lie_four_ways(quarters: int, way: Way) -> None:
    square = slice(12, 62)
    # NumPy turns against the clock: once is to the left.
    assert ways(lay(1)[square], np.rot90(lay(2)[square], quarters)) is way


def test_a_plain_piece_cannot_tell() -> None:
    x, _ = millimetres()
    one, two = (see_plate(GREEN, BROWN, np.zeros_like(x), seed) for seed in (1, 2))
    assert ways(one, two) is None
    assert ways(one, np.rot90(two, 2)) is None


def test_another_piece_s_pattern_fits_no_way() -> None:
    one = see_plate(GREEN, BROWN, chips(*millimetres(), mm=4.0), 1)
    x, y = millimetres()
    other = see_plate(GREEN, BROWN, chips(x * 1.7 + 31, y * 1.7 + 53), 2)
    assert ways(one, other) is None


def test_grain_along_the_piece_says_nothing_of_half_a_turn_where_it_is_lost() -> None:
    x, y = millimetres()
    assert ways(see_plate(GREEN, BROWN, grain(x, y), 1), lay(2)) is None


def test_missing_squares_do_not_matter() -> None:
    one, two = lay(1), np.rot90(lay(2), 2).copy()
    one[:5], two[:, :4] = np.nan, np.nan
    assert ways(one, two) is Way.HALF
