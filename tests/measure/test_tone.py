"""The curve through the grey steps."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from builder.measure.tone import fit_tone_curve

ROUNDING = 1e-12
quiet = settings(deadline=None, derandomize=True)
rising = st.lists(st.floats(0.01, 1.0), min_size=2, max_size=8, unique=True).map(
    lambda values: np.cumsum(values) / sum(values)
)


@quiet
@given(rising, st.randoms(use_true_random=False))
def test_the_curve_goes_through_every_step_in_whatever_order(seen: np.ndarray, random) -> None:
    true = seen**1.3 * 0.8
    order = list(range(len(seen)))
    random.shuffle(order)
    curve = fit_tone_curve(seen[order], true[order])
    assert curve is not None
    assert curve.apply(seen) == pytest.approx(true, abs=ROUNDING * 100)


@quiet
@given(rising, rising)
def test_more_light_seen_is_more_light_found_within_and_beyond(
    seen: np.ndarray, true: np.ndarray
) -> None:
    n = min(len(seen), len(true))
    curve = fit_tone_curve(seen[:n], true[:n])
    assert curve is not None
    found = curve.apply(np.linspace(-0.05, 1.5, 500))
    assert np.all(np.diff(found) > 0)


def test_inner_steps_are_joined_as_an_independent_library_joins_them() -> None:
    # Source: scipy's PCHIP, the same inner slopes; the ends differ by intent, so the check keeps
    # to the middle interval.
    x, y = np.array([0.1, 0.3, 0.5, 0.8, 1.0]), np.array([0.05, 0.3, 0.6, 0.75, 1.0])
    curve = fit_tone_curve(x**3, y**3)
    assert curve is not None
    between = np.linspace(0.3, 0.8, 40)
    assert np.cbrt(curve.apply(between**3)) == pytest.approx(PchipInterpolator(x, y)(between))


def test_a_gain_is_found_exactly_beyond_the_steps_too() -> None:
    seen = np.array([0.02, 0.1, 0.3])
    curve = fit_tone_curve(seen, 2.5 * seen)
    assert curve is not None
    assert curve.apply(np.array([0.0, 0.001, 0.9])) == pytest.approx([0.0, 0.0025, 2.25], abs=1e-9)


@pytest.mark.parametrize(
    ("seen", "true"),
    [([0.2], [0.2]), ([0.2, 0.1], [0.1, 0.2]), ([0.1, 0.1], [0.1, 0.2])],
)
def test_steps_that_do_not_rise_have_no_curve(seen: list[float], true: list[float]) -> None:
    assert fit_tone_curve(np.array(seen), np.array(true)) is None
