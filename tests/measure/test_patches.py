"""A card's patches, and whether they can be trusted."""

from __future__ import annotations

import numpy as np
import pytest

from builder.measure.difference import delta_e_2000
from builder.measure.patches import SeenPatch, find_uneven, measure_patch
from builder.measure.spaces import lab_to_xyz, xyz_to_lab
from builder.records.photo import Lab

GREY: Lab = (56.0, 0.0, 0.0)
# A twentieth of the patch in another colour may not move it by what an instrument would see.
UNMOVED = 0.1


def patch_of(*parts: tuple[Lab, int], clipped: int = 0, noise: float = 0.0) -> SeenPatch:
    """A patch of so many pixels of each colour, the first of them ``clipped``."""
    xyz = np.concatenate([np.tile(lab_to_xyz(lab), (count, 1)) for lab, count in parts])
    xyz = xyz * np.exp(np.random.default_rng(3).normal(0, noise, (len(xyz), 1)))
    return SeenPatch("A3", GREY, xyz, np.arange(len(xyz)) < clipped)


def test_a_patch_is_the_mean_of_its_light() -> None:
    seen = measure_patch(patch_of((GREY, 500), noise=0.05))
    light = patch_of((GREY, 500), noise=0.05).xyz.mean(axis=0)
    assert seen.xyz == pytest.approx(light, rel=2e-3)
    assert seen.clipped_pct == 0


def test_a_speck_and_a_sliver_of_the_neighbour_do_not_count() -> None:
    clean = measure_patch(patch_of((GREY, 500), noise=0.05))
    marked = measure_patch(patch_of((GREY, 475), ((22.0, 0.0, 0.0), 25), noise=0.05))
    assert float(delta_e_2000(xyz_to_lab(clean.xyz), xyz_to_lab(marked.xyz))) < UNMOVED


def test_clipped_pixels_are_counted_and_left_out() -> None:
    seen = measure_patch(patch_of(((100.0, 0.0, 0.0), 100), (GREY, 300), clipped=100))
    assert seen.clipped_pct == pytest.approx(25)
    assert xyz_to_lab(seen.xyz) == pytest.approx(np.array(GREY), abs=1e-6)


@pytest.mark.parametrize("patch", [patch_of((GREY, 0)), patch_of((GREY, 50), clipped=50)])
def test_a_patch_without_a_readable_pixel_is_all_clipped(patch: SeenPatch) -> None:
    assert measure_patch(patch).clipped_pct == 100


@pytest.mark.parametrize("covered", [75, 150, 250])
def test_a_patch_in_two_halves_is_uneven(covered: int) -> None:
    whole = patch_of((GREY, 500), noise=0.05)
    half = patch_of((GREY, 500 - covered), ((40.0, 15.0, 18.0), covered), noise=0.05)
    sentence = find_uneven([(p, measure_patch(p)) for p in (whole, half, whole)])
    assert "half covered or not in its slot: patch A3" in sentence


def test_noise_that_all_patches_share_is_not_taken_for_a_cover() -> None:
    noisy = [patch_of((GREY, 500), noise=0.25) for _ in range(3)]
    assert measure_patch(noisy[0]).spread > 6
    assert find_uneven([(p, measure_patch(p)) for p in noisy]) == ""
