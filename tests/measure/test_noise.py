"""u and its parts, against the statistics they stand for."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import chi2

from builder.measure.noise import (
    CHI_SQUARE_90_OF_3,
    LOST_DOUBTFUL_PCT,
    LOST_DOUBTFUL_U,
    RMS_TO_90,
    combine_u,
    u_of_difference,
    u_of_left_out,
    u_of_lost_area,
    u_of_standard_error,
    u_of_uneven_light,
)

PRINTED = 5e-5  # the table's four decimals
# Of 200 000 draws the 90th percentile is known to about 0.2 %.
DRAWN = 0.01


def test_the_quantile_is_that_of_chi_square() -> None:
    # Source: scipy.stats.chi2; NIST/SEMATECH e-Handbook, 1.3.6.7.4 prints 6.251.
    assert pytest.approx(chi2.ppf(0.90, 3), abs=PRINTED) == CHI_SQUARE_90_OF_3


def test_ninety_in_a_hundred_normal_errors_stay_within_u_of_their_rms() -> None:
    errors = np.linalg.norm(np.random.default_rng(90).normal(0, 0.7, (200_000, 3)), axis=1)
    assert np.mean(errors <= u_of_left_out(errors)) == pytest.approx(0.90, abs=DRAWN)
    assert pytest.approx(math.sqrt(6.2514 / 3)) == RMS_TO_90


def test_the_standard_error_is_that_of_the_mean() -> None:
    rng = np.random.default_rng(91)
    means, claimed = [], []
    for _ in range(4000):
        tiles = rng.normal(0, 1.0, (25, 3))
        means.append(np.linalg.norm(tiles.mean(axis=0)))
        claimed.append(u_of_standard_error(np.linalg.norm(tiles - tiles.mean(axis=0), axis=1)))
    assert np.mean(np.array(means) <= np.array(claimed)) == pytest.approx(0.90, abs=3 * DRAWN)


def test_parts_add_in_quadrature() -> None:
    assert combine_u(3.0, 4.0) == pytest.approx(5.0)
    assert combine_u(2.0) == pytest.approx(2.0)


def test_the_difference_of_two_equal_readings_has_their_u() -> None:
    assert u_of_difference(2.0, 2.0) == pytest.approx(2.0)
    assert u_of_difference(1.0, 7.0) == pytest.approx(5.0)


def test_an_area_lost_beyond_the_limit_hides_a_visible_change() -> None:
    assert u_of_lost_area(0.0) == 0.0
    assert u_of_lost_area(LOST_DOUBTFUL_PCT) == pytest.approx(LOST_DOUBTFUL_U)


def test_uneven_light_costs_what_it_changes_in_that_colour() -> None:
    # Three per cent more light on L* 50 is 116 · (1.03^(1/3) - 1) · f(Y): 0.654 L*, and there ΔE00
    # is ΔL* to within a thousandth.  Source: CIE 15:2004.
    assert u_of_uneven_light((50.0, 0.0, 0.0), 3.0) == pytest.approx(
        66 * (1.03 ** (1 / 3) - 1), rel=2e-3
    )
    assert u_of_uneven_light((50.0, 20.0, 10.0), 0.0) == pytest.approx(0.0, abs=1e-9)
