"""Named encodings and the way to sRGB, against colour-science and the standards' own figures."""

from __future__ import annotations

import numpy as np
import pytest

from builder.look.spaces import (
    decode_srgb,
    encode_srgb,
    lab_to_xyz,
    named_spaces,
    rgb_to_srgb8,
    xyz_to_srgb8,
)
from builder.measure.spaces import RGB_SPACES
from builder.records.photo import Encoding
from tests.reference import colour, full_precision

# colour-science keeps some published matrices at five decimals.
PRINTED = 1e-4
# Rounding to whole levels, and a twentieth for the steps of the look-up.
HALF_A_LEVEL = 0.55


@pytest.mark.parametrize(
    ("name", "theirs"),
    [("srgb", "sRGB"), ("display-p3", "Display P3"), ("adobe-rgb", "Adobe RGB (1998)")],
)
def test_matrices_and_curves_agree_with_colour_science(name: str, theirs: str) -> None:
    space, reference = named_spaces()[name], colour.RGB_COLOURSPACES[theirs]
    assert np.abs(space.to_xyz - reference.matrix_RGB_to_XYZ).max() < PRINTED
    assert np.abs(space.table - reference.cctf_decoding(np.arange(256) / 255)).max() < 1e-9


def test_looking_and_measuring_hold_the_same_figures() -> None:
    assert set(named_spaces()) == set(RGB_SPACES)
    for name, space in named_spaces().items():
        measured = RGB_SPACES[name]
        assert np.allclose(space.to_xyz, measured.to_xyz, atol=1e-12)
        assert np.allclose(space.table, measured.decode(np.arange(256) / 255), atol=1e-12)


@pytest.mark.parametrize(
    ("encoded", "linear"),
    [(0.0, 0.0), (0.04045, 0.0031308), (0.5, 0.2140411), (128 / 255, 0.2158605), (1.0, 1.0)],
)
def test_the_srgb_curve_gives_published_values(encoded: float, linear: float) -> None:
    # Source: IEC 61966-2-1:1999; seven decimals are printed.
    assert decode_srgb(np.array(encoded)) == pytest.approx(linear, abs=6e-8)
    assert encode_srgb(decode_srgb(np.array(encoded))) == pytest.approx(encoded, abs=2e-5)


@pytest.mark.parametrize("name", ["display-p3", "adobe-rgb"])
def test_a_wide_picture_becomes_srgb_as_colour_science_does_it(name: str) -> None:
    source = full_precision({"display-p3": "Display P3", "adobe-rgb": "Adobe RGB (1998)"}[name])
    rgb = np.random.default_rng(11).integers(0, 256, (40_000, 3), dtype=np.uint8)
    srgb = full_precision("sRGB")
    xyz = source.cctf_decoding(rgb / 255) @ source.matrix_RGB_to_XYZ.T
    expected = srgb.cctf_encoding(np.clip(xyz @ srgb.matrix_XYZ_to_RGB.T, 0, 1)) * 255
    assert np.abs(rgb_to_srgb8(rgb, Encoding(name)) - expected).max() < HALF_A_LEVEL


def test_an_srgb_picture_is_left_as_it_is() -> None:
    rgb = np.arange(30, dtype=np.uint8).reshape(2, 5, 3)
    assert rgb_to_srgb8(rgb, Encoding()) is rgb


def test_every_srgb_level_comes_back_from_light_as_itself() -> None:
    levels = np.repeat(np.arange(256, dtype=np.uint8)[:, None], 3, axis=1)
    light = named_spaces()["srgb"].table[levels] @ named_spaces()["srgb"].to_xyz.T
    assert np.array_equal(xyz_to_srgb8(light.astype(np.float32)), levels)


def test_colours_outside_srgb_are_cut_off_channel_by_channel() -> None:
    green = named_spaces()["display-p3"].to_xyz @ np.array([0.0, 1.0, 0.0])
    assert xyz_to_srgb8(green.astype(np.float32)).tolist() == [0, 255, 0]
    assert xyz_to_srgb8(np.array([3.0, 3.0, 3.0], dtype=np.float32)).tolist() == [255, 255, 255]


def test_lab_becomes_xyz_as_colour_science_does_it() -> None:
    lab = np.random.default_rng(5).uniform((0, -100, -100), (100, 100, 100), (5000, 3))
    expected = colour.Lab_to_XYZ(lab, np.array([0.3127, 0.3290]))
    assert np.allclose(lab_to_xyz(lab), expected, atol=1e-12)
