"""Peaks of density: how many colours, and which."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter, maximum_filter

from builder.measure.climbing import climb, find_saddles
from builder.measure.modes import (
    BANDWIDTH,
    LIGHT_AND_DARK,
    MOST_BINS,
    MOST_PEAKS,
    TWO_COLOURS,
    estimate_density,
    find_modes,
    find_passages,
    find_same,
    merge_peaks,
)
from builder.measure.shading import to_shading
from builder.measure.spaces import lab_to_xyz

BROWN, GREEN = (40.0, 13.0, 16.0), (63.0, -24.0, -3.0)


def cloud(lab: tuple[float, ...], count: int, seed: int = 0) -> np.ndarray:
    return to_shading(np.random.default_rng(seed).normal(lab, (2.0, 0.5, 0.5), (count, 3)))


def modes_of(*clouds: np.ndarray) -> list[float]:
    """The share of each mode, largest first."""
    points = np.concatenate(clouds)
    label = find_modes(points, np.ones(len(points)), points)
    return sorted((np.bincount(label[label >= 0]) / len(points)).tolist(), reverse=True)


def test_every_bin_leads_to_a_local_maximum_told_independently() -> None:
    # Source: scipy.ndimage.maximum_filter.
    values = gaussian_filter(np.random.default_rng(4).random((14, 11, 9)), 1.5)
    peaks = np.flatnonzero(values == maximum_filter(values, 3, mode="constant"))
    assert set(np.unique(climb(values))) == set(peaks)


def test_climbing_never_leads_down() -> None:
    values = gaussian_filter(np.random.default_rng(5).random((9, 9, 9)), 1)
    assert np.all(values.ravel()[climb(values)] >= values)


def test_the_saddle_between_two_hills_is_the_pass() -> None:
    values = np.zeros((7, 1, 1))
    values[:, 0, 0] = [1, 5, 3, 2, 3, 4, 1]
    region = np.array([0, 0, 0, 1, 1, 1, 1]).reshape(7, 1, 1)
    assert find_saddles(values, region, 2)[0, 1] == 2


def test_density_is_that_of_a_normal_kernel() -> None:
    # One point: the density is the kernel itself.  Source: Silverman (1986), section 4.2.
    density = estimate_density(np.zeros((1, 3)), np.ones(1), BANDWIDTH)
    at = density.bin_of(np.array([[0.0, 0, 0], [BANDWIDTH, 0, 0]]))
    first, second = density.values.ravel()[at]
    assert second / first == pytest.approx(np.exp(-0.5))


def test_a_rainbow_takes_no_more_than_its_share_of_memory() -> None:
    rng = np.random.default_rng(6)
    rainbow = to_shading(rng.uniform([0, -100, -100], [100, 100, 100], (20_000, 3)))
    density = estimate_density(rainbow, np.ones(len(rainbow)), BANDWIDTH / 2)
    assert density.values.size <= MOST_BINS
    assert density.values.sum() > 0
    label = find_modes(rainbow, np.ones(len(rainbow)), rainbow, BANDWIDTH / 2)
    assert 1 <= len(np.unique(label[label >= 0])) <= MOST_PEAKS


def test_one_cloud_is_one_colour() -> None:
    assert modes_of(cloud(BROWN, 4000)) == [1.0]


@pytest.mark.parametrize("share", [0.05, 0.35, 0.58])
def test_two_clouds_are_two_colours_with_their_shares(share: float) -> None:
    few = round(8000 * share)
    found = modes_of(cloud(GREEN, few), cloud(BROWN, 8000 - few, 1))
    assert found == pytest.approx(sorted([share, 1 - share], reverse=True), abs=0.005)


def test_peaks_nearer_than_an_observer_tells_apart_are_one() -> None:
    near = to_shading(np.array([(50.0, 0.0, 0.0), (50.0, 0.0, 0.9 * TWO_COLOURS)]))
    far = to_shading(np.array([(50.0, 0.0, 0.0), (50.0, 0.0, 1.1 * TWO_COLOURS)]))
    assert find_same(near)[0, 1]
    assert not find_same(far)[0, 1]


def test_light_and_dark_of_one_colour_are_one() -> None:
    dark, light = (44.0, 0.0, 0.0), (44.0 + 0.9 * LIGHT_AND_DARK, 0.0, 0.0)
    other = (44.0 + 0.9 * LIGHT_AND_DARK, 4.0, 0.0)
    assert find_same(to_shading(np.array([dark, light])))[0, 1]
    assert not find_same(to_shading(np.array([dark, other])))[0, 1]


def test_a_shallow_valley_is_no_border() -> None:
    where = to_shading(np.array([(40.0, 0.0, 0.0), (40.0, 20.0, 0.0), (40.0, 40.0, 0.0)]))
    saddle = np.array([[0, 9.5, 0], [9.5, 0, 1], [0, 1, 0.0]])
    assert merge_peaks(where, np.array([12.0, 10.0, 8.0]), saddle).tolist() == [0, 0, 2]


def test_what_may_be_but_a_border_s_mixture_is_no_colour() -> None:
    ends = lab_to_xyz([BROWN, GREEN])
    half = ends.mean(axis=0, keepdims=True)
    blue = lab_to_xyz([(37.0, 4.0, -27.0)])
    assert find_passages(np.concatenate([ends, half]), np.array([9, 8, 1.0])).tolist() == [
        False,
        False,
        True,
    ]
    assert not find_passages(np.concatenate([ends, blue]), np.array([9, 8, 1.0])).any()
    # More crowded than one of its ends, it is a colour in its own right.
    assert not find_passages(np.concatenate([ends, half]), np.array([9, 1, 8.0])).any()
