"""Depths and labels against their definitions, reckoned slowly, and an independent library."""

from __future__ import annotations

import numpy as np
import pytest
from skimage.measure import label as label_elsewhere

from builder.look.regions import Mask, depth, label, soften


def blotches(seed: int) -> Mask:
    rng = np.random.default_rng(seed)
    size = tuple(rng.integers(1, 60, 2))
    return np.asarray(soften(rng.normal(size=size), rng.choice([0.3, 2.0, 6.0])) > -0.03)


def plate() -> Mask:
    mask = np.zeros((70, 90), dtype=bool)
    mask[5:64, 9:83] = True
    mask[30:34, 40:44] = False
    return mask


def measure(mask: Mask) -> np.ndarray:
    """From each cell to every cell outside, those round the raster too."""
    around = np.pad(mask, 1)
    outside = np.argwhere(~around)
    cells = np.argwhere(around)
    out = np.zeros(around.shape)
    for cell in cells:
        out[tuple(cell)] = np.sqrt(((outside - cell) ** 2).sum(axis=1).min())
    return out[1:-1, 1:-1]


@pytest.mark.parametrize("mask", [*map(blotches, range(12)), plate()])
def test_depth_is_the_distance_to_the_nearest_cell_outside(mask: Mask) -> None:
    true = measure(mask)
    assert np.allclose(depth(mask), true, rtol=1e-6)
    near = true <= 4
    shallow = depth(mask, limit=4)
    assert np.allclose(shallow[near], true[near], rtol=1e-6)
    assert (shallow[~near] > 4).all()


@pytest.mark.parametrize("mask", [*map(blotches, range(12)), plate(), ~plate()])
def test_labels_are_those_of_an_independent_library(mask: Mask) -> None:
    ours, count = label(mask)
    theirs, others = label_elsewhere(mask, connectivity=1, return_num=True)
    assert count == others
    assert np.array_equal(ours, theirs)  # both number regions as they are read
