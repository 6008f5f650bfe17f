"""The studio's own colour arithmetic, against a reference library."""

from __future__ import annotations

import numpy as np
import pytest

from tests.reference import colour
from tests.studio.colours import (
    SRGB_TO_P3,
    encode_srgb,
    lab_to_linear,
    lamp_gains,
    linear_to_lab,
)

MATRIX_ROUNDING = 2e-4  # the library's sRGB matrix is the standard's, rounded to four places


def test_lab_becomes_the_linear_srgb_of_the_reference_library() -> None:
    labs = np.random.default_rng(1).uniform((5, -60, -60), (95, 60, 60), (200, 3))
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    expected = colour.XYZ_to_sRGB(colour.Lab_to_XYZ(labs, white), apply_cctf_encoding=False)
    assert lab_to_linear(labs) == pytest.approx(expected, abs=MATRIX_ROUNDING * 10)


def test_lab_survives_the_way_to_linear_light_and_back() -> None:
    labs = np.random.default_rng(2).uniform((0, -80, -80), (100, 80, 80), (500, 3))
    assert linear_to_lab(lab_to_linear(labs)) == pytest.approx(labs, abs=1e-9)


def test_the_srgb_curve_is_that_of_the_reference_library() -> None:
    steps = np.linspace(0, 1, 101, dtype=np.float32)
    assert encode_srgb(steps) == pytest.approx(colour.models.eotf_inverse_sRGB(steps), abs=1e-5)


def test_display_p3_has_the_matrix_of_the_reference_library() -> None:
    space = colour.models.RGB_COLOURSPACE_DISPLAY_P3
    expected = space.matrix_XYZ_to_RGB @ colour.models.RGB_COLOURSPACE_sRGB.matrix_RGB_to_XYZ
    assert pytest.approx(expected, abs=MATRIX_ROUNDING * 10) == SRGB_TO_P3


def test_a_lamp_the_camera_is_balanced_for_tints_nothing() -> None:
    assert lamp_gains(5200, 5200) == pytest.approx([1, 1, 1])


def test_a_warm_lamp_is_red_and_short_of_blue() -> None:
    red, green, blue = lamp_gains(2700, 5200)
    assert red > 1.3 * green > 1.3 * 1.8 * blue
