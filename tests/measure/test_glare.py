"""Glare: the lamp mirrored, told from a light colour."""

from __future__ import annotations

import numpy as np
import pytest

from builder.measure.glare import find_glare, find_purity, grow
from builder.measure.spaces import lab_to_xyz
from builder.records.photo import Lab

SHAPE = (80, 80)


def piece(body: Lab, noise: float = 0.08) -> np.ndarray:
    rng = np.random.default_rng(1)
    return np.asarray(lab_to_xyz(body) * np.exp(rng.normal(0, noise, (*SHAPE, 1))))


def everywhere() -> np.ndarray:
    return np.ones(SHAPE, dtype=np.bool_)


def spot(width: int = 20) -> np.ndarray:
    mask = np.zeros(SHAPE, dtype=np.bool_)
    mask[30 : 30 + width, 30 : 30 + width] = True
    return mask


@pytest.mark.parametrize(
    "body", [(33, 10, 12), (49, -21, 3), (23, 1, 2), (37, 4, -27), (44, 14, 19)]
)
def test_a_lamp_mirrored_in_a_piece_is_found_and_nothing_else(body: Lab) -> None:
    xyz = piece(body)
    xyz[spot()] += 0.7 * lab_to_xyz((100, 0, 0))
    assert np.array_equal(find_glare(xyz, everywhere()), spot())


@pytest.mark.parametrize(
    ("body", "second", "width"),
    [
        ((34, 10, 12), (60, 19, 23), 20),  # bare copper where the water broke
        ((40, 13, 16), (63, -24, -3), 20),  # verdigris on brown
        ((33, 8, 8), (68, -20, -2), 30),
        ((23, 1, 2), (28, 2, 3), 20),
        ((74, -1, 2), (82, 0, 1), 20),  # spangle
        ((26, 10, 9), (60, 0, 2), 50),  # bare steel, too much of it for a mirror
    ],
)
def test_a_light_second_colour_is_not_glare(body: Lab, second: Lab, width: int) -> None:
    xyz = piece(body)
    xyz[spot(width)] = piece(second)[spot(width)]
    assert not find_glare(xyz, everywhere()).any()


def test_what_is_already_left_out_is_not_counted_again() -> None:
    xyz = piece((33, 10, 12))
    xyz[spot()] += 0.7
    assert not find_glare(xyz, ~spot()).any()
    assert not find_glare(xyz, np.zeros(SHAPE, dtype=np.bool_)).any()


def test_purity_is_nought_for_a_neutral_and_one_without_a_channel() -> None:
    # Source: IEC 61966-2-1:1999 primaries: sRGB's red has no green or blue.
    red, white = [0.4124564, 0.2126729, 0.0193339], lab_to_xyz((100, 0, 0))
    assert find_purity(np.array([red, white])) == pytest.approx([1.0, 0.0], abs=1e-3)


def test_a_mask_grows_by_its_steps_to_all_sides() -> None:
    mask = np.zeros((7, 7), dtype=np.bool_)
    mask[3, 3] = True
    assert grow(mask, 2).sum() == 25
    assert grow(mask, 0).sum() == 1
