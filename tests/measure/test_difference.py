"""Colour difference, against the published pairs and two independent libraries."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skimage.color import deltaE_ciede2000

from builder.measure.arrays import Floats
from builder.measure.difference import delta_e_76, delta_e_2000, delta_e_2000_of
from builder.measure.spaces import White, xyz_to_lab
from tests.measure.tables import read_columns
from tests.reference import colour

# The pairs are printed to four decimals, inputs and results: an exact implementation is up to
# 5e-5 off each by rounding alone.
SHARMA = 1e-4
# Luo's XYZ, turned to Lab, are Sharma's to four decimals, so pair 31 rounds the other way.
LUO = 1.1e-4
# Two libraries, the same formula, double precision; near a hue step of 180° they may round apart.
LIBRARIES = 1e-9
PAIRS = 10_000

lab = st.tuples(st.floats(0, 100), st.floats(-120, 120), st.floats(-120, 120))
quiet = settings(deadline=None, derandomize=True)


def random_pairs() -> tuple[Floats, Floats]:
    rng = np.random.default_rng(2000)
    low, high = [0, -100, -100], [100, 100, 100]
    return rng.uniform(low, high, (PAIRS, 3)), rng.uniform(low, high, (PAIRS, 3))


def test_all_published_pairs_come_out_in_both_orders() -> None:
    first, second, published = read_columns(
        "ciede2000.csv", ("L1", "a1", "b1"), ("L2", "a2", "b2"), ("dE00",)
    )
    assert len(published) == 34
    assert np.abs(delta_e_2000(first, second) - published[:, 0]).max() <= SHARMA
    assert np.abs(delta_e_2000(second, first) - published[:, 0]).max() <= SHARMA


def test_one_pair_alone_comes_out_as_in_arrays() -> None:
    first, second, published = read_columns(
        "ciede2000.csv", ("L1", "a1", "b1"), ("L2", "a2", "b2"), ("dE00",)
    )
    for one, two, (de00,) in zip(first.tolist(), second.tolist(), published.tolist(), strict=True):
        assert abs(delta_e_2000_of(one, two) - de00) <= SHARMA
        assert abs(delta_e_2000_of(two, one) - de00) <= SHARMA
    first, second = random_pairs()
    alone = [delta_e_2000_of(a, b) for a, b in zip(first.tolist(), second.tolist(), strict=True)]
    assert np.abs(delta_e_2000(first, second) - alone).max() <= LIBRARIES
    assert delta_e_2000_of((50, 0, 0), (60, 0, 0)) == pytest.approx(
        float(delta_e_2000((50, 0, 0), (60, 0, 0))), abs=LIBRARIES
    )


def test_the_published_jump_across_the_hue_break_is_there() -> None:
    # Source: Sharma, Wu and Dalal (2005), pairs 9 to 12: 7.1792 to 7.2195 for one step of 0.0001.
    a = delta_e_2000((50, 2.49, -0.001), (50, -2.49, 0.001))
    b = delta_e_2000((50, 2.49, -0.001), (50, -2.49, 0.0011))
    assert (float(a), float(b)) == pytest.approx((7.1792, 7.2195), abs=SHARMA)


def test_xyz_pairs_come_out_from_end_to_end() -> None:
    first, second, whites, published = read_columns(
        "luo2001_xyz_pairs.csv",
        ("X_std", "Y_std", "Z_std"),
        ("X_trial", "Y_trial", "Z_trial"),
        ("white_X", "white_Y", "white_Z"),
        ("published_dE00",),
    )
    x, y, z = whites[0] / 100
    white = White("D65, 10°", (x, y, z))
    ours = delta_e_2000(xyz_to_lab(first / 100, white), xyz_to_lab(second / 100, white))
    assert len(ours) == 10
    assert np.abs(ours - published[:, 0]).max() <= LUO


def test_ten_thousand_random_pairs_agree_with_colour_science() -> None:
    first, second = random_pairs()
    theirs = colour.difference.delta_E_CIE2000(first, second)
    assert np.abs(delta_e_2000(first, second) - theirs).max() <= LIBRARIES


def test_ten_thousand_random_pairs_agree_with_scikit_image() -> None:
    first, second = random_pairs()
    assert np.abs(delta_e_2000(first, second) - deltaE_ciede2000(first, second)).max() <= LIBRARIES


def test_the_older_difference_agrees_with_colour_science() -> None:
    first, second = random_pairs()
    theirs = colour.difference.delta_E_CIE1976(first, second)
    assert np.abs(delta_e_76(first, second) - theirs).max() <= LIBRARIES


@quiet
@given(lab, lab)
def test_difference_is_the_same_both_ways(first: object, second: object) -> None:
    there, back = float(delta_e_2000(first, second)), float(delta_e_2000(second, first))
    assert there == pytest.approx(back, rel=1e-9, abs=1e-9)


@quiet
@given(lab)
def test_a_colour_is_no_way_from_itself(one: object) -> None:
    assert float(delta_e_2000(one, one)) == 0.0


@quiet
@given(lab, lab)
def test_unequal_colours_are_apart_and_never_nan(first: tuple[float, ...], second: object) -> None:
    moved = (first[0] + 1, *first[1:])
    assert float(delta_e_2000(first, moved)) > 0
    assert np.isfinite(delta_e_2000(first, second))


def test_differences_broadcast_over_many_colours() -> None:
    many = np.broadcast_to([50, 10, 10], (4, 5, 3))
    assert delta_e_2000(many, (50, 10, 10)).shape == (4, 5)
    assert delta_e_2000(many[:, None, 0], many[None, :, 0]).shape == (4, 4)
