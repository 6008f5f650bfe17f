"""Grids: colours in, text, the same colours out."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from builder.measure.grids import make_grid, read_grid
from builder.measure.spaces import lab_to_xyz, xyz_to_lab
from tests.reference import colour

# Kept in tenths, so half a tenth off at most in each of three axes: √3 · 0.05, and a hair.
KEPT_WITHIN = 0.09
LABS = np.array([[62.0, -23.0, -3.0], [40.0, 13.0, 16.0], [5.0, 1.0, -2.0], [98.0, -40.0, 60.0]])


def plate(labs: np.ndarray, px: int) -> np.ndarray:
    """Squares of one colour each, side by side."""
    return np.repeat(np.repeat(lab_to_xyz(labs)[None], px, axis=0), px, axis=1)


def test_each_square_keeps_its_colour() -> None:
    xyz = plate(LABS, 10)
    lab = read_grid(make_grid(xyz, np.ones(xyz.shape[:2], bool), 0.2))
    assert lab.shape == (1, 4, 3)
    assert np.linalg.norm(lab[0] - LABS, axis=-1).max() < KEPT_WITHIN


def test_a_square_is_the_mean_in_linear_light_not_in_lab() -> None:
    """Source of the L*a*b*: colour-science, a general-purpose reference library."""
    xyz = plate(LABS[:2], 5)[:, :10]  # one square of two colours, half and half
    xyz = np.concatenate([xyz, xyz])
    (lab,) = read_grid(make_grid(xyz, np.ones((10, 10), bool), 0.2))[0]
    expected = colour.XYZ_to_Lab(xyz.reshape(-1, 3).mean(axis=0), np.array([0.3127, 0.3290]))
    assert np.linalg.norm(lab - expected) < KEPT_WITHIN
    assert np.linalg.norm(lab - LABS[:2].mean(axis=0)) > 10 * KEPT_WITHIN


def test_squares_of_no_whole_number_of_pixels_keep_their_size() -> None:
    ramp = np.linspace(0.1, 0.6, 700)[None, :, None] * np.ones((30, 1, 3))
    grid = make_grid(ramp, np.ones((30, 700), bool), 0.3)
    assert (grid.rows, grid.columns) == (4, 105)
    light = lab_to_xyz(read_grid(grid))[1, :, 1]
    # A ramp's mean over a square is its middle; the middles are 2 mm, 6 ⅔ pixels, apart.
    middles = 350 + (np.arange(105) - 52) * 2 / 0.3
    assert np.abs(light - np.interp(middles - 0.5, np.arange(700), ramp[0, :, 0])).max() < 2e-3


def test_a_square_half_lost_is_missing_and_lost_pixels_do_not_count() -> None:
    xyz = plate(LABS, 10)
    good = np.ones(xyz.shape[:2], bool)
    good[:6, :10] = False  # six tenths of the first
    good[:4, 10:20] = False  # four tenths of the second, and black there
    xyz[:4, 10:20] = 0
    lab = read_grid(make_grid(xyz, good, 0.2))
    assert np.isnan(lab[0, 0]).all()
    assert np.linalg.norm(lab[0, 1] - LABS[1]) < KEPT_WITHIN


def test_the_same_piece_gives_the_same_text_of_plain_letters() -> None:
    xyz = plate(LABS, 10)
    good = np.ones(xyz.shape[:2], bool)
    one, two = make_grid(xyz, good, 0.2), make_grid(xyz.copy(), good, 0.2)
    assert one == two
    assert one.packed.isascii()


def test_a_plate_of_100_by_150_mm_with_noise_takes_fifteen_thousand_letters_at_most() -> None:
    rng = np.random.default_rng(3)
    light = lab_to_xyz(np.array(LABS[0])) * (1 + 0.3 * rng.normal(size=(1500, 1000, 3)))
    grid = make_grid(light, np.ones((1500, 1000), bool), 0.1)
    assert (grid.rows, grid.columns) == (75, 50)
    assert len(grid.packed) <= 15_000
    assert abs(read_grid(grid)[..., 0].mean() - xyz_to_lab(lab_to_xyz(LABS[0]))[0]) < 0.5


def test_nothing_fits_and_broken_text_are_refused() -> None:
    with pytest.raises(ValueError, match="no square"):
        make_grid(np.ones((5, 5, 3)), np.ones((5, 5), bool), 0.2)
    whole = make_grid(plate(LABS, 10), np.ones((10, 40), bool), 0.2)
    with pytest.raises(ValueError):
        read_grid(replace(whole, rows=9))
    with pytest.raises(ValueError, match="broken"):
        read_grid(replace(whole, packed="00000"))
