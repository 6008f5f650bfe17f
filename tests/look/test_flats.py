"""Parts of a found sheet straightened, and its white margin."""

from __future__ import annotations

import numpy as np
import pytest

from builder.look.codes import read_codes
from builder.look.flats import CELL_MM, find_white_cells, flatten
from builder.look.sheets import FoundSheet, find_sheet
from builder.records.jig import A4
from tests.look.sheet_drawing import PX_PER_MM, draw_sheet, look, photograph

# Levels of 255 about an edge apart, a blurred and lossy picture gives a drawn tone within this.
NEAR_LEVELS = 4


@pytest.fixture(scope="module")
def seen() -> tuple[np.ndarray, FoundSheet]:
    picture = photograph(look(tilt=14.0, towards=30.0, turn=5.0, bend=-0.03), uneven=0.0)
    return picture, find_sheet(picture, read_codes(picture))


def coded(reflectance: float) -> float:
    """Levels of sRGB. Source: IEC 61966-2-1."""
    return 255 * (1.055 * reflectance ** (1 / 2.4) - 0.055)


def test_a_box_comes_out_straight_and_to_scale(seen: tuple[np.ndarray, FoundSheet]) -> None:
    picture, sheet = seen
    flat = flatten(picture, sheet, A4.place, 2.0)
    assert flat.shape == (320, 240, 3)
    # The drawn piece is 50 × 76 mm about the middle: its edges fall where they were drawn.
    row, column = flat[160, :, 0].astype(float), flat[:, 120, 0].astype(float)
    half = (coded(0.25) + coded(0.85)) / 2
    assert np.count_nonzero(row < half) / 2.0 == pytest.approx(50.0, abs=0.5)
    assert np.count_nonzero(column < half) / 2.0 == pytest.approx(76.0, abs=0.5)
    assert flat[160, 120, 0] == pytest.approx(coded(0.25), abs=NEAR_LEVELS)


def test_a_coarse_view_averages_what_it_covers(seen: tuple[np.ndarray, FoundSheet]) -> None:
    picture, sheet = seen
    left, top, right, bottom = A4.marks[0]
    fine = flatten(picture, sheet, (left, top, right, bottom), 4.0).astype(float)
    coarse = flatten(picture, sheet, (left, top, right, bottom), 0.5).astype(float)
    blocks = fine.reshape(9, 8, 9, 8, 3).mean(axis=(1, 3))
    assert np.abs(coarse - blocks).mean() < 12  # a single pixel of a mark is off by some 90


def test_outside_the_picture_is_black(seen: tuple[np.ndarray, FoundSheet]) -> None:
    picture, sheet = seen
    assert (flatten(picture, sheet, (-400.0, 0.0, -350.0, 20.0), 1.0) == 0).all()


@pytest.mark.parametrize("box", [(10.0, 10.0, 10.0, 20.0), (0.0, 0.0, 1e6, 1e6)])
def test_senseless_boxes_are_refused(
    seen: tuple[np.ndarray, FoundSheet], box: tuple[float, float, float, float]
) -> None:
    with pytest.raises(ValueError, match="no part of a sheet"):
        flatten(*seen, box, 1.0)


def test_white_cells_are_all_paper_and_nothing_else(seen: tuple[np.ndarray, FoundSheet]) -> None:
    picture, sheet = seen
    x, y = A4.middle
    cells = find_white_cells(picture, sheet, [(x - 25, y - 38, x + 25, y + 38)])
    assert len(cells.at) > 250
    assert cells.samples.shape == (len(cells.at), 36, 3)
    assert (cells.samples[..., 0] > coded(0.85) - 30).all()  # grain and JPEG, no ink
    drawn = draw_sheet()
    for at_x, at_y in cells.at:
        rows, columns = (
            slice(
                round((at - CELL_MM / 2) * PX_PER_MM) + 1, round((at + CELL_MM / 2) * PX_PER_MM) - 1
            )
            for at in (at_y, at_x)
        )
        assert (drawn[rows, columns] == 0.85).all()


def test_covered_places_hold_no_cells(seen: tuple[np.ndarray, FoundSheet]) -> None:
    left, top, right, bottom = A4.place
    cells = find_white_cells(*seen, [A4.place])
    inside = (cells.at > (left, top)) & (cells.at < (right, bottom))
    assert not inside.all(axis=1).any()
    assert len(cells.at) > 100


def test_cells_outside_the_picture_are_left_out() -> None:
    picture = photograph(look())
    sheet = find_sheet(picture, read_codes(picture))
    cells = find_white_cells(picture, sheet)
    assert (sheet.to_picture(cells.at) < sheet.size).all()
