"""What is cut out of a picture, and what is published of it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image

from builder.look.perspective import CornersError, carry, map_plane
from builder.look.spaces import lab_to_xyz, named_spaces
from builder.look.views import cut_patches, cut_quad, mm_per_pixel, part_of, quad_size, write_view
from builder.records.photo import Quad
from tests.look.pictures import patch_grid

ASKEW: Quad = ((0.21, 0.12), (0.78, 0.17), (0.74, 0.91), (0.24, 0.83))
# Quality 82 in full colour: flat areas keep their colour within this many levels.
LOSSY = 3


def photographed(
    thing: NDArray[np.uint8], quad: Quad, width: int, height: int
) -> NDArray[np.uint8]:
    """A picture in which the flat ``thing`` lies at ``quad``: each pixel whose centre falls on it
    has the colour there; elsewhere 7. Drawn pixel by pixel, the other way round from cutting."""
    y, x = np.mgrid[0:height, 0:width] + 0.5
    back = np.linalg.inv(map_plane(quad, width, height))
    plane = carry(back, np.stack([x, y], axis=-1))
    inside = ((plane >= 0) & (plane < 1)).all(axis=-1)
    cell = np.floor(plane * (thing.shape[1], thing.shape[0])).astype(int)
    cell = np.clip(cell, 0, (thing.shape[1] - 1, thing.shape[0] - 1))
    return np.where(inside[..., None], thing[cell[..., 1], cell[..., 0]], 7).astype(np.uint8)


def coloured_cells(rows: int, columns: int) -> NDArray[np.uint8]:
    values = np.random.default_rng(rows * columns).permutation(256)[: rows * columns]
    return np.repeat(values.reshape(rows, columns, 1), 3, axis=2).astype(np.uint8)


def test_a_place_that_lies_straight_is_cut_pixel_by_pixel() -> None:
    picture = np.random.default_rng(0).integers(0, 256, (120, 160, 3), dtype=np.uint8)
    quad: Quad = (
        (20 / 160, 30 / 120),
        (100 / 160, 30 / 120),
        (100 / 160, 90 / 120),
        (20 / 160, 90 / 120),
    )
    assert quad_size(picture, quad) == (80, 60)
    for smooth in (False, True):
        assert np.array_equal(cut_quad(picture, quad, 80, 60, smooth), picture[30:90, 20:100])


def test_a_grid_photographed_askew_comes_out_straight() -> None:
    cells = coloured_cells(6, 4)
    picture = photographed(cells, ASKEW, 1600, 1200)
    straight = cut_quad(picture, ASKEW, 4 * 60, 6 * 60)
    inner = straight.reshape(6, 60, 4, 60, 3)[:, 3:-3, :, 3:-3]
    assert (inner == cells[:, None, :, None]).all()
    # No cell is moved by as much as a pixel: lines between cells are where they belong.
    edges = np.flatnonzero(np.abs(np.diff(straight[30, :, 0].astype(int))) > 0)
    assert np.abs(edges + 1 - [60, 120, 180]).max() <= 1


def test_only_original_values_are_cut_for_measuring() -> None:
    picture = np.random.default_rng(1).choice(np.array([3, 250], dtype=np.uint8), (300, 400, 3))
    assert set(np.unique(cut_quad(picture, ASKEW, 173, 211))) == {3, 250}
    assert len(np.unique(cut_quad(picture, ASKEW, 173, 211, smooth=True))) > 50


def test_what_lies_outside_the_picture_is_black() -> None:
    picture = np.full((100, 100, 3), 200, dtype=np.uint8)
    beyond: Quad = ((-0.5, 0.0), (0.5, 0.0), (0.5, 1.0), (-0.5, 1.0))
    cut = cut_quad(picture, beyond, 100, 100)
    assert (cut[:, :49] == 0).all()
    assert (cut[:, 51:] == 200).all()


def test_patches_are_named_by_row_and_column() -> None:
    cells = coloured_cells(3, 5)
    patches = cut_patches(photographed(cells, ASKEW, 800, 600), ASKEW, 3, 5)
    assert list(patches) == [f"{row}{column}" for row in "ABC" for column in range(1, 6)]
    for row in range(3):
        for column in range(5):
            pixels = patches[f"{'ABC'[row]}{column + 1}"]
            assert pixels.dtype == np.uint8
            assert len(pixels) > 100
            assert (pixels == cells[row, column]).all()


def test_a_patch_gives_every_inner_pixel_once() -> None:
    # Each pixel has its own colour, so that one given twice would show.
    numbers = np.arange(90 * 120)
    picture = np.stack([numbers % 256, numbers // 256, numbers * 0], axis=-1)
    picture = picture.reshape(90, 120, 3).astype(np.uint8)
    whole: Quad = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    patches = cut_patches(picture, whole, 3, 4, inset=0.2)
    for place, pixels in enumerate(patches.values()):
        row, column = divmod(place, 4)
        expected = picture[row * 30 + 6 : row * 30 + 24, column * 30 + 6 : column * 30 + 24]
        assert np.array_equal(pixels, expected.reshape(-1, 3))


@given(st.floats(0, 0.49), st.integers(1, 6), st.integers(1, 6))
def test_no_pixel_belongs_to_two_patches(inset: float, rows: int, columns: int) -> None:
    numbers = np.arange(60 * 80)
    picture = np.stack([numbers % 256, numbers // 256, numbers * 0], axis=-1)
    patches = cut_patches(picture.reshape(60, 80, 3).astype(np.uint8), ASKEW, rows, columns, inset)
    seen = np.concatenate(list(patches.values()))
    assert len(np.unique(seen, axis=0)) == len(seen)
    assert len(patches) == rows * columns


def test_a_card_that_reaches_out_of_the_picture_gives_what_is_there() -> None:
    picture = np.full((50, 50, 3), 90, dtype=np.uint8)
    half_out: Quad = ((0.5, 0.2), (1.5, 0.2), (1.5, 0.8), (0.5, 0.8))
    patches = cut_patches(picture, half_out, 1, 4)
    assert len(patches["A1"]) > 0
    assert patches["A4"].shape == (0, 3)


@pytest.mark.parametrize(("rows", "columns", "inset"), [(0, 1, 0.3), (27, 1, 0.3), (1, 1, 0.5)])
def test_a_card_that_cannot_be_is_told(rows: int, columns: int, inset: float) -> None:
    with pytest.raises(ValueError, match="no card"):
        cut_patches(np.zeros((9, 9, 3), dtype=np.uint8), ASKEW, rows, columns, inset)


def test_a_part_of_a_place_lies_within_it() -> None:
    whole = part_of(ASKEW, (0.0, 0.0, 1.0, 1.0))
    assert np.allclose(whole, ASKEW, atol=1e-12)
    picture = photographed(coloured_cells(3, 3), ASKEW, 900, 900)
    middle = cut_quad(picture, part_of(ASKEW, (0.34, 0.34, 0.66, 0.66)), 50, 50)
    assert (middle == coloured_cells(3, 3)[1, 1]).all()
    with pytest.raises(CornersError):
        part_of(((0.0, 0.0), (0.0, 0.0), (1.0, 1.0), (0.0, 1.0)), (0.1, 0.1, 0.9, 0.9))


def light_of(rgb: NDArray[np.uint8]) -> NDArray[np.float32]:
    srgb = named_spaces()["srgb"]
    return np.asarray(srgb.table[rgb] @ srgb.to_xyz.T, dtype=np.float32)


def seen(folder: Path, name: str) -> NDArray[np.int_]:
    with Image.open(folder / name) as image:
        return np.asarray(image).astype(int)


def test_a_view_shows_the_light_it_was_given(tmp_path: Path) -> None:
    rgb = patch_grid(cell=16)
    web = write_view(light_of(rgb), tmp_path)
    assert (web.width, web.height) == (128, 128)
    centres = (slice(8, None, 16), slice(8, None, 16))
    assert np.abs(seen(tmp_path, web.name)[centres] - rgb[centres]).max() <= LOSSY


def test_a_view_shows_a_stated_colour(tmp_path: Path) -> None:
    # Source of the pair: sRGB 184, 115, 51 is L*a*b* 54.7538, 21.6488, 45.3967 (D65), derived from
    # IEC 61966-2-1 primaries and CIE 15.
    xyz = np.tile(lab_to_xyz(np.array([54.7538, 21.6488, 45.3967])), (16, 16, 1))
    web = write_view(xyz, tmp_path)
    assert np.abs(seen(tmp_path, web.name)[8, 8] - (184, 115, 51)).max() <= 1


def test_a_view_is_made_smaller_in_light_and_not_in_code(tmp_path: Path) -> None:
    # A fine chequer of black and white is half the light of white: sRGB 188, not 128.
    chequer = (np.indices((256, 256)).sum(axis=0) % 2 * 255).astype(np.uint8)
    web = write_view(light_of(chequer[..., None].repeat(3, axis=2)), tmp_path, width=64)
    assert (web.width, web.height) == (64, 64)
    assert np.abs(seen(tmp_path, web.name)[8:-8, 8:-8] - 188).max() <= LOSSY


def test_a_view_is_brought_to_the_size_asked(tmp_path: Path) -> None:
    light = light_of(patch_grid())
    assert write_view(light, tmp_path, 40, 90).height == 90
    assert write_view(light, tmp_path, 200).height == 200


def test_light_beyond_the_screen_is_cut_off_and_not_wrapped(tmp_path: Path) -> None:
    glare = np.full((16, 16, 3), 4.0, dtype=np.float32)
    assert (seen(tmp_path, write_view(glare, tmp_path).name) == 255).all()


def test_the_scale_is_width_over_width() -> None:
    assert mm_per_pixel((100.0, 150.0), 640) == pytest.approx(0.15625)
