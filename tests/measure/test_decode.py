"""From 8-bit values to linear light, and what has run out of scale."""

from __future__ import annotations

import numpy as np
import pytest

from builder.measure.decode import (
    find_clipped,
    find_colours,
    is_clipped,
    linear_tables,
    part_of_squares,
    rgb_to_xyz_of,
    to_linear_xyz,
)
from builder.measure.spaces import xyz_to_lab
from builder.records.photo import Encoding
from tests.measure.tables import read_columns
from tests.reference import colour

SINGLE = 2e-6  # of single precision, relative to white
# The same in L*a*b*, through cube roots and factors of 500.
SINGLE_LAB = 2e-3

EVERY = np.stack(np.meshgrid(*[np.arange(0, 256, 15, dtype=np.uint8)] * 3), axis=-1)


@pytest.mark.parametrize(
    ("name", "theirs"),
    [("srgb", "sRGB"), ("display-p3", "Display P3"), ("adobe-rgb", "Adobe RGB (1998)")],
)
def test_decoding_agrees_with_colour_science(name: str, theirs: str) -> None:
    space = colour.RGB_COLOURSPACES[theirs].copy()
    space.use_derived_transformation_matrices(True)
    expected = space.cctf_decoding(EVERY / 255) @ space.matrix_RGB_to_XYZ.T
    found = to_linear_xyz(EVERY, Encoding(name))
    assert found.dtype == np.float32
    assert np.abs(found - expected).max() <= SINGLE


def test_pixels_read_the_lab_of_the_table() -> None:
    rgb8, lab65 = read_columns("srgb_lab.csv", ("r8", "g8", "b8"), ("L65", "a65", "b65"))
    found = xyz_to_lab(to_linear_xyz(rgb8.astype(np.uint8), Encoding()))
    assert np.abs(found - lab65).max() <= SINGLE_LAB


def test_colours_outside_srgb_are_not_clipped_to_it() -> None:
    # Display P3's green lies outside sRGB: its red there is negative.  Source: the primaries.
    xyz = to_linear_xyz(np.array([[0, 255, 0]], dtype=np.uint8), Encoding("display-p3"))
    assert (np.linalg.inv(rgb_to_xyz_of(Encoding("srgb"))) @ xyz[0])[0] < -0.2


def test_a_profile_of_its_own_is_decoded_by_its_tables_and_matrix() -> None:
    ramp = tuple(float(v) for v in (np.arange(256) / 255) ** 1.8)
    own = Encoding(
        "profile", (ramp, ramp, ramp), ((0.5, 0.3, 0.15), (0.25, 0.7, 0.05), (0.0, 0.1, 0.98))
    )
    found = to_linear_xyz(np.array([51, 102, 204], dtype=np.uint8), own)
    light = (np.array([51, 102, 204]) / 255) ** 1.8
    assert found == pytest.approx(np.array(own.to_xyz) @ light, abs=SINGLE)


def test_an_encoding_that_is_not_known_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match="'unheard of' has no matrix"):
        rgb_to_xyz_of(Encoding("unheard of"))
    with pytest.raises(ValueError, match="'unheard of' has no tables"):
        linear_tables(Encoding("unheard of"))


@pytest.mark.parametrize("value", [0, 1, 254, 255])
def test_a_patch_of_values_at_either_end_is_clipped(value: int) -> None:
    picture = np.full((9, 9, 3), 128, dtype=np.uint8)
    picture[2:5, 2:5, 1] = value
    assert find_clipped(picture).sum() == 9
    assert find_clipped(picture)[2:5, 2:5].all()


@pytest.mark.parametrize("value", [2, 253])
def test_values_just_inside_the_ends_are_not_clipped(value: int) -> None:
    assert not find_clipped(np.full((5, 5, 3), value, dtype=np.uint8)).any()


def test_single_pixels_at_the_end_are_noise_and_stay() -> None:
    picture = np.full((9, 9, 3), 240, dtype=np.uint8)
    picture[::4, ::4] = 255
    assert not find_clipped(picture).any()
    assert is_clipped(picture).sum() == 9


@pytest.mark.parametrize(("low", "high"), [(0, 256), (120, 131), (7, 8)])
def test_every_colour_of_a_picture_is_found_once(low: int, high: int) -> None:
    rng = np.random.default_rng(low)
    rgb8 = rng.integers(low, high, (40, 60, 3), dtype=np.uint8)
    grey = np.repeat(rng.integers(0, 256, (40, 60, 1), dtype=np.uint8), 3, axis=2)
    for picture in (rgb8, grey, np.minimum(grey, (255, 200, 90)).astype(np.uint8)):
        colours, which = find_colours(picture)
        assert np.array_equal(colours[which], picture)
        assert len(np.unique(colours, axis=0)) == len(colours)
        assert set(which.ravel()) == set(range(len(colours)))


def test_squares_hold_a_mask_where_enough_of_them_does() -> None:
    mask = np.zeros((4, 6), dtype=bool)
    mask[0, 0] = mask[0, 2] = mask[1, 3] = True
    mask[2:, 4:] = True
    assert part_of_squares(mask, 2, 0.5).tolist() == [[False, True, False], [False, False, True]]
    assert part_of_squares(mask, 2, 0.0).tolist() == [[True, True, False], [False, False, True]]
    assert np.array_equal(part_of_squares(mask, 1, 0.5), mask)
