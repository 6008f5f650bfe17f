"""Averaging to cells, and mottle."""

from __future__ import annotations

import numpy as np
import pytest

from builder.measure.calm import calmest_around, look_around
from builder.measure.cells import (
    Cells,
    average_to_cells,
    measure_mottle,
    side_of_cell,
    sum_around,
)
from builder.measure.difference import delta_e_2000
from builder.measure.shading import OF_LIGHT, from_shading, to_shading
from builder.measure.spaces import SRGB, lab_to_xyz, xyz_to_lab
from tests.measure.surfaces import draw, streaks

ROUNDING = 1e-9


def cells_of(lab: np.ndarray) -> Cells:
    return Cells(lab_to_xyz(lab), np.ones(lab.shape[:2]))


def test_a_cell_is_the_mean_of_its_light_and_not_of_its_code_values() -> None:
    pixels = np.zeros((4, 6, 3))
    pixels[:, ::2] = 0.8
    cells = average_to_cells(pixels, np.ones((4, 6), dtype=np.bool_), 2)
    assert cells.xyz == pytest.approx(np.full((2, 3, 3), 0.4))


def test_pixels_left_out_leave_no_trace_in_a_cell() -> None:
    pixels, good = np.full((4, 4, 3), 0.3), np.ones((4, 4), dtype=np.bool_)
    pixels[0, 0], good[0, 0] = 99.0, False
    cells = average_to_cells(pixels, good, 4)
    assert cells.xyz[0, 0] == pytest.approx([0.3, 0.3, 0.3])
    assert cells.weight[0, 0] == pytest.approx(15 / 16)


def test_a_cell_mostly_unreadable_is_not_read() -> None:
    good = np.zeros((4, 4), dtype=np.bool_)
    good[:, :1] = True
    assert not average_to_cells(np.ones((4, 4, 3)), good, 4).read.any()


def test_what_fills_no_cell_is_left_off_evenly() -> None:
    pixels = np.zeros((7, 7, 3))
    pixels[1:6, 1:6] = 1.0
    cells = average_to_cells(pixels, np.ones((7, 7), dtype=np.bool_), 5)
    assert cells.xyz == pytest.approx(np.ones((1, 1, 3)))


def test_a_cell_s_side_follows_the_scale_or_else_the_longer_side() -> None:
    assert side_of_cell((750, 500), 0.2, mm=1.0, part=1 / 100) == 5
    assert side_of_cell((750, 500), None, mm=1.0, part=1 / 100) == 8
    assert side_of_cell((750, 500), 0.2, mm=0.2, part=1 / 300, least=2) == 2
    assert side_of_cell((3, 500), 0.01, mm=1.0, part=1 / 100) == 3  # no larger than the region


def test_sums_around_hold_each_cell_and_its_neighbours_once() -> None:
    one = np.zeros((5, 5))
    one[2, 2] = 1
    assert np.array_equal(sum_around(one)[1:4, 1:4], np.ones((3, 3)))
    assert sum_around(one).sum() == 9


def test_an_even_surface_has_no_mottle() -> None:
    assert measure_mottle(cells_of(np.broadcast_to([40.0, 10.0, 10.0], (9, 9, 3)))) < ROUNDING


def test_mottle_of_a_chequer_is_the_step_to_its_local_mean() -> None:
    lab = np.zeros((40, 40, 3)) + np.array([40.0, 0.0, 0.0])
    lab[(np.indices((40, 40)).sum(axis=0) % 2) == 1, 0] = 60.0
    light, dark = lab_to_xyz((60.0, 0.0, 0.0)), lab_to_xyz((40.0, 0.0, 0.0))
    steps = [
        float(delta_e_2000(xyz_to_lab(own), xyz_to_lab((5 * own + 4 * other) / 9)))
        for own, other in ((light, dark), (dark, light))
    ]
    assert min(steps) <= measure_mottle(cells_of(lab)) <= max(steps)


def test_nothing_read_has_no_mottle() -> None:
    assert measure_mottle(Cells(np.zeros((3, 3, 3)), np.zeros((3, 3)))) == 0.0


# --- shading and calm --------------------------------------------------------------------------


def test_less_light_moves_the_first_coordinate_only() -> None:
    # Source: CIE 15:2004, the cube root branch: L* + 16, a* and b* scale with the light's root.
    xyz = lab_to_xyz([(60.0, -24.0, -3.0), (44.0, 14.0, 19.0)])
    full, half = to_shading(xyz_to_lab(xyz)), to_shading(xyz_to_lab(xyz / 2))
    assert half[:, 1:] == pytest.approx(full[:, 1:])
    assert np.all(half[:, 0] < full[:, 0])


def test_shading_goes_there_and_back() -> None:
    lab = np.array([(60.0, -24.0, -3.0), (22.0, 2.0, 1.0)])
    assert from_shading(to_shading(lab)) == pytest.approx(lab)
    assert to_shading(np.array([50.0, 7.0, -9.0])) == pytest.approx([50 * OF_LIGHT, 7.0, -9.0])


def test_the_calmest_window_keeps_a_border_sharp_and_drops_the_noise() -> None:
    rng = np.random.default_rng(1)
    lab = np.zeros((20, 20, 3)) + np.array([40.0, 10.0, 15.0])
    lab[:, 10:] = [62.0, -22.0, -2.0]
    smooth = xyz_to_lab(calmest_around(look_around(cells_of(lab + rng.normal(0, 1.0, lab.shape)))))
    apart = delta_e_2000(smooth, lab)
    assert apart.max() < 2.5  # mixed across the border it would be over ten
    assert np.median(apart) < 0.6  # a cell's own noise is 1.3


def test_cells_that_are_not_read_are_not_mixed_in() -> None:
    lab = np.zeros((6, 6, 3)) + np.array([40.0, 10.0, 15.0])
    cells = cells_of(lab)
    cells.xyz[2, 2], cells.weight[2, 2] = 0.0, 0.0
    smooth = xyz_to_lab(calmest_around(look_around(cells)))
    assert delta_e_2000(smooth, lab).max() < 1e-6


def test_streaks_spread_light_and_hardly_colour() -> None:
    surface = draw((44, 14, 19), (44, 14, 19), 1.0, streaks, np.random.default_rng(2), depth=0.15)
    lab = xyz_to_lab(surface.rgb @ SRGB.to_xyz.T)
    spread = to_shading(lab).reshape(-1, 3).std(axis=0)
    assert spread[0] / OF_LIGHT > 2.0
    assert spread[1:].max() < 1e-6
