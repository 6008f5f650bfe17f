"""Each model undoes exactly the camera it is the model of."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builder.measure.arrays import Floats, Mask
from builder.measure.corrections import (
    MODELS,
    Gains,
    Mixed,
    fit_common_tone,
    fit_gains,
    fit_gains_and_offsets,
    fit_mixed,
    fit_tone_curves,
)
from builder.measure.spaces import decode_srgb
from tests.measure.cameras import NINE, Camera, linear, mix

ROUNDING = 1e-9
# The matrix is drawn a little to identity; with crosstalk of this size that costs less than this.
DRAWN = 5e-3
# Three curves through five steps of one and the same grey scale agree to this.
RATIOS = 0.02
quiet = settings(deadline=None, derandomize=True, max_examples=40)

TRUE = np.array([linear(lab) for lab in NINE.values()])
NEUTRAL = np.array([abs(lab[1]) + abs(lab[2]) < 2 for lab in NINE.values()])
PIECES = np.array(
    [linear(lab) for lab in [(44, 14, 19), (63, -24, -3), (33, 10, 12), (37, 4, -27)]]
)
gains = st.tuples(*[st.floats(0.3, 2.0)] * 3)


def undo(fit, seen: Floats, pieces: Floats, neutral: Mask = NEUTRAL) -> Floats:
    found = fit(seen, TRUE, neutral)
    assert found is not None
    return found.apply(pieces)


@quiet
@given(gains)
def test_gains_of_lamp_and_exposure_are_undone(gain: tuple[float, ...]) -> None:
    assert undo(fit_gains, TRUE * gain, PIECES * gain) == pytest.approx(PIECES, abs=ROUNDING)


def test_without_greys_the_gain_comes_from_every_patch() -> None:
    none = np.zeros_like(NEUTRAL)
    assert undo(fit_gains, TRUE * 0.5, PIECES * 0.5, none) == pytest.approx(PIECES, abs=ROUNDING)


@quiet
@given(gains, st.floats(0, 0.02))
def test_stray_light_is_undone(gain: tuple[float, ...], stray: float) -> None:
    found = undo(fit_gains_and_offsets, TRUE * gain + stray, PIECES * gain + stray)
    assert found == pytest.approx(PIECES, abs=ROUNDING)


@quiet
@given(gains, st.floats(0, 0.4))
def test_a_camera_s_contrast_is_undone_to_within_a_third_of_a_level(
    gain: tuple[float, ...], contrast: float
) -> None:
    gain = tuple(0.6 * g for g in gain)
    camera = Camera(gain=gain, contrast=contrast)
    seen, pieces = decode_srgb(camera.see(TRUE)), decode_srgb(camera.see(PIECES))
    found = undo(fit_tone_curves, seen, pieces)
    # Five steps cannot tell all of a curve: what is left is compared in encoded levels.
    assert np.abs(np.cbrt(found) - np.cbrt(PIECES)).max() <= 0.02


@quiet
@given(gains, st.floats(0.5, 1.8))
def test_a_brightening_by_lightness_that_keeps_ratios_is_undone(
    gain: tuple[float, ...], power: float
) -> None:
    def see(rgb: Floats) -> Floats:
        mean = rgb.mean(axis=-1, keepdims=True)
        return np.asarray(rgb * mean ** (power - 1) * gain)

    # A power is straight in its logarithm, not in its cube root: a few steps tell it nearly.
    found = undo(fit_common_tone, see(TRUE), see(PIECES))
    assert found / found.mean(axis=-1, keepdims=True) == pytest.approx(
        PIECES / PIECES.mean(axis=-1, keepdims=True), rel=RATIOS
    )
    assert np.abs(np.cbrt(found.mean(axis=-1)) - np.cbrt(PIECES.mean(axis=-1))).max() <= 0.02


def test_no_light_stays_no_light_under_a_common_tone() -> None:
    found = fit_common_tone(TRUE, TRUE, NEUTRAL)
    assert found is not None
    assert found.apply(np.zeros((2, 3))) == pytest.approx(np.zeros((2, 3)), abs=1e-6)


@quiet
@given(st.integers(0, 10_000))
def test_crosstalk_is_undone(seed: int) -> None:
    back = np.linalg.inv(mix(np.random.default_rng(seed), 0.05))
    found = fit_mixed(Gains(np.ones(3)), TRUE @ back.T, TRUE).apply(PIECES @ back.T)
    assert np.abs(found - PIECES).max() <= DRAWN


@quiet
@given(st.integers(0, 10_000))
def test_a_matrix_leaves_greys_alone(seed: int) -> None:
    seen = TRUE @ mix(np.random.default_rng(seed), 0.05).T
    mixed = fit_mixed(Gains(np.ones(3)), seen, TRUE)
    assert isinstance(mixed, Mixed)
    grey = np.repeat(np.linspace(0, 1, 5)[:, None], 3, axis=1)
    assert mixed.apply(grey) == pytest.approx(grey, abs=ROUNDING)


def test_no_colour_patch_no_matrix_but_identity() -> None:
    greys = TRUE[NEUTRAL]
    found = fit_mixed(Gains(np.ones(3)), greys, greys)
    assert found.apply(PIECES) == pytest.approx(PIECES, abs=1e-6)


@pytest.mark.parametrize("name", [name for name, _ in MODELS if "matrix" in name])
def test_models_with_a_matrix_need_a_colour_patch(name: str) -> None:
    greys = TRUE[NEUTRAL]
    assert dict(MODELS)[name](greys, greys, np.ones(len(greys), dtype=np.bool_)) is None


@pytest.mark.parametrize("name", ["gain and offset", "tone curve", "common tone curve"])
def test_one_grey_carries_no_more_than_a_gain(name: str) -> None:
    one = np.flatnonzero(NEUTRAL)[:1]
    assert dict(MODELS)[name](TRUE[one], TRUE[one], np.ones(1, dtype=np.bool_)) is None


@pytest.mark.parametrize("name", [name for name, _ in MODELS])
def test_an_empty_picture_has_no_correction(name: str) -> None:
    assert dict(MODELS)[name](np.zeros_like(TRUE), TRUE, NEUTRAL) is None
