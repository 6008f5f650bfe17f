"""Colour spaces, against published matrices, curves and vectors, and colour-science."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from builder.measure.spaces import (
    ADOBE_RGB,
    D50,
    D65,
    DISPLAY_P3,
    RGB_SPACES,
    SRGB,
    RgbSpace,
    White,
    adapt_lab,
    adapt_white,
    adaptation_matrix,
    chroma,
    decode_adobe,
    decode_srgb,
    hue_degrees,
    lab_to_xyz,
    xyz_to_lab,
)
from tests.measure.tables import read_columns
from tests.reference import colour

PRINTED_4 = 5.1e-5  # a figure printed to four decimals
PRINTED_5 = 5.1e-6
PRINTED_7 = 5.1e-8
PRINTED_10 = 5.1e-11
ROUNDING = 1e-9  # of double precision, through cubes and cube roots
# Adobe's own document prints its matrix from rounded chromaticities, to five decimals.
ADOBE_PRINTED = 1e-5

triples = hnp.arrays(np.float64, (4, 3), elements=st.floats(-0.5, 2.0))
quiet = settings(deadline=None, derandomize=True)


# Source: full-precision matrices from the primaries of IEC 61966-2-1:1999 and of Display P3 (SMPTE
# EG 432-1 primaries with D65), as held by colour-science 0.4.7; Adobe RGB (1998) as held there.
@pytest.mark.parametrize(
    ("space", "printed", "tolerance"),
    [
        (
            SRGB,
            [
                [0.4123907993, 0.3575843394, 0.1804807884],
                [0.2126390059, 0.7151686788, 0.0721923154],
                [0.0193308187, 0.1191947798, 0.9505321522],
            ],
            PRINTED_10,
        ),
        (
            SRGB,  # the four decimals of IEC 61966-2-1:1999 itself
            [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]],
            PRINTED_4,
        ),
        (
            DISPLAY_P3,
            [
                [0.4865709486, 0.2656676932, 0.1982172852],
                [0.2289745641, 0.6917385218, 0.0792869141],
                [0.0, 0.0451133819, 1.0439443689],
            ],
            PRINTED_10,
        ),
        (
            ADOBE_RGB,
            [[0.57667, 0.18556, 0.18823], [0.29734, 0.62736, 0.07529], [0.02703, 0.07069, 0.99134]],
            ADOBE_PRINTED,
        ),
    ],
)
def test_a_matrix_from_the_primaries_is_the_published_one(
    space: RgbSpace, printed: list[list[float]], tolerance: float
) -> None:
    assert np.abs(space.to_xyz - np.array(printed)).max() <= tolerance


def test_the_whites_are_those_of_the_tables() -> None:
    # Source: ASTM E308 via colour-science 0.4.7, from the chromaticities: 95.0456, 100, 108.9058
    # and 96.4296, 100, 82.5105.
    assert D65.xyz == pytest.approx((0.950456, 1.0, 1.089058), abs=1e-6)
    assert D50.xyz == pytest.approx((0.964296, 1.0, 0.825105), abs=1e-6)


def test_published_values_of_the_decoding_curves_come_out() -> None:
    # Source: IEC 61966-2-1:1999 and Adobe RGB (1998), as computed by colour-science 0.4.7.
    assert decode_srgb([0.04045, 0.5, 128 / 255]) == pytest.approx(
        [0.0031308, 0.2140411, 0.2158605], abs=PRINTED_7
    )
    assert float(decode_adobe(0.5)) == pytest.approx(0.2177555, abs=PRINTED_7)


def test_srgb_reads_the_same_lab_as_the_table_under_both_whites() -> None:
    rgb8, lab65, lab50 = read_columns(
        "srgb_lab.csv", ("r8", "g8", "b8"), ("L65", "a65", "b65"), ("L50", "a50", "b50")
    )
    xyz = decode_srgb(rgb8 / 255) @ SRGB.to_xyz.T
    assert np.abs(xyz_to_lab(xyz) - lab65).max() <= PRINTED_4
    assert np.abs(xyz_to_lab(adapt_white(xyz, D65, D50), D50) - lab50).max() <= PRINTED_4
    assert np.abs(adapt_lab(lab50, D50) - lab65).max() <= 5 * PRINTED_4  # through rounded values


def test_bradford_from_d65_to_d50_is_the_published_matrix() -> None:
    # Source: the Bradford cone matrix held by colour-science 0.4.7, with the whites above.
    printed = [
        [1.0479297925, 0.0229468706, -0.0501922663],
        [0.0296278088, 0.9904344268, -0.0170737991],
        [-0.0092430406, 0.0150551915, 0.7518742814],
    ]
    assert np.abs(adaptation_matrix(D65, D50) - np.array(printed)).max() <= PRINTED_10


def test_a_published_lab_vector_comes_out() -> None:
    # Source: docstring of XYZ_to_Lab in colour-science 0.4.7.
    lab = xyz_to_lab([0.20654008, 0.12197225, 0.05136952])
    assert lab == pytest.approx([41.5278752, 52.6385830, 26.9231792], abs=PRINTED_5)


def test_lab_agrees_with_colour_science_dark_colours_included() -> None:
    xyz = np.random.default_rng(1).uniform(0, 1.1, (2000, 3)) ** 4
    theirs = colour.XYZ_to_Lab(xyz, np.array([0.3127, 0.3290]))
    assert np.abs(xyz_to_lab(xyz) - theirs).max() <= ROUNDING * 100


@quiet
@given(triples)
def test_lab_and_xyz_go_there_and_back_beyond_the_gamut_too(xyz: np.ndarray) -> None:
    for white in (D65, D50, White("D65, 10°", (0.94811, 1.0, 1.07304))):
        assert lab_to_xyz(xyz_to_lab(xyz, white), white) == pytest.approx(xyz, abs=ROUNDING)


@quiet
@given(triples)
def test_each_encoding_goes_there_and_back_with_its_sign(values: np.ndarray) -> None:
    for space in RGB_SPACES.values():
        assert space.encode(space.decode(values)) == pytest.approx(values, abs=ROUNDING)
        assert np.all(space.decode(values) * values >= 0)


@quiet
@given(triples)
def test_a_change_of_white_undone_leaves_no_trace(xyz: np.ndarray) -> None:
    assert adapt_white(adapt_white(xyz, D65, D50), D50, D65) == pytest.approx(xyz, abs=ROUNDING)


@pytest.mark.parametrize("space", RGB_SPACES.values(), ids=lambda space: space.name)
def test_equal_channels_are_neutral_in_every_space(space: RgbSpace) -> None:
    grey = np.repeat(np.linspace(0, 1, 9)[:, None], 3, axis=1)
    assert np.abs(chroma(xyz_to_lab(space.decode(grey) @ space.to_xyz.T))).max() <= ROUNDING


@pytest.mark.parametrize(
    ("lab", "degrees"),
    [((50, 1, 0), 0), ((50, 0, 1), 90), ((50, -1, 0), 180), ((50, 0, -1), 270), ((50, 0, 0), 0)],
)
def test_hue_turns_from_red_by_yellow(lab: tuple[float, ...], degrees: float) -> None:
    # Source: CIE 15:2004, section 8.2.1.
    assert float(hue_degrees(lab)) == pytest.approx(degrees)


def test_hue_is_never_a_full_turn() -> None:
    assert float(hue_degrees((50, 1, -1e-18))) == 0.0
